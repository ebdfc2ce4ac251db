package plot

import (
	"fmt"
	"math"
	"slices"

	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"

	"saltline/internal/frame"
)

// A daysGeometry is what all panels of one plot share.
type daysGeometry struct {
	*geometry
	days  Days
	chart Chart // the axis, its levels and the head are drawn as those of a Chart
	small bool  // the marks stand close
}

var (
	seriesPen = pen{width: 0.6, colour: grey(0x50)}
	centrePen = pen{width: 0.7, colour: black}
)

const (
	smallMark = 3.2 // where the marks stand close
	closeSlot = 7 * grid
	apartGap  = 0.8 // between two stops with a pause between them, in slots
	dayMargin = 0.6 // before the first stop and behind the last, in slots
)

// geometry divides the frame.
func (d Days) geometry(fonts *frame.Fonts, w, h float64) (*daysGeometry, error) {
	c := Chart{Title: d.Title, YLabel: d.YLabel, Words: Words{Number: d.Words.Number, Broken: d.Words.Broken, Panel: d.Words.Panel}}
	at := func(v float64) { c.Points = append(c.Points, Point{Value: v, Low: v, High: v}) } // for the scale
	for _, l := range d.Levels {
		c.Limits = append(c.Limits, Limit{l.Value, l.Label})
		at(min(l.Value, 0))
	}
	for _, s := range d.Series {
		for _, v := range s.Values {
			if isValue(v) {
				at(v)
			}
		}
	}
	g, err := newGeometry(c, fonts, w, h, false)
	if err != nil {
		return nil, err
	}
	dg := &daysGeometry{geometry: g, days: d, chart: c}
	slots := float64(min(len(d.Stops), StopsPerPanel))
	dg.small = float64(g.width-g.left-g.right)/slots < closeSlot
	g.legend = dg.legend()
	g.top = len(g.legend)*legendLine + steps(3*space)
	if d.Title != "" {
		g.top += steps(titleHand.size + 2*space)
	}
	g.bottom = steps(3*space) + nameLine
	if g.height-g.top-g.bottom < leastCanvasHeight {
		return nil, errTooSmall
	}
	g.scale.head = float64(steps(markSize)) / float64(g.height-g.top-g.bottom)
	return dg, nil
}

func (g *daysGeometry) size() float64 {
	if g.small {
		return smallMark
	}
	return markSize
}

// legend lists what occurs, in lines that fit the frame.
func (g *daysGeometry) legend() [][]entry {
	var all []entry
	sign := func(s Series, mark frame.Mark) func(chart.Renderer, int, int) {
		return func(r chart.Renderer, x, y int) {
			if s.Joined && mark == s.Mark {
				line(r, seriesPen, x-steps(4), y, x+steps(4), y)
			}
			drawMark(r, mark, markSize, black, x, y)
		}
	}
	for _, s := range g.days.Series {
		if slices.ContainsFunc(s.Values, isValue) {
			all = append(all, entry{sign(s, s.Mark), s.Label, plainHand})
		}
		if slices.Contains(s.Out, true) {
			all = append(all, entry{sign(s, s.OutMark), s.OutLabel, plainHand})
		}
	}
	if len(g.days.Stops) > 1 && g.days.Words.Apart != "" && slices.ContainsFunc(g.days.Stops[1:], func(s Stop) bool { return s.Apart }) {
		all = append(all, entry{nil, g.days.Words.Apart, plainHand})
	}
	if g.scale.broken {
		all = append(all, entry{nil, fmt.Sprintf(g.days.Words.Broken, g.days.Words.Number(g.scale.high, g.scale.decimals())), noteHand})
	}
	return legendLines(g.fonts, all, g.width)
}

// A daysPanel is one frame: the stops from first on.
type daysPanel struct {
	*daysGeometry
	panel *panel // that of its axis and head
	first int
	slots []float64
}

// panel is the k-th of n.
func (g *daysGeometry) panel(k, n int) *daysPanel {
	from, to := k*len(g.days.Stops)/n, (k+1)*len(g.days.Stops)/n
	title := g.days.Title
	if n > 1 && title != "" {
		title += " " + fmt.Sprintf(g.days.Words.Panel, k+1, n)
	}
	p := &daysPanel{daysGeometry: g, panel: &panel{geometry: g.geometry, chart: g.chart, title: title}, first: from}
	slot := 0.0
	for i := from; i < to; i++ {
		if i > from {
			slot++
			if g.days.Stops[i].Apart {
				slot += apartGap
			}
		}
		p.slots = append(p.slots, slot)
	}
	return p
}

