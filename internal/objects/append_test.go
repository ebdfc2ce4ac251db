package objects

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// Three updates on files of both kinds: nothing of what was there changes, and
// each stage reads as it was.
func TestAppend(t *testing.T) {
	for _, compact := range []bool{false, true} {
		data := small(t, compact)
		f := read(t, data)
		id := f.Array(f.Trailer()["ID"])[0].(String)
		for round := range 3 {
			catalog := f.Catalog()
			catalog["Round"] = int64(round)
			catalog["New"] = Ref{Number: f.Size()}
			a, err := f.Append(map[Ref]Value{
				{Number: 1}:        catalog,
				{Number: f.Size()}: Dict{"Contents": Hole{"contents", 4, true}, "ByteRange": Hole{"range", 12, false}},
			}, Dict{"Round": int64(round)})
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.HasPrefix(a.Data, f.data) {
				t.Fatalf("compact %v: what was there changed", compact)
			}
			c, r := a.Holes["contents"], a.Holes["range"]
			if got := string(a.Data[c.Start:c.End]); got != "<00000000>" {
				t.Errorf("the hole is %q", got)
			}
			if got := string(a.Data[r.Start-10 : r.End]); got != "ByteRange "+strings.Repeat(" ", 12) {
				t.Errorf("the hole is %q", got)
			}
			copy(a.Data[c.Start+1:], "0A0b0C0d")
			copy(a.Data[r.Start:], "[0 1 2 3]")
			g := read(t, a.Data)
			place := a.Places[Ref{Number: f.Size()}]
			if start, end := g.Offset(Ref{Number: f.Size()}); start != place.Start || end != place.End {
				t.Errorf("the new object is from %d to %d, and was said to be from %d to %d", start, end, place.Start, place.End)
			}
			want := Dict{"Contents": String{10, 11, 12, 13}, "ByteRange": Array{int64(0), int64(1), int64(2), int64(3)}}
			if got := g.Get(Ref{Number: f.Size()}); !reflect.DeepEqual(got, want) {
				t.Errorf("the new object is %v, want %v", got, want)
			}
			ids := g.Array(g.Trailer()["ID"])
			if !bytes.Equal(ids[0].(String), id) || reflect.DeepEqual(ids[1], f.Array(f.Trailer()["ID"])[1]) {
				t.Errorf("the identifier %v becomes %v", f.Trailer()["ID"], ids)
			}
			if got := g.Trailer()["Round"]; got != int64(round) {
				t.Errorf("round %d: the trailer says %v", round, got)
			}
			if g.updates[round+1].stream != compact {
				t.Errorf("compact %v: the form of the cross-references changed", compact)
			}
			f = g
		}
		for i, u := range f.Updates() {
			then, err := f.At(i)
			if err != nil {
				t.Fatal(err)
			}
			if round, _ := then.Int(then.Catalog()["Round"]); i > 0 && round != i-1 {
				t.Errorf("after update %d the catalog says %d", i, round)
			}
			if i > 0 && len(u.Changed) < 2 {
				t.Errorf("update %d changes %v", i, u.Changed)
			}
			again := read(t, f.data[:u.End])
			if !reflect.DeepEqual(again.Refs(), then.Refs()) {
				t.Errorf("update %d holds %v, and read alone %v", i, then.Refs(), again.Refs())
			}
		}
	}
}

// The same update gives the same bytes, and one that changes nothing is one.
func TestAppendSame(t *testing.T) {
	f := read(t, bytes.TrimRight(small(t, false), "\n"))
	objects := map[Ref]Value{}
	for n := range 20 {
		objects[Ref{Number: f.Size() + n}] = fmt.Append(nil, n)
	}
	if _, err := f.Append(objects, nil); err == nil {
		t.Error("bytes are taken for a value")
	}
	for r := range objects {
		objects[r] = int64(r.Number)
	}
	a, err := f.Append(objects, nil)
	b, _ := f.Append(objects, nil)
	if err != nil || !bytes.Equal(a.Data, b.Data) {
		t.Errorf("two updates differ (%v)", err)
	}
	c, err := f.Append(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if g := read(t, c.Data); len(g.Updates()) != 2 || len(g.Updates()[1].Changed) != 0 {
		t.Errorf("the updates are %v", g.Updates())
	}
}

func TestAppendRefuses(t *testing.T) {
	f := read(t, []byte(newHand().page().put(4, "<</Length 5 0 R>>\nstream\nq Q\nendstream").put(5, "3").table("").String()))
	for _, test := range []struct {
		objects map[Ref]Value
		want    string
	}{
		{map[Ref]Value{{}: nil}, "0 0 R names no object"},
		{map[Ref]Value{{1, 1}: nil}, "object 1 has the generation 0, and not 1"},
		{map[Ref]Value{{9, 1}: nil, {9, 0}: nil}, "object 9 is put twice"},
		{map[Ref]Value{{5, 0}: int64(4)}, "object 5 cannot be changed: older objects are read by it"},
		{map[Ref]Value{{6, 0}: Hole{"a", 1, true}, {7, 0}: Hole{"a", 1, true}}, `the hole "a" is there twice, or is less than empty`},
	} {
		if _, err := f.Append(test.objects, nil); err == nil || err.Error() != test.want {
			t.Errorf("error %v, want %s", err, test.want)
		}
	}
}
