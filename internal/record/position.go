package record

import (
	"saltline/internal/unit"
)

// metreInMillimetres is how many decimals a length in mm is shifted to be one
// in m.
const metreInMillimetres = -3

// position reads a coordinate of a spot. With a unit of length, in the cell or
// the heading, it is taken in metres, and Unit is the unit as written; without
// one it is a number on a scale that the record does not name.
func position[T any](at func(*T) *Given[float64]) field[T] {
	return fieldOf(holdsNumbers, at, func(c *cell, g *Given[float64]) {
		if _, symbol := unit.SplitUnit(c.value); symbol == "" && c.head == "" {
			readNumber(c, g, unit.Pure)
			return
		}
		r := c.measure(unit.OfLength)
		if r.State != unit.Known {
			readNumber(c, g, unit.OfLength)
			return
		}
		g.State, g.Unit, g.Dec = Known, r.Unit, r.Value.Shift(metreInMillimetres)
		g.Val = g.Dec.Float()
		switch {
		case g.Dec == r.Written:
		case r.FromHead:
			c.changedAll("converted, the whole column", func() (from, to string) { return r.Unit, "m" })
		default:
			c.changed("converted", r.Text, g.Dec.String()+" m")
		}
	})
}
