package pdf

import (
	"fmt"
	"strconv"
	"strings"

	"saltline/internal/frame"
)

// A tagger marks on the pages what belongs to which element of the document
// (ISO 32000-1, 14.7.4), and remembers it for the structure tree. The nil
// tagger marks nothing.
type tagger struct {
	out   *contents // of the page that is drawn
	pages []marked
	parts [][]part                      // each found by the place that its element remembers: a long log has hundreds of thousands
	count int                           // of them, and of the elements that were drawn ahead
	boxes map[*frame.Element][4]float64 // of figures, where they are first met
	ahead map[*frame.Element]*branch    // which elements stand for those of a part that was drawn ahead

	open   *frame.Element // whose content is being written; nil for none
	at     *part          // of open; nil for what is none of the document's
	spoken *part          // whose words were drawn last
}

// marked is what is on one page.
type marked struct {
	of     *branch  // that the page was drawn ahead with; nil for none
	owners []int32  // of each sequence of marked content, by its identifier, as of an owner
	links  []linked // in the order of the page's annotations
}

// An owner is an element, by its node in the branch of what was drawn ahead, or
// by the place that it remembers where that is nil.
type owner struct {
	of *branch
	at int32
}

// linked is a link, of which an element says where it leads.
type linked struct {
	alt string
	owner
}

// A part is what of an element is on the pages.
type part struct {
	of     *frame.Element
	in     *part // among whose words it stands; nil for none
	pieces []piece
	node   int32 // in the outline, once that is made
	said   bool  // there are words in it
	spaced bool  // the last of them ended with a space
}

// A piece is a kid, with the element that it is if it is within others' words.
type piece struct {
	kid
	of *frame.Element
}

// atOnce is how many parts are made room for at once.
const atOnce = 256

func newTagger(out *contents) *tagger {
	return &tagger{out: out, boxes: map[*frame.Element][4]float64{}, ahead: map[*frame.Element]*branch{}}
}

// page begins a page.
func (t *tagger) page() {
	if t != nil {
		t.pages = append(t.pages, marked{})
		t.spoken = nil
	}
}

// end ends what is open.
func (t *tagger) end() {
	if t != nil && t.open != nil {
		t.out.line("EMC")
		t.open, t.at = nil, nil
	}
}

// text begins the element to which a text belongs. It panics at text that
// belongs to none, which somebody who cannot see the page would never learn of.
func (t *tagger) text(el *frame.Element, s string) {
	if t == nil {
		return
	}
	if el == nil {
		panic(fmt.Sprintf("text %q is part of no element", s))
	}
	t.begin(el)
}

// drawing begins what a path belongs to: a figure, or nothing that is said.
func (t *tagger) drawing(el *frame.Element) {
	if el == nil || el.Role != frame.Figure {
		el = frame.Aside
	}
	t.begin(el)
}

func (t *tagger) picture(el *frame.Element) {
	if t != nil && (el == nil || el.Role != frame.Figure) {
		panic("a picture is no figure")
	}
	t.begin(el)
}

func (t *tagger) begin(el *frame.Element) {
	if t == nil || el == t.open {
		return
	}
	if t.open != nil {
		t.out.op("EMC")
	}
	t.open, t.at = el, nil
	if el == frame.Aside {
		t.out.line("/Artifact BMC")
		return
	}
	page := &t.pages[len(t.pages)-1]
	if page.of != nil {
		panic("a page that was drawn ahead says something more")
	}
	n := int32(len(page.owners))
	t.at = t.part(el)
	t.at.pieces = append(t.at.pieces, piece{kid: kid{int32(len(t.pages) - 1), n}})
	page.owners = append(page.owners, el.Place)
	b := append(append(append(*t.out, '/'), structureType(el)...), "<</MCID "...)
	*t.out = append(strconv.AppendInt(b, int64(n), 10), ">>BDC\n"...)
}