func (p *daysPanel) draw() (*frame.Frame, error) {
	margins := box{p.left, p.top, p.right, p.bottom}
	slots := &chart.ContinuousRange{Min: -dayMargin, Max: p.slots[len(p.slots)-1] + dayMargin}
	return drawLayers(p.fonts, p.width, p.height, margins, slots, p.scale,
		p.panel.drawAxis, p.panel.drawLimits, p.drawCentres, p.drawDates, p.drawLines, p.drawMarks, p.panel.drawHead)
}

// drawCentres draws the solid levels over their dashes.
func (p *daysPanel) drawCentres(r chart.Renderer, at canvas) {
	for _, l := range p.days.Levels {
		if l.Solid {
			line(r, centrePen, at.left, at.y(l.Value), at.right, at.y(l.Value))
		}
	}
}

// drawDates marks the stops and writes as many dates under them as fit: every
// second, third … of those that there are.
func (p *daysPanel) drawDates(r chart.Renderer, at canvas) {
	type date struct {
		x    int
		says string
		b    box
	}
	var dates []date
	top := at.bottom + steps(tickSize+1)
	for i, slot := range p.slots {
		x, says := at.x(slot), p.days.Stops[p.first+i].Label
		if says == "" && i == 0 { // a panel that begins within a day
			says = p.dayOf(p.first)
		}
		if says == "" {
			continue
		}
		line(r, axisPen, x, at.bottom, x, at.bottom+steps(tickSize)/2)
		w := labelHand.width(p.fonts, says)
		b := box{x - w/2, top, x - w/2 + w, top + nameLine}.into(0, p.width)
		dates = append(dates, date{x, says, b})
	}
	for every := 1; every <= len(dates); every++ {
		last, fit := math.MinInt/2, true
		for i := 0; i < len(dates) && fit; i += every {
			fit = dates[i].b.left >= last+steps(2*space)
			last = dates[i].b.right
		}
		if !fit && every < len(dates) {
			continue
		}
		for i := 0; i < len(dates); i += every {
			line(r, axisPen, dates[i].x, at.bottom, dates[i].x, at.bottom+steps(tickSize))
			write(r, labelHand, dates[i].says, dates[i].b.left, dates[i].b.top+steps(labelHand.size))
		}
		return
	}
}

// dayOf is the date of a stop: its own, or the one before it.
func (p *daysPanel) dayOf(stop int) string {
	for i := stop; i >= 0; i-- {
		if s := p.days.Stops[i].Label; s != "" {
			return s
		}
	}
	return ""
}

// drawLines joins the values of a series. A stop without a value is passed
// over; a gap is not.
func (p *daysPanel) drawLines(r chart.Renderer, at canvas) {
	for _, s := range p.days.Series {
		if !s.Joined {
			continue
		}
		var xy []int
		end := func() {
			if len(xy) > 2 {
				line(r, seriesPen, xy...)
			}
			xy = nil
		}
		for i, slot := range p.slots {
			if p.days.Stops[p.first+i].Apart {
				end()
			}
			if v := s.Values[p.first+i]; isValue(v) {
				xy = append(xy, at.x(slot), at.y(v))
			}
		}
		end()
	}
}

// drawMarks draws the marks, those of the first series over the others: what
// is joined must be seen.
func (p *daysPanel) drawMarks(r chart.Renderer, at canvas) {
	for _, s := range slices.Backward(p.days.Series) {
		for i, slot := range p.slots {
			v := s.Values[p.first+i]
			switch {
			case !isValue(v):
			case s.Out != nil && s.Out[p.first+i]:
				drawMark(r, s.OutMark, markSize, outColour(s.OutMark), at.x(slot), at.y(v))
			default:
				drawMark(r, s.Mark, p.size(), black, at.x(slot), at.y(v))
			}
		}
	}
}

// outColour helps where there is colour: the shape says it.
func outColour(m frame.Mark) drawing.Color {
	if m == frame.SolidDiamond {
		return failRed
	}
	return black
}
