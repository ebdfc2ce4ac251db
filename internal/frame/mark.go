package frame

// A Mark is a small shape that stands beside a word or on a plot. Marks are
// told apart by shape and by being filled or open, never by colour alone, and
// are drawn because the fonts have no such characters.
type Mark uint8

const (
	NoMark  Mark = iota
	Disc         // filled circle
	Ring         // open circle
	Square       // filled square
	Box          // open square
	Diamond      // open diamond
	SolidDiamond
	Triangle // filled triangle, point up
	Delta    // open triangle, point up
	Cross    // two crossing diagonals
	Tick     // the sign for done
	Dash     // short horizontal line
	lastMark = Dash
)

var markNames = [...]string{"", "disc", "ring", "square", "box", "diamond", "solid-diamond",
	"triangle", "delta", "cross", "tick", "dash"}

// String is the name of the shape.
func (m Mark) String() string { return markNames[m] }

// Proportions of the marks, in units of their size. The sides are chosen so
// that circle, square, diamond and triangle weigh about the same on paper.
const (
	circleRadius  = 0.46
	squareSide    = 0.82
	diamondHalf   = 0.56
	triangleHalf  = 0.52
	triangleRise  = 0.56 // of the point above the centre
	triangleDrop  = 0.38 // of the base below the centre
	crossHalf     = 0.40
	markPenWidth  = 0.13
	strokePenSize = 0.18 // for marks that are nothing but strokes
)

// Path draws m about its own centre, fitting a square of the given size.
func (m Mark) Path(size float64, c Colour) Path {
	pen := Pen{Width: markPenWidth * size, Colour: c}
	stroke := Pen{Width: strokePenSize * size, Colour: c}
	open, filled := Fill{}, Solid(c)
	switch m {
	case Disc:
		return Circle(circleRadius*size, pen, filled)
	case Ring:
		return Circle(circleRadius*size, pen, open)
	case Square:
		return square(size, pen, filled)
	case Box:
		return square(size, pen, open)
	case Diamond:
		return diamond(size, pen, open)
	case SolidDiamond:
		return diamond(size, pen, filled)
	case Triangle:
		return triangle(size, pen, filled)
	case Delta:
		return triangle(size, pen, open)
	case Cross:
		h := crossHalf * size
		p := Polyline(stroke, Point{-h, -h}, Point{h, h})
		p.MoveTo(-h, h)
		p.LineTo(h, -h)
		return p
	case Tick:
		return Polyline(stroke, Point{-0.42 * size, 0.02 * size}, Point{-0.12 * size, 0.34 * size}, Point{0.44 * size, -0.38 * size})
	case Dash:
		return Polyline(stroke, Point{-crossHalf * size, 0}, Point{crossHalf * size, 0})
	}
	return Path{}
}

func square(size float64, pen Pen, fill Fill) Path {
	h := squareSide / 2 * size
	return Polygon(pen, fill, Point{-h, -h}, Point{h, -h}, Point{h, h}, Point{-h, h})
}

func diamond(size float64, pen Pen, fill Fill) Path {
	h := diamondHalf * size
	return Polygon(pen, fill, Point{0, -h}, Point{h, 0}, Point{0, h}, Point{-h, 0})
}

func triangle(size float64, pen Pen, fill Fill) Path {
	h, base := triangleHalf*size, triangleDrop*size
	return Polygon(pen, fill, Point{0, -triangleRise * size}, Point{h, base}, Point{-h, base})
}
