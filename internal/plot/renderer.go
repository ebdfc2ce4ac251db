package plot

import (
	"io"
	"math"
	"slices"

	"github.com/golang/freetype/truetype"
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"

	"saltline/internal/frame"
)

// grid is how fine a plot is drawn: the chart places everything on whole
// numbers, of which so many make a point of 1/72 inch. A step is 0.02 mm,
// less than any pen.
const grid = 20

// A renderer puts what a chart draws into a frame. All its lengths are on the
// grid, sizes of type are in points.
type renderer struct {
	fonts        *frame.Fonts
	out          *frame.Frame
	dpi          float64
	stroke, fill drawing.Color
	ink          drawing.Color
	width        float64
	dash         []float64
	face         frame.Face
	size         float64
	turn         float64 // clockwise, in radians
	path         frame.Path
	at           frame.Point // where the path is

	// Marks and ticks repeat by the thousand, and frames stand in memory until
	// their pages are written: those of one shape share their segments.
	circles map[float64][]frame.Seg     // by radius, in points
	lines   map[frame.Point][]frame.Seg // straight ones by their other end
}

var _ chart.Renderer = (*renderer)(nil)

func newRenderer(fonts *frame.Fonts, out *frame.Frame) *renderer {
	return &renderer{fonts: fonts, out: out, circles: map[float64][]frame.Seg{}, lines: map[frame.Point][]frame.Seg{}}
}

// pt is a length on the grid in points.
func pt(steps float64) float64 { return steps / grid }

// colour puts a translucent colour on the white paper: a page needs no
// transparency then.
func colour(c drawing.Color) frame.Colour {
	on := func(v uint8) uint8 { return uint8(math.Round(255 - (255-float64(v))*float64(c.A)/255)) }
	return frame.Colour{R: on(c.R), G: on(c.G), B: on(c.B)}
}

func (r *renderer) ResetStyle() {
	r.stroke, r.fill, r.ink = drawing.Color{}, drawing.Color{}, drawing.Color{}
	r.width, r.dash, r.face, r.turn = 0, nil, frame.Regular, 0
}

func (r *renderer) GetDPI() float64                { return r.dpi }
func (r *renderer) SetDPI(dpi float64)             { r.dpi = dpi }
func (r *renderer) SetStrokeColor(c drawing.Color) { r.stroke = c }
func (r *renderer) SetFillColor(c drawing.Color)   { r.fill = c }
func (r *renderer) SetStrokeWidth(w float64)       { r.width = w }
func (r *renderer) SetStrokeDashArray(d []float64) { r.dash = d }
func (r *renderer) SetFont(*truetype.Font)         {} // the faces of the document are used
func (r *renderer) SetFontColor(c drawing.Color)   { r.ink = c }
func (r *renderer) SetFontSize(size float64)       { r.size = size }
func (r *renderer) SetTextRotation(turn float64)   { r.turn = turn }
func (r *renderer) ClearTextRotation()             { r.turn = 0 }
func (r *renderer) Save(io.Writer) error           { return nil }

// SetClassName chooses the face of the text that follows by its name.
func (r *renderer) SetClassName(name string) {
	r.face = frame.Regular
	for _, f := range []frame.Face{frame.SemiBold, frame.Italic, frame.Condensed, frame.CondensedSemiBold} {
		if f.String() == name {
			r.face = f
		}
	}
}

func (r *renderer) MoveTo(x, y int) {
	p := r.place(float64(x), float64(y))
	r.path.MoveTo(p.X, p.Y)
}

func (r *renderer) LineTo(x, y int) {
	p := r.place(float64(x), float64(y))
	if len(r.path.Segs) == 0 {
		r.path.MoveTo(p.X, p.Y)
		return
	}
	r.path.LineTo(p.X, p.Y)
}

// QuadCurveTo draws a parabola, as the cubic curve that is the same.
func (r *renderer) QuadCurveTo(cx, cy, x, y int) {
	c, end := r.place(float64(cx), float64(cy)), r.place(float64(x), float64(y))
	start := r.end()
	toward := func(p frame.Point) frame.Point {
		return frame.Point{X: p.X + 2*(c.X-p.X)/3, Y: p.Y + 2*(c.Y-p.Y)/3}
	}
	r.path.CurveTo(toward(start), toward(end), end)
}

