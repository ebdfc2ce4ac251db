package judge

import (
	"fmt"
	"slices"

	"saltline/internal/objects"
)

// An element of the structure tree.
type element struct {
	ref    objects.Ref
	kind   objects.Name // standard type
	dict   objects.Dict
	parent *element
	kids   []kid
}

func (e *element) String() string { return fmt.Sprintf("%s in object %d", e.kind, e.ref.Number) }

// A kid is one of an element, a sequence of a page, and an annotation.
type kid struct {
	element *element
	page    objects.Ref
	id      int         // of the sequence; -1 for none
	object  objects.Ref // annotation
}

const maxTree = 400 // elements within elements

// walkTree takes the structure tree apart.
func (s *subject) walkTree() {
	root := s.Dict(s.catalog["StructTreeRoot"])
	if root == nil {
		return
	}
	s.root = root
	seen := map[objects.Ref]bool{}
	// One element is at the top, or a root of several is made.
	top := &element{kind: "StructTreeRoot", dict: root}
	top.ref, _ = s.catalog["StructTreeRoot"].(objects.Ref)
	s.kids(top, objects.Ref{}, seen, 0)
	s.tree = top
	s.parents = map[int]objects.Value{}
	s.numbers(root["ParentTree"], 0)
}

// kids reads the kids of e, which are on a page unless they say otherwise.
func (s *subject) kids(e *element, page objects.Ref, seen map[objects.Ref]bool, deep int) {
	if deep > maxTree {
		s.odd = append(s.odd, fmt.Sprintf("%s is too deep", e))
		return
	}
	if r, is := e.dict["Pg"].(objects.Ref); is {
		page = r
	}
	all := s.Array(e.dict["K"])
	if all == nil && e.dict["K"] != nil {
		all = objects.Array{e.dict["K"]}
	}
	for _, v := range all {
		if n, is := s.Int(v); is {
			e.kids = append(e.kids, kid{page: page, id: n})
			continue
		}
		d := s.Dict(v)
		on := page
		if r, is := d["Pg"].(objects.Ref); is {
			on = r
		}
		switch s.Name(d["Type"]) {
		case "MCR":
			n, is := s.Int(d["MCID"])
			if !is {
				n = -2
			}
			e.kids = append(e.kids, kid{page: on, id: n})
		case "OBJR":
			r, _ := d["Obj"].(objects.Ref)
			e.kids = append(e.kids, kid{page: on, id: -1, object: r})
		default:
			r, is := v.(objects.Ref)
			if d == nil || !is || seen[r] {
				s.odd = append(s.odd, fmt.Sprintf("%s has %v, which is no element, or another's", e, v))
				continue
			}
			seen[r] = true
			child := &element{ref: r, kind: s.standard(s.Name(d["S"])), dict: d, parent: e}
			if d["P"] != objects.Value(e.ref) {
				s.odd = append(s.odd, fmt.Sprintf("%s hangs below %s, and says that it is of %v", child, e, d["P"]))
			}
			// A page is not inherited by elements (ISO 32000-1, table 323).
			s.kids(child, objects.Ref{}, seen, deep+1)
			e.kids = append(e.kids, kid{element: child, id: -1})
		}
	}
}

// standard follows the role map to a standard type, if it leads to one.
func (s *subject) standard(kind objects.Name) objects.Name {
	roles := s.Dict(s.root["RoleMap"])
	for range 20 {
		if to := s.Name(roles[kind]); to != "" && !slices.Contains(standardTypes, kind) {
			kind = to
		}
	}
	return kind
}

// numbers reads a number tree (ISO 32000-1, 7.9.7).
func (s *subject) numbers(v objects.Value, deep int) {
	d := s.Dict(v)
	nums := s.Array(d["Nums"])
	for i := 0; i+1 < len(nums); i += 2 {
		if n, is := s.Int(nums[i]); is {
			s.parents[n] = nums[i+1]
		}
	}
	if deep < 20 {
		for _, kid := range s.Array(d["Kids"]) {
			s.numbers(kid, deep+1)
		}
	}
}

// eachElement calls f for every element in the order of reading.
func (s *subject) eachElement(f func(*element)) {
	var walk func(e *element)
	walk = func(e *element) {
		for _, k := range e.kids {
			if k.element != nil {
				f(k.element)
				walk(k.element)
			}
		}
	}
	if s.tree != nil {
		walk(s.tree)
	}
}

// elements are the kids of e that are elements.
func (e *element) elements() []*element {
	var out []*element
	for _, k := range e.kids {
		if k.element != nil {
			out = append(out, k.element)
		}
	}
	return out
}

// attribute is one of an element, of an owner.
func (s *subject) attribute(e *element, owner, key objects.Name) objects.Value {
	all := s.Array(e.dict["A"])
	if all == nil {
		all = objects.Array{e.dict["A"]}
	}
	for _, v := range all {
		if d := s.Dict(v); s.Name(d["O"]) == owner && d[key] != nil {
			return d[key]
		}
	}
	return nil
}

// sequenceOf is the sequence of a page with an identifier, or nil.
func (s *subject) sequenceOf(page objects.Ref, id int) *sequence {
	for _, p := range s.pages {
		if p.ref != page {
			continue
		}
		for i := range p.sequences {
			if p.sequences[i].id == id {
				return &p.sequences[i]
			}
		}
	}
	return nil
}
