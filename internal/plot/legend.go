package plot

import (
	"fmt"
	"slices"

	chart "github.com/wcharczuk/go-chart/v2"

	"saltline/internal/frame"
)

// An entry of the legend is a sign and what it means.
type entry struct {
	sign func(r chart.Renderer, x, y int) // draws about x, y; nil for none
	says string
	hand hand
}

const signWidth = 9 * grid

// legend lists what occurs in the chart, in lines that fit the frame.
func (c Chart) legend(fonts *frame.Fonts, g *geometry) [][]entry {
	occurs := func(f func(Point) bool) bool { return slices.ContainsFunc(c.Points, f) }
	var all []entry
	for _, v := range []Verdict{Pass, Fail, NotEstablished, Void} {
		if occurs(func(p Point) bool { return p.Verdict == v }) {
			sign := func(r chart.Renderer, x, y int) { drawMark(r, marks[v], markSize, v.colour(), x, y) }
			all = append(all, entry{sign, c.Words.Verdicts[v], plainHand})
		}
	}
	if c.Bars != "" && occurs(func(p Point) bool { return !p.NoValue && p.Low < p.High }) {
		all = append(all, entry{barSign, c.Bars, plainHand})
	}
	if c.joins() {
		all = append(all, entry{retestSign, c.Words.Joined, plainHand})
	}
	if g.noValues {
		all = append(all, entry{nil, c.Words.NoValue, plainHand})
	}
	if g.scale.broken {
		from := c.Words.Number(g.scale.high, g.scale.decimals())
		all = append(all, entry{nil, fmt.Sprintf(c.Words.Broken, from), noteHand})
	}
	return legendLines(fonts, all, g.width)
}

// legendLines puts entries into lines of a width.
func legendLines(fonts *frame.Fonts, all []entry, width int) [][]entry {
	var lines [][]entry
	x := 0
	for _, e := range all {
		e.says = e.hand.fit(fonts, e.says, width-signWidth-steps(space))
		w := e.width(fonts)
		if len(lines) == 0 || x+w > width {
			lines = append(lines, nil)
			x = 0
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], e)
		x += w + steps(4*space)
	}
	return lines
}

func (e entry) width(fonts *frame.Fonts) int {
	w := e.hand.width(fonts, e.says)
	if e.sign != nil {
		w += signWidth
	}
	return w
}

// drawLegend draws the lines from left, y downwards.
func drawLegend(r chart.Renderer, fonts *frame.Fonts, lines [][]entry, left, y int) {
	for _, line := range lines {
		y += legendLine
		x := left
		for _, e := range line {
			at := x
			if e.sign != nil {
				e.sign(r, x+steps(markSize/2), y-e.hand.cap(fonts)/2)
				at += signWidth
			}
			write(r, e.hand, e.says, at, y)
			x += e.width(fonts) + steps(4*space)
		}
	}
}

func barSign(r chart.Renderer, x, y int) { bar(r, x, y-steps(3), y+steps(3)) }

func retestSign(r chart.Renderer, x, y int) {
	arc(r, retestPen, x-steps(3.5), y-steps(1), x+steps(3.5), y+steps(2), steps(4))
}

// bar draws the bar of a test from y0 to y1.
func bar(r chart.Renderer, x, y0, y1 int) {
	c := steps(capHalf)
	line(r, barPen, x, y0, x, y1)
	line(r, barPen, x-c, y0, x+c, y0)
	line(r, barPen, x-c, y1, x+c, y1)
}

// joins reports whether a retest of the chart is joined to its fail.
func (c Chart) joins() bool {
	return slices.ContainsFunc(failsOf(c.Points), func(fail int) bool { return fail >= 0 })
}
