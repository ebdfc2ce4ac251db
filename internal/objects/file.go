package objects

import "slices"

// A File is what was read. It may be used by several goroutines; what it
// gives is the caller's own, but for the bytes of streams.
type File struct {
	data    []byte
	version string
	table   []entry
	spans   []Span     // of what stands in the file itself, in order
	updates []revision // the first is the original

	// Filled while the file is read, and only looked at from then on. No
	// update may change the objects that they are about.
	containers map[int]*container // object streams, unpacked
	lengths    map[int]int        // objects that are the lengths of streams
	room       int                // bytes that may still be unpacked
}

// An entry is where an object is (7.5.4, 7.5.8.3).
type entry struct {
	at         int64 // its byte, or the number of its object stream << 32 | its place there
	generation uint16
	state      state
}

type state byte

const (
	free   state = iota // and what is not in the table
	direct              // stands in the file
	packed              // stands in an object stream
)

// stream and index say where in which object stream a packed object is.
func (e entry) stream() int { return int(e.at >> 32) }
func (e entry) index() int  { return int(e.at & 0xffffffff) }

// listed is an entry with its number.
type listed struct {
	number int
	entry
}

// A revision is the original file or an update (7.5.6).
type revision struct {
	start, end int      // of its bytes; end is behind its %%EOF line
	xref       int      // what startxref says
	stream     bool     // its cross-references are a stream
	changed    []listed // in ascending order
	trailer    Dict
}

// An Update is one stage of a file. The first is the original.
type Update struct {
	End     int   // behind its %%EOF line
	Xref    int   // where its cross-references start
	Changed []Ref // written, replaced or deleted, ascending
	Trailer Dict
}

// Updates gives the stages of the file in order, the original first.
func (f *File) Updates() []Update {
	var out []Update
	for n, u := range f.updates {
		changed := make([]Ref, len(u.changed))
		for i, c := range u.changed {
			changed[i] = Ref{c.number, int(c.generation)}
			if c.state == free {
				changed[i] = f.deleted(n, c.number)
			}
		}
		out = append(out, Update{u.end, u.xref, changed, cloneDict(u.trailer)})
	}
	return out
}

// deleted is the object that update n deletes, as it was called before.
func (f *File) deleted(n, number int) Ref {
	for n--; n >= 0; n-- {
		changed := f.updates[n].changed
		i, ok := slices.BinarySearchFunc(changed, number, func(l listed, number int) int { return l.number - number })
		if ok {
			return Ref{number, int(changed[i].generation)}
		}
	}
	return Ref{Number: number}
}

// At is the file as it stood after update n; 0 is the original.
func (f *File) At(n int) (*File, error) {
	if n < 0 || n >= len(f.updates) {
		return nil, damage(len(f.data), "the file has %d updates, and none of number %d", len(f.updates), n)
	}
	u := f.updates[:n+1]
	then := *f
	then.data, then.updates, then.table = f.data[:u[n].end:u[n].end], u, nil
	for _, one := range u {
		then.apply(one.changed)
	}
	return &then, nil
}

// apply enters what changed, in the order of the numbers.
func (f *File) apply(changed []listed) {
	if n := len(changed); n > 0 {
		if more := changed[n-1].number + 1 - len(f.table); more > 0 {
			f.table = append(f.table, make([]entry, more)...)
		}
	}
	for _, c := range changed {
		f.table[c.number] = c.entry
	}
}

func (f *File) entry(number int) entry {
	if number <= 0 || number >= len(f.table) {
		return entry{}
	}
	return f.table[number]
}

// Version is what the header says, as "1.7".
func (f *File) Version() string { return f.version }

// Len is the length of the file in bytes.
func (f *File) Len() int { return len(f.data) }

// Trailer is that of the last update (7.5.5).
func (f *File) Trailer() Dict { return cloneDict(f.updates[len(f.updates)-1].trailer) }

// Catalog is the root of the document (7.7.2).
func (f *File) Catalog() Dict { return f.Dict(f.Trailer()["Root"]) }

// Size is the number that the next new object may have.
func (f *File) Size() int {
	size, _ := f.updates[len(f.updates)-1].trailer["Size"].(int64)
	return int(size)
}

// Refs are all objects that there are, ascending, object streams and
// cross-reference streams among them.
func (f *File) Refs() []Ref {
	var out []Ref
	for n, e := range f.table {
		if e.state != free {
			out = append(out, Ref{n, int(e.generation)})
		}
	}
	return out
}

// Get gives the object, and nil where there is none, as 7.3.10 wants it. It is
// read anew each time: whoever is led to one object by many should keep it.
func (f *File) Get(r Ref) Value {
	e := f.entry(r.Number)
	if e.state == free || r.Generation != int(e.generation) {
		return nil
	}
	if e.state == packed {
		v, _ := f.containers[e.stream()].value(e.index(), false)
		return v
	}
	v, _, _ := f.object(r.Number, e, 0)
	return v // Read has been there: it cannot be damaged
}

// Resolve follows references until there is something else. References that
// lead to references without end lead to nil.
func (f *File) Resolve(v Value) Value {
	for range maxHops {
		r, ok := v.(Ref)
		if !ok {
			return v
		}
		v = f.Get(r)
	}
	return nil
}

// Dict is the dictionary that v is or refers to, that of a stream too; nil for
// anything else.
func (f *File) Dict(v Value) Dict {
	switch v := f.Resolve(v).(type) {
	case Dict:
		return v
	case *Stream:
		return v.Dict
	}
	return nil
}

// Array is the array that v is or refers to, or nil.
func (f *File) Array(v Value) Array { return as[Array](f, v) }

// Stream is the stream that v is or refers to, or nil.
func (f *File) Stream(v Value) *Stream { return as[*Stream](f, v) }

// Name is the name that v is or refers to, or "".
func (f *File) Name(v Value) Name { return as[Name](f, v) }

// String is the string that v is or refers to, or nil.
func (f *File) String(v Value) String { return as[String](f, v) }

// Int is the integer that v is or refers to; false for anything else.
func (f *File) Int(v Value) (int, bool) {
	n, ok := f.Resolve(v).(int64)
	return int(n), ok
}

// Number is the number, integer or real, that v is or refers to.
func (f *File) Number(v Value) (float64, bool) {
	switch v := f.Resolve(v).(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, true
	}
	return 0, false
}

func as[T Value](f *File, v Value) T {
	t, _ := f.Resolve(v).(T)
	return t
}

// Offset says which bytes of the file hold the object: its own from its number
// to behind endobj, or those of the object stream that it is in. 0, 0 where
// there is no such object.
func (f *File) Offset(r Ref) (start, end int) {
	e := f.entry(r.Number)
	if e.state == free || int(e.generation) != r.Generation {
		return 0, 0
	}
	if e.state == packed {
		e = f.entry(e.stream())
	}
	i, ok := slices.BinarySearchFunc(f.spans, int(e.at), func(s Span, at int) int { return s.Start - at })
	if !ok {
		return 0, 0
	}
	return f.spans[i].Start, f.spans[i].End
}

// cloneDict copies a dictionary with all that is in it.
func cloneDict(d Dict) Dict {
	out := make(Dict, len(d))
	for k, v := range d {
		out[k] = clone(v)
	}
	return out
}

func clone(v Value) Value {
	switch v := v.(type) {
	case Dict:
		return cloneDict(v)
	case Array:
		out := make(Array, len(v))
		for i := range v {
			out[i] = clone(v[i])
		}
		return out
	case String:
		return slices.Clone(v)
	}
	return v
}
