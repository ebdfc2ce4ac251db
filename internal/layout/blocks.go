package layout

import (
	"fmt"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A builder turns blocks into pieces.
type builder struct {
	setter
	at       *frame.Element // what the blocks that are set now are part of
	deep     int            // level of the headings of the first level
	words    doc.Words
	headings []heading      // of the whole document, in order
	behind   []heading      // of the parts of a volume behind it
	next     int            // the heading that comes next, in headings
	index    []contentsLine // entries that wait for the number of a page
}

// pieces sets blocks in a column of the given width. height is what a page can
// hold of them.
func (b *builder) pieces(blocks []doc.Block, width, height float64) ([]piece, error) {
	var out []piece
	for i, bl := range blocks {
		var ps []piece
		var err error
		if i > 0 && len(out) > 0 && isTable(blocks[i-1]) && isNote(bl) {
			out[len(out)-1].keepNext = true // a note says nothing without a row above it
		}
		switch bl := bl.(type) {
		case doc.Heading:
			ps = b.heading(bl, width)
		case doc.Paragraph:
			ps = b.paragraph(bl, width)
		case doc.List:
			ps = b.list(bl, width)
		case doc.Fields:
			ps = b.fields(bl, width, height)
		case doc.Table:
			ps = b.table(bl, width, height)
		case doc.Box:
			ps, err = b.box(bl, width, height)
		case doc.Figure:
			ps, err = b.figure(bl, width, height)
		case doc.Group:
			ps, err = b.group(bl, width, height)
		case doc.Contents:
			ps = b.contents(bl, width)
		case doc.Signatures:
			ps, err = b.signatures(bl, width)
		default:
			panic(fmt.Sprintf("layout: unknown block %T", bl))
		}
		if err != nil {
			return nil, err
		}
		out = append(out, ps...)
	}
	return out, nil
}

func isTable(bl doc.Block) bool {
	_, is := bl.(doc.Table)
	return is
}

// isNote reports whether a block is a note: a paragraph in smaller type.
func isNote(bl doc.Block) bool {
	p, is := bl.(doc.Paragraph)
	return is && len(p.Text) > 0 && p.Text[0].Look == doc.Reduced
}

func (b *builder) heading(h doc.Heading, width float64) []piece {
	level := h.Level - 1
	known := b.headings[b.next]
	b.next++
	t := b.style.Type.Headings[level]
	if h.Large {
		t = b.style.Type.Title
	}
	ps := b.linePieces(frame.Element{Role: frame.Heading, Level: int16(b.deep + known.depth)}, doc.Plain(h.Text), t, width)
	keepTogether(ps)
	for i := range ps {
		ps[i].heading, ps[i].keepNext = true, true
	}
	first, last := &ps[0], &ps[len(ps)-1]
	first.space = b.style.Space.Headings[level]
	if h.Large {
		first.space *= 2
	}
	first.newPage = h.NewPage
	first.frame.Put(0, 0, frame.Anchor{Name: known.anchor, Title: known.text, Level: known.depth})
	first.anchors = []string{known.anchor}
	last.below = b.style.Space.Heading
	return ps
}

// linePieces sets text as a piece a line, all of one element.
func (b *builder) linePieces(of frame.Element, text doc.Text, t Type, width float64) []piece {
	ls := b.lines(text, t, width)
	element := b.at.Add(of)
	ps := make([]piece, len(ls))
	for i, l := range ls {
		f := &frame.Frame{W: width, H: l.h, Element: element}
		b.draw(f, 0, 0, l)
		ps[i] = piece{frame: f}
	}
	return ps
}

func (b *builder) paragraph(p doc.Paragraph, width float64) []piece {
	ps := b.linePieces(frame.Element{Role: frame.Paragraph}, p.Text, b.style.Type.Body, width)
	ps[0].space = b.style.Space.Paragraph
	keepEnds(ps)
	return ps
}

func (b *builder) list(l doc.List, width float64) []piece {
	return b.items(l.Items, b.style.Type.Body, b.style.Space.Paragraph, width)
}

// items sets the items of a list behind their labels, with space above the
// first.
func (b *builder) items(items []doc.Item, t Type, space, width float64) []piece {
	labels := make([]line, len(items))
	indent := 0.0
	for i, it := range items {
		label := it.Label
		if label == "" {
			label = "–"
		}
		set := doc.Plain(label)
		if len(it.Text) > 0 && it.Text[0].Look == doc.Reduced {
			set = doc.Fine(label)
		}
		labels[i] = b.lines(set, t, width/2)[0]
		indent = max(indent, labels[i].w)
	}
	indent += b.style.Space.Label
	list := b.at.Add(frame.Element{Role: frame.List, Ordered: len(items) > 0 && items[0].Label != ""})
	var out []piece
	for i, it := range items {
		ls := b.lines(it.Text, t, width-indent)
		item := list.Add(frame.Element{Role: frame.ListItem})
		label, body := item.Add(frame.Element{Role: frame.ListLabel}), item.Add(frame.Element{Role: frame.ListBody})
		ps := make([]piece, len(ls))
		for j, l := range ls {
			f := &frame.Frame{W: width, H: l.h, Element: body}
			if j == 0 {
				f.Put(0, 0, b.framed(label, width, []line{labels[i]}))
			}
			b.draw(f, indent, 0, l)
			ps[j] = piece{frame: f}
		}
		ps[0].space = b.style.Space.Item
		if i == 0 {
			ps[0].space = space
		}
		keepEnds(ps)
		if i == len(items)-1 && i > 0 {
			out[len(out)-1].wishNext = true // the last item is not to stand alone on a page
		}
		out = append(out, ps...)
	}
	return out
}

func (b *builder) group(g doc.Group, width, height float64) ([]piece, error) {
	ps, err := b.pieces(g.Blocks, width, height)
	if err == nil && stackHeight(ps) <= height {
		last := len(ps) - 1
		for i := range ps[:max(last, 0)] {
			ps[i].keepNext = true
		}
	}
	return ps, err
}

func (b *builder) figure(fig doc.Figure, width, height float64) ([]piece, error) {
	drawing := fig.Draw(width)
	if drawing == nil {
		return nil, fmt.Errorf("layout: figure %q has no drawing", fig.Caption)
	}
	caption := b.lines(fig.Caption, b.style.Type.Caption, width)
	element := b.at.Add(frame.Element{Role: frame.Figure, Alt: fig.Alt})
	f := &frame.Frame{W: width, H: drawing.H, Element: element}
	f.Put(0, 0, drawing)
	if len(fig.Caption) > 0 {
		y := drawing.H + b.style.Space.Caption
		below := b.framed(element.Add(frame.Element{Role: frame.Caption}), width, caption)
		f.Put(0, y, below)
		f.H = y + below.H
	}
	if f.W < drawing.W-slack || f.H > height {
		return nil, fmt.Errorf("layout: figure of %.0f × %.0f points does not fit on a page", drawing.W, drawing.H)
	}
	return []piece{{frame: f, space: b.style.Space.Figure}}, nil
}
