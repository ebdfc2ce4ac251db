package seal

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/hex"
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"testing"
	"time"

	"saltline/internal/cms"
	"saltline/internal/objects"
)

// form is a page with a field for each name.
func form(t testing.TB, names ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := objects.NewWriter(&b, objects.Options{})
	root, tree, page := w.Reserve(), w.Reserve(), w.Reserve()
	var fields objects.Array
	for _, name := range names {
		r := w.Reserve()
		w.Put(r, objects.Dict{"Type": objects.Name("Annot"), "Subtype": objects.Name("Widget"), "FT": objects.Name("Sig"), "T": objects.Text(name),
			"TU": objects.Text("to be signed by " + name), "P": page, "Rect": objects.Array{10, 20, 110, 50}})
		fields = append(fields, r)
	}
	w.Put(page, objects.Dict{"Type": objects.Name("Page"), "Parent": tree, "MediaBox": objects.Array{0, 0, 200, 100}, "Annots": fields})
	w.Put(tree, objects.Dict{"Type": objects.Name("Pages"), "Kids": objects.Array{page}, "Count": 1})
	w.Put(root, objects.Dict{"Type": objects.Name("Catalog"), "Pages": tree, "AcroForm": objects.Dict{"Fields": fields}})
	if err := w.Close(objects.Dict{"Root": root}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func identity(t testing.TB, name string) cms.Identity {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	of := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, of, of, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return cms.Identity{Key: key, Certificate: cert}
}

var then = time.Date(2027, 5, 4, 16, 30, 5, 0, time.FixedZone("", -2*3600))

func signed(t testing.TB, data []byte, field string) []byte {
	t.Helper()
	out, err := Sign(data, Signing{Field: field, Name: "Ilse Korvan", Reason: "signed as " + field, At: then}, identity(t, "Ilse Korvan"))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func check(t testing.TB, data []byte) ([]Signed, []Change) {
	t.Helper()
	f, err := objects.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	all, changes, err := Check(f, data)
	if err != nil {
		t.Fatal(err)
	}
	return all, changes
}

func TestSignAndCheck(t *testing.T) {
	data := form(t, "inspector", "qc")
	one := signed(t, data, "qc")
	two := signed(t, one, "inspector")
	if !bytes.HasPrefix(one, data) || !bytes.HasPrefix(two, one) {
		t.Fatal("what was signed is changed")
	}
	all, changes := check(t, two)
	if len(all) != 2 || len(changes) != 0 {
		t.Fatalf("%d signatures, changes %+v", len(all), changes)
	}
	for i, want := range []Signed{{Field: "qc", Update: 1}, {Field: "inspector", Update: 2, Whole: true}} {
		s := all[i]
		if s.Err != nil || s.Field != want.Field || s.Update != want.Update || s.Whole != want.Whole || s.Name != "Ilse Korvan" || s.Reason != "signed as "+want.Field || !s.At.Equal(then) {
			t.Errorf("signature %d: %+v", i+1, s)
		}
	}
	f, err := objects.Read(one)
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(Fields(f)); got != "[{inspector to be signed by inspector false 100 30} {qc to be signed by qc true 100 30}]" {
		t.Errorf("fields %s", got)
	}
}

// A clumsy signer gives more than it said it would, or nothing.
type clumsy struct {
	size, gives int
	err         error
}

func (c clumsy) Size() int                     { return c.size }
func (c clumsy) Sign([32]byte) ([]byte, error) { return make([]byte, c.gives), c.err }

func TestSignRefuses(t *testing.T) {
	data := form(t, "inspector")
	broken := errors.New("the card is not in the reader")
	for _, c := range []struct {
		name  string
		data  []byte
		field string
		by    Signer
		want  error
		says  string
	}{
		{"no such field", data, "qc", clumsy{}, ErrNoField, `"qc"`},
		{"signed already", signed(t, data, "inspector"), "inspector", clumsy{}, ErrSigned, `"inspector"`},
		{"no PDF", []byte("salt"), "inspector", clumsy{}, nil, "no PDF header"},
		{"more than it said", data, "inspector", clumsy{size: 10, gives: 11}, nil, "a signature of 11 bytes does not go into the room"},
		{"nothing", data, "inspector", clumsy{size: 10, err: broken}, broken, ""},
	} {
		before := bytes.Clone(c.data)
		out, err := Sign(c.data, Signing{Field: c.field, At: then}, c.by)
		if err == nil || out != nil || c.want != nil && !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
		if !bytes.Equal(c.data, before) {
			t.Errorf("%s: what was given is changed", c.name)
		}
	}
}

var digits = regexp.MustCompile(`<([0-9a-f]{400,})>`)

// The digits of a value may be written by others in capitals, but not in both:
// then one of them could be another, and nobody would know.
func TestCheckDigits(t *testing.T) {
	data := signed(t, form(t, "inspector"), "inspector")
	at := digits.FindSubmatchIndex(data)
	text := data[at[2]:at[3]]
	letter := bytes.IndexAny(text, "abcdef")
	for _, c := range []struct {
		name   string
		change func(text []byte)
		want   error
	}{
		{"as they are", func([]byte) {}, nil},
		{"capitals", func(text []byte) { copy(text, bytes.ToUpper(text)) }, nil},
		{"one capital", func(text []byte) { text[letter] -= 'a' - 'A' }, ErrContent},
		{"a blank for a zero", func(text []byte) { text[len(text)-1] = ' ' }, ErrContent},
		{"another behind the value", func(text []byte) { text[len(text)-1] = '1' }, nil},
		{"another digit", func(text []byte) { text[40] = hexOther(text[40]) }, nil},
	} {
		out := bytes.Clone(data)
		c.change(out[at[2]:at[3]])
		all, _ := check(t, out)
		switch got := all[0].Err; {
		case c.want != nil && !errors.Is(got, c.want):
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		case strings.HasPrefix(c.name, "another") && got == nil && !bytes.Equal(out, data):
			t.Errorf("%s: nothing is said", c.name)
		case !strings.HasPrefix(c.name, "another") && c.want == nil && got != nil:
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if _, err := hex.DecodeString(string(text)); err != nil {
		t.Error(err)
	}
}

func hexOther(c byte) byte {
	if c == '1' {
		return '2'
	}
	return '1'
}

// Of a file in which everybody has signed, as it seems, none is checked: each
// would have all of it digested.
func TestCheckMany(t *testing.T) {
	var names []string
	for i := range 65 {
		names = append(names, fmt.Sprint("person ", i))
	}
	f, err := objects.Read(form(t, names...))
	if err != nil {
		t.Fatal(err)
	}
	put := map[objects.Ref]objects.Value{}
	sig := objects.Ref{Number: f.Size()}
	put[sig] = objects.Dict{"Type": objects.Name("Sig")}
	eachField(f, func(r objects.Ref, d objects.Dict) {
		d["V"] = sig
		put[r] = d
	})
	out, err := f.Append(put, nil)
	if err != nil {
		t.Fatal(err)
	}
	g, err := objects.Read(out.Data)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := Check(g, out.Data); !errors.Is(err, ErrMany) {
		t.Errorf("%v, want %v", err, ErrMany)
	}
}

// One update that changes a thousand objects is told in a few lines.
func TestCheckManyChanges(t *testing.T) {
	f, err := objects.Read(form(t, "inspector"))
	if err != nil {
		t.Fatal(err)
	}
	put := map[objects.Ref]objects.Value{}
	for i := range 1000 {
		put[objects.Ref{Number: f.Size() + i}] = objects.Dict{"A": i}
	}
	out, err := f.Append(put, nil)
	if err != nil {
		t.Fatal(err)
	}
	_, changes := check(t, out.Data)
	if n := len(changes); n != mostNamed+1 || changes[n-1].What != "980 more objects" {
		t.Errorf("%d changes, the last of them %+v", n, changes[n-1])
	}
}

// Dates as ISO 32000-1, 7.9.4, has them; those without a zone say no moment.
func TestMoment(t *testing.T) {
	want := time.Date(2027, 5, 4, 14, 30, 5, 0, time.UTC)
	for s, ok := range map[string]bool{
		"D:20270504143005Z": true, "D:20270504163005+02'00'": true, "D:20270504163005+02'00": true, "D:20270504123005-02'00'": true,
		"D:20270504143005": false, "2027-05-04": false, "": false, "D:20271304143005Z": false,
	} {
		if got := moment(s); ok && !got.Equal(want) || !ok && !got.IsZero() {
			t.Errorf("%q: %v", s, got)
		}
	}
}

// Whatever the bytes are, each signature holds or it is said why not.
func FuzzCheck(f *testing.F) {
	one := signed(f, form(f, "inspector", "qc"), "inspector")
	two := signed(f, one, "qc")
	f.Add(form(f, "inspector"))
	f.Add(one)
	f.Add(two)
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := objects.Read(data)
		if err != nil {
			return
		}
		all, _, err := Check(file, data)
		if err != nil {
			return
		}
		for _, s := range all {
			if s.Err == nil && (s.Signature == nil || s.Update < 0) {
				t.Errorf("%+v holds", s)
			}
		}
		Fields(file)
	})
}
