package objects

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"
)

// small writes a file of one page.
func small(t testing.TB, compact bool) []byte {
	t.Helper()
	var out bytes.Buffer
	w := NewWriter(&out, Options{Compact: compact})
	root, pages, page, content := w.Reserve(), w.Reserve(), w.Reserve(), w.Reserve()
	w.Put(root, Dict{"Type": Name("Catalog"), "Pages": pages})
	w.PutSmall(pages, Dict{"Type": Name("Pages"), "Kids": Array{page}, "Count": 1, "MediaBox": Array{0, 0, 595.25, 842}, "Resources": Dict{}})
	w.PutSmall(page, Dict{"Type": Name("Page"), "Parent": pages, "Contents": content})
	w.Put(content, Deflated(nil, []byte("0 0 m 10 10 l S")))
	if err := w.Close(Dict{"Root": root}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func read(t testing.TB, data []byte) *File {
	t.Helper()
	f, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The whole of a file, as ISO 32000-1, 7.5 describes it; the places were
// counted with grep -b.
func TestWriteClassic(t *testing.T) {
	var out bytes.Buffer
	w := NewWriter(&out, Options{Version: "1.4"})
	w.Put(Ref{Number: 1}, Dict{"Pages": Ref{Number: 2}, "Type": Name("Catalog")})
	w.Put(Ref{Number: 2}, Dict{"Kids": Array{}, "Type": Name("Pages"), "Count": 0})
	w.Put(Ref{Number: 4}, &Stream{Dict{"Length": int64(99)}, []byte("q Q")})
	if err := w.Close(Dict{"Root": Ref{Number: 1}, "ID": Array{String("a\x00"), String("b")}}); err != nil {
		t.Fatal(err)
	}
	const want = "%PDF-1.4\n%\xe2\xe3\xcf\xd3\n" +
		"1 0 obj\n<</Type /Catalog/Pages 2 0 R>>\nendobj\n" +
		"2 0 obj\n<</Type /Pages/Count 0/Kids []>>\nendobj\n" +
		"4 0 obj\n<</Length 3>>\nstream\nq Q\nendstream\nendobj\n" +
		"xref\n0 5\n" +
		"0000000000 65535 f \n0000000015 00000 n \n0000000061 00000 n \n0000000000 65535 f \n0000000109 00000 n \n" +
		"trailer\n<</ID [<6100> (b)]/Root 1 0 R/Size 5>>\nstartxref\n159\n%%EOF\n"
	if got := out.String(); got != want {
		t.Errorf("got\n%q, want\n%q", got, want)
	}
	f := read(t, out.Bytes())
	if got := f.Refs(); !reflect.DeepEqual(got, []Ref{{1, 0}, {2, 0}, {4, 0}}) {
		t.Errorf("objects %v", got)
	}
	if start, end := f.Offset(Ref{4, 0}); start != 109 || end != 158 {
		t.Errorf("object 4 is from %d to %d, want from 109 to 158", start, end)
	}
	if f.Size() != 5 || f.Version() != "1.4" || f.Get(Ref{3, 0}) != nil || f.Get(Ref{4, 1}) != nil {
		t.Errorf("size %d, version %s", f.Size(), f.Version())
	}
}

// What is written twice is the same, and what it holds is read back.
func TestWriteSame(t *testing.T) {
	for _, compact := range []bool{false, true} {
		data := small(t, compact)
		if !bytes.Equal(data, small(t, compact)) {
			t.Errorf("compact %v: two writings differ", compact)
		}
		f := read(t, data)
		want := Dict{"Type": Name("Page"), "Parent": Ref{2, 0}, "Contents": Ref{4, 0}}
		if got := f.Get(Ref{3, 0}); !reflect.DeepEqual(got, want) {
			t.Errorf("compact %v: object 3 is %v, want %v", compact, got, want)
		}
		if got, err := f.Data(Ref{4, 0}, 100); string(got) != "0 0 m 10 10 l S" {
			t.Errorf("compact %v: the content is %q, %v", compact, got, err)
		}
		id := f.Array(f.Trailer()["ID"])
		if len(id) != 2 || len(id[0].(String)) != 16 || !reflect.DeepEqual(id[0], id[1]) {
			t.Errorf("compact %v: the identifier is %v", compact, id)
		}
		if packed := strings.Contains(string(data), "/ObjStm"); packed != compact {
			t.Errorf("compact %v: the file has object streams: %v", compact, packed)
		}
	}
}

func TestWriterRefuses(t *testing.T) {
	one := Ref{Number: 1}
	for _, test := range []struct {
		name string
		call func(w *Writer)
		want string
	}{
		{"reserved", func(w *Writer) { w.Reserve() }, "object 1 was reserved and never put"},
		{"twice", func(w *Writer) { w.Put(one, nil); w.Put(one, nil) }, "object 1 is put twice"},
		{"generation", func(w *Writer) { w.Put(Ref{1, 1}, nil) }, "object 1 1 R cannot be in a new file"},
		{"zero", func(w *Writer) { w.Put(Ref{}, nil) }, "object 0 0 R cannot be in a new file"},
		{"kind", func(w *Writer) { w.Put(one, "text") }, "a string is no value of a PDF file"},
		{"small kind", func(w *Writer) { w.PutSmall(one, uint8(1)) }, "object 1: a uint8 is no value of a PDF file"},
		{"inner stream", func(w *Writer) { w.Put(one, Array{&Stream{}}) }, "a stream stands inside another object"},
		{"no stream", func(w *Writer) { w.Put(one, (*Stream)(nil)) }, "a stream stands inside another object"},
		{"hole", func(w *Writer) { w.Put(one, Hole{Name: "a"}) }, `the hole "a" stands where nobody can be told its place`},
	} {
		w := NewWriter(&bytes.Buffer{}, Options{Compact: true})
		test.call(w)
		if err := w.Close(nil); err == nil || err.Error() != test.want {
			t.Errorf("%s: error %v, want %s", test.name, err, test.want)
		}
	}
	if err := NewWriter(&bytes.Buffer{}, Options{Version: "1.4", Compact: true}).Close(nil); err == nil {
		t.Error("a compact file of version 1.4 is written")
	}
}

// full is a disk that takes so many bytes.
type full int

var errFull = errors.New("the disk is full")

func (f *full) Write(b []byte) (int, error) {
	if *f -= full(len(b)); *f < 0 {
		return 0, errFull
	}
	return len(b), nil
}

// An error of the disk comes out of Close, wherever it strikes.
func TestWriteError(t *testing.T) {
	for room := range full(400_000) {
		if room%50_000 > 1 {
			continue
		}
		w := NewWriter(&room, Options{})
		for range 40 {
			w.Put(w.Reserve(), &Stream{nil, make([]byte, 10_000)})
		}
		if err := w.Close(nil); !errors.Is(err, errFull) {
			t.Errorf("error %v, want %v", err, errFull)
		}
	}
}
