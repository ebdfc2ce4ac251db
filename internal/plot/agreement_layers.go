package plot

import (
	"math"
	"slices"

	chart "github.com/wcharczuk/go-chart/v2"
)

var (
	agreementPen = pen{width: 0.5, colour: grey(0x60)}
	guidePen     = pen{width: 0.5, colour: grey(0x90), dash: []float64{1.5, 1.5}}
	limitSignPen = pen{width: 0.9, colour: black, dash: []float64{2.4, 1.2}} // a limit in the room of a mark
)

// shade covers b with the grey of the quarters where the limit lies between
// the two values.
func shade(r chart.Renderer, b box) {
	r.ResetStyle()
	r.SetFillColor(grey(0xec))
	trace(r, b)
	r.Fill()
}

// drawQuarters shades the quarters where written and recomputed value lie on
// different sides of the limit.
func (s *square) drawQuarters(r chart.Renderer, at canvas) {
	if len(s.agreement.Limits) != 1 {
		return
	}
	x, y := at.x(s.agreement.Limits[0].Value), at.y(s.agreement.Limits[0].Value)
	shade(r, box{at.left, at.top, x, y})
	shade(r, box{x, y, at.right, at.bottom})
}

// drawAxes draws both axes with their ticks. A number that would touch the
// one before it is left out, and so is one under the name of a side of the
// limit that reaches below the axis.
func (s *square) drawAxes(r chart.Renderer, at canvas) {
	line(r, axisPen, at.left, at.top, at.left, at.bottom, at.right, at.bottom)
	under := at.bottom + steps(tickSize+plainHand.size)
	edge, highest, last := math.MinInt, at.bottom+steps(2*plainHand.size), math.MaxInt
	if len(s.agreement.Limits) == 1 {
		reach := at.y(s.agreement.Limits[0].Value) + steps(space) + labelHand.width(s.fonts, s.agreement.Words.WrittenWithin)
		if reach > at.bottom+steps(tickSize) {
			last = at.right + steps(space)
		}
	}
	for _, v := range s.ruler.ticks() {
		text, x, y := s.spellTick(v), at.x(v), at.y(v)
		width := plainHand.width(s.fonts, text)
		line(r, axisPen, x, at.bottom, x, at.bottom+steps(tickSize))
		if left := x - width/2; left > edge && left+width <= last {
			write(r, plainHand, text, left, under)
			edge = left + width + steps(space)
		}
		line(r, axisPen, at.left-steps(tickSize), y, at.left, y)
		if y < highest-steps(plainHand.size) {
			write(r, plainHand, text, at.left-steps(tickSize+space)-width, y+plainHand.cap(s.fonts)/2)
			highest = y
		}
	}
	if text := plainHand.fit(s.fonts, s.agreement.XLabel, at.right-at.left); text != "" {
		write(r, plainHand, text, (at.left+at.right-plainHand.width(s.fonts, text))/2, under+steps(plainHand.size+space))
	}
	if text := plainHand.fit(s.fonts, s.agreement.YLabel, at.bottom-at.top); text != "" {
		writeUp(r, plainHand, text, steps(plainHand.size), (at.top+at.bottom+plainHand.width(s.fonts, text))/2)
	}
}

// drawLimits draws each limit on both scales. One limit has its four sides
// named at the edges, several have their values there.
func (s *square) drawLimits(r chart.Renderer, at canvas) {
	gap := steps(space)
	over, beside := at.top-gap-steps(1), at.right+gap+labelHand.cap(s.fonts)
	for _, l := range s.agreement.Limits {
		x, y := at.x(l.Value), at.y(l.Value)
		line(r, limitPen, at.left, y, at.right, y)
		line(r, limitPen, x, at.bottom, x, at.top)
		if w := s.agreement.Words; len(s.agreement.Limits) == 1 {
			// A side is named from the limit outwards: near an end of the scale
			// the words reach over it, where nothing else stands.
			write(r, labelHand, w.RecomputedWithin, max(0, x-gap-labelHand.width(s.fonts, w.RecomputedWithin)), over)
			write(r, labelHand, w.RecomputedAbove, x+gap, over)
			writeUp(r, labelHand, w.WrittenWithin, beside, y+gap+labelHand.width(s.fonts, w.WrittenWithin))
			writeUp(r, labelHand, w.WrittenAbove, beside, y-gap)
		} else {
			text := w.Number(l.Value, s.ruler.decimals(l.Value))
			write(r, labelHand, text, at.right+gap, y+labelHand.cap(s.fonts)/2)
		}
	}
}

