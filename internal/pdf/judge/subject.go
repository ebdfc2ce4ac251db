package judge

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"saltline/internal/objects"
)

// maxStream is how long an unpacked stream may be that is looked at.
const maxStream = 256 << 20

// A subject is a file that is judged, taken apart once for all rules.
type subject struct {
	*objects.File
	data    []byte
	catalog objects.Dict
	info    objects.Dict
	pages   []*page
	all     []object                        // every object of the file and every dictionary within
	drawn   drawn                           // on all pages
	shown   map[objects.Ref]map[uint16]bool // codes by font
	xmp     packet
	root    objects.Dict          // of the structure tree, nil for none
	tree    *element              // nil for none
	parents map[int]objects.Value // of the parent tree
	odd     []string              // what of the tree does not hang together
}

// A page with what stands on it.
type page struct {
	n           int // from 1
	ref         objects.Ref
	dict        objects.Dict
	annotations []objects.Value
	sequences   []sequence
}

func (p *page) String() string { return fmt.Sprintf("page %d", p.n) }

// An object is a dictionary, and the object of the file that it is or is in.
type object struct {
	in     objects.Ref
	dict   objects.Dict
	stream *objects.Stream // whose dictionary it is; nil for none
}

func (o object) String() string { return fmt.Sprintf("object %d", o.in.Number) }

func newSubject(data []byte, f *objects.File) (*subject, error) {
	s := &subject{File: f, data: data, catalog: f.Catalog(), shown: map[objects.Ref]map[uint16]bool{}}
	s.info = f.Dict(f.Trailer()["Info"])
	for _, r := range f.Refs() {
		s.gather(r, f.Get(r))
	}
	err := f.EachPage(func(r objects.Ref, d objects.Dict) error {
		p := &page{n: len(s.pages) + 1, ref: r, dict: d, annotations: f.Array(d["Annots"])}
		s.pages = append(s.pages, p)
		return s.walkPage(p)
	})
	if err != nil {
		return nil, err
	}
	if len(s.pages) == 0 {
		return nil, errors.New("the file has no pages")
	}
	if m := f.Stream(s.catalog["Metadata"]); m != nil {
		s.xmp = parseXMP(m.Raw)
	}
	s.walkTree()
	return s, nil
}

// gather lists the dictionaries in v.
func (s *subject) gather(in objects.Ref, v objects.Value) {
	switch v := v.(type) {
	case objects.Dict:
		s.all = append(s.all, object{in: in, dict: v})
		s.gatherIn(in, v)
	case *objects.Stream:
		s.all = append(s.all, object{in, v.Dict, v})
		s.gatherIn(in, v.Dict)
	case objects.Array:
		for _, it := range v {
			s.gather(in, it)
		}
	}
}

func (s *subject) gatherIn(in objects.Ref, d objects.Dict) {
	for _, key := range slices.Sorted(maps.Keys(d)) {
		s.gather(in, d[key])
	}
}

// typed are the dictionaries of a type.
func (s *subject) typed(name objects.Name) []object {
	var out []object
	for _, o := range s.all {
		if s.Name(o.dict["Type"]) == name {
			out = append(out, o)
		}
	}
	return out
}

// each calls f for every value within v, itself first, without following
// references.
func each(v objects.Value, f func(objects.Value)) {
	f(v)
	switch v := v.(type) {
	case objects.Dict:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			f(key)
			each(v[key], f)
		}
	case *objects.Stream:
		each(v.Dict, f)
	case objects.Array:
		for _, it := range v {
			each(it, f)
		}
	}
}
