package seal

import (
	"fmt"
	"maps"
	"reflect"
	"slices"

	"saltline/internal/objects"
)

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
	var found []objects.Ref
	for _, r := range u.Changed {
		if start, _ := after.Offset(r); start == u.Xref {
			continue // its own cross-references
		}
		if !c.allowed[r] {
			found = append(found, r)
		}
	}
	out := c.named(n, found)
	if len(found) == 0 && c.added == 0 {
		out = append(out, Change{n, "an update that signs nothing"})
	}
	if c.added > 1 {
		out = append(out, Change{n, fmt.Sprintf("%d fields signed at once", c.added)})
	}
	if !reflect.DeepEqual(before.Trailer()["Root"], after.Trailer()["Root"]) {
		out = append(out, Change{n, "what the document consists of, by another catalog"})
	}
	if !reflect.DeepEqual(before.Trailer()["Info"], after.Trailer()["Info"]) {
		out = append(out, Change{n, "what the document says of itself"})
	}
	return out, nil
}

// mostNamed bounds how many objects of one update are named one by one.
const mostNamed = 20

// named are changes of objects, each name once.
func (c *comparison) named(n int, found []objects.Ref) (out []Change) {
	if len(found) == 0 {
		return nil
	}
	now, was := namesIn(c.after), namesIn(c.before)
	seen := map[string]bool{}
	for i, r := range found {
		what, gone := now[r], c.after.Get(r) == nil
		if what == "" {
			what = was[r]
		}
		if what == "" {
			what = otherName(c.after, c.before, r)
		}
		if gone {
			what += ", which was removed"
		}
		if seen[what] {
			continue
		}
		if len(seen) == mostNamed {
			return append(out, Change{n, fmt.Sprintf("%d more objects", len(found)-i)})
		}
		seen[what] = true
		out = append(out, Change{n, what})
	}
	return out
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

// mostNew bounds how many objects come with a signature: its look has a few
// dozen.
const mostNew = 10_000

// new allows what v leads to, as far as it was not there before.
func (c *comparison) new(v objects.Value) {
	for todo := []objects.Value{v}; len(todo) > 0; {
		v, todo = todo[len(todo)-1], todo[:len(todo)-1]
		if s, is := v.(*objects.Stream); is {
			v = s.Dict
		}
		switch v := v.(type) {
		case objects.Ref:
			if !c.allowed[v] && len(c.allowed) < mostNew && c.before.Get(v) == nil && v.Number >= c.before.Size() {
				c.allowed[v] = true
				todo = append(todo, c.after.Get(v))
			}
		case objects.Dict:
			todo = slices.AppendSeq(todo, maps.Values(v))
		case objects.Array:
			todo = append(todo, v...)
		}
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

// namesIn says what the objects of f are to a reader of the document, of those
// that pages and fields lead to.
func namesIn(f *objects.File) map[objects.Ref]string {
	all := map[objects.Ref]string{}
	put := func(v objects.Value, what string) {
		if r, is := v.(objects.Ref); is && all[r] == "" {
			all[r] = what
		}
	}
	put(f.Trailer()["Root"], "what the document consists of")
	put(f.Trailer()["Info"], "what the document says of itself")
	eachField(f, func(r objects.Ref, d objects.Dict) {
		name := f.String(d["T"]).Text()
		put(r, fmt.Sprintf("the field %q", name))
		put(d["V"], fmt.Sprintf("the signature in the field %q", name))
		put(f.Dict(d["AP"])["N"], fmt.Sprintf("what the field %q shows", name))
	})
	pages, _ := f.Pages()
	for i, r := range pages {
		put(r, fmt.Sprintf("page %d", i+1))
		page := f.Dict(r)
		shows := fmt.Sprintf("what page %d shows", i+1)
		put(page["Contents"], shows)
		for _, part := range f.Array(page["Contents"]) {
			put(part, shows)
		}
		for _, a := range f.Array(page["Annots"]) {
			put(a, fmt.Sprintf("a link or note on page %d", i+1))
		}
	}
	return all
}

// otherName says what an object is by what it says of itself.
func otherName(after, before *objects.File, r objects.Ref) string {
	f := after
	if f.Get(r) == nil {
		f = before
	}
	d := f.Dict(r)
	switch kind := f.Name(d["Type"]); {
	case kind == "EmbeddedFile" || kind == "Filespec":
		return attachedFile(f, r)
	case kind == "Metadata":
		return "what the document says of itself"
	case kind == "Sig":
		return "a signature that stands in no field"
	case kind == "Pages":
		return "the list of pages"
	case kind == "Catalog":
		return "a second description of what the document consists of"
	case kind == "Font" || kind == "FontDescriptor":
		return "a font"
	case kind == "Annot" || f.Name(d["Subtype"]) == "Widget":
		return "a note or field that no page leads to"
	case f.Name(d["Subtype"]) == "Image":
		return "a picture"
	case d["S"] != nil && d["P"] != nil:
		return "what is said of the pages"
	}
	return fmt.Sprintf("object %d", r.Number)
}

// attachedFile names the attached file that an object is, or the content of.
func attachedFile(f *objects.File, r objects.Ref) string {
	for i, v := range f.Array(f.Catalog()["AF"]) {
		if i == mostAttached {
			break
		}
		spec := f.Dict(v)
		if v == objects.Value(r) || f.Dict(spec["EF"])["UF"] == objects.Value(r) {
			return fmt.Sprintf("the attached file %q", f.String(spec["UF"]).Text())
		}
	}
	return "an attached file"
}

// mostAttached bounds how many attachments are looked at for the name of one.
const mostAttached = 1000
