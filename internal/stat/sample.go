// Package stat holds the statistics an engineer accepts of a few readings:
// order, spread, tolerance limits, trends.
package stat

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// ErrTooFew is the answer where a sample is too small for what is asked.
var ErrTooFew = errors.New("too few values")

// ErrNotFinite is the answer to a sample that holds NaN or an infinity.
var ErrNotFinite = errors.New("a value is not a finite number")

// A Summary describes a sample as it stands; it infers nothing.
type Summary struct {
	N                      int
	Min, Median, Mean, Max float64
	SD                     float64 // standard deviation with n − 1; NaN for a single value
}

// Summarise describes xs. The mean and the deviation are computed in two
// passes with compensated sums, so that a small scatter on a large value
// keeps its digits.
func Summarise(xs []float64) (Summary, error) {
	if err := check(xs, 1); err != nil {
		return Summary{}, err
	}
	n := len(xs)
	s := Summary{N: n, Min: slices.Min(xs), Max: slices.Max(xs), Median: Median(xs), Mean: Mean(xs), SD: math.NaN()}
	if n > 1 {
		s.SD = math.Sqrt(squares(xs, s.Mean) / float64(n-1))
	}
	return s, nil
}

// Mean is the arithmetic mean of xs; NaN for none.
func Mean(xs []float64) float64 {
	return sum(xs, func(x float64) float64 { return x }) / float64(len(xs))
}

// Median is the middle of xs, or halfway between the middle two; NaN for
// none.
func Median(xs []float64) float64 {
	n := len(xs)
	if n == 0 {
		return math.NaN()
	}
	ordered := slices.Clone(xs)
	middle := Nth(ordered, n/2)
	if n%2 == 1 {
		return middle
	}
	below := slices.Max(ordered[:n/2])
	return below + (middle-below)/2
}

// Nth is the value with so many of xs before it if they stood in order, found
// without putting them all in order (Hoare's selection). It moves the values of
// xs: those before the place n are not above the n-th, those behind not below.
func Nth[T cmp.Ordered](xs []T, n int) T {
	for low, high := 0, len(xs)-1; low < high; {
		pivot := max(min(xs[low], xs[high]), min(max(xs[low], xs[high]), xs[(low+high)/2])) // the middle one of three
		i, j := low, high
		for i <= j {
			for xs[i] < pivot {
				i++
			}
			for pivot < xs[j] {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			high = j
		case n >= i:
			low = i
		default:
			return xs[n]
		}
	}
	return xs[n]
}

// Autocorrelation is the lag-1 autocorrelation, Σ(x[i]−x̄)(x[i+1]−x̄) over
// Σ(x−x̄)², of at least two values that are not all equal.
func Autocorrelation(xs []float64) (float64, error) {
	if err := check(xs, 2); err != nil {
		return 0, err
	}
	mean := Mean(xs)
	i := 0
	products := sum(xs[1:], func(x float64) float64 {
		i++
		return (x - mean) * (xs[i-1] - mean)
	})
	all := squares(xs, mean)
	if all == 0 {
		return 0, errors.New("all values are equal")
	}
	return products / all, nil
}

// squares is Σ(x − mean)², less what the rounding of the mean adds.
func squares(xs []float64, mean float64) float64 {
	off := sum(xs, func(x float64) float64 { return x - mean })
	return sum(xs, func(x float64) float64 { return (x - mean) * (x - mean) }) - off*off/float64(len(xs))
}

// sum adds f of each value with Neumaier's compensation.
func sum(xs []float64, f func(float64) float64) float64 {
	total, lost := 0.0, 0.0
	for _, x := range xs {
		y := f(x)
		t := total + y
		if math.Abs(total) >= math.Abs(y) {
			lost += (total - t) + y
		} else {
			lost += (y - t) + total
		}
		total = t
	}
	return total + lost
}

func check(xs []float64, least int) error {
	if len(xs) < least {
		return ErrTooFew
	}
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return ErrNotFinite
		}
	}
	return nil
}
