package plot

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"saltline/internal/frame"
)

// A geometry is what all panels of a chart share, so that they can be read
// side by side. Lengths are on the grid.
type geometry struct {
	fonts         *frame.Fonts
	width, height int
	scale         *scale
	upright       bool // labels of fails stand upright

	left, right, top, bottom int // margins around the canvas
	legend                   [][]entry
	limits                   [][]string // label of each limit, in lines

	flatNames  bool // location names lie flat
	groupRow   bool // the group names stand in a row of their own
	nameHeight int  // of the location names
	noValues   bool // a strip under the axis holds the marks without a value
}

const (
	leastCanvasWidth  = 120 * grid
	leastCanvasHeight = 90 * grid
	leastSlot         = 8.5 * grid // width for one test: an upright label
	groupGap          = 0.6        // between two groups, in slots
	sideGap           = 0.7        // before the first and behind the last, in slots
	limitLabelWidth   = 88 * grid
	longestName       = 70 * grid // of an upright name
	leastName         = 20 * grid // that it is not cut to
	mostLines         = 3         // of a flat name
	nameLine          = 8 * grid
	legendLine        = 10 * grid
	stripHeight       = 9 * grid
	groupRowHeight    = 12 * grid
)

// newGeometry divides the frame, but for what depends on the panels.
func newGeometry(c Chart, fonts *frame.Fonts, w, h float64, upright bool) (*geometry, error) {
	if !(w > 0 && w < 10_000 && h > 0 && h < 10_000) {
		return nil, fmt.Errorf("a plot of %v × %v points cannot be drawn", w, h)
	}
	g := &geometry{fonts: fonts, width: steps(w), height: steps(h), upright: upright, scale: newScale(c.Points, c.Limits)}
	g.noValues = slices.ContainsFunc(c.Points, func(p Point) bool { return p.NoValue })

	ticks := 0
	for _, v := range g.scale.ticks() {
		ticks = max(ticks, plainHand.width(fonts, c.Words.Number(v, g.scale.decimals())))
	}
	g.left = ticks + steps(tickSize+2*space)
	if c.YLabel != "" {
		g.left += steps(plainHand.size + space)
	}
	g.right = steps(space)
	for _, l := range c.Limits {
		lines := plainHand.wrap(fonts, l.Label, limitLabelWidth)
		g.limits = append(g.limits, lines)
		for _, s := range lines {
			g.right = max(g.right, plainHand.width(fonts, s)+steps(2*space))
		}
	}
	g.legend = c.legend(fonts, g)
	g.top = len(g.legend)*legendLine + steps(3*space)
	if c.Title != "" {
		g.top += steps(titleHand.size + 2*space)
	}
	if g.width-g.left-g.right < leastCanvasWidth {
		return nil, errTooSmall
	}
	return g, nil
}

var errTooSmall = errors.New("the plot is too small for its labels")

// span is how many slots the points take.
func span(points []Point) float64 {
	n := 2*sideGap + float64(len(points)-1)
	for i := range points[1:] {
		if points[i].Group != points[i+1].Group {
			n += groupGap
		}
	}
	return n
}

// slot is the width for one test where the points share a canvas.
func (g *geometry) slot(points []Point) float64 {
	return float64(g.width-g.left-g.right) / span(points)
}

// split divides the points into panels of nearly the same number.
func (g *geometry) split(points []Point) [][]Point {
	for n := (len(points) + PerPanel - 1) / PerPanel; ; n++ {
		var panels [][]Point
		wide := true
		for k := range n {
			part := points[k*len(points)/n : (k+1)*len(points)/n]
			panels = append(panels, part)
			wide = wide && g.slot(part) >= leastSlot
		}
		if wide || n == len(points) {
			return panels
		}
	}
}

// name decides how the locations and groups are named under all panels, and
// with that the lower margin.
func (g *geometry) name(panels [][]Point) error {
	g.groupRow = slices.ContainsFunc(panels, func(ps []Point) bool {
		return slices.ContainsFunc(ps, func(p Point) bool { return p.Group != "" })
	})
	for _, points := range panels {
		slot := g.slot(points)
		for _, part := range groups(points) {
			room := int((float64(len(part)) - 1 + groupGap) * slot)
			g.groupRow = g.groupRow && plainHand.width(g.fonts, part[0].Group) <= room
		}
	}
	g.flatNames = true
	longest, lines := 0, 1
	for _, points := range panels {
		for _, p := range points {
			name := g.nameOf(p)
			longest = max(longest, labelHand.width(g.fonts, name))
			if g.flatNames { // until one is too long for it
				flat := g.flatName(points, name)
				lines = max(lines, len(flat))
				g.flatNames = len(flat) <= mostLines && strings.Join(flat, " ") == name
			}
		}
	}
	g.bottom = steps(2 * space)
	if g.groupRow {
		g.bottom += groupRowHeight
	}
	if g.noValues {
		g.bottom += stripHeight
	}
	// Long names give way to the canvas.
	room := g.height - g.top - g.bottom - leastCanvasHeight
	g.nameHeight = min(longest, longestName, max(room, leastName))
	if g.flatNames {
		g.nameHeight = lines * nameLine
	}
	g.bottom += g.nameHeight
	if g.nameHeight > room {
		return errTooSmall
	}
	return nil
}

// flatName is the name of a test of points in lines that fit its slot.
func (g *geometry) flatName(points []Point, name string) []string {
	return labelHand.wrap(g.fonts, name, int(0.92*g.slot(points)))
}

// nameOf is what stands under a test.
func (g *geometry) nameOf(p Point) string {
	switch {
	case g.groupRow || p.Group == "":
		return p.Label
	case p.Label == "":
		return p.Group
	}
	return p.Group + " · " + p.Label
}

// groups divides points where the group changes.
func groups(points []Point) [][]Point {
	var out [][]Point
	for i, p := range points {
		if i == 0 || p.Group != points[i-1].Group {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], p)
	}
	return out
}

// keepHead keeps the top of the canvas free for labels.
func (g *geometry) keepHead(panels []*panel) {
	head := 0
	for _, p := range panels {
		for i := range p.points {
			s := p.label(i)
			if s != "" && g.upright {
				head = max(head, failHand.width(g.fonts, s)+steps(2*space))
			} else if s != "" {
				head = max(head, steps(failHand.size+2*space))
			}
		}
	}
	canvas := g.height - g.top - g.bottom
	g.scale.head = min(0.5, float64(head)/float64(canvas))
}