// drawLines draws the line of agreement and those of factors that tests share.
func (s *square) drawLines(r chart.Renderer, at canvas) {
	for _, f := range s.guides() {
		from, to := s.ruler.crossing(f)
		line(r, guidePen, at.x(from), at.y(f*from), at.x(to), at.y(f*to))
	}
	line(r, agreementPen, at.left, at.bottom, at.right, at.top)
}

func (s *square) drawMarks(r chart.Renderer, at canvas) {
	for _, q := range s.spots {
		drawMark(r, s.signs[q.sign].mark, s.signs[q.sign].size, black, at.left+q.x, at.bottom-q.y)
	}
}

// drawLabels writes the names of the lines and the numbers of the tests that
// do not follow, the farthest off first, where each covers nothing.
func (s *square) drawLabels(r chart.Renderer, at canvas) {
	taken := s.obstacles(at)
	for _, f := range s.guides() {
		s.nameGuide(r, at, taken, f)
	}
	s.nameLine(r, at, taken)
	var off []spot
	for _, q := range s.spots {
		if q.sign != s.standings[Agrees] && q.sign != s.standings[ThroughUnseenDigits] {
			off = append(off, q)
		}
	}
	slices.SortStableFunc(off, func(a, b spot) int { return b.off - a.off })
	h, side, gap := labelHand.cap(s.fonts)+steps(1.5), steps(markSize/2+1), steps(0.75)
	for _, q := range off {
		text := q.label()
		x, y, w := at.left+q.x, at.bottom-q.y, labelHand.width(s.fonts, text)
		right := box{x + side, y - h/2, x + side + w, y - h/2 + h}
		over := box{x - w/2, y - side - h, x - w/2 + w, y - side}
		for _, b := range []box{right, right.move(-2*side-w, 0), over, over.move(0, 2*side+h)} {
			if taken.free(b) {
				taken.take(b)
				write(r, labelHand, text, b.left, b.bottom-gap)
				break
			}
		}
	}
}

// obstacles are the squares of the canvas that marks and lines take.
func (s *square) obstacles(at canvas) *cells {
	taken := newCells(at.box)
	for _, q := range s.spots {
		half, x, y := steps(s.signs[q.sign].size/2), at.left+q.x, at.bottom-q.y
		taken.take(box{x - half, y - half, x + half, y + half})
	}
	for _, l := range s.agreement.Limits {
		x, y := at.x(l.Value), at.y(l.Value)
		taken.take(box{at.left, y - 1, at.right, y + 1})
		taken.take(box{x - 1, at.top, x + 1, at.bottom})
	}
	for _, f := range append(s.guides(), 1) {
		from, to := s.ruler.crossing(f)
		x0, y0, x1, y1 := at.x(from), at.y(f*from), at.x(to), at.y(f*to)
		n := max(1, x1-x0, y0-y1) / grid
		for i := range n + 1 {
			x, y := x0+(x1-x0)*i/max(n, 1), y0+(y1-y0)*i/max(n, 1)
			taken.take(box{x - 1, y - 1, x + 1, y + 1})
		}
	}
	return taken
}

