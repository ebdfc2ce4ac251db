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
	wishNext bool           // it is not the last on a page where that costs little
	newPage  bool           // it opens a page
	heading  bool           // it is no content by itself
	sign     bool           // it is a place to sign
	reopen   []*frame.Frame // what is printed above it where it opens a page
	anchors  []string       // names of the places in it that links lead to
}

// height is that of the frame alone.
func (p piece) height() float64 { return p.frame.H }

func (p piece) keeps() bool  { return p.keepNext }
func (p piece) wishes() bool { return p.keepNext || p.wishNext }

// chainLen counts the pieces from the first of ps to the first that does not
// hold the one behind it.
func chainLen(ps []piece, holds func(piece) bool) int {
	n := 1
	for n < len(ps) && holds(ps[n-1]) && !ps[n].newPage {
		n++
	}
	return n
}

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

// keepSignatures sees to it that places to sign are not alone on a page of the
// given height, for a signature alone signs nothing. They never are where what
// follows them fits on the page that they would open; elsewhere the content
// before them and their headings is chained to them.
func keepSignatures(ps []piece, height float64) {
	for end := 1; end <= len(ps); end++ {
		if !ps[end-1].sign || end < len(ps) && ps[end].sign {
			continue
		}
		start := end - 1
		for start > 0 && (ps[start-1].sign || ps[start-1].heading) {
			start--
			ps[start].keepNext = true
		}
		if start > 0 && !accompanied(ps[start:], end-start, height) {
			ps[start-1].keepNext = true
		}
	}
}

// accompanied reports whether the first n of ps, at the top of a page, leave
// room for what follows them.
func accompanied(ps []piece, n int, height float64) bool {
	if n == len(ps) || ps[n].newPage {
		return false
	}
	next := ps[n : n+chainLen(ps[n:], piece.wishes)]
	return !next[len(next)-1].heading && stackHeight(ps[:n+len(next)]) <= height+slack
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
