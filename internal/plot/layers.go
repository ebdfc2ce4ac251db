package plot

import (
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

func (v Verdict) colour() drawing.Color {
	if v == Fail {
		return failRed
	}
	return black
}

// drawAxis draws the axes, their ticks and a faint grid.
func (p *panel) drawAxis(r chart.Renderer, at canvas) {
	least := steps(plainHand.size + 1)
	last := at.bottom + 2*least
	for i, v := range p.scale.ticks() {
		y := at.y(v)
		isTop := p.scale.broken && i == len(p.scale.ticks())-1
		if last-y < least && !isTop {
			continue // the lower end of the upper part, where the parts lie close
		}
		last = y
		if y != at.bottom {
			line(r, gridPen, at.left, y, at.right, y)
		}
		line(r, axisPen, at.left-steps(tickSize), y, at.left, y)
		s := p.chart.Words.Number(v, p.scale.decimals())
		write(r, plainHand, s, at.left-steps(tickSize+space)-plainHand.width(p.fonts, s), y+plainHand.cap(p.fonts)/2)
	}
	line(r, axisPen, at.left, at.bottom, at.right, at.bottom)
	if p.scale.low < 0 {
		line(r, axisPen, at.left, at.y(0), at.right, at.y(0))
	}
	line(r, axisPen, at.left, at.top, at.left, at.bottom)
	if p.scale.broken {
		p.drawBreak(r, at)
	}
	if s := p.chart.YLabel; s != "" {
		s = plainHand.fit(p.fonts, s, at.bottom-at.top)
		middle := (at.top + at.bottom + plainHand.width(p.fonts, s)) / 2
		writeUp(r, plainHand, s, steps(plainHand.size), middle)
	}
}

// drawBreak opens the axis between its two parts and draws the usual two
// strokes there.
func (p *panel) drawBreak(r chart.Renderer, at canvas) {
	low, high := at.y(p.scale.high), at.y(p.scale.above)
	middle := (low + high) / 2
	dx, dy, gap := steps(3.5), steps(1.5), steps(1.2)
	blank(r, box{at.left - steps(1), middle - gap, at.left + steps(1), middle + gap})
	for _, y := range []int{middle - gap, middle + gap} {
		line(r, axisPen, at.left-dx, y+dy, at.left+dx, y-dy)
	}
}

// drawLimits draws the limits, each labelled beside its end.
func (p *panel) drawLimits(r chart.Renderer, at canvas) {
	height := steps(plainHand.size + 1.5)
	lowest := at.top - height // of the labels so far: the limits come from the highest down
	for i, l := range p.chart.Limits {
		y := at.y(l.Value)
		line(r, limitPen, at.left, y, at.right, y)
		lines := p.limits[i]
		top := max(lowest, y-height*len(lines)/2)
		for k, s := range lines {
			write(r, plainHand, s, at.right+steps(space), top+k*height+height/2+plainHand.cap(p.fonts)/2)
		}
		lowest = top + height*len(lines)
	}
}

// drawRetests joins each retest to its fail, where both are in the panel, by a
// curve: a straight line could run through the marks between them.
func (p *panel) drawRetests(r chart.Renderer, at canvas) {
	for i, q := range p.points {
		if j := p.failOf(i); j >= 0 && !q.NoValue && !p.points[j].NoValue {
			x0, y0 := p.mark(at, j)
			x1, y1 := p.mark(at, i)
			arc(r, retestPen, x0, y0, x1, y1, min(steps(riseOf), min(y0, y1)-at.top))
		}
	}
}

// failOf is the index of the test that point i repeats. It is -1 where the panel
// has none.
func (p *panel) failOf(i int) int {
	if p.fails == nil {
		p.fails = failsOf(p.points)
	}
	return p.fails[i]
}

// failsOf are those of all points, in their order.
func failsOf(points []Point) []int {
	return fails(len(points), func(i int) named {
		q := &points[i]
		return named{q.Number, q.RetestOf, q.Test, q.Fail}
	})
}

// A named test has a number, and may say which it repeats.
type named struct {
	number, retestOf string
	test, fail       int
}

// fails are, of n tests in their order, the indexes of the tests that they
// repeat, -1 for none: the one that a test says or, where tests have nothing but
// their numbers, the last of that number before it.
func fails(n int, of func(i int) named) []int {
	repeated := make([]int, n)
	byTest, byNumber := map[int]int{}, map[string]int{} // of those that are asked for
	for i := range n {
		q := of(i)
		if q.fail != 0 {
			byTest[q.fail] = -1
		}
		if q.test == 0 && q.retestOf != "" {
			byNumber[q.retestOf] = -1
		}
	}
	for i := range n {
		t := of(i).test
		if j, asked := byTest[t]; asked && j < 0 {
			byTest[t] = i
		}
	}
	for i := range n {
		q := of(i)
		repeated[i] = -1
		if j, asked := byTest[q.fail]; asked {
			repeated[i] = j
		}
		if repeated[i] < 0 && q.test == 0 && q.retestOf != "" {
			repeated[i] = byNumber[q.retestOf]
		}
		if _, asked := byNumber[q.number]; asked {
			byNumber[q.number] = i
		}
	}
	return repeated
}

func (p *panel) drawBars(r chart.Renderer, at canvas) {
	for i, q := range p.points {
		if x, _ := p.mark(at, i); !q.NoValue && q.Low < q.High {
			bar(r, x, at.y(q.High), p.lowEnd(at, q))
		}
	}
}

func (p *panel) drawMarks(r chart.Renderer, at canvas) {
	for i, q := range p.points {
		x, y := p.mark(at, i)
		drawMark(r, marks[q.Verdict], markSize, q.Verdict.colour(), x, y)
	}
}

// drawNames names the location of each test under the axis, flat or upright,
// and the groups under them.
func (p *panel) drawNames(r chart.Renderer, at canvas) {
	top := at.bottom + steps(space)
	if p.noValues {
		top += stripHeight
	}
	height := labelHand.cap(p.fonts)
	for i, q := range p.points {
		x, name := at.x(p.slots[i]), p.nameOf(q)
		line(r, axisPen, x, at.bottom, x, at.bottom+steps(tickSize)/2)
		if p.flatNames {
			for k, s := range p.flatName(p.points, name) {
				write(r, labelHand, s, x-labelHand.width(p.fonts, s)/2, top+k*nameLine+steps(labelHand.size)-steps(1))
			}
			continue
		}
		name = labelHand.fitEnds(p.fonts, name, p.nameHeight)
		writeUp(r, labelHand, name, x+height/2, top+labelHand.width(p.fonts, name))
	}
	if !p.groupRow {
		return
	}
	y := top + p.nameHeight + steps(space)
	first := 0
	for _, part := range groups(p.points) {
		last := first + len(part) - 1
		left, right := at.x(p.slots[first])-steps(space), at.x(p.slots[last])+steps(space)
		if s := part[0].Group; s != "" {
			line(r, axisPen, left, y, right, y)
			write(r, plainHand, s, (left+right-plainHand.width(p.fonts, s))/2, y+steps(plainHand.size+1))
		}
		first = last + 1
	}
}

// drawHead draws the title and the legend.
func (p *panel) drawHead(r chart.Renderer, _ canvas) {
	y := 0
	if p.title != "" {
		write(r, titleHand, titleHand.fit(p.fonts, p.title, p.width), 0, steps(titleHand.size))
		y = steps(titleHand.size + space)
	}
	drawLegend(r, p.fonts, p.legend, 0, y)
}
