// Package objects is a PDF file as objects (ISO 32000-1, clause 7): read whole
// through all its updates, written whole or as one more update.
//
// A file may come from a stranger. What two readers might understand in two
// ways is refused, nothing is repaired, and every refusal names the byte it
// rests on. Time and memory are bounded by the length of the file and by the
// limits declared in this package.
package objects

import "fmt"

// A Value is a direct object or a reference (7.3): nil for null, bool, int64,
// float64, Name, String, Array, Dict, Ref or *Stream. What is to be written
// may also hold int, Raw and Hole, which are never read.
type Value any

// A Name is a name without its solidus and with its #xx decoded (7.3.5).
type Name string

// A String holds the bytes that a string stands for (7.3.4).
type String []byte

// An Array is a list of values (7.3.6).
type Array []Value

// A Dict is a dictionary (7.3.7). An entry that is null is the same as none,
// and is left out when a file is read.
type Dict map[Name]Value

// A Ref refers to an indirect object (7.3.10).
type Ref struct{ Number, Generation int }

func (r Ref) String() string { return fmt.Sprintf("%d %d R", r.Number, r.Generation) }

// A Stream is a dictionary and bytes (7.3.8). Raw are the bytes as they stand
// in the file: of a stream that was read they are part of what was given to
// Read, and not to be changed.
type Stream struct {
	Dict Dict
	Raw  []byte
}

// Raw is spelled already, and written as it is.
type Raw []byte

// A Hole keeps room for what is known only when the file stands. It is
// written as N blanks, or as a hexadecimal string of N bytes, all zero, which
// takes 2·N + 2. An update tells by the name where it stands.
type Hole struct {
	Name string
	N    int
	Hex  bool
}

// A Span is a range of bytes of a file, from Start to before End.
type Span struct{ Start, End int }

// Limits of what is read. A number of objects above maxNumber is no PDF by
// ISO 32000-1, annex C; the other bounds are ours.
const (
	maxNumber     = 8_388_607 // of an object, and so their number
	maxGeneration = 65_535
	maxDepth      = 64        // of arrays and dictionaries in each other
	maxUpdates    = 256       // of one file
	maxWeight     = 128 << 20 // bytes that one object may take in memory, by estimate
	maxTrailer    = 1 << 20   // the same, for the dictionary of a trailer
	maxUnpacked   = 128 << 20 // bytes of object streams and cross-reference streams, unpacked
	maxContainer  = 32 << 20  // the same, of one object stream
	maxHops       = 32        // references that lead to references
	sparse        = 1 << 16   // numbers that a file may use however short it is
)

// A Damage is why a file is not taken. At is the place in the file, or in the
// unpacked bytes that Where names.
type Damage struct {
	At    int
	Where string // "" for the file itself
	What  string
}

func (d *Damage) Error() string {
	if d.Where != "" {
		return fmt.Sprintf("%s at byte %d of %s", d.What, d.At, d.Where)
	}
	return fmt.Sprintf("%s at byte %d", d.What, d.At)
}

func damage(at int, format string, args ...any) error {
	return &Damage{At: at, What: fmt.Sprintf(format, args...)}
}

// within puts the object in front of what is wrong with it.
func within(number int, err error) error {
	if d, ok := err.(*Damage); ok {
		return &Damage{d.At, d.Where, fmt.Sprintf("object %d: %s", number, d.What)}
	}
	return fmt.Errorf("object %d: %w", number, err)
}
