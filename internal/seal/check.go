package seal

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"saltline/internal/cms"
	"saltline/internal/objects"
)

// A Signed is what was found of one signature.
type Signed struct {
	Field  string
	Name   string // of the person, as the signature has it
	Reason string
	At     time.Time // as the signer's clock had it; zero where it does not say
	Update int       // that it came with, from 0 for the original
	Shows  string    // what its field shows on the page, as text; "" for nothing that is read

	Signature *cms.Signature // nil where it cannot be read
	Err       error          // why it does not hold; nil where it does

	// Whole says that nothing was added to the file behind what is signed.
	Whole bool
}

// A Change is something that an update did and that no signature does.
type Change struct {
	Update int    // from 1 for the first after the original
	What   string // such as "page 2"
}

// Errors of a signature, besides those of package cms.
var (
	ErrRange   = errors.New("the range that it signs is not all of the file up to its own end")
	ErrForm    = errors.New("it is not of the form that ETSI EN 319 142-1 asks for")
	ErrContent = errors.New("the bytes left out of what is signed are not its own value")
	ErrShared  = errors.New("it stands in another field, too")
)

// ErrMany is the error of a file with more signatures or updates than are looked
// at: for each of them all of the file is gone through.
var ErrMany = fmt.Errorf("the file has more than %d signatures or updates", mostSigned)

const mostSigned = 64

// Check looks at every signature of a file, in the order of their updates, and
// at what the updates of the file changed besides adding them.
func Check(f *objects.File, data []byte) (all []Signed, changes []Change, err error) {
	updates := f.Updates()
	var signed []objects.Dict
	fields := map[objects.Value]int{} // by their signatures
	eachField(f, func(_ objects.Ref, field objects.Dict) {
		if field["V"] != nil {
			signed = append(signed, field)
			if r, is := field["V"].(objects.Ref); is {
				fields[r]++
			}
		}
	})
	if len(signed) > mostSigned || len(updates) > mostSigned+1 {
		return nil, nil, ErrMany
	}
	for _, field := range signed {
		s := checkOne(f, data, updates, field)
		if s.Err == nil && fields[field["V"]] > 1 {
			s.Err = ErrShared
		}
		all = append(all, s)
	}
	slices.SortStableFunc(all, func(a, b Signed) int { return a.Update - b.Update })
	for n := 1; n < len(updates); n++ {
		found, err := changed(f, n, updates[n])
		if err != nil {
			return nil, nil, err
		}
		changes = append(changes, found...)
	}
	return all, changes, nil
}

// checkOne looks at the signature of a field.
func checkOne(f *objects.File, data []byte, updates []objects.Update, field objects.Dict) Signed {
	s := Signed{Field: f.String(field["T"]).Text(), Update: -1}
	ref, is := field["V"].(objects.Ref)
	d := f.Dict(field["V"])
	if !is || d == nil {
		s.Err = ErrForm
		return s
	}
	s.Shows = shown(f, field)
	s.Name, s.Reason, s.At = f.String(d["Name"]).Text(), f.String(d["Reason"]).Text(), moment(f.String(d["M"]).Text())
	if f.Name(d["SubFilter"]) != "ETSI.CAdES.detached" {
		s.Err = fmt.Errorf("%w: its SubFilter is %q", ErrForm, f.Name(d["SubFilter"]))
		return s
	}
	hole, end, err := signedRange(f, d, data)
	if err != nil {
		s.Err = err
		return s
	}
	s.Update = slices.IndexFunc(updates, func(u objects.Update) bool { return u.End == end })
	start, objectEnd := f.Offset(ref)
	contents := f.String(d["Contents"])
	switch {
	case s.Update < 0 || !slices.Contains(updates[s.Update].Changed, ref):
		s.Err = ErrRange
		return s
	case hole.Start < start || hole.End > objectEnd || !isHexOf(data[hole.Start:hole.End], contents):
		s.Err = ErrContent
		return s
	}
	s.Whole = end == len(data)
	der, err := cms.Trim(contents)
	if err != nil {
		s.Err = err
		return s
	}
	if s.Signature, s.Err = cms.Parse(der); s.Err != nil {
		return s
	}
	h := s.Signature.Hash()
	if !h.Available() {
		s.Err = cms.ErrAlgorithm
		return s
	}
	sum := h.New()
	sum.Write(data[:hole.Start])
	sum.Write(data[hole.End:end])
	s.Err = s.Signature.CheckHash(h, sum.Sum(nil))
	return s
}

// mostShown bounds what a look unfolds to, in bytes.
const mostShown = 1 << 20

// shown is the text of a field's look, whose codes are of two bytes as in all
// that this program writes.
func shown(f *objects.File, field objects.Dict) string {
	data, err := f.Data(f.Dict(field["AP"])["N"], mostShown)
	if err != nil {
		return ""
	}
	var units []uint16
	err = objects.Content(data, func(op string, of []objects.Value) error {
		if op != "Tj" || len(of) != 1 {
			return nil
		}
		s, _ := of[0].(objects.String)
		for ; len(s) > 1; s = s[2:] {
			units = append(units, uint16(s[0])<<8|uint16(s[1]))
		}
		units = append(units, ' ')
		return nil
	})
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(utf16.Decode(units)))
}

// signedRange is the hole in what a signature signs, and where what it signs
// ends. It signs everything from the first byte but the hole.
func signedRange(f *objects.File, d objects.Dict, data []byte) (hole objects.Span, end int, err error) {
	var n [4]int
	list := f.Array(d["ByteRange"])
	for i := range n {
		if len(list) != 4 {
			return hole, 0, ErrRange
		}
		v, ok := f.Int(list[i])
		if !ok || v < 0 || v > len(data) {
			return hole, 0, ErrRange
		}
		n[i] = v
	}
	hole, end = objects.Span{Start: n[1], End: n[2]}, n[2]+n[3]
	if n[0] != 0 || n[2] <= n[1] || end > len(data) {
		return hole, 0, ErrRange
	}
	return hole, end, nil
}

// isHexOf reports whether text is the hexadecimal string of value and nothing
// else. Its letters are all small or all capital: otherwise a byte of it could be
// another and nobody would know.
func isHexOf(text []byte, value objects.String) bool {
	if len(text) != 2*len(value)+2 || text[0] != '<' || text[len(text)-1] != '>' {
		return false
	}
	small := hex.AppendEncode(nil, value)
	text = text[1 : len(text)-1]
	return bytes.Equal(text, small) || bytes.Equal(text, bytes.ToUpper(small))
}

// moment reads a date as signatures have it (ISO 32000-1, 7.9.4); the zero time
// where it is none with a zone.
func moment(s string) time.Time {
	for _, form := range []string{"D:20060102150405-07'00'", "D:20060102150405-07'00", "D:20060102150405Z"} {
		if t, err := time.Parse(form, s); err == nil {
			return t
		}
	}
	return time.Time{}
}
