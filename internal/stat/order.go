package stat

import "math"

// Bounds are what is known of a figure: it is neither below Low nor above High.
type Bounds struct{ Low, High float64 }

// Exact reports whether a figure is known.
func (b Bounds) Exact() bool { return b.Low == b.High }

// An Ordered is what the order of a sample tells of it where some of its
// values are known by their bounds alone, as "<1" is: nothing is put in the
// place of these.
type Ordered struct{ Min, Median, Max Bounds }

// Order finds the least, the middle and the greatest of values between bounds.
// Every order statistic rises with each value, so that of the lower bounds and
// that of the upper ones enclose it as closely as can be.
func Order(values []Bounds) (Ordered, error) {
	low, high := make([]float64, len(values)), make([]float64, len(values))
	for i, v := range values {
		low[i], high[i] = v.Low, v.High
	}
	l, err := Summarise(low)
	if err != nil {
		return Ordered{}, err
	}
	h, err := Summarise(high)
	if err != nil {
		return Ordered{}, err
	}
	return Ordered{Bounds{l.Min, h.Min}, Bounds{l.Median, h.Median}, Bounds{l.Max, h.Max}}, nil
}

// Exactly is a value whose bounds meet.
func Exactly(v float64) Bounds { return Bounds{v, v} }

// Value is the figure; NaN where it is not known exactly.
func (b Bounds) Value() float64 {
	if !b.Exact() {
		return math.NaN()
	}
	return b.Low
}
