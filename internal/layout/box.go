package layout

import (
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// box sets blocks in a bordered panel: one piece if a page can hold it, else
// a piece for each piece inside, each with its part of the border.
func (b *builder) box(bx doc.Box, width, height float64) ([]piece, error) {
	st := b.style.Box
	inner := width - 2*st.Pad
	if bx.Aside != nil {
		inner -= bx.Aside.W + st.Pad
	}
	var ps []piece
	if bx.Title != "" {
		ps = b.linePieces(frame.Element{Role: frame.Paragraph}, doc.Plain(bx.Title), st.Title, inner)
		for i := range ps {
			ps[i].keepNext = true
		}
	}
	content, err := b.pieces(bx.Blocks, inner, height-2*st.Pad)
	if err != nil {
		return nil, err
	}
	ps = append(ps, content...)
	if len(ps) == 0 {
		return nil, nil
	}
	h := stackHeight(ps)
	if bx.Aside != nil {
		h = max(h, bx.Aside.H)
	}
	if h += 2 * st.Pad; h > height {
		return b.splitBox(ps, width), nil
	}
	f := &frame.Frame{W: width, H: h}
	f.Put(0, 0, frame.Rect(width, h, st.Pen, frame.Fill{}))
	if bx.Aside != nil {
		if e := bx.Aside.Element; e != nil {
			b.at.Kids = append(b.at.Kids, e)
		}
		f.Put(width-st.Pad-bx.Aside.W, st.Pad, bx.Aside)
	}
	anchors := stack(f, st.Pad, st.Pad, ps)
	return []piece{{frame: f, space: b.style.Space.Block, anchors: anchors}}, nil
}

// splitBox wraps each piece with the sides of the border. Distances become
// part of the pieces, so that the sides have no gaps.
func (b *builder) splitBox(ps []piece, width float64) []piece {
	st := b.style.Box
	out := make([]piece, len(ps))
	for i, p := range ps {
		above, below := st.Pad, 0.0
		if i > 0 {
			above = ps[i-1].gap(p)
		}
		if i == len(ps)-1 {
			below = st.Pad
		}
		f := &frame.Frame{W: width, H: above + p.height() + below}
		f.Put(st.Pad, above, p.frame)
		f.Put(0, 0, frame.VLine(f.H, st.Pen))
		f.Put(width, 0, frame.VLine(f.H, st.Pen))
		q := piece{frame: f, keepNext: p.keepNext, wishNext: p.wishNext, anchors: p.anchors}
		for _, r := range p.reopen {
			wrapped := &frame.Frame{W: width, H: r.H}
			wrapped.Put(st.Pad, 0, r)
			wrapped.Put(0, 0, frame.VLine(r.H, st.Pen))
			wrapped.Put(width, 0, frame.VLine(r.H, st.Pen))
			q.reopen = append(q.reopen, wrapped)
		}
		out[i] = q
	}
	first, last := &out[0], &out[len(out)-1]
	first.frame.Put(0, 0, frame.HLine(width, st.Pen))
	first.space = b.style.Space.Block
	last.frame.Put(0, last.frame.H, frame.HLine(width, st.Pen))
	return out
}
