package cms

import (
	"encoding/asn1"
	"fmt"
)

// The tags that occur here (ITU-T X.690, 8.1.2): each is one byte.
const (
	tagBoolean   = 0x01
	tagInteger   = 0x02
	tagBits      = 0x03
	tagOctets    = 0x04
	tagNull      = 0x05
	tagOID       = 0x06
	tagUTF8      = 0x0c
	tagTime      = 0x18 // GeneralizedTime
	tagSequence  = 0x30
	tagSet       = 0x31
	tagContext   = 0x80 // + n, of a primitive
	tagConstruct = 0xa0 // + n, [n] of what holds elements
)

// A reader walks along elements in DER. The library's own decoder passes over
// what stands at the end of a sequence; here every byte is accounted for, so
// that nothing rides along unread. The first thing wrong is kept for the
// whole message, and after it there is nothing more to read.
type reader struct {
	rest []byte
	err  *error // shared by all readers of one message
}

func read(der []byte) *reader { return &reader{der, new(error)} }

// fail keeps the first thing that is wrong.
func (r *reader) fail(format string, args ...any) {
	if *r.err == nil {
		*r.err = fmt.Errorf(format, args...)
	}
	r.rest = nil
}

func (r *reader) more() bool { return *r.err == nil && len(r.rest) > 0 }

// has says whether the next element is one with the tag.
func (r *reader) has(tag byte) bool { return r.more() && r.rest[0] == tag }

// split takes the next element with the tag, and says how long its head is.
func (r *reader) split(tag byte, what string) (raw []byte, head int) {
	if *r.err != nil {
		return nil, 0
	}
	if len(r.rest) < 2 {
		r.fail("%s is missing", what)
		return nil, 0
	}
	if r.rest[0] != tag {
		r.fail("where %s should be, there is a tag %#02x", what, r.rest[0])
		return nil, 0
	}
	head, length := 2, int(r.rest[1])
	if length >= 0x80 { // the long form: so many bytes of length follow
		n := length & 0x7f
		if n == 0 || n > 3 || len(r.rest) < 2+n {
			r.fail("the length of %s cannot be read", what)
			return nil, 0
		}
		length = 0
		for _, b := range r.rest[2 : 2+n] {
			length = length<<8 | int(b)
		}
		if length < 0x80 || length>>(8*(n-1)) == 0 {
			r.fail("the length of %s is not in its shortest form", what)
			return nil, 0
		}
		head += n
	}
	if length > len(r.rest)-head {
		r.fail("%s is cut short", what)
		return nil, 0
	}
	raw, r.rest = r.rest[:head+length], r.rest[head+length:]
	return raw, head
}

// raw takes the next element whole.
func (r *reader) raw(tag byte, what string) []byte {
	raw, _ := r.split(tag, what)
	return raw
}

// body takes what the next element holds.
func (r *reader) body(tag byte, what string) []byte {
	raw, head := r.split(tag, what)
	return raw[head:]
}

// in takes the next element and reads on in it.
func (r *reader) in(tag byte, what string) *reader {
	return &reader{r.body(tag, what), r.err}
}

// any takes the next element, whatever it is.
func (r *reader) any(what string) []byte {
	if !r.more() {
		r.fail("%s is missing", what)
		return nil
	}
	if r.rest[0]&0x1f == 0x1f {
		r.fail("%s has a tag of several bytes", what)
		return nil
	}
	return r.raw(r.rest[0], what)
}

// end says that nothing more may follow.
func (r *reader) end(what string) {
	if r.more() {
		r.fail("%d bytes follow %s", len(r.rest), what)
	}
}

// leaf takes the next element into a value of Go.
func (r *reader) leaf(tag byte, v any, what string) {
	raw := r.raw(tag, what)
	if *r.err != nil {
		return
	}
	if _, err := asn1.Unmarshal(raw, v); err != nil {
		r.fail("%s cannot be read", what)
	}
}

// oid takes an object identifier, in dotted form.
func (r *reader) oid(what string) string {
	var id asn1.ObjectIdentifier
	r.leaf(tagOID, &id, what)
	return id.String()
}

// element writes an element in DER.
func element(tag byte, parts ...[]byte) []byte {
	n := 0
	for _, p := range parts {
		n += len(p)
	}
	out := []byte{tag}
	switch {
	case n < 0x80:
		out = append(out, byte(n))
	case n < 0x100:
		out = append(out, 0x81, byte(n))
	case n < 0x10000:
		out = append(out, 0x82, byte(n>>8), byte(n))
	default:
		out = append(out, 0x83, byte(n>>16), byte(n>>8), byte(n))
	}
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

func sequence(parts ...[]byte) []byte { return element(tagSequence, parts...) }

// spell writes a value of Go, of a kind that can always be written.
func spell(v any) []byte {
	der, err := asn1.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("cms: %T: %v", v, err))
	}
	return der
}
