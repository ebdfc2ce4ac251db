package pdf

import (
	"strconv"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// structure writes the tree of what the document says (ISO 32000-1, 14.7) and
// the way back to it from every piece of the pages.
func (f *finisher) structure(says *frame.Element, d *drawer) {
	t := &tree{finisher: f, tagger: d.tagger}
	t.outline.add(d.tagger, says, -1)
	root := f.Reserve()
	t.first = root.Number + 1
	f.Room(t.count + len(f.pages))
	for range t.count {
		f.Reserve()
	}
	for _, b := range t.branches {
		t.write(b)
	}

	// The way back: of each page by its sequences, then of each annotation.
	var nums objects.Array
	for p, page := range d.tagger.pages {
		r := f.Reserve()
		b := append(t.buf[:0], '[')
		for _, at := range page.owners {
			b = append(t.ref(b, d.tagger.node(owner{page.of, at})), ' ')
		}
		t.buf = append(b, ']')
		f.PutSmall(r, objects.Raw(t.buf))
		nums = append(nums, int64(p), r)
	}
	for i, o := range f.owners {
		nums = append(nums, int64(len(f.pages)+i), objects.Ref{Number: t.first + d.tagger.node(o)})
	}
	f.PutSmall(root, objects.Dict{
		"Type": objects.Name("StructTreeRoot"), "K": objects.Ref{Number: t.first},
		"ParentTree": objects.Dict{"Nums": nums}, "ParentTreeNextKey": int64(len(f.pages) + len(f.owners)),
	})
	f.catalog["StructTreeRoot"] = root
	f.catalog["MarkInfo"] = objects.Dict{"Marked": true}
}

// A tree is the elements of a document as objects. They are spelled by hand:
// a long log has hundreds of thousands of them.
type tree struct {
	*finisher
	outline
	tagger *tagger
	first  int // number of the object that the first node is
	buf    []byte
}

// write writes the elements of a branch. What the first of all is a part of is the
// object in front of it.
func (t *tree) write(of *branch) {
	from := int32(0)
	size := func(at int) int { // most are in the branch itself: to seek each costs some hundredths of finishing
		if i := at - of.at; i < len(of.nodes) {
			return int(of.nodes[i].size)
		}
		return t.size(at)
	}
	for i, n := range of.nodes {
		at := of.at + i
		next := at + 1    // the first that has not had its turn of what it is made of
		page := int32(-1) // that pieces are on where they do not say
		b := append(t.buf[:0], "<</K["...)
		for _, k := range of.kids[from:n.kids] {
			if k.n == within {
				b = t.ref(b, next)
				next += size(next)
			} else {
				k.page += int32(of.page)
				if page < 0 {
					page = k.page
				}
				b = t.kid(b, k, page)
			}
			b = append(b, ' ')
		}
		for from = n.kids; next < at+int(n.size); next += size(next) {
			b = append(t.ref(b, next), ' ')
		}
		b = append(b, "]/P "...)
		b = t.ref(b, at-int(n.up))
		if page >= 0 {
			b = append(b, "/Pg "...)
			b = number(b, t.pages[page].Number)
		}
		b = append(append(b, of.forms[n.form]...), ">>"...)
		t.PutSmall(objects.Ref{Number: t.first + at}, objects.Raw(b))
		t.buf = b
	}
}

// kid spells a piece of an element whose pieces are on a page unless they say
// otherwise.
func (t *tree) kid(b []byte, k kid, page int32) []byte {
	switch {
	case k.n < 0:
		links := len(t.tagger.pages[k.page].links)
		b = append(b, "<</Type/OBJR/Obj "...)
		b = number(b, t.annotations[k.page][k.annotation(links)].Number)
	case k.page == page:
		return strconv.AppendInt(b, int64(k.n), 10)
	default:
		b = append(b, "<</Type/MCR/MCID "...)
		b = strconv.AppendInt(b, int64(k.n), 10)
	}
	b = append(b, "/Pg "...)
	return append(number(b, t.pages[k.page].Number), ">>"...)
}

// ref spells what refers to a node.
func (t *tree) ref(b []byte, node int) []byte { return number(b, t.first+node) }

// number spells what refers to an object.
func number(b []byte, n int) []byte {
	return append(strconv.AppendInt(b, int64(n), 10), " 0 R"...)
}
