package salt

import "saltline/internal/unit"

var one, two = unit.Int(1).Ratio(), unit.Int(2).Ratio()

// Steps are the smallest differences that the written digits, or the
// instrument, resolve. A zero step is an exact value.
type Steps struct {
	Blank, Extract unit.Decimal // µS/cm
	Volume         unit.Decimal // ml; only where the volume was read from a syringe, not for a nominal one
}

// An Interval holds every density that the written digits allow, ends
// included, in mg/m².
type Interval struct{ Low, High unit.Ratio }

// Interval is the range of ρ when each reading stands for itself ± half its
// step: K·(Δ ± ½(step of blank + step of extract)), and the same for the
// ends of the volume where that has a step.
func (m Method) Interval(blank, extract unit.Decimal, s Steps) Interval {
	rise := extract.Ratio().Sub(blank.Ratio())
	half := s.Blank.Ratio().Add(s.Extract.Ratio()).Quo(two)
	low, high := rise.Sub(half), rise.Add(half)

	less, more := one, one
	if s.Volume.Sign() != 0 {
		share := s.Volume.Ratio().Quo(two).Quo(m.Volume.Ratio()) // half a step of the volume, relative to it
		less, more = one.Sub(share), one.Add(share)
		if less.Sign() < 0 {
			less = unit.Int(0).Ratio()
		}
	}
	k := m.ExactFactor()
	scale := func(d, ifPositive, ifNegative unit.Ratio) unit.Ratio {
		f := ifPositive
		if d.Sign() < 0 {
			f = ifNegative
		}
		return d.Mul(f).Mul(k)
	}
	return Interval{scale(low, less, more), scale(high, more, less)}
}

// Contains reports whether x lies in the interval.
func (i Interval) Contains(x unit.Ratio) bool { return i.Low.Cmp(x) <= 0 && x.Cmp(i.High) <= 0 }

// Overlaps reports whether some density lies in both intervals.
func (i Interval) Overlaps(j Interval) bool { return i.Low.Cmp(j.High) <= 0 && j.Low.Cmp(i.High) <= 0 }

// Written is the interval of a number by its own last digit: ± half a step.
func Written(d unit.Decimal) Interval {
	half := d.Step().Ratio().Quo(two)
	return Interval{d.Ratio().Sub(half), d.Ratio().Add(half)}
}

// Decides reports whether every density of the interval has the same outcome
// against the limit, so that unseen digits cannot change it.
func (i Interval) Decides(l Limit) bool {
	low, high := l.Compare(i.Low), l.Compare(i.High)
	return low == high && low != Undecided
}
