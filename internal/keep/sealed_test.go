package keep

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// What is sealed and what is not, as ISO 32000-1, 7.3.5 spells names and 12.8.1
// describes signatures.
func TestSealed(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       bool
	}{
		{"nothing", "", false},
		{"a document without a signature", "%PDF-1.7 1 0 obj <</Type/Catalog/AcroForm<</Fields[2 0 R]>>>> endobj", false},
		{"a field that is to be signed", "%PDF-1.7 2 0 obj <</FT/Sig/T(inspector)/SV<</Type/SV/SubFilter[/ETSI.CAdES.detached]>>>> endobj", false},
		{"a signature", sealedText, true},
		{"of another kind", "%PDF-1.7 <</Type /Sig /SubFilter /adbe.pkcs7.detached /ByteRange [0 1 2 3] /Contents <00>>>", true},
		{"without a type", "%PDF-1.7 <</SubFilter/ETSI.CAdES.detached/ByteRange[0 1 2 3]/Contents<00>>>", true},
		{"a time stamp", "%PDF-1.7 <</Type/DocTimeStamp/SubFilter/ETSI.RFC3161/ByteRange 7 0 R>>", true},
		{"one letter as #xx", "%PDF-1.7 <</#42yteRange[0 1 2 3]>>", true},
		{"digits that are letters, small", "%PDF-1.7 <</B#79t#65Ra#6ege[0 1 2 3]>>", true},
		{"digits that are letters, large", "%PDF-1.7 <</B#79t#65Ra#6Ege[0 1 2 3]>>", true},
		{"every letter as #xx", "%PDF-1.7 <</#42#79#74#65#52#61#6e#67#65[0 1 2 3]>>", true},
		{"at the very end", "%PDF-1.7 /ByteRange", true},
		{"cut short", "%PDF-1.7 /ByteRang", false},
		{"cut short in a letter", "%PDF-1.7 /ByteRang#6", false},
		{"small letters, which are another name", "%PDF-1.7 /byterange[0 1]", false},
		{"a slash before it", "%PDF-1.7 //ByteRange[0 1]", true},
		{"no slash", "%PDF-1.7 (ByteRange)", false},
		{"a damaged head", "\x00PDF-1.7 <</Type/Sig/ByteRange[0 1 2 3]>>", true},
		{"another letter", "%PDF-1.7 /#43yteRange", false},
		{"no digits", "%PDF-1.7 /B#zzteRange", false},
	} {
		for _, reader := range []io.Reader{strings.NewReader(c.text), iotest.OneByteReader(strings.NewReader(c.text)), iotest.DataErrReader(strings.NewReader(c.text))} {
			if got, err := sealed(reader); got != c.want || err != nil {
				t.Errorf("%s: got %v, %v, want %v", c.name, got, err, c.want)
			}
		}
	}
	if _, err := sealed(iotest.ErrReader(errDisk)); !errors.Is(err, errDisk) {
		t.Errorf("got %v, want the error of reading", err)
	}
	if got, err := sealed(iotest.TimeoutReader(iotest.OneByteReader(strings.NewReader("%PDF")))); got || err == nil {
		t.Errorf("got %v, %v, want the error in the middle of reading", got, err)
	}
}

// The mark is found wherever it lies across what is read at once.
func TestSealedAnywhere(t *testing.T) {
	const mark = "/#42#79#74#65#52#61#6e#67#65"
	for _, block := range []int{64 << 10, 64<<10 - 27, 128 << 10, 1000} {
		for shift := -40; shift <= 40; shift++ {
			text := make([]byte, block+shift, block+200)
			for i := range text {
				text[i] = "/B#4y"[i%5]
			}
			text = append(append(text, mark...), "[0 1 2 3]"...)
			if got, err := sealed(bytes.NewReader(text)); !got || err != nil {
				t.Errorf("behind %d bytes: got %v, %v", block+shift, got, err)
			}
			if got, err := sealed(bytes.NewReader(text[:block+shift+len(mark)-1])); got || err != nil {
				t.Errorf("cut short behind %d bytes: got %v, %v", block+shift, got, err)
			}
		}
	}
}

func BenchmarkSealed(b *testing.B) {
	text := bytes.Repeat([]byte("12 0 obj <</Type/Page/Parent 3 0 R/Resources<</Font<</F1 4 0 R>>>>>> endobj\n"), 25<<20/76)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if got, err := sealed(bytes.NewReader(text)); got || err != nil {
			b.Fatal(got, err)
		}
	}
}