// ArcTo draws an arc as a line with a corner every 5 degrees or less.
func (r *renderer) ArcTo(cx, cy int, rx, ry, start, delta float64) {
	n := max(1, int(math.Ceil(math.Abs(delta)/(math.Pi/36))))
	for i := range n + 1 {
		a := start + delta*float64(i)/float64(n)
		p := r.place(float64(cx)+rx*math.Cos(a), float64(cy)+ry*math.Sin(a))
		if len(r.path.Segs) == 0 {
			r.path.MoveTo(p.X, p.Y)
		} else {
			r.path.LineTo(p.X, p.Y)
		}
	}
}

func (r *renderer) Close() { r.path.Close() }

// place is x, y in points, from the beginning of the path.
func (r *renderer) place(x, y float64) frame.Point {
	if len(r.path.Segs) == 0 {
		r.at = frame.Point{X: pt(x), Y: pt(y)}
	}
	return frame.Point{X: pt(x) - r.at.X, Y: pt(y) - r.at.Y}
}

// end is where the path has come to.
func (r *renderer) end() frame.Point {
	if len(r.path.Segs) == 0 {
		r.path.MoveTo(0, 0)
	}
	s := r.path.Segs[len(r.path.Segs)-1]
	if s.Op == frame.Curve {
		return s.P[2]
	}
	return s.P[0]
}

func (r *renderer) Stroke()     { r.draw(true, false) }
func (r *renderer) Fill()       { r.draw(false, true) }
func (r *renderer) FillStroke() { r.draw(true, true) }

// draw puts the path, if it is to be seen, and begins a new one.
func (r *renderer) draw(stroke, fill bool) {
	p := r.path
	r.path = frame.Path{}
	if len(p.Segs) == 2 && p.Segs[1].Op == frame.Line {
		end := p.Segs[1].P[0]
		if same := r.lines[end]; same != nil {
			p.Segs, r.path.Segs = same, p.Segs[:0] // drawn anew in the same place
		} else {
			r.lines[end] = p.Segs
		}
	}
	if stroke && r.stroke.A > 0 && r.width > 0 {
		p.Pen = frame.Pen{Width: pt(r.width), Colour: colour(r.stroke)}
		for _, d := range r.dash {
			p.Pen.Dash = append(p.Pen.Dash, pt(d))
		}
	}
	if fill && r.fill.A > 0 {
		p.Fill = frame.Solid(colour(r.fill))
	}
	if len(p.Segs) > 0 && (p.Pen.Width > 0 || p.Fill.On) {
		r.out.Put(r.at.X, r.at.Y, p)
	}
}

// Circle makes a circle the path; the chart draws it afterwards.
func (r *renderer) Circle(radius float64, x, y int) {
	r.at = frame.Point{X: pt(float64(x)), Y: pt(float64(y))}
	segs := r.circles[radius]
	if segs == nil {
		segs = slices.Clip(frame.Circle(pt(radius), frame.Pen{}, frame.Fill{}).Segs)
		r.circles[radius] = segs
	}
	r.path = frame.Path{Segs: segs}
}

func (r *renderer) Text(s string, x, y int) {
	if s == "" {
		return
	}
	r.out.Put(pt(float64(x)), pt(float64(y)), frame.Text{
		S: r.fonts.Shown(r.face, s), Face: r.face, Size: r.size, Colour: colour(r.ink), Rotate: -r.turn * 180 / math.Pi,
	})
}

func (r *renderer) MeasureText(s string) chart.Box {
	m := r.fonts.Metrics(r.face, r.size)
	box := chart.Box{
		Right:  int(math.Ceil(r.fonts.Width(r.face, r.size, r.fonts.Shown(r.face, s)) * grid)),
		Bottom: int(math.Ceil((m.Ascent + m.Descent) * grid)),
	}
	if r.turn != 0 {
		return box.Corners().Rotate(r.turn * 180 / math.Pi).Box()
	}
	return box
}
