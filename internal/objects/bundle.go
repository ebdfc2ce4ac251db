package objects

import "strconv"

// A bundle is an object stream that is being filled (7.5.7).
type bundle struct {
	n    int
	head []byte // numbers and places
	body speller
}

// add spells an object at once, so that nothing else is kept of it.
func (b *bundle) add(number int, v Value) error {
	if b.n > 0 {
		b.head = append(b.head, ' ')
		b.body.out = append(b.body.out, '\n')
	}
	b.head = strconv.AppendInt(b.head, int64(number), 10)
	b.head = append(b.head, ' ')
	b.head = strconv.AppendInt(b.head, int64(len(b.body.out)), 10)
	b.body.value(v, 0)
	b.n++
	return b.body.err
}

// stream packs what was added.
func (b *bundle) stream() *Stream {
	b.head = append(b.head, '\n')
	d := Dict{"Type": Name("ObjStm"), "N": int64(b.n), "First": int64(len(b.head)), "Filter": Name("FlateDecode")}
	out := &Stream{d, Packed(b.head, b.body.out)}
	b.n, b.head, b.body.out = 0, b.head[:0], b.body.out[:0]
	return out
}
