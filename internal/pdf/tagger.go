package pdf

import (
	"fmt"
	"strconv"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
)

// A tagger marks on the pages what belongs to which element of the document
// (ISO 32000-1, 14.7.4), and remembers it for the structure tree. The nil
// tagger marks nothing.
type tagger struct {
	out   *fpdf.Fpdf
	pages []marked
	parts map[*frame.Element]*part

	open *frame.Element // whose content is being written; nil for none
}

// marked is what is on one page.
type marked struct {
	owners []*frame.Element // of each sequence of marked content, by its identifier
	links  []*frame.Element // of each link, in the order of the page's annotations
}

// A part is what of an element is on the pages.
type part struct {
	kids []kid
	box  [4]float64 // of a figure
	has  bool       // a box
	last ending     // of the words in it
}

// An ending is the text drawn last.
type ending struct {
	frame.Text
	x, y float64
	page int // from 1
}

// A kid is a piece of an element's content, in the order of drawing: a sequence
// of marked content, an annotation, or an element among its words.
type kid struct {
	within     *frame.Element // nil for the others
	page       int            // from 0
	annotation bool           // a link, or a field
	n          int            // identifier of the sequence, or place among the annotations of the page
}

func newTagger(out *fpdf.Fpdf) *tagger {
	return &tagger{out: out, parts: map[*frame.Element]*part{}}
}

// page begins a page.
func (t *tagger) page() {
	if t != nil {
		t.pages = append(t.pages, marked{})
	}
}

// end ends what is open.
func (t *tagger) end() {
	if t != nil && t.open != nil {
		t.out.RawWriteStr("EMC")
		t.open = nil
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
	t.end()
	t.open = el
	if el == frame.Aside {
		t.out.RawWriteStr("/Artifact BMC")
		return
	}
	page := &t.pages[len(t.pages)-1]
	n := len(page.owners)
	page.owners = append(page.owners, el)
	t.add(el, kid{page: len(t.pages) - 1, n: n})
	t.out.RawWriteStr("/" + structureType(el) + " <</MCID " + strconv.Itoa(n) + ">> BDC")
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
	t.add(el, kid{page: len(t.pages) - 1, annotation: true, n: len(page.links)})
	page.links = append(page.links, el)
}

// place remembers where a figure is.
func (t *tagger) place(el *frame.Element, box [4]float64) {
	if t == nil || el.Role != frame.Figure {
		return
	}
	if p := t.part(el); !p.has {
		p.box, p.has = box, true
	}
}

func (t *tagger) add(el *frame.Element, k kid) {
	p := t.part(el)
	p.kids = append(p.kids, k)
}

// part is what is known of el. An element among the words of another takes its
// place there when it is first met.
func (t *tagger) part(el *frame.Element) *part {
	p := t.parts[el]
	if p == nil {
		p = &part{}
		t.parts[el] = p
		if el.In != nil {
			t.add(el.In, kid{within: el})
		}
	}
	return p
}

// words is what is known of the element among whose words el stands, which is
// el itself where it stands among none.
func (t *tagger) words(el *frame.Element) *part {
	for el.In != nil {
		el = el.In
	}
	return t.part(el)
}

// structureType is the standard structure type of an element (ISO 32000-1,
// 14.8.4).
func structureType(el *frame.Element) string {
	if el.Role == frame.Heading {
		return "H" + strconv.Itoa(min(max(el.Level, 1), 6))
	}
	return structureTypes[el.Role]
}

var structureTypes = map[frame.Role]string{
	frame.Document: "Document", frame.Part: "Part", frame.Paragraph: "P", frame.List: "L", frame.ListItem: "LI", frame.ListLabel: "Lbl",
	frame.ListBody: "LBody", frame.Contents: "TOC", frame.ContentsEntry: "TOCI", frame.Table: "Table", frame.Row: "TR", frame.HeadCell: "TH",
	frame.Cell: "TD", frame.Figure: "Figure", frame.Caption: "Caption", frame.LinkText: "Link", frame.SignatureField: "Form",
	frame.Reference: "Reference",
}
