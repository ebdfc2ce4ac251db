// Package seal puts digital signatures into the fields of a document, and says
// of each whether it holds and what was changed after it.
package seal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"time"

	"saltline/internal/objects"
)

// A Signer signs digests of SHA-256.
type Signer interface {
	// Sign gives a signature in the Cryptographic Message Syntax, as ETSI EN
	// 319 142-1 wants it.
	Sign(digest [32]byte) ([]byte, error)
	// Size is the number of bytes that Sign gives at most.
	Size() int
}

// A Signing is one signature to be made.
type Signing struct {
	Field  string // that it goes into
	Name   string // of the person
	Reason string // what is stated by signing
	At     time.Time
	Look   *objects.File // a page of the size of the field, shown in it; nil shows nothing
}

// Errors of Sign that have to do with the field.
var (
	ErrNoField = errors.New("the document has no such field")
	ErrSigned  = errors.New("the field is signed already")
)

// Sign is data with one more update (ISO 32000-1, 7.5.6), which signs all that
// stands before it and itself. Not a byte of data is changed, so that
// signatures that it holds go on holding.
func Sign(data []byte, s Signing, by Signer) ([]byte, error) {
	f, err := objects.Read(data)
	if err != nil {
		return nil, err
	}
	ref, field := fieldCalled(f, s.Field)
	switch {
	case field == nil:
		return nil, fmt.Errorf("%w: %q", ErrNoField, s.Field)
	case field["V"] != nil:
		return nil, fmt.Errorf("%w: %q", ErrSigned, s.Field)
	}
	signature := objects.Ref{Number: f.Size()}
	put := map[objects.Ref]objects.Value{signature: objects.Dict{
		"Type": objects.Name("Sig"), "Filter": objects.Name("Adobe.PPKLite"), "SubFilter": objects.Name("ETSI.CAdES.detached"),
		"Name": objects.Text(s.Name), "Reason": objects.Text(s.Reason), "M": objects.Text(s.At.Format("D:20060102150405-07'00'")),
		"ByteRange": objects.Hole{Name: "range", N: rangeRoom}, "Contents": objects.Hole{Name: "contents", N: by.Size(), Hex: true},
	}}
	field["V"] = signature
	if s.Look != nil {
		look, err := copyLook(f, s.Look, field["Rect"], put)
		if err != nil {
			return nil, err
		}
		field["AP"] = objects.Dict{"N": look}
	}
	put[ref] = field
	root, _ := f.Trailer()["Root"].(objects.Ref)
	catalog := f.Catalog()
	form := f.Dict(catalog["AcroForm"])
	form["SigFlags"] = int64(3) // there are signatures, and the file is only to be added to
	catalog["AcroForm"] = form
	put[root] = catalog

	out, err := f.Append(put, nil)
	if err != nil {
		return nil, err
	}
	return fill(out, by)
}

// rangeRoom holds a ByteRange of four numbers of ten digits.
const rangeRoom = 48

// fill writes the range that is signed and the signature into their holes.
func fill(out *objects.Appended, by Signer) ([]byte, error) {
	data, hole, text := out.Data, out.Holes["contents"], out.Holes["range"]
	if n := copy(data[text.Start:text.End], fmt.Sprintf("[0 %d %d %d]", hole.Start, hole.End, len(data)-hole.End)); n > rangeRoom {
		return nil, errors.New("the file is too long for the range that is signed")
	}
	made, err := by.Sign(digest(data, hole))
	if err != nil {
		return nil, err
	}
	if 2*len(made)+2 > hole.End-hole.Start {
		return nil, fmt.Errorf("a signature of %d bytes does not go into the room kept for it", len(made))
	}
	hex.Encode(data[hole.Start+1:], made)
	return data, nil
}

// digest is that of all bytes but those of a hole.
func digest(data []byte, hole objects.Span) [32]byte {
	h := sha256.New()
	h.Write(data[:hole.Start])
	h.Write(data[hole.End:])
	return [32]byte(h.Sum(nil))
}

// copyLook makes the one page of a file the look of a field, and puts all that
// it is made of.
func copyLook(f, from *objects.File, rect objects.Value, put map[objects.Ref]objects.Value) (objects.Ref, error) {
	pages, err := from.Pages()
	if err != nil || len(pages) != 1 {
		return objects.Ref{}, errors.Join(err, errors.New("the look of a field is one page"))
	}
	page := from.Dict(pages[0])
	content := from.Stream(page["Contents"])
	resources := from.Dict(page["Resources"])
	if resources == nil { // of all pages
		resources = from.Dict(from.Dict(page["Parent"])["Resources"])
	}
	if content == nil {
		return objects.Ref{}, errors.New("the look of a field has no content")
	}
	next := f.Size()
	for r := range put {
		next = max(next, r.Number+1)
	}
	c := copier{from: from, put: put, next: next, known: map[objects.Ref]objects.Ref{}}
	look := c.reserve()
	box := from.Array(page["MediaBox"])
	if box == nil {
		box = from.Array(from.Dict(page["Parent"])["MediaBox"])
	}
	dict := objects.Dict{"Type": objects.Name("XObject"), "Subtype": objects.Name("Form"), "BBox": box, "Resources": c.value(resources)}
	if filter := content.Dict["Filter"]; filter != nil {
		dict["Filter"] = filter
	}
	put[look] = &objects.Stream{Dict: dict, Raw: content.Raw}
	return look, nil
}

// A copier copies objects of one file into another, each once.
type copier struct {
	from  *objects.File
	put   map[objects.Ref]objects.Value
	next  int
	known map[objects.Ref]objects.Ref
}

func (c *copier) reserve() objects.Ref {
	c.next++
	return objects.Ref{Number: c.next - 1}
}

func (c *copier) value(v objects.Value) objects.Value {
	switch v := v.(type) {
	case objects.Ref:
		to, known := c.known[v]
		if !known {
			to = c.reserve()
			c.known[v] = to
			c.put[to] = c.value(c.from.Get(v))
		}
		return to
	case objects.Dict:
		out := objects.Dict{}
		for k, inner := range v {
			out[k] = c.value(inner)
		}
		return out
	case objects.Array:
		out := make(objects.Array, len(v))
		for i, inner := range v {
			out[i] = c.value(inner)
		}
		return out
	case *objects.Stream:
		dict := c.value(v.Dict).(objects.Dict)
		delete(dict, "Length")
		return &objects.Stream{Dict: dict, Raw: v.Raw}
	}
	return v
}
