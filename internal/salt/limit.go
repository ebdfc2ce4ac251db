package salt

import (
	"math"

	"saltline/internal/unit"
)

// An Outcome is what a limit or a decision rule says of one value. Its zero
// value is Undecided, so that a value nobody judged never conforms.
type Outcome uint8

const (
	Undecided   Outcome = iota // neither is established
	Conforms                   // within the limit, as the rule wants it shown
	NotConforms                // above the limit
)

// String names o in lower case.
func (o Outcome) String() string {
	switch o {
	case Conforms:
		return "conforms"
	case NotConforms:
		return "does not conform"
	}
	return "undecided"
}

// A Limit is an upper limit of a surface density as a contract states it.
type Limit struct {
	Value      unit.Decimal // mg/m²
	Basis      Basis
	Comparison Comparison
	Rounding   Rounding
}

// Round rounds x, in mg/m², as the contract says; the zero Rounding returns
// it as it is.
func (r Rounding) Round(x unit.Ratio) unit.Ratio {
	if r.Step.Sign() <= 0 {
		return x
	}
	step := r.Step.Ratio()
	return x.Quo(step).Whole(r.ToEven).Mul(step)
}

// Compare puts a density against the limit, exactly, after the contract's
// rounding: 12.5 µS/cm × 4 is 50, which conforms to "at most 50" and not to
// "less than 50". A density equal to the limit is Undecided where the
// contract does not say which of the two it means.
//
// For a limit of chloride ion the density is only an upper bound: one above
// the limit is Undecided, since the chloride itself may be below.
func (l Limit) Compare(density unit.Ratio) Outcome {
	o := Conforms
	switch side := l.Rounding.Round(density).Cmp(l.Value.Ratio()); {
	case side > 0, side == 0 && l.Comparison == LessThan:
		o = NotConforms
	case side == 0 && l.Comparison == ComparisonNotStated:
		o = Undecided
	}
	if l.Basis == ChlorideIon && o == NotConforms {
		return Undecided
	}
	return o
}

// Compare puts the density of two readings against a limit of total salts.
// It is exact: floating point is used only where its error cannot matter.
func (m Method) Compare(blank, extract unit.Decimal, l Limit) Outcome {
	if l.Rounding.Step.Sign() <= 0 && l.Basis != ChlorideIon {
		g1, g2, limit := blank.Float(), extract.Float(), l.Value.Float()
		k := m.Factor()
		gap := k*(g2-g1) - limit
		// Every operand and operation errs by at most 2⁻⁵³ of its size.
		switch doubt := 1e-14 * (k*(math.Abs(g1)+math.Abs(g2)) + math.Abs(limit)); {
		case gap > doubt:
			return NotConforms
		case gap < -doubt:
			return Conforms
		}
	}
	return l.Compare(m.ExactDensity(blank, extract))
}