// words notes that words of the open element are drawn, and reports whether
// others were before them in what they are words of, whether these were the
// last that were drawn, and whether they ended with a space.
func (t *tagger) words(s string) (said, last, spaced bool) {
	of := t.at
	for of.in != nil {
		of = of.in
	}
	said, last, spaced = of.said, t.spoken == of, of.spaced
	of.said, of.spaced, t.spoken = true, strings.HasSuffix(s, " "), of
	return said, last, spaced
}

// link remembers that the next link of the page is of el.
func (t *tagger) link(el *frame.Element) {
	if t == nil {
		return
	}
	if el == nil || el.Role != frame.LinkText {
		panic("a link is part of no element that says where it leads")
	}
	page := &t.pages[len(t.pages)-1]
	of := t.annotate(el, len(t.pages)-1, ofLink(len(page.links)))
	page.links = append(page.links, linked{el.Alt, of})
}

// annotate makes a link or a field of a page a piece of el.
func (t *tagger) annotate(el *frame.Element, page int, n int32) owner {
	p := t.part(el)
	p.pieces = append(p.pieces, piece{kid: kid{int32(page), n}})
	return owner{at: el.Place}
}

// own makes fields pieces of their elements, once all else of these is drawn.
func (t *tagger) own(fields []field) {
	before := map[int]int{} // on their pages
	for i := range fields {
		it := &fields[i]
		if it.element != nil {
			it.owner = t.annotate(it.element, it.page, ofField(before[it.page]))
		}
		before[it.page]++
	}
}

// figure notes where a figure is that is met now.
func (t *tagger) figure(el *frame.Element, box [4]float64) {
	if t == nil {
		return
	}
	if _, known := t.boxes[el]; !known {
		t.boxes[el] = box
	}
}

// node is the node of an owner in the outline of the document.
func (t *tagger) node(o owner) int {
	if o.of != nil {
		return o.of.at + int(o.at)
	}
	n := t.parts[o.at/atOnce][o.at%atOnce].node
	if n < 0 {
		panic("what is drawn is part of nothing")
	}
	return int(n)
}

// part is what is known of el. An element among the words of another takes its
// place there when it is first met.
func (t *tagger) part(el *frame.Element) *part {
	if some := int(el.Place) / atOnce; some < len(t.parts) {
		// What it remembers may be the place that another who drew it gave it.
		if n := int(el.Place) % atOnce; n < len(t.parts[some]) && t.parts[some][n].of == el {
			return &t.parts[some][n]
		}
	}
	last := len(t.parts) - 1
	if last < 0 || len(t.parts[last]) == cap(t.parts[last]) {
		t.parts = append(t.parts, make([]part, 0, atOnce))
		last++
	}
	el.Place = int32(last*atOnce + len(t.parts[last]))
	t.count++
	t.parts[last] = append(t.parts[last], part{of: el, node: -1})
	p := &t.parts[last][len(t.parts[last])-1]
	if el.In != nil {
		p.in = t.part(el.In)
		p.in.pieces = append(p.in.pieces, piece{kid: kid{n: within}, of: el})
	}
	return p
}

// structureType is the standard structure type of an element (ISO 32000-1,
// 14.8.4).
func structureType(el *frame.Element) string {
	if el.Role == frame.Heading {
		return "H" + strconv.Itoa(int(min(max(el.Level, 1), 6)))
	}
	return structureTypes[el.Role]
}

var structureTypes = [...]string{
	frame.Document: "Document", frame.Part: "Part", frame.Paragraph: "P", frame.List: "L", frame.ListItem: "LI", frame.ListLabel: "Lbl",
	frame.ListBody: "LBody", frame.Contents: "TOC", frame.ContentsEntry: "TOCI", frame.Table: "Table", frame.Row: "TR", frame.HeadCell: "TH",
	frame.Cell: "TD", frame.Figure: "Figure", frame.Caption: "Caption", frame.LinkText: "Link", frame.SignatureField: "Form",
	frame.Reference: "Reference",
}
