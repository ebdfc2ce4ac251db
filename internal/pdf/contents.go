package pdf

import (
	"strconv"

	"saltline/internal/frame"
)

// contents is the content stream of a page (ISO 32000-1, 7.8.2) as it is
// spelled: operations one behind the other, each on a line of its own, in the
// very words of the library.
type contents []byte

// line writes a line that stands already.
func (c *contents) line(s string) { *c = append(append(*c, s...), '\n') }

// op writes a part of a line, which end ends.
func (c *contents) op(s string) { *c = append(append(*c, s...), ' ') }

// numbers writes each v to the given number of decimals, as parts of a line.
func (c *contents) numbers(decimals int, vs ...float64) {
	for _, v := range vs {
		*c = append(strconv.AppendFloat(*c, v, 'f', decimals, 64), ' ')
	}
}

// colour writes a colour, as parts of a line.
func (c *contents) colour(v frame.Colour) {
	c.numbers(3, float64(v.R)/255, float64(v.G)/255, float64(v.B)/255)
}

// end ends a line. It does nothing where none was begun.
func (c *contents) end() {
	if b := *c; len(b) > 0 && b[len(b)-1] == ' ' {
		b[len(b)-1] = '\n'
	}
}

// show writes a line that shows s in a face whose codes are characters.
func (c *contents) show(x, y float64, s string) {
	c.op("BT")
	c.numbers(2, x, y)
	b := append(*c, "Td ("...)
	for _, r := range s {
		b = escape(escape(b, byte(r>>8)), byte(r))
	}
	*c = append(b, ") Tj ET\n"...)
}

// escape appends a byte of a string (ISO 32000-1, 7.3.4.2).
func escape(b []byte, c byte) []byte {
	switch c {
	case '\\', '(', ')':
		return append(b, '\\', c)
	case '\r':
		return append(b, '\\', 'r')
	}
	return append(b, c)
}
