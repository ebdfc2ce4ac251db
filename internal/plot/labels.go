package plot

import (
	"fmt"
	"slices"

	chart "github.com/wcharczuk/go-chart/v2"
)

// failText is the label of a fail, "" for any other test.
func (c Chart) failText(p Point) string {
	if p.Verdict != Fail || p.NoValue {
		return ""
	}
	return fmt.Sprintf(c.Words.Failed, p.Number, c.spell(p.Value))
}

// spell spells a value with one decimal, or with more where it would read as
// if it were a limit that it is not.
func (c Chart) spell(v float64) string {
	for decimals := 1; ; decimals++ {
		s := c.Words.Number(v, decimals)
		same := func(l Limit) bool { return l.Value != v && c.Words.Number(l.Value, decimals) == s }
		if decimals == mostDecimals || !slices.ContainsFunc(c.Limits, same) {
			return s
		}
	}
}

const mostDecimals = 6

// label is what stands beside the mark of point i, "" for nothing: a fail has
// its number and value, and a retest whose fail is not in the panel says so,
// but for a fail with an upright label, which has to be short.
func (p *panel) label(i int) string {
	q := p.points[i]
	s := p.chart.failText(q)
	if q.RetestOf != "" && p.failOf(i) < 0 && (s == "" || !p.upright) {
		if s != "" {
			s += " · "
		}
		s += fmt.Sprintf(p.chart.Words.RetestOf, q.RetestOf)
	}
	return s
}

// highest is how many lines a flat label may be raised to find room.
const highest = 4

// drawLabels writes the labels beside their marks, where they cover nothing.
func (p *panel) drawLabels(r chart.Renderer, at canvas) {
	taken := p.obstacles(at)
	for i := range p.points {
		s := p.label(i)
		if s == "" {
			continue
		}
		if p.upright {
			p.writeUpright(r, at, i, s)
			continue
		}
		b, raised, ok := p.room(at, i, s, taken)
		p.fit = p.fit && ok
		taken = append(taken, b)
		x, _ := p.mark(at, i)
		top, _ := p.ends(at, i)
		if raised {
			line(r, leaderPen, x, top, x, b.bottom)
		}
		blank(r, box{b.left, b.top + steps(0.5), b.right, b.bottom - steps(0.5)})
		write(r, failHand, s, b.left, b.bottom-steps(1.5))
	}
}

// obstacles are the marks, the bars and the limits.
func (p *panel) obstacles(at canvas) []box {
	var taken []box
	for i := range p.points {
		x, y := p.mark(at, i)
		top, bottom := p.ends(at, i)
		half, arm := steps(markSize/2), steps(capHalf)
		taken = append(taken, box{x - half, y - half, x + half, y + half}, box{x - arm, top, x + arm, bottom})
	}
	for _, l := range p.chart.Limits {
		y := at.y(l.Value)
		taken = append(taken, box{at.left, y - steps(0.5), at.right, y + steps(0.5)})
	}
	return taken
}

// room finds a place for a flat label: over the mark and its bar, to the
// right, to the left, under it, or raised over its neighbours with a line
// down to the mark.
func (p *panel) room(at canvas, i int, s string, taken []box) (b box, raised, ok bool) {
	x, y := p.mark(at, i)
	top, bottom := p.ends(at, i)
	w, h, gap := failHand.width(p.fonts, s), steps(failHand.size+0.5), steps(1)
	side := steps(markSize/2 + 2)
	over := box{x - w/2, top - gap - h, x - w/2 + w, top - gap}.into(at.left+2*gap, at.right)
	beside := box{x + side, y - h/2, x + side + w, y - h/2 + h}
	free := func(b box) bool {
		return b.left > at.left && b.right <= at.right && b.top >= at.top && b.bottom < at.bottom && !b.overlapsAny(taken)
	}
	for _, b := range []box{over, beside, beside.move(-2*side-w, 0), over.move(0, bottom-top+2*gap+h)} {
		if free(b) {
			return b, false, true
		}
	}
	for k := range highest {
		if b := over.move(0, -(k+1)*h); free(b) {
			return b, true, true
		}
	}
	return over, false, false
}

// writeUpright writes the label of point i upwards from its mark, on paper
// that keeps lines out of it.
func (p *panel) writeUpright(r chart.Renderer, at canvas, i int, s string) {
	x, _ := p.mark(at, i)
	top, bottom := p.ends(at, i)
	half, gap := steps(failHand.size/2), steps(1.5)
	s = failHand.fit(p.fonts, s, max(top-gap-at.top, at.bottom-bottom-2*gap))
	w := failHand.width(p.fonts, s)
	b := box{x - half, top - gap - w, x + half, top - gap}
	if b.top < at.top { // no room over the mark, but there is under it
		b = b.move(0, bottom-top+2*gap+w)
	}
	blank(r, b)
	writeUp(r, failHand, s, x+failHand.cap(p.fonts)/2, b.bottom)
}
