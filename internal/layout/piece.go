package layout

import "saltline/internal/frame"

// A piece is the smallest thing that goes on a page whole: a line of text, a
// row of a table, a figure. Pieces are as wide as the column they were made
// for and know nothing of pages; what they ask of a page is in their fields.
type piece struct {
	frame    *frame.Frame
	space    float64        // above it, left out at the top of a page
	below    float64        // that the next piece is to have above it, 0 for its own
	keepNext bool           // it is not the last on a page
	newPage  bool           // it opens a page
	heading  bool           // it is no content by itself
	sign     bool           // it is a place to sign
	reopen   []*frame.Frame // what is printed above it where it opens a page
	anchors  []string       // names of the places in it that links lead to
}

// height is that of the frame alone.
func (p piece) height() float64 { return p.frame.H }

// keepTogether makes the pieces a chain.
func keepTogether(ps []piece) {
	for i := range ps[:max(len(ps)-1, 0)] {
		ps[i].keepNext = true
	}
}

// keepEnds chains the first two pieces and the last two, so that neither end
// is left alone on a page.
func keepEnds(ps []piece) {
	if len(ps) < 2 {
		return
	}
	ps[0].keepNext = true
	ps[len(ps)-2].keepNext = true
}

// keepSignatures chains the content before each place to sign to it, with the
// headings in between: a signature alone on a page signs nothing.
func keepSignatures(ps []piece) {
	for i, p := range ps {
		for j := i - 1; p.sign && j >= 0 && !ps[j].sign; j-- {
			ps[j].keepNext = true
			if !ps[j].heading {
				break
			}
		}
	}
}

// gap is the distance between p and the piece next below it.
func (p piece) gap(next piece) float64 {
	if p.below > 0 {
		return p.below
	}
	return next.space
}

// stackHeight is the height of the pieces one below the other, without the
// space above the first.
func stackHeight(ps []piece) float64 {
	h := 0.0
	for i, p := range ps {
		if i > 0 {
			h += ps[i-1].gap(p)
		}
		h += p.height()
	}
	return h
}

// stack puts the pieces one below the other into f from x, y, and returns the
// names of the anchors in them.
func stack(f *frame.Frame, x, y float64, ps []piece) []string {
	var anchors []string
	for i, p := range ps {
		if i > 0 {
			y += ps[i-1].gap(p)
		}
		f.Put(x, y, p.frame)
		y += p.height()
		anchors = append(anchors, p.anchors...)
	}
	return anchors
}
