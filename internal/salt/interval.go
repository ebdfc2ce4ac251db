package salt

import (
	"math/big"

	"saltline/internal/unit"
)

// Steps are the smallest differences that the written digits, or the
// instrument, resolve. A zero step is an exact value.
type Steps struct {
	Blank, Extract unit.Decimal // µS/cm
	Volume         unit.Decimal // ml; only where the volume was read from a syringe, not for a nominal one
}

// An Interval holds every density that the written digits allow, ends
// included, in mg/m².
type Interval struct{ Low, High *big.Rat }

// Interval is the range of ρ when each reading stands for itself ± half its
// step: K·(Δ ± ½(step of blank + step of extract)), and the same for the
// ends of the volume where that has a step.
func (m Method) Interval(blank, extract unit.Decimal, s Steps) Interval {
	rise := new(big.Rat).Sub(extract.Rat(), blank.Rat())
	half := new(big.Rat).Add(s.Blank.Rat(), s.Extract.Rat())
	half.Mul(half, big.NewRat(1, 2))
	low, high := new(big.Rat).Sub(rise, half), new(big.Rat).Add(rise, half)

	share := new(big.Rat).Mul(s.Volume.Rat(), big.NewRat(1, 2))
	share.Quo(share, m.Volume.Rat()) // half a step of the volume, relative to it
	one := big.NewRat(1, 1)
	less, more := new(big.Rat).Sub(one, share), new(big.Rat).Add(one, share)
	if less.Sign() < 0 {
		less.SetInt64(0)
	}
	k := m.ExactFactor()
	scale := func(d *big.Rat, ifPositive, ifNegative *big.Rat) *big.Rat {
		f := ifPositive
		if d.Sign() < 0 {
			f = ifNegative
		}
		d.Mul(d, f)
		return d.Mul(d, k)
	}
	return Interval{scale(low, less, more), scale(high, more, less)}
}

// Contains reports whether x lies in the interval.
func (i Interval) Contains(x *big.Rat) bool { return i.Low.Cmp(x) <= 0 && x.Cmp(i.High) <= 0 }

// Overlaps reports whether some density lies in both intervals.
func (i Interval) Overlaps(j Interval) bool { return i.Low.Cmp(j.High) <= 0 && j.Low.Cmp(i.High) <= 0 }

// Written is the interval of a number by its own last digit: ± half a step.
func Written(d unit.Decimal) Interval {
	half := new(big.Rat).Mul(d.Step().Rat(), big.NewRat(1, 2))
	return Interval{new(big.Rat).Sub(d.Rat(), half), new(big.Rat).Add(d.Rat(), half)}
}

// Decides reports whether every density of the interval has the same outcome
// against the limit, so that unseen digits cannot change it.
func (i Interval) Decides(l Limit) bool {
	low, high := l.Compare(i.Low), l.Compare(i.High)
	return low == high && low != Undecided
}
