package stat

import "math"

// Constants of the chart of individual values with moving ranges of two
// (Shewhart), exact: d2 = 2/√π and d3 = √(2 − 4/π) are the mean and the
// standard deviation of the range of two standard normal values.
const (
	D2 = 2 / (math.SqrtPi)  // 1.128
	D3 = 0.8525024664274217 // √(2 − 4/π)
	D4 = 1 + 3*D3/D2        // 3.267, upper limit of the range over its mean
	E2 = 3 / D2             // 2.659, printed as 2.660 in tables that divide by the rounded d2
)

// A Chart holds the limits of a chart of individuals.
type Chart struct {
	Centre, Lower, Upper float64
	MeanRange            float64 // mean of |x[i] − x[i−1]|
	RangeUpper           float64 // D4 × MeanRange
}

// Individuals computes the chart of at least two values in their order:
// centre ± E2 × mean moving range.
func Individuals(xs []float64) (Chart, error) {
	if err := check(xs, 2); err != nil {
		return Chart{}, err
	}
	ranges := make([]float64, len(xs)-1)
	for i := range ranges {
		ranges[i] = math.Abs(xs[i+1] - xs[i])
	}
	r, centre := Mean(ranges), Mean(xs)
	return Chart{centre, centre - E2*r, centre + E2*r, r, D4 * r}, nil
}

// Run is the length of the longest stretch of values that each move the
// same way from the one before; six in a row are a drift. Equal neighbours
// end a stretch. It counts values, so a single value is a run of 1.
func Run(xs []float64) int {
	longest, length, way := min(1, len(xs)), 1, 0
	for i := 1; i < len(xs); i++ {
		step := 0
		switch {
		case xs[i] > xs[i-1]:
			step = 1
		case xs[i] < xs[i-1]:
			step = -1
		}
		switch {
		case step == 0:
			length = 1
		case step == way:
			length++
		default:
			length = 2
		}
		way = step
		longest = max(longest, length)
	}
	return longest
}
