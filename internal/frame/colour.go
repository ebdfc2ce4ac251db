package frame

import "fmt"

// A Colour is an sRGB colour. The zero Colour is black.
type Colour struct{ R, G, B uint8 }

// Black prints everywhere; White is the paper.
var (
	Black = Colour{}
	White = Grey(0xff)
)

// Grey is the neutral colour of lightness v, from 0 for black to 255 for white.
func Grey(v uint8) Colour { return Colour{v, v, v} }

// String is the colour as "#rrggbb".
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// A Pen draws the outline of a path. A pen of no width draws nothing.
type Pen struct {
	Width  float64
	Colour Colour
	Dash   []float64 // lengths on and off in turn; nil for a solid line
}

// A Fill covers the inside of a path. The zero Fill covers nothing.
type Fill struct {
	Colour Colour
	On     bool
}

// Solid is the fill of colour c.
func Solid(c Colour) Fill { return Fill{c, true} }
