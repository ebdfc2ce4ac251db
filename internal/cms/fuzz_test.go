package cms

import (
	"crypto/x509"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// Whatever the bytes are, reading ends with a signature or a named error, and
// asking it ends too; what is read is written again the same.
func FuzzParse(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.der")
	for _, name := range files {
		der, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(der)
	}
	f.Add(sequence(dotted(oidSigned), element(tagConstruct, sequence())))
	roots := x509.NewCertPool()
	at := time.Date(2027, 5, 4, 12, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, der []byte) {
		before := slices.Clone(der)
		s, err := Parse(der)
		if !slices.Equal(before, der) {
			t.Fatal("what was read is changed")
		}
		if err != nil {
			if s != nil || !errors.Is(err, ErrForm) && !errors.Is(err, ErrSigner) {
				t.Fatalf("%v, %v", s, err)
			}
			return
		}
		s.Check(digestOf(content))
		s.CheckHash(s.Hash(), nil)
		s.Valid(at)
		if err := s.Trust(roots, at); err == nil {
			t.Fatal("trusted without roots")
		}
		if s.Stamp != nil {
			s.Stamp.Check(s.Value)
			s.Stamp.Trust(roots)
		}
		m := s.message
		if len(m.unsigned) == 0 {
			added := sequence(dotted("1.2.3.4"), element(tagSet))
			again, err := parse(m.with(added))
			if err != nil || len(again.unsigned) != 1 || !slices.Equal(again.value, m.value) || !slices.Equal(again.signedRaw, m.signedRaw) {
				t.Fatalf("with an attribute added it is another: %v", err)
			}
		}
	})
}

// The answer of a time-stamp service likewise.
func FuzzAnswer(f *testing.F) {
	der, err := os.ReadFile("testdata/stamped.der")
	if err != nil {
		f.Fatal(err)
	}
	m, err := parse(der)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sequence(sequence(spell(0)), m.unsigned[0].values[0]))
	f.Add(sequence(sequence(spell(2), sequence(element(tagUTF8, []byte("no"))), []byte{tagBits, 2, 7, 0x80})))
	f.Fuzz(func(t *testing.T, answer []byte) {
		token, err := tokenIn(answer)
		if err != nil {
			if !errors.Is(err, ErrService) && !errors.Is(err, ErrRefused) {
				t.Fatal(err)
			}
			return
		}
		if stamp, err := parseStamp(token); err == nil {
			stamp.Check(m.value)
			stamp.Trust(x509.NewCertPool())
		} else if !errors.Is(err, ErrStamp) {
			t.Fatal(err)
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	for _, name := range []string{"rsa", "p256", "stamped"} {
		der, err := os.ReadFile("testdata/" + name + ".der")
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				s, err := Parse(der)
				if err != nil || s.Check(digestOf(content)) != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSign(b *testing.B) {
	y := newYard(b)
	for _, kind := range []string{"rsa2048", "rsa3072", "p256"} {
		id := y.identity(b, kind)
		b.Run(kind, func(b *testing.B) {
			for b.Loop() {
				if _, err := id.Sign([32]byte{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
