package objects

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
)

// Appended is a file with one more update.
type Appended struct {
	Data   []byte       // all of it
	Places map[Ref]Span // of the objects of the update, from their numbers to behind endobj
	Holes  map[string]Span
}

// Append is the file with one more update (7.5.6), which holds the objects and
// says of the trailer what is given. Every byte of the file stays as it is;
// the cross-references are a table or a stream, as the last of the file are,
// and the second half of the ID is new. A new object has a number from Size
// on.
//
// A hole is found again by its name. One in hexadecimal digits goes from its <
// to behind its >, which is what the ByteRange of a signature leaves out
// (12.8.1).
func (f *File) Append(objects map[Ref]Value, trailer Dict) (*Appended, error) {
	last := f.updates[len(f.updates)-1]
	s := speller{out: slices.Grow(slices.Clone(f.data), 1<<16), holes: map[string]Span{}}
	if c := s.out[len(s.out)-1]; c != '\n' && c != '\r' {
		s.out = append(s.out, '\n')
	}
	out := &Appended{Places: map[Ref]Span{}}
	refs := slices.SortedFunc(maps.Keys(objects), func(a, b Ref) int { return a.Number - b.Number })
	var all []listed
	size := f.Size()
	for _, r := range refs {
		if err := f.mayAppend(r, all); err != nil {
			return nil, err
		}
		start := len(s.out)
		s.out = fmt.Appendf(s.out, "%d %d obj\n", r.Number, r.Generation)
		s.value(objects[r], 0)
		s.out = append(s.out, "\nendobj"...)
		out.Places[r] = Span{start, len(s.out)}
		s.out = append(s.out, '\n')
		all = append(all, listed{r.Number, entry{int64(start), uint16(r.Generation), direct}})
		size = max(size, r.Number+1)
	}
	d := maps.Clone(last.trailer)
	for _, key := range []Name{"Type", "Size", "XRefStm", "W", "Index", "Filter", "DecodeParms", "Length"} {
		delete(d, key) // what is about the last cross-references alone
	}
	maps.Copy(d, trailer)
	d["Prev"] = int64(last.xref)
	d["ID"] = f.nextID(d["ID"], s.out[len(f.data):])
	s.references(all, size, len(s.out), d, last.stream)
	out.Data, out.Holes = s.out, s.holes
	return out, s.err
}

// mayAppend makes sure that an update may have the object.
func (f *File) mayAppend(r Ref, before []listed) error {
	e := f.entry(r.Number)
	_, length := f.lengths[r.Number]
	switch {
	case r.Number < 1 || r.Number > maxNumber || r.Generation < 0 || r.Generation > maxGeneration:
		return fmt.Errorf("%v names no object", r)
	case e.state != free && int(e.generation) != r.Generation:
		return fmt.Errorf("object %d has the generation %d, and not %d", r.Number, e.generation, r.Generation)
	case len(before) > 0 && before[len(before)-1].number == r.Number:
		return fmt.Errorf("object %d is put twice", r.Number)
	case length || f.containers[r.Number] != nil:
		return fmt.Errorf("object %d cannot be changed: older objects are read by it", r.Number)
	}
	return nil
}

// nextID keeps the first half of the ID, which names the file through all its
// updates, and makes the second from it and from what is new (14.4).
func (f *File) nextID(v Value, new []byte) Value {
	h := sha256.New()
	old := f.Array(v)
	for _, half := range old {
		h.Write(f.String(half))
	}
	fmt.Fprintf(h, " %d ", len(f.data))
	h.Write(new)
	id := idString(h.Sum(nil))
	first := id
	if len(old) == 2 {
		if s := f.String(old[0]); s != nil {
			first = s
		}
	}
	return Array{first, id}
}
