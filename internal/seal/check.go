package seal

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"time"

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
)

// Check looks at every signature of a file, in the order of their updates, and
// at what the updates of the file changed besides adding them.
func Check(f *objects.File, data []byte) (all []Signed, changes []Change, err error) {
	updates := f.Updates()
	eachField(f, func(r objects.Ref, field objects.Dict) {
		if field["V"] != nil {
			all = append(all, checkOne(f, data, updates, field))
		}
	})
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
// else.
func isHexOf(text []byte, value objects.String) bool {
	if len(text) != 2*len(value)+2 || text[0] != '<' || text[len(text)-1] != '>' {
		return false
	}
	return bytes.Equal(bytes.ToLower(text[1:len(text)-1]), hex.AppendEncode(nil, value))
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

// changed lists what an update did besides adding one signature.
func changed(f *objects.File, n int, u objects.Update) ([]Change, error) {
	before, err := f.At(n - 1)
	if err != nil {
		return nil, err
	}
	after, err := f.At(n)
	if err != nil {
		return nil, err
	}
	c := &comparison{before: before, after: after, allowed: map[objects.Ref]bool{}}
	c.signature()
	var out []Change
	for _, r := range u.Changed {
		if start, _ := after.Offset(r); start == u.Xref {
			continue // its own cross-references
		}
		if !c.allowed[r] {
			out = append(out, Change{n, c.name(r)})
		}
	}
	if len(u.Changed) == 0 || c.added != 1 && len(out) == 0 {
		out = append(out, Change{n, "an update that signs nothing"})
	}
	if !reflect.DeepEqual(before.Trailer()["Root"], after.Trailer()["Root"]) || !reflect.DeepEqual(before.Trailer()["Info"], after.Trailer()["Info"]) {
		out = append(out, Change{n, "which object describes the document"})
	}
	return out, nil
}

// A comparison holds a file against itself before an update.
type comparison struct {
	before, after *objects.File
	allowed       map[objects.Ref]bool // what a signature changes
	added         int                  // signatures
}

// signature finds what of the update is a signature: a field that was empty and
// now has a value and a look, the flags of the form, and new objects that only
// these lead to.
func (c *comparison) signature() {
	eachField(c.after, func(r objects.Ref, now objects.Dict) {
		was := c.before.Dict(r)
		if was == nil || was["V"] != nil || now["V"] == nil || !same(was, now, "V", "AP") {
			return
		}
		c.added++
		c.allowed[r] = true
		c.new(now["V"])
		c.new(now["AP"])
	})
	root, _ := c.after.Trailer()["Root"].(objects.Ref)
	was, now := c.before.Catalog(), c.after.Catalog()
	form, wasForm := c.after.Dict(now["AcroForm"]), c.before.Dict(was["AcroForm"])
	if c.added > 0 && same(was, now, "AcroForm") && same(wasForm, form, "SigFlags") && reflect.DeepEqual(form["SigFlags"], objects.Value(int64(3))) {
		c.allowed[root] = true
	}
}

// new allows what v leads to, as far as it was not there before.
func (c *comparison) new(v objects.Value) {
	switch v := v.(type) {
	case objects.Ref:
		if !c.allowed[v] && c.before.Get(v) == nil && v.Number >= c.before.Size() {
			c.allowed[v] = true
			c.new(c.after.Get(v))
		}
	case objects.Dict:
		for _, inner := range v {
			c.new(inner)
		}
	case objects.Array:
		for _, inner := range v {
			c.new(inner)
		}
	case *objects.Stream:
		c.new(v.Dict)
	}
}

// same reports whether two dictionaries are the same but for some keys.
func same(a, b objects.Dict, but ...objects.Name) bool {
	for k := range a {
		if !slices.Contains(but, k) && !reflect.DeepEqual(a[k], b[k]) {
			return false
		}
	}
	for k := range b {
		if _, has := a[k]; !has && !slices.Contains(but, k) {
			return false
		}
	}
	return true
}

// name says what an object is to a reader of the document.
func (c *comparison) name(r objects.Ref) string {
	for _, f := range []*objects.File{c.before, c.after} {
		if s := nameIn(f, r); s != "" {
			if c.after.Get(r) == nil {
				return s + ", which it removed"
			}
			return s
		}
	}
	return fmt.Sprintf("object %d, which nothing leads to", r.Number)
}

// nameIn says what an object of f is; "" where it is not there.
func nameIn(f *objects.File, r objects.Ref) string {
	v := f.Get(r)
	if v == nil {
		return ""
	}
	if root, _ := f.Trailer()["Root"].(objects.Ref); r == root {
		return "what the document consists of"
	}
	if info, _ := f.Trailer()["Info"].(objects.Ref); r == info {
		return "what the document says of itself"
	}
	pages, _ := f.Pages()
	for i, p := range pages {
		page := f.Dict(p)
		switch {
		case p == r:
			return fmt.Sprintf("page %d", i+1)
		case page["Contents"] == objects.Value(r):
			return fmt.Sprintf("what page %d shows", i+1)
		}
		for _, a := range f.Array(page["Annots"]) {
			if a == objects.Value(r) {
				return fmt.Sprintf("a link or field on page %d", i+1)
			}
		}
	}
	d, _ := v.(objects.Dict)
	if s, is := v.(*objects.Stream); is {
		d = s.Dict
	}
	switch kind := f.Name(d["Type"]); {
	case kind == "EmbeddedFile" || kind == "Filespec":
		return "an attached file"
	case kind == "Metadata":
		return "what the document says of itself"
	case kind == "Sig":
		return "a signature"
	case kind == "Pages":
		return "the list of pages"
	case kind == "Font" || kind == "FontDescriptor":
		return "a font"
	case f.Name(d["Subtype"]) == "Image":
		return "a picture"
	case d["S"] != nil && d["P"] != nil:
		return "what is said of the pages"
	}
	return fmt.Sprintf("object %d", r.Number)
}
