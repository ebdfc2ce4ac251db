package report

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// limitBasis is the quantity that the first limit speaks of: total salts
// where there is none, or where it is not recorded.
func (c *composer) limitBasis() salt.Basis {
	for _, l := range c.Result.Basis.Limits {
		if l.Basis != salt.BasisNotStated {
			return l.Basis
		}
	}
	return salt.TotalSalts
}

// compared is what of a line is compared with the first limit: its density,
// or that density in what the limit speaks of. It is NaN where it is not
// known.
func (c *composer) compared(l *assess.Line) float64 {
	first, limited := l.First()
	switch {
	case !l.Judged().Known:
		return math.NaN()
	case c.limitBasis() == salt.TotalSalts:
		return float64(l.Judged().Value)
	case !limited: // a blank on glass has no limit
		return math.NaN()
	}
	return float64(first.Value)
}

// comparedText prints it, so that it does not contradict the verdict.
func (c *composer) comparedText(l *assess.Line) string {
	if c.limitBasis() == salt.TotalSalts {
		return c.density(l)
	}
	v := c.compared(l)
	if math.IsNaN(v) {
		return "–"
	}
	first, _ := l.First() // it has one, or nothing would be compared
	return c.Words.Spelling().Beside(unit.RatioOfFloat(v), first.Limit.Exact.Ratio(), 1)
}

// comparedHead is the head of a column of what is compared; "" where it is
// the density itself, which has a column of its own.
func (c *composer) comparedHead() string {
	switch c.limitBasis() {
	case salt.SodiumChloride:
		return c.say("report/head-as-sodium-chloride", nil)
	case salt.ChlorideIon:
		return c.say("report/head-chloride-at-most", nil)
	}
	return ""
}