// nameGuide writes the factor of a line beside it, as near to its upper end as
// there is room.
func (s *square) nameGuide(r chart.Renderer, at canvas, taken *cells, f float64) {
	text := s.spellFactor(f)
	w, h, gap := labelHand.width(s.fonts, text), labelHand.cap(s.fonts)+steps(1.5), steps(1.5)
	from, to := s.ruler.crossing(f)
	x0, y0, x1, y1 := at.x(from), at.y(f*from), at.x(to), at.y(f*to)
	const tries = 24
	for i := tries; i > 0; i-- {
		x, y := x0+(x1-x0)*i/tries, y0+(y1-y0)*i/tries
		// Before a rising line and over it, or behind it and under it.
		for _, b := range []box{{x - gap - w, y - gap - h, x - gap, y - gap}, {x + gap, y + gap, x + gap + w, y + gap + h}} {
			if taken.free(b) {
				taken.take(b)
				write(r, labelHand, text, b.left, b.bottom-steps(0.75))
				return
			}
		}
	}
}

// nameLine writes along the line of agreement what it is, over it or under it,
// as near to its upper end as there is room. The legend has it in any case.
func (s *square) nameLine(r chart.Renderer, at canvas, taken *cells) {
	text := s.agreement.Words.Line
	// On the diagonal, a length along it takes 1/√2 of it on each scale.
	d := func(steps int) int { return int(float64(steps) / math.Sqrt2) }
	length, up := d(labelHand.width(s.fonts, text)), d(labelHand.cap(s.fonts))
	for _, off := range []int{d(steps(2)), -d(steps(2)) - up} {
		for end := s.ruler.domain - steps(6); end > length; end -= steps(2) {
			var strip []box
			free := true
			for k := 0; k <= length; k += grid {
				x, y := at.left+end-k-off, at.bottom-end+k-off
				b := box{x - up, y - up, x, y}
				strip, free = append(strip, b), free && taken.free(b)
			}
			if !free {
				continue
			}
			for _, b := range strip {
				taken.take(b)
			}
			labelHand.take(r)
			r.SetTextRotation(-math.Pi / 4)
			r.Text(text, at.left+end-length-off, at.bottom-end+length-off)
			r.ClearTextRotation()
			return
		}
	}
}

func (s *square) drawHead(r chart.Renderer, at canvas) {
	if s.agreement.Title != "" {
		write(r, titleHand, titleHand.fit(s.fonts, s.agreement.Title, s.width), 0, steps(titleHand.size))
	}
	drawLegend(r, s.fonts, s.legend, s.legendLeft, at.top-steps(space))
}

// Cells are a canvas in squares of a point, each free or taken: whether a
// label finds room is asked thousands of times.
type cells struct {
	canvas box
	wide   int
	taken  []bool
}

func newCells(canvas box) *cells {
	wide, high := (canvas.right-canvas.left)/grid+1, (canvas.bottom-canvas.top)/grid+1
	return &cells{canvas, wide, make([]bool, wide*high)}
}

// each goes through the squares of b on the canvas until f reports false.
func (c *cells) each(b box, f func(taken *bool) bool) {
	left, right := max(b.left, c.canvas.left)-c.canvas.left, min(b.right, c.canvas.right)-c.canvas.left
	top, bottom := max(b.top, c.canvas.top)-c.canvas.top, min(b.bottom, c.canvas.bottom)-c.canvas.top
	for y := top / grid; y*grid < bottom; y++ {
		for x := left / grid; x*grid < right; x++ {
			if !f(&c.taken[y*c.wide+x]) {
				return
			}
		}
	}
}

func (c *cells) take(b box) {
	c.each(b, func(taken *bool) bool { *taken = true; return true })
}

// free reports whether b lies on the canvas and on nothing that is taken.
func (c *cells) free(b box) bool {
	free := b.left > c.canvas.left && b.right <= c.canvas.right && b.top >= c.canvas.top && b.bottom < c.canvas.bottom
	if free {
		c.each(b, func(taken *bool) bool { free = !*taken; return free })
	}
	return free
}
