package stat

import (
	"errors"
	"math"
)

// ErrNotPositive is the answer where logarithms are asked of a value that is
// zero or below.
var ErrNotPositive = errors.New("a value is not above zero")

// UpperLimit is the one-sided tolerance limit x̄ + k·s of at least two values:
// with the given confidence at least the given share of a normal population
// lies below it.
func UpperLimit(xs []float64, coverage, confidence float64) (float64, error) {
	if err := check(xs, 2); err != nil {
		return 0, err
	}
	s, err := Summarise(xs)
	if err != nil {
		return 0, err
	}
	k, err := ToleranceFactor(len(xs), coverage, confidence)
	return s.Mean + k*s.SD, err
}

// UpperLimitByLogs is the same for values whose logarithms are normal:
// exp(x̄ + k·s) of the natural logarithms. Salt on steel is mostly skewed so.
func UpperLimitByLogs(xs []float64, coverage, confidence float64) (float64, error) {
	if err := check(xs, 2); err != nil {
		return 0, err
	}
	logs := make([]float64, len(xs))
	for i, x := range xs {
		if x <= 0 {
			return 0, ErrNotPositive
		}
		logs[i] = math.Log(x)
	}
	l, err := UpperLimit(logs, coverage, confidence)
	return math.Exp(l), err
}

// FurtherSuccesses is how many values more have to conform after n that all do,
// for the statement that at least the given share of the population does, with
// the given confidence: 51 after eight for 0.95 and 0.95. It is 0 where n
// suffice.
func FurtherSuccesses(n int, coverage, confidence float64) (int, error) {
	all, err := SampleSize(coverage, confidence)
	return max(0, all-n), err
}
