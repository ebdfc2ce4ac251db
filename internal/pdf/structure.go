package pdf

import (
	"strconv"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// structure writes the tree of what the document says (ISO 32000-1, 14.7) and
// the way back to it from every piece of the pages.
func (f *finisher) structure(says *frame.Element, d *drawer) {
	t := &tree{finisher: f, drawer: d}
	root := f.Reserve()
	f.Room(d.tagger.count() + len(f.pages))
	top := d.tagger.part(says)
	t.reserve(top)
	t.write(top, int32(root.Number))

	// The way back: of each page by its sequences, then of each annotation.
	var nums objects.Array
	for p, page := range d.tagger.pages {
		r := f.Reserve()
		b := append(t.buf[:0], '[')
		for _, owner := range page.owners {
			b = append(t.ref(b, owner.number), ' ')
		}
		t.buf = append(b, ']')
		f.PutSmall(r, objects.Raw(t.buf))
		nums = append(nums, int64(p), r)
	}
	for i, el := range f.owners {
		nums = append(nums, int64(len(f.pages)+i), objects.Ref{Number: int(d.tagger.part(el).number)})
	}
	f.PutSmall(root, objects.Dict{
		"Type": objects.Name("StructTreeRoot"), "K": objects.Ref{Number: int(top.number)},
		"ParentTree": objects.Dict{"Nums": nums}, "ParentTreeNextKey": int64(len(f.pages) + len(f.owners)),
	})
	f.catalog["StructTreeRoot"] = root
	f.catalog["MarkInfo"] = objects.Dict{"Marked": true}
}

// A tree is the elements of a document as objects. They are spelled by hand:
// a long log has hundreds of thousands of them.
type tree struct {
	*finisher
	drawer *drawer
	below  []*part // parts of the elements that are being written, those of the innermost last
	buf    []byte
}

// reserve gives p and its parts their numbers.
func (t *tree) reserve(p *part) {
	p.number = int32(t.Reserve().Number)
	for _, k := range p.kids {
		if k.within != nil {
			t.reserve(k.within)
		}
	}
	for _, kid := range p.of.Kids {
		t.reserve(t.drawer.tagger.part(kid))
	}
}

// write writes p and its parts.
func (t *tree) write(p *part, parent int32) {
	from := len(t.below)
	page := int32(-1) // that pieces are on where they do not say
	b := append(t.buf[:0], "<</K["...)
	for _, k := range p.kids {
		if k.within != nil {
			t.below = append(t.below, k.within)
		} else if page < 0 {
			page = k.page
		}
		b = append(t.kid(b, k, page), ' ')
	}
	for _, kid := range p.of.Kids {
		part := t.drawer.tagger.part(kid)
		t.below = append(t.below, part)
		b = append(t.ref(b, part.number), ' ')
	}
	b = append(b, "]/P "...)
	b = t.ref(b, parent)
	if page >= 0 {
		b = append(b, "/Pg "...)
		b = t.ref(b, int32(t.pages[page].Number))
	}
	b = append(append(b, "/S/"...), structureType(p.of)...)
	b = t.attributes(b, p.of)
	b = append(b, ">>"...)
	t.PutSmall(objects.Ref{Number: int(p.number)}, objects.Raw(b))
	t.buf = b
	for i := from; i < len(t.below); i++ {
		t.write(t.below[i], p.number)
	}
	t.below = t.below[:from]
}

// kid spells a piece of an element whose pieces are on a page unless they say
// otherwise.
func (t *tree) kid(b []byte, k kid, page int32) []byte {
	switch {
	case k.within != nil:
		return t.ref(b, k.within.number)
	case k.n < 0:
		b = append(b, "<</Type/OBJR/Obj "...)
		b = t.ref(b, int32(t.annotations[k.page][^k.n].Number))
	case k.page == page:
		return strconv.AppendInt(b, int64(k.n), 10)
	default:
		b = append(b, "<</Type/MCR/MCID "...)
		b = strconv.AppendInt(b, int64(k.n), 10)
	}
	b = append(b, "/Pg "...)
	return append(t.ref(b, int32(t.pages[k.page].Number)), ">>"...)
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
		for _, v := range t.drawer.boxes[el] {
			b = append(strconv.AppendFloat(b, v, 'f', 2, 64), ' ')
		}
		b = append(b, "]>>"...)
	}
	if el.Alt != "" {
		b, _ = objects.Spell(append(b, "/Alt"...), objects.Text(el.Alt)) // a text can always be spelled
	}
	return b
}

func (*tree) ref(b []byte, number int32) []byte {
	return append(strconv.AppendInt(b, int64(number), 10), " 0 R"...)
}
