package pdf

import (
	"sort"
	"strconv"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// An outline is the elements of a document, or of a part of one, in the order in
// which they are written: each in front of those that it is made of, of which
// those among its words come first. A long log has millions of them, so they are
// numbers, and nothing that would have to be followed.
type outline struct {
	branches []*branch
	count    int // of nodes
}

// A branch is nodes that follow one another.
type branch struct {
	at    int // number of the first in the outline
	nodes []node
	kids  []kid          // of all nodes, one behind the other
	forms []string       // what nodes are, and say of themselves, spelt
	known map[form]int32 // those that many may have

	page  int  // of the document, from 0, that the first of the kids' pages is
	ahead bool // it is of a part that was drawn ahead
}

// A node is an element.
type node struct {
	up   int32 // how far in front of it stands what it is a part of
	size int32 // how many nodes it is, with all that it is made of
	kids int32 // where its kids end in those of all; they begin where those of the node in front end
	form int32
}

// A kid is a piece of an element's content, in the order of drawing.
type kid struct {
	page int32 // from 0
	n    int32 // identifier of a sequence of marked content, or one of the following
}

// within is an element among the words: the next one that has not had its turn.
const within int32 = -1

func ofLink(k int) int32  { return int32(-2 - 2*k) } // link k of the page
func ofField(k int) int32 { return int32(-3 - 2*k) } // field k of the page

// annotation is the number, on a page with so many links, of the annotation that
// a kid is. Fields come behind links.
func (k kid) annotation(links int) int {
	n := int(-2 - k.n)
	if n%2 == 1 {
		return links + n/2
	}
	return n / 2
}

// add adds an element with all that it is made of. up is the node that it is a
// part of, −1 for what stands in front of all.
func (o *outline) add(t *tagger, el *frame.Element, up int) {
	if ahead := t.ahead[el]; ahead != nil {
		o.take(ahead, up)
		return
	}
	at, p, b := o.count, t.part(el), o.open()
	i := at - b.at
	p.node = int32(at)
	o.count++
	b.nodes = append(b.nodes, node{up: int32(at - up), form: b.form(el, t)})
	for _, piece := range p.pieces {
		b.kids = append(b.kids, piece.kid)
	}
	b.nodes[i].kids = int32(len(b.kids))
	for _, piece := range p.pieces {
		if piece.of != nil {
			o.add(t, piece.of, at)
		}
	}
	for _, kid := range el.Kids {
		o.add(t, kid, at)
	}
	b.nodes[i].size = int32(o.count - at)
}

// open is the branch that the next node goes to.
func (o *outline) open() *branch {
	if n := len(o.branches); n == 0 || o.branches[n-1].ahead {
		o.branches = append(o.branches, &branch{at: o.count})
	}
	return o.branches[len(o.branches)-1]
}

// take adds the elements of a part that was drawn ahead, as parts of the node
// number up.
func (o *outline) take(ahead *branch, up int) {
	ahead.at = o.count
	for i := 0; i < len(ahead.nodes); i += int(ahead.nodes[i].size) {
		ahead.nodes[i].up = int32(ahead.at + i - up)
	}
	o.branches = append(o.branches, ahead)
	o.count += len(ahead.nodes)
}

// size is how many nodes a node is.
func (o *outline) size(at int) int {
	n := sort.Search(len(o.branches), func(n int) bool { return o.branches[n].at > at }) - 1
	b := o.branches[n]
	return int(b.nodes[at-b.at].size)
}

// A form is what most elements differ in.
type form struct {
	role    frame.Role
	ordered bool
	level   int16
	span    int32
}

// form is the number of what el is and says of itself.
func (b *branch) form(el *frame.Element, t *tagger) int32 {
	own := el.Alt != "" || el.Role == frame.Figure
	key := form{el.Role, el.Ordered, el.Level, el.Span}
	if n, known := b.known[key]; known && !own {
		return n
	}
	n := int32(len(b.forms))
	spelt := append([]byte("/S/"), structureType(el)...)
	b.forms = append(b.forms, string(attributes(spelt, el, t.boxes[el])))
	if !own {
		if b.known == nil {
			b.known = map[form]int32{}
		}
		b.known[key] = n
	}
	return n
}

// attributes spells what an element says of itself. Its box is that of a figure.
func attributes(b []byte, el *frame.Element, box [4]float64) []byte {
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
		for _, v := range box {
			b = append(strconv.AppendFloat(b, v, 'f', 2, 64), ' ')
		}
		b = append(b, "]>>"...)
	}
	if el.Alt != "" {
		b, _ = objects.Spell(append(b, "/Alt"...), objects.Text(el.Alt)) // a text can always be spelled
	}
	return b
}
