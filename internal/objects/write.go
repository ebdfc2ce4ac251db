package objects

import (
	"bufio"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"maps"
	"slices"
	"strconv"
)

// Options of what is written.
type Options struct {
	Version string // of PDF, as "1.7"; "" is 1.7
	Compact bool   // small objects go into object streams (7.5.7)
}

// A Writer writes a file from its first object to its last. The same calls
// write the same bytes. Errors stay until Close gives them.
type Writer struct {
	out     *bufio.Writer
	hash    hash.Hash // of all that was written
	at      int
	compact bool
	places  []entry // by number
	kept    []bool  // numbers that were given out
	spell   speller
	small   bundle
	full    []*Stream // bundles, which get their numbers when no object can want them
	err     error
}

// perBundle is how many objects go into an object stream: enough to be packed
// well, few enough that a reader who wants one does not unpack many.
const perBundle = 200

// NewWriter starts a file: its header and the comment of four bytes above 127
// behind it, that ISO 19005-3, 6.1.2 wants.
func NewWriter(w io.Writer, o Options) *Writer {
	if o.Version == "" {
		o.Version = "1.7"
	}
	out := &Writer{out: bufio.NewWriterSize(w, 1<<16), hash: sha256.New(), compact: o.Compact, places: make([]entry, 1), kept: make([]bool, 1)}
	if o.Compact && o.Version < "1.5" {
		out.fail("version %s knows no object streams", o.Version)
	}
	out.write(fmt.Appendf(nil, "%%PDF-%s\n%%\xe2\xe3\xcf\xd3\n", o.Version))
	return out
}

func (w *Writer) fail(format string, args ...any) {
	if w.err == nil {
		w.err = fmt.Errorf(format, args...)
	}
}

func (w *Writer) write(b []byte) {
	if w.err != nil {
		return
	}
	w.hash.Write(b)
	w.at += len(b)
	if _, err := w.out.Write(b); err != nil {
		w.err = err
	}
}

// Reserve gives a number that must be put before Close.
func (w *Writer) Reserve() Ref {
	w.places = append(w.places, entry{})
	w.kept = append(w.kept, true)
	return Ref{Number: len(w.places) - 1}
}

// Room makes room for n more objects, where many are to come.
func (w *Writer) Room(n int) {
	w.places, w.kept = slices.Grow(w.places, n), slices.Grow(w.kept, n)
}

// place makes sure that r may be put.
func (w *Writer) place(r Ref) bool {
	switch {
	case w.err != nil:
		return false
	case r.Number < 1 || r.Number > maxNumber || r.Generation != 0:
		w.fail("object %v cannot be in a new file", r)
		return false
	}
	if n := r.Number + 1 - len(w.places); n > 0 {
		w.places = append(w.places, make([]entry, n)...)
		w.kept = append(w.kept, make([]bool, n)...)
	}
	if w.places[r.Number].state != free {
		w.fail("object %d is put twice", r.Number)
		return false
	}
	return true
}

// Put writes the object at once, in its own place. r need not be reserved; the
// numbers that are reserved after it are higher.
func (w *Writer) Put(r Ref, v Value) {
	if !w.place(r) {
		return
	}
	w.places[r.Number] = entry{int64(w.at), 0, direct}
	w.spell.out = strconv.AppendInt(w.spell.out[:0], int64(r.Number), 10)
	w.spell.out = append(w.spell.out, " 0 obj\n"...)
	if s, ok := v.(*Stream); ok && s != nil {
		// The bytes go from where they are to where they belong.
		w.spell.dict(s.Dict, int64(len(s.Raw)), 0)
		w.spell.out = append(w.spell.out, "\nstream\n"...)
		w.flush()
		w.write(s.Raw)
		w.spell.out = append(w.spell.out[:0], "\nendstream"...)
	} else {
		w.spell.value(v, 0)
	}
	w.spell.out = append(w.spell.out, "\nendobj\n"...)
	w.flush()
}

func (w *Writer) flush() {
	if w.spell.err != nil && w.err == nil {
		w.err = w.spell.err
	}
	w.write(w.spell.out)
}

// PutSmall puts the object into an object stream if the file is to be compact
// and the object may stand in one.
func (w *Writer) PutSmall(r Ref, v Value) {
	if _, stream := v.(*Stream); stream || !w.compact {
		w.Put(r, v)
		return
	}
	if !w.place(r) {
		return
	}
	w.places[r.Number] = entry{int64(len(w.full))<<32 | int64(w.small.n), 0, packed}
	if err := w.small.add(r.Number, v); err != nil {
		w.fail("object %d: %w", r.Number, err)
		return
	}
	if w.small.n == perBundle {
		w.full = append(w.full, w.small.stream())
	}
}

// bundles writes the object streams.
func (w *Writer) bundles() {
	if w.small.n > 0 {
		w.full = append(w.full, w.small.stream())
	}
	first := len(w.places)
	for i, e := range w.places {
		if e.state == packed {
			w.places[i].at += int64(first) << 32
		}
	}
	for _, s := range w.full {
		w.Put(w.Reserve(), s)
	}
}

// Close writes the cross-references and the trailer, with the Size and, where
// it has none, an ID from the SHA-256 of all before it (14.4).
func (w *Writer) Close(trailer Dict) error {
	w.bundles()
	for n, kept := range w.kept {
		if kept && w.places[n].state == free {
			w.fail("object %d was reserved and never put", n)
		}
	}
	d := maps.Clone(trailer)
	if d == nil {
		d = Dict{}
	}
	if d["ID"] == nil {
		id := idString(w.hash.Sum(nil))
		d["ID"] = Array{id, id}
	}
	delete(d, "Prev")
	delete(d, "XRefStm")
	all := make([]listed, 0, len(w.places)+1)
	for n, e := range w.places {
		all = append(all, listed{n, e})
	}
	w.spell.out = w.spell.out[:0]
	w.spell.references(all, len(all), w.at, d, w.compact)
	w.flush()
	if w.err == nil {
		w.err = w.out.Flush()
	}
	return w.err
}
