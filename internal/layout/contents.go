package layout

import (
	"fmt"
	"slices"
	"strconv"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A heading is one heading of the document with the anchor it is reached by.
type heading struct {
	text   string
	level  int
	depth  int // of its bookmark, from 0, never more than one below the one before
	anchor string
}

// collectHeadings lists the headings in order. One without an anchor gets one
// of its own, which cannot be that of another.
func collectHeadings(blocks []doc.Block, out []heading) []heading {
	for _, bl := range blocks {
		switch bl := bl.(type) {
		case doc.Heading:
			h := heading{text: bl.Text, level: bl.Level, anchor: bl.Anchor}
			if len(out) > 0 {
				h.depth = min(h.level-1, out[len(out)-1].depth+1)
			}
			if h.anchor == "" {
				h.anchor = fmt.Sprintf("heading %d", len(out)+1)
			}
			out = append(out, h)
		case doc.Box:
			out = collectHeadings(bl.Blocks, out)
		case doc.Group:
			out = collectHeadings(bl.Blocks, out)
		}
	}
	return out
}

// A contentsLine is an entry of the contents, whose page is known only when
// all pages are made.
type contentsLine struct {
	frame  *frame.Frame
	anchor string
	base   float64
	t      Type
}

// contents lists the headings, each indented by its level and linked to its
// place.
func (b *builder) contents(c doc.Contents, width float64) []piece {
	t := b.style.Type.Body
	number := b.width(t, "00000") // room for the number of any page
	list := &frame.Element{Role: frame.Contents}
	var out []piece
	for _, h := range slices.Concat(b.headings, b.behind) {
		if h.level > c.Depth {
			continue
		}
		indent := float64(h.level-1) * b.style.Space.Headings[0]
		ls := b.lines(doc.Plain(h.text), t, width-indent-number)
		entry := list.Add(frame.Element{Role: frame.ContentsEntry}).Add(frame.Element{Role: frame.Reference})
		f := &frame.Frame{W: width, H: linesHeight(ls), Element: entry.Within(frame.Element{Role: frame.LinkText, Alt: h.text})}
		b.drawLines(f, indent, 0, ls)
		f.Put(0, 0, frame.Link{W: width, H: f.H, Dest: h.anchor})
		last := ls[len(ls)-1]
		b.index = append(b.index, contentsLine{f, h.anchor, f.H - last.h + last.base, t})
		out = append(out, piece{frame: f, space: b.style.Space.Item})
	}
	if len(out) > 0 {
		out[0].space = b.style.Space.Paragraph
		b.at.Kids = append(b.at.Kids, list)
	}
	return out
}

// number writes the page of each entry at the right edge.
func (b *builder) number(pageOf map[string]int) {
	for _, e := range b.index {
		s := strconv.Itoa(pageOf[e.anchor])
		e.frame.Put(e.frame.W-b.width(e.t, s), e.base, frame.Text{S: s, Face: e.t.Face, Size: e.t.Size, Colour: e.t.Colour})
	}
}
