package objects

import (
	"bytes"
	"testing"
)

// Whatever the bytes are, there is a file that can be used, or an error.
func FuzzRead(f *testing.F) {
	f.Add(small(f, false))
	f.Add(small(f, true))
	for _, compact := range []bool{false, true} {
		g := read(f, small(f, compact))
		a, err := g.Append(map[Ref]Value{{Number: 1}: g.Catalog()}, nil)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(a.Data)
	}
	f.Add([]byte(newHand().page().put(4, "12").put(5, "<</Length 4 0 R>>\nstream\n(q)(q)(q)(q)\nendstream").table("").put(4, "[]").table("").String()))
	f.Add([]byte(newHand().page().stream(4, "/Type/ObjStm/N 2/First 8", "5 0 6 3 12 (x)").rows(7, map[int]row{5: {2, 4, 0}, 6: {2, 4, 1}}, "").String()))
	f.Fuzz(use)
}

// An object may be any bytes where the rest of the file is as it should be, and
// another in an object stream; a second update has them again.
func FuzzObject(f *testing.F) {
	for _, s := range spellings {
		f.Add([]byte(s.want), []byte(s.want))
	}
	f.Add([]byte("<</Length 5>>\nstream\n(a)-(\nendstream"), []byte("%\n7"))
	f.Add([]byte("<</Length 11 0 R>>\nstream\n(a)-(\nendstream"), []byte("5"))
	f.Add([]byte("<</Type/Pages/Kids[3 0 R]/Count 1>>"), []byte("<</Type/Page/Parent 10 0 R/Rotate 90>>"))
	f.Add([]byte("5 endobj 12 0 obj 6"), []byte("(\\0053(x)) [<41 4>]"))
	f.Fuzz(func(t *testing.T, plain, packed []byte) {
		if len(plain)+len(packed) > 1<<14 {
			return // the places of a hand's streams are short
		}
		h := newHand().put(1, "<</Type/Catalog/Pages 10 0 R>>").put(3, "<</Type/Page/Parent 10 0 R>>").put(10, string(plain)).
			stream(4, "/Type/ObjStm/N 1/First 5", "11 0 "+string(packed)).rows(20, map[int]row{11: {2, 4, 0}}, "").
			put(12, string(plain)).table("")
		use(t, []byte(h.String()))
	})
}

// use reads a file and all that is in it.
func use(t *testing.T, data []byte) {
	before := bytes.Clone(data)
	g, err := Read(data)
	if err != nil {
		if _, ok := err.(*Damage); !ok && err != ErrEncrypted {
			t.Fatalf("the error %v is no damage", err)
		}
		return
	}
	for _, r := range g.Refs() {
		v := g.Get(r)
		if s, ok := v.(*Stream); ok {
			s.Data(1 << 20)
		}
		spelled, err := Spell(nil, v)
		if err != nil {
			t.Fatalf("object %v is read and cannot be written: %v", r, err)
		}
		if _, stream := v.(*Stream); !stream {
			again, err := parse(string(spelled))
			if twice, _ := Spell(nil, again); err != nil || !bytes.Equal(spelled, twice) {
				t.Fatalf("object %v is written %q and then %q (%v)", r, spelled, twice, err)
			}
		}
		if start, end := g.Offset(r); start >= end {
			t.Fatalf("object %v stands from %d to %d", r, start, end)
		}
	}
	g.Pages()
	for i := range g.Updates() {
		then, err := g.At(i)
		if err != nil {
			t.Fatal(err)
		}
		then.Pages()
	}
	if a, err := g.Append(map[Ref]Value{{Number: g.Size()}: nil}, nil); err != nil {
		if g.Size() <= maxNumber {
			t.Fatal(err)
		}
	} else if _, err := Read(a.Data); err != nil && g.Size() < sparse && len(g.updates) < maxUpdates {
		t.Fatalf("with an update it is no file any more: %v", err)
	}
	if !bytes.Equal(data, before) {
		t.Fatal("the bytes were changed")
	}
}

// Whatever the bytes are, what is read of a page can be written and is read
// the same again.
func FuzzContent(f *testing.F) {
	f.Add([]byte("q 1 0 0 1 72.5 -3 cm /P <</MCID 0>> BDC BT [(A\\)) -120 <42>] TJ (x)' ET EMC Q"))
	f.Add([]byte("BI /W 1 ID x EI"))
	f.Add([]byte("true null /A#20b f* % c\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		spell := func(data []byte) (out []byte, err error) {
			err = Content(data, func(operator string, operands []Value) error {
				for _, o := range operands {
					if out, err = Spell(out, o); err != nil {
						t.Fatalf("an operand is read and cannot be written: %v", err)
					}
					out = append(out, ' ')
				}
				out = append(append(out, operator...), '\n')
				return nil
			})
			return out, err
		}
		once, err := spell(data)
		if err != nil {
			if _, ok := err.(*Damage); !ok {
				t.Fatalf("the error %v is no damage", err)
			}
			return
		}
		twice, err := spell(once)
		if err != nil || !bytes.Equal(once, twice) {
			t.Fatalf("%q becomes %q (%v)", once, twice, err)
		}
	})
}
