package frame

// A Path is a line or an area. Its segments are placed from the place of the
// path itself.
type Path struct {
	Segs []Seg
	Pen  Pen
	Fill Fill
}

// An Op is what a segment does.
type Op byte

const (
	Move  Op = 'M' // to P[0], starting a new part
	Line  Op = 'L' // to P[0]
	Curve Op = 'C' // to P[2], a Bézier curve with the control points P[0] and P[1]
	Close Op = 'Z' // back to the start of the part
)

// A Seg is one step of a path.
type Seg struct {
	Op Op
	P  [3]Point
}

// A Point is a place.
type Point struct{ X, Y float64 }

// points is how many of P an operator uses.
func (op Op) points() int {
	switch op {
	case Move, Line:
		return 1
	case Curve:
		return 3
	}
	return 0
}

// MoveTo starts a new part of p at x, y.
func (p *Path) MoveTo(x, y float64) {
	p.Segs = append(p.Segs, Seg{Op: Move, P: [3]Point{{x, y}}})
}

// LineTo adds a straight line to x, y.
func (p *Path) LineTo(x, y float64) {
	p.Segs = append(p.Segs, Seg{Op: Line, P: [3]Point{{x, y}}})
}

// CurveTo adds a Bézier curve to c with the control points a and b.
func (p *Path) CurveTo(a, b, c Point) {
	p.Segs = append(p.Segs, Seg{Op: Curve, P: [3]Point{a, b, c}})
}

// Close closes the current part of p.
func (p *Path) Close() { p.Segs = append(p.Segs, Seg{Op: Close}) }

// HLine is a line of length w to the right of its place.
func HLine(w float64, pen Pen) Path { return Polyline(pen, Point{}, Point{w, 0}) }

// VLine is a line of length h below its place.
func VLine(h float64, pen Pen) Path { return Polyline(pen, Point{}, Point{0, h}) }

// Polyline is an open line through the points.
func Polyline(pen Pen, points ...Point) Path {
	p := Path{Pen: pen}
	for i, q := range points {
		if i == 0 {
			p.MoveTo(q.X, q.Y)
		} else {
			p.LineTo(q.X, q.Y)
		}
	}
	return p
}

// Polygon is a closed area with the points as corners.
func Polygon(pen Pen, fill Fill, points ...Point) Path {
	p := Polyline(pen, points...)
	p.Fill = fill
	p.Close()
	return p
}

// Rect is a rectangle whose place is its top left corner.
func Rect(w, h float64, pen Pen, fill Fill) Path {
	return Polygon(pen, fill, Point{}, Point{w, 0}, Point{w, h}, Point{0, h})
}

// circleHandle is the length of the control arms, in radii, of the four Bézier
// curves that come within 0.03 % of a circle: 4/3·(√2 − 1).
const circleHandle = 0.5522847498307936

// Circle is a circle of radius r whose place is its centre.
func Circle(r float64, pen Pen, fill Fill) Path {
	const k = circleHandle
	p := Path{Pen: pen, Fill: fill, Segs: make([]Seg, 0, 6)}
	p.MoveTo(r, 0)
	p.CurveTo(Point{r, k * r}, Point{k * r, r}, Point{0, r})
	p.CurveTo(Point{-k * r, r}, Point{-r, k * r}, Point{-r, 0})
	p.CurveTo(Point{-r, -k * r}, Point{-k * r, -r}, Point{0, -r})
	p.CurveTo(Point{k * r, -r}, Point{r, -k * r}, Point{r, 0})
	p.Close()
	return p
}
