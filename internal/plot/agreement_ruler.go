package plot

import (
	"math"
	"slices"
)

// spread is how many times apart values may lie before the scales of an
// Agreement are logarithmic.
const spread = 8

// mostSpread is how many times apart the ends of a logarithmic scale may lie:
// what is smaller is nothing that anybody wrote.
const mostSpread = 1e15

// A ruler is one of the two equal scales of an Agreement: a linear scale from
// 0, or a logarithmic one.
type ruler struct {
	*scale
	logarithmic bool
}

// newRuler chooses the scale for all values and limits of a.
func newRuler(a Agreement) ruler {
	high, low := 0.0, math.Inf(1) // the highest value, and the lowest above 0
	for _, p := range a.Pairs {
		for _, v := range [2]float64{p.Recomputed, p.Written} {
			high = max(high, v)
			if v > 0 {
				low = min(low, v)
			}
		}
	}
	logarithmic := a.spreads(high)
	for _, l := range a.Limits {
		high = max(high, 1.25*l.Value) // there is room to see what lies above
		if l.Value > 0 {
			low = min(low, l.Value)
		}
	}
	if logarithmic {
		return ruler{&scale{low: floorNice(0.95 * max(low, high/mostSpread)), high: ceilNice(1.05 * high)}, true}
	}
	if high <= 0 {
		high = 1
	}
	step := niceStep(high)
	return ruler{&scale{high: step * math.Ceil(1.02*high/step), step: step}, false}
}

// withRoom is r with so large a part of it free on either side of a limit that
// the names of its sides do not meet where the two scales end: reaching
// farther up, or on a logarithmic scale farther down.
func (r ruler) withRoom(limit, part float64) ruler {
	if part >= 0.5 || limit <= r.low || limit >= r.high {
		return r
	}
	s := *r.scale
	switch at := r.part(limit); {
	case at > 1-part && r.logarithmic:
		s.high = s.low * math.Pow(limit/s.low, 1/(1-part))
	case at > 1-part:
		s.high = s.step * math.Ceil(limit/(1-part)/s.step)
	case at < part && r.logarithmic:
		s.low = floorNice(s.high * math.Pow(limit/s.high, 1/(1-part)))
	default:
		return r
	}
	return ruler{&s, r.logarithmic}
}

// spreads reports whether a linear scale up to high would press together what
// is to be told apart.
func (a Agreement) spreads(high float64) bool {
	var recomputed []float64
	for _, p := range a.Pairs {
		small, large := min(p.Recomputed, p.Written), max(p.Recomputed, p.Written)
		if small > 0 && large > spread*small {
			return true
		}
		if p.Recomputed > 0 {
			recomputed = append(recomputed, p.Recomputed)
		}
	}
	for _, l := range a.Limits {
		if l.Value > 0 && high > spread*l.Value {
			return true
		}
	}
	slices.Sort(recomputed)
	return len(recomputed) > 0 && high > spread*recomputed[len(recomputed)/2]
}

// floorNice is the greatest of 1, 2 and 5 times a power of ten that is not
// above v, which is above 0.
func floorNice(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, n := range []float64{5, 2} {
		if n*power <= v {
			return n * power
		}
	}
	return power
}

// ceilNice is the least of them that is not below v.
func ceilNice(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, n := range []float64{1, 2, 5} {
		if n*power >= v {
			return n * power
		}
	}
	return 10 * power
}

// ticks are the values that are marked on the scale.
func (r ruler) ticks() []float64 {
	if !r.logarithmic {
		return r.scale.ticks()
	}
	first, last := math.Floor(math.Log10(r.low)+1e-9), math.Ceil(math.Log10(r.high)-1e-9)
	digits, every := []float64{1, 2, 5}, 1.0
	if last-first > 3 {
		digits, every = []float64{1}, math.Ceil((last-first)/8)
	}
	var ticks []float64
	for n := first; n <= last; n += every {
		for _, d := range digits {
			if v := d * math.Pow(10, n); v >= r.low*(1-1e-9) && v <= r.high*(1+1e-9) {
				ticks = append(ticks, v)
			}
		}
	}
	return ticks
}

// decimals is how many a tick needs.
func (r ruler) decimals(tick float64) int {
	if !r.logarithmic {
		return r.scale.decimals()
	}
	return max(0, int(math.Ceil(-math.Log10(tick)-1e-9)))
}

// part is the place of v as a part of the scale: 0 at its lower edge, where
// whatever lies below it stands too, and 1 at its end.
func (r ruler) part(v float64) float64 {
	switch {
	case v <= r.low:
		return 0
	case r.logarithmic:
		return math.Log(v/r.low) / math.Log(r.high/r.low)
	}
	return v / r.high
}

// Translate is the distance of v from the lower edge, on the grid.
func (r ruler) Translate(v float64) int { return int(math.Round(r.part(v) * float64(r.domain))) }

// crossing gives the ends of the line y = f·x within the square; they are
// equal where it does not pass through.
func (r ruler) crossing(f float64) (from, to float64) {
	from, to = max(r.low, r.low/f), min(r.high, r.high/f)
	return from, max(from, to)
}
