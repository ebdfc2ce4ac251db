package plot

import (
	"fmt"
	"io"

	"github.com/golang/freetype/truetype"
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"

	"saltline/internal/frame"
)

// A panel is one frame of a chart: up to 30 tests side by side.
type panel struct {
	*geometry
	chart  Chart
	points []Point
	slots  []float64 // where each point stands, in slots
	title  string
	fails  []int // see failOf; nil until it is asked for
	fit    bool  // all labels found room
}

// panels draws all panels. It reports whether all labels found room.
func (c Chart) panels(fonts *frame.Fonts, w, h float64, upright bool) (frames []*frame.Frame, fit bool, err error) {
	g, err := newGeometry(c, fonts, w, h, upright)
	if err != nil {
		return nil, false, err
	}
	parts := g.split(c.Points)
	if err := g.name(parts); err != nil {
		return nil, false, err
	}
	var panels []*panel
	for i, points := range parts {
		title := c.Title
		if len(parts) > 1 && title != "" {
			title += " " + fmt.Sprintf(c.Words.Panel, i+1, len(parts))
		}
		panels = append(panels, &panel{geometry: g, chart: c, points: points, slots: places(points), title: title, fit: true})
	}
	g.keepHead(panels)
	fit = true
	for _, p := range panels {
		f, err := p.draw()
		if err != nil {
			return nil, false, err
		}
		frames = append(frames, f)
		fit = fit && p.fit
	}
	return frames, fit, nil
}

// places are the slots of points, with a gap between groups.
func places(points []Point) []float64 {
	at := make([]float64, len(points))
	for i := range points[1:] {
		at[i+1] = at[i] + 1
		if points[i].Group != points[i+1].Group {
			at[i+1] += groupGap
		}
	}
	return at
}

// draw lets the chart draw the layers of the panel, each over those before.
func (p *panel) draw() (*frame.Frame, error) {
	margins := box{p.left, p.top, p.right, p.bottom}
	slots := &chart.ContinuousRange{Min: -sideGap, Max: p.slots[len(p.slots)-1] + sideGap}
	return drawLayers(p.fonts, p.width, p.height, margins, slots, p.scale,
		p.drawAxis, p.drawLimits, p.drawRetests, p.drawBars, p.drawMarks, p.drawLabels, p.drawNames, p.drawHead)
}

// drawLayers lets a chart of the given size draw layers on a canvas within
// margins, each layer over those before. Lengths are on the grid.
func drawLayers(fonts *frame.Fonts, width, height int, margins box, x, y chart.Range, layers ...layer) (*frame.Frame, error) {
	out := &frame.Frame{W: pt(float64(width)), H: pt(float64(height))}
	provider := func(int, int) (chart.Renderer, error) { return newRenderer(fonts, out), nil }
	unseen := chart.Style{FillColor: drawing.ColorTransparent, StrokeColor: drawing.ColorTransparent}
	background := unseen
	background.Padding = chart.Box{Left: margins.left, Top: margins.top, Right: margins.right, Bottom: margins.bottom, IsSet: true}
	var series []chart.Series
	for _, l := range layers {
		series = append(series, l)
	}
	err := chart.Chart{
		Width: width, Height: height, DPI: 72 * grid,
		Font:       new(truetype.Font), // never read: the renderer has its own
		Background: background,
		Canvas:     unseen,
		// The axes of the chart have fixed margins and ticks that are not
		// round; a layer draws ours.
		XAxis:          chart.XAxis{Style: chart.Hidden(), Range: x},
		YAxis:          chart.YAxis{Style: chart.Hidden(), Range: y},
		YAxisSecondary: chart.HideYAxis(),
		Series:         series,
	}.Render(provider, io.Discard)
	return out, err
}

// A layer is a part of a drawing. To the chart it is a series: it is told where
// the canvas lies and how values become places.
type layer func(r chart.Renderer, at canvas)

var _ chart.Series = layer(nil)

func (layer) GetName() string           { return "" }
func (layer) GetYAxis() chart.YAxisType { return chart.YAxisPrimary }
func (layer) GetStyle() chart.Style     { return chart.Style{} }
func (layer) Validate() error           { return nil }

// Render draws the layer.
func (l layer) Render(r chart.Renderer, b chart.Box, x, y chart.Range, _ chart.Style) {
	l(r, canvas{box{b.Left, b.Top, b.Right, b.Bottom}, x, y})
}

// A canvas is the area of the marks.
type canvas struct {
	box
	slots, values chart.Range
}

func (c canvas) x(slot float64) int  { return c.left + c.slots.Translate(slot) }
func (c canvas) y(value float64) int { return c.bottom - c.values.Translate(value) }

// mark is where the mark of point i stands: under the axis where it has no
// value.
func (p *panel) mark(at canvas, i int) (x, y int) {
	if p.points[i].NoValue {
		return at.x(p.slots[i]), at.bottom + stripHeight/2 + steps(1)
	}
	return at.x(p.slots[i]), at.y(p.points[i].Value)
}

// ends are the top and the bottom of a mark with its bar. A bar that reaches
// below 0 from a value that does not is cut there.
func (p *panel) ends(at canvas, i int) (top, bottom int) {
	_, y := p.mark(at, i)
	top, bottom = y-steps(markSize/2), y+steps(markSize/2)
	if q := p.points[i]; !q.NoValue {
		top, bottom = min(top, at.y(q.High)), max(bottom, p.lowEnd(at, q))
	}
	return top, bottom
}

func (p *panel) lowEnd(at canvas, q Point) int { return at.y(max(q.Low, min(q.Value, 0))) }
