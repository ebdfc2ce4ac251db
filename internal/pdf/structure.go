package pdf

import (
	"strconv"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// structure writes the tree of what the document says (ISO 32000-1, 14.7) and
// the way back to it from every piece of the pages.
func (f *finisher) structure(says *frame.Element, d *drawer) {
	t := &tree{finisher: f, tagger: d.tagger, refs: make(map[*frame.Element]objects.Ref, len(d.tagger.parts))}
	root := f.Reserve()
	t.reserve(says)
	t.write(says, root)

	// The way back: of each page by its sequences, then of each annotation.
	var nums objects.Array
	for p, page := range d.tagger.pages {
		r := f.Reserve()
		f.PutSmall(r, t.all(page.owners))
		nums = append(nums, int64(p), r)
	}
	for i, r := range t.all(f.owners) {
		nums = append(nums, int64(len(f.pages)+i), r)
	}
	f.PutSmall(root, objects.Dict{
		"Type": objects.Name("StructTreeRoot"), "K": t.refs[says],
		"ParentTree": objects.Dict{"Nums": nums}, "ParentTreeNextKey": int64(len(f.pages) + len(f.owners)),
	})
	f.catalog["StructTreeRoot"] = root
	f.catalog["MarkInfo"] = objects.Dict{"Marked": true}
}

// A tree is the elements of a document as objects. They are spelled by hand:
// a long log has hundreds of thousands of them.
type tree struct {
	*finisher
	tagger *tagger
	refs   map[*frame.Element]objects.Ref
	buf    []byte
}

// all are the objects of elements.
func (t *tree) all(els []*frame.Element) objects.Array {
	out := make(objects.Array, len(els))
	for i, el := range els {
		out[i] = t.refs[el]
	}
	return out
}

// content is what of an element is on the pages.
func (t *tree) content(el *frame.Element) []kid {
	if p := t.tagger.parts[el]; p != nil {
		return p.kids
	}
	return nil
}

// reserve gives el and its parts their numbers.
func (t *tree) reserve(el *frame.Element) {
	t.refs[el] = t.Reserve()
	for _, k := range t.content(el) {
		if k.within != nil {
			t.reserve(k.within)
		}
	}
	for _, kid := range el.Kids {
		t.reserve(kid)
	}
}

// write writes el and its parts.
func (t *tree) write(el *frame.Element, parent objects.Ref) {
	r := t.refs[el]
	content := t.content(el)
	page := -1 // the page that pieces are on where they do not say
	b := append(t.buf[:0], "<</K["...)
	for _, k := range content {
		if k.within == nil && page < 0 {
			page = k.page
		}
		b = append(t.kid(b, k, page), ' ')
	}
	for _, kid := range el.Kids {
		b = append(t.ref(b, t.refs[kid]), ' ')
	}
	b = append(b, "]/P "...)
	b = t.ref(b, parent)
	if page >= 0 {
		b = append(b, "/Pg "...)
		b = t.ref(b, t.pages[page])
	}
	b = append(append(b, "/S/"...), structureType(el)...)
	b = t.attributes(b, el)
	b = append(b, ">>"...)
	t.PutSmall(r, objects.Raw(b))
	t.buf = b
	for _, k := range content {
		if k.within != nil {
			t.write(k.within, r)
		}
	}
	for _, kid := range el.Kids {
		t.write(kid, r)
	}
}

// kid spells a piece of an element whose pieces are on a page unless they say
// otherwise.
func (t *tree) kid(b []byte, k kid, page int) []byte {
	switch {
	case k.within != nil:
		return t.ref(b, t.refs[k.within])
	case k.annotation:
		b = append(b, "<</Type/OBJR/Obj "...)
		b = t.ref(b, t.annotations[k.page][k.n])
	case k.page == page:
		return strconv.AppendInt(b, int64(k.n), 10)
	default:
		b = append(b, "<</Type/MCR/MCID "...)
		b = strconv.AppendInt(b, int64(k.n), 10)
	}
	b = append(b, "/Pg "...)
	return append(t.ref(b, t.pages[k.page]), ">>"...)
}

func (t *tree) attributes(b []byte, el *frame.Element) []byte {
	switch {
	case el.Role == frame.HeadCell:
		b = append(b, "/A<</O/Table/Scope/Column>>"...)
	case el.Span > 1:
		b = append(strconv.AppendInt(append(b, "/A<</O/Table/ColSpan "...), int64(el.Span), 10), ">>"...)
	case el.Role == frame.List && el.Ordered:
		b = append(b, "/A<</O/List/ListNumbering/Decimal>>"...)
	case el.Role == frame.List:
		b = append(b, "/A<</O/List/ListNumbering/Disc>>"...)
	case el.Role == frame.Figure:
		b = append(b, "/A<</O/Layout/Placement/Block/BBox["...)
		for _, v := range t.tagger.part(el).box {
			b = append(strconv.AppendFloat(b, v, 'f', 2, 64), ' ')
		}
		b = append(b, "]>>"...)
	}
	if el.Alt != "" {
		b, _ = objects.Spell(append(b, "/Alt"...), objects.Text(el.Alt)) // a text can always be spelled
	}
	return b
}

func (*tree) ref(b []byte, r objects.Ref) []byte {
	return append(strconv.AppendInt(b, int64(r.Number), 10), " 0 R"...)
}
