package objects

import "fmt"

const maxPages = 100_000

// inherited are the attributes that a page takes from the nodes above it
// (7.7.3.4).
var inherited = []Name{"Resources", "MediaBox", "CropBox", "Rotate"}

// Pages are the pages in their order (7.7.3).
func (f *File) Pages() ([]Ref, error) {
	var out []Ref
	err := f.EachPage(func(r Ref, _ Dict) error {
		out = append(out, r)
		return nil
	})
	return out, err
}

// EachPage calls each for every page in order, with what it inherits set into
// its dictionary: these values are shared by pages, and not to be changed. A tree in which a page would be found twice, whose nodes
// name another parent, or count other pages than they have, is refused; so
// are more than 100,000 pages.
func (f *File) EachPage(each func(r Ref, page Dict) error) error {
	root, ok := f.Catalog()["Pages"].(Ref)
	if !ok {
		return fmt.Errorf("the catalog leads to no pages")
	}
	t := tree{f, map[Ref]bool{}, each, 0}
	return t.node(root, nil, Dict{}, 0)
}

// A tree of pages, walked once.
type tree struct {
	*File
	seen  map[Ref]bool
	each  func(Ref, Dict) error
	pages int
}

func (t *tree) fail(r Ref, format string, args ...any) error {
	at, _ := t.Offset(r)
	return within(r.Number, damage(at, format, args...))
}

func (t *tree) node(r Ref, parent *Ref, from Dict, depth int) error {
	if t.seen[r] {
		return t.fail(r, "the node of the tree of pages is there twice")
	}
	if t.seen[r] = true; depth > maxDepth || len(t.seen) > 2*maxPages {
		return t.fail(r, "the tree of pages is too deep or too large")
	}
	d, ok := t.Get(r).(Dict)
	if !ok {
		return t.fail(r, "a node of the tree of pages is no dictionary")
	}
	if up, ok := d["Parent"].(Ref); parent != nil && (!ok || up != *parent) {
		return t.fail(r, "the page hangs below object %d, and names another as its parent", parent.Number)
	}
	for _, key := range inherited {
		if d[key] == nil && from[key] != nil {
			d[key] = from[key]
		}
	}
	// What decides is written in the node itself: a reference might lead to
	// an object that is long to read, from every node again.
	switch d["Type"] {
	case Name("Page"):
		if t.pages++; t.pages > maxPages {
			return t.fail(r, "there are more than %d pages", maxPages)
		}
		return t.each(r, d)
	case Name("Pages"):
		return t.kids(r, d, depth)
	}
	return t.fail(r, "a node of the tree of pages is neither page nor pages")
}

func (t *tree) kids(r Ref, d Dict, depth int) error {
	kids, ok := t.Resolve(d["Kids"]).(Array)
	if !ok {
		return t.fail(r, "the node of the tree of pages has no list of kids")
	}
	before := t.pages
	for _, kid := range kids {
		k, ok := kid.(Ref)
		if !ok {
			return t.fail(r, "a kid in the tree of pages is no reference")
		}
		if err := t.node(k, &r, d, depth+1); err != nil {
			return err
		}
	}
	if n, ok := d["Count"].(int64); !ok || int(n) != t.pages-before {
		return t.fail(r, "the node counts %d pages, and has %d", n, t.pages-before)
	}
	return nil
}
