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
	parts [][]part // each found by the place that its element remembers: a long log has hundreds of thousands

	open   *frame.Element // whose content is being written; nil for none
	at     *part          // of open; nil for what is none of the document's
	spoken *part          // whose words were drawn last
}

// marked is what is on one page.
type marked struct {
	owners []*part          // of each sequence of marked content, by its identifier
	links  []*frame.Element // of each link, in the order of the page's annotations
}

// A part is what of an element is on the pages.
type part struct {
	of     *frame.Element
	in     *part // among whose words it stands; nil for none
	kids   []kid
	number int32 // of its object
	said   bool  // there are words in it
	spaced bool  // the last of them ended with a space
}

// A kid is a piece of an element's content, in the order of drawing: a sequence
// of marked content, an annotation, or an element among its words.
type kid struct {
	within *part // nil for the others
	page   int32 // from 0
	n      int32 // identifier of the sequence, or ^n of the annotation that is number n of the page
}

// atOnce is how many parts are made room for at once.
const atOnce = 256

// count is how many parts there are.
func (t *tagger) count() int {
	if len(t.parts) == 0 {
		return 0
	}
	return (len(t.parts)-1)*atOnce + len(t.parts[len(t.parts)-1])
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
	n := int32(len(page.owners))
	t.at = t.part(el)
	t.at.kids = append(t.at.kids, kid{page: int32(len(t.pages) - 1), n: n})
	page.owners = append(page.owners, t.at)
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
	t.annotate(el, len(t.pages)-1, len(page.links))
	page.links = append(page.links, el)
}

// annotate makes annotation n of a page a piece of el.
func (t *tagger) annotate(el *frame.Element, page, n int) {
	p := t.part(el)
	p.kids = append(p.kids, kid{page: int32(page), n: ^int32(n)})
}

// part is what is known of el. An element among the words of another takes its
// place there when it is first met.
func (t *tagger) part(el *frame.Element) *part {
	if at := int(el.Place); at < t.count() { // or of one who drew it before
		if p := &t.parts[at/atOnce][at%atOnce]; p.of == el {
			return p
		}
	}
	last := len(t.parts) - 1
	if last < 0 || len(t.parts[last]) == atOnce {
		t.parts = append(t.parts, make([]part, 0, atOnce))
		last++
	}
	el.Place = int32(t.count())
	t.parts[last] = append(t.parts[last], part{of: el})
	p := &t.parts[last][len(t.parts[last])-1]
	if el.In != nil {
		p.in = t.part(el.In)
		p.in.kids = append(p.in.kids, kid{within: p})
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
