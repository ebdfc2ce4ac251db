package layout

import "saltline/internal/frame"

// A flow puts pieces on pages. It is the only place that knows where on the
// page the next piece goes: y is that one number.
type flow struct {
	width, height float64 // of the body
	pages         []*frame.Frame
	y             float64
	last          *piece         // the piece above, nil at the top of a page
	pageOf        map[string]int // page of each anchor, from 1
}

func newFlow(width, height float64) *flow {
	fl := &flow{width: width, height: height, pageOf: map[string]int{}}
	fl.turn()
	return fl
}

// turn opens a page.
func (fl *flow) turn() {
	fl.pages = append(fl.pages, &frame.Frame{W: fl.width, H: fl.height})
	fl.y, fl.last = 0, nil
}

// run puts all pieces on pages, a chain at a time.
func (fl *flow) run(ps []piece) {
	for len(ps) > 0 {
		n := 1
		for ps[n-1].keepNext && n < len(ps) && !ps[n].newPage {
			n++
		}
		fl.chain(ps[:n])
		ps = ps[n:]
	}
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
			page.Put(0, fl.y, f)
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
