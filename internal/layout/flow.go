package layout

import "saltline/internal/frame"

// A flow puts pieces on pages. It is the only place that knows where on the
// page the next piece goes: y is that one number.
type flow struct {
	width, height float64 // of the body
	blank         float64 // most that may stay empty at the foot for the sake of a wish
	pages         []*frame.Frame
	y             float64
	last          *piece         // the piece above, nil at the top of a page
	pageOf        map[string]int // page of each anchor, from 1
}

func newFlow(width, height, blank float64) *flow {
	fl := &flow{width: width, height: height, blank: blank, pageOf: map[string]int{}}
	fl.turn()
	return fl
}

// turn opens a page.
func (fl *flow) turn() {
	fl.pages = append(fl.pages, &frame.Frame{W: fl.width, H: fl.height})
	fl.y, fl.last = 0, nil
}

// run puts all pieces on pages, a chain at a time. Chains that wish to stay
// together go to the next page together if that costs little of this one.
func (fl *flow) run(ps []piece) {
	for len(ps) > 0 {
		n := chainLen(ps, piece.wishes)
		if fl.deserveNext(ps[:n]) {
			fl.turn()
		}
		for part := ps[:n]; len(part) > 0; {
			m := chainLen(part, piece.keeps)
			fl.chain(part[:m])
			part = part[m:]
		}
		ps = ps[n:]
	}
}

// deserveNext reports whether pieces that do not fit on the rest of the page
// should leave it empty: the next page holds them all, and the rest is small.
func (fl *flow) deserveNext(ps []piece) bool {
	h := stackHeight(ps)
	return fl.last != nil && !fl.fits(h, ps[0]) && h <= fl.height+slack && fl.height-fl.y <= fl.blank
}

// chain puts pieces that belong together on one page if a page can hold them,
// and otherwise lets them run over.
func (fl *flow) chain(ps []piece) {
	switch {
	case fl.last == nil:
	case ps[0].newPage, !fl.fits(stackHeight(ps), ps[0]):
		fl.turn()
	}
	for i := range ps {
		if fl.last != nil && !fl.fits(ps[i].height(), ps[i]) {
			fl.turn()
		}
		fl.place(&ps[i])
	}
}

// slack forgives the rounding of sums of lengths, far below what a printer
// shows.
const slack = 1e-6

// fits reports whether a height fits on the rest of the page if its first
// piece is first.
func (fl *flow) fits(height float64, first piece) bool {
	return fl.y+fl.last.gap(first)+height <= fl.height+slack
}

func (fl *flow) place(p *piece) {
	page := fl.pages[len(fl.pages)-1]
	if fl.last != nil {
		fl.y += fl.last.gap(*p)
	} else {
		for _, f := range p.reopen {
			page.Put(0, fl.y, &frame.Frame{W: f.W, H: f.H, Element: frame.Aside, Items: []frame.Placed{{Item: f}}})
			fl.y += f.H
		}
	}
	page.Put(0, fl.y, p.frame)
	for _, name := range p.anchors {
		fl.pageOf[name] = len(fl.pages)
	}
	fl.y += p.height()
	fl.last = p
}
