package stat

import (
	"fmt"
	"math"
)

// The statements below ask nothing of the distribution, only that the spots
// were chosen at random.

// CoverageWithoutFailure is the share of such spots that conforms at least,
// with the given confidence, when all n tested spots conform:
// p = (1 − confidence)^(1/n). For ten and 0.95 it is 74 %.
func CoverageWithoutFailure(n int, confidence float64) (float64, error) {
	if n < 1 {
		return 0, ErrTooFew
	}
	if err := shares(confidence); err != nil {
		return 0, err
	}
	return math.Pow(1-confidence, 1/float64(n)), nil
}

// ConfidenceOfMaximum is the confidence that the largest of n values is not
// below the given share of the population: 1 − coverage^n.
func ConfidenceOfMaximum(n int, coverage float64) (float64, error) {
	if n < 1 {
		return 0, ErrTooFew
	}
	if err := shares(coverage); err != nil {
		return 0, err
	}
	return 1 - math.Pow(coverage, float64(n)), nil
}

// SampleSize is the least number of values whose maximum covers the given
// share with the given confidence: 59 for 0.95 and 0.95.
func SampleSize(coverage, confidence float64) (int, error) {
	return leastSize(coverage, confidence, func(n int) float64 { return 1 - math.Pow(coverage, float64(n)) })
}

// SampleSizeBetween is the same for the range between minimum and maximum,
// with confidence 1 − n·p^(n−1) + (n−1)·p^n: 93 for 0.95 and 0.95.
func SampleSizeBetween(coverage, confidence float64) (int, error) {
	return leastSize(coverage, confidence, func(n int) float64 {
		m := float64(n)
		return 1 - m*math.Pow(coverage, m-1) + (m-1)*math.Pow(coverage, m)
	})
}

const mostSamples = 10_000_000

// leastSize finds the first n ≥ 1 at which a rising confidence is reached.
func leastSize(coverage, confidence float64, reached func(n int) float64) (int, error) {
	if err := shares(coverage, confidence); err != nil {
		return 0, err
	}
	low, high := 0, 1 // reached is false at low and, in the end, true at high
	for reached(high) < confidence {
		if low, high = high, high*2; high > mostSamples {
			return 0, fmt.Errorf("more than %d values would be needed", mostSamples)
		}
	}
	for high-low > 1 {
		if mid := low + (high-low)/2; reached(mid) < confidence {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}

// shares returns an error unless each value lies between 0 and 1, ends
// excluded.
func shares(values ...float64) error {
	for _, v := range values {
		if !(v > 0 && v < 1) {
			return fmt.Errorf("%g is not a share between 0 and 1", v)
		}
	}
	return nil
}
