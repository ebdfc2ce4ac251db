package stat

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"saltline/testdata/published"
)

// TestPublished holds every row of stat.csv against this package.
func TestPublished(t *testing.T) {
	rows, err := published.Rows("stat.csv")
	if err != nil {
		t.Fatal(err)
	}
	t.Log(published.Tally(rows))
	for _, row := range rows {
		t.Run(row.ID, func(t *testing.T) {
			got, err := run(row)
			if err != nil {
				t.Fatal(err)
			}
			if !(math.Abs(got-row.Expected) <= row.Tolerance) {
				t.Errorf("%s %v: got %.15g, want %v ± %g %s (%s)", row.Quantity, row.Inputs, got, row.Expected, row.Tolerance, row.Unit, row.Source)
			}
		})
	}
}

// run computes what the row publishes.
func run(row published.Row) (float64, error) {
	in := func(key string) float64 {
		f, err := strconv.ParseFloat(row.Inputs[key], 64)
		if err != nil {
			return math.NaN()
		}
		return f
	}
	n, p, gamma := int(in("n")), in("p"), in("gamma")
	switch row.Quantity {
	case "mean", "standard deviation":
		xs, err := published.Data(row.Inputs["data"])
		if err != nil {
			return 0, err
		}
		s, err := Summarise(xs)
		if row.Quantity == "mean" {
			return s.Mean, err
		}
		return s.SD, err
	case "lag-1 autocorrelation":
		xs, err := published.Data(row.Inputs["data"])
		if err != nil {
			return 0, err
		}
		return Autocorrelation(xs)
	case "one-sided tolerance factor":
		return ToleranceFactor(n, p, gamma)
	case "two-sided tolerance factor":
		return ToleranceFactorBetween(n, p, gamma)
	case "upper one-sided tolerance limit":
		k, err := ToleranceFactor(n, p, gamma)
		return in("mean") + k*in("s"), err
	case "lower two-sided tolerance limit":
		k, err := ToleranceFactorBetween(n, p, gamma)
		return in("mean") - k*in("s"), err
	case "upper two-sided tolerance limit":
		k, err := ToleranceFactorBetween(n, p, gamma)
		return in("mean") + k*in("s"), err
	case "control-chart constant":
		c, ok := map[string]float64{"d2": D2, "d3": D3, "D4": D4, "E2": E2}[row.Inputs["name"]]
		if !ok {
			return 0, fmt.Errorf("no constant %q", row.Inputs["name"])
		}
		return c, nil
	case "sample size of a maximum":
		n, err := SampleSize(p, gamma)
		return float64(n), err
	case "sample size of a range":
		n, err := SampleSizeBetween(p, gamma)
		return float64(n), err
	case "confidence of a maximum":
		return ConfidenceOfMaximum(n, p)
	case "share without a failure":
		return CoverageWithoutFailure(n, gamma)
	case "further successes":
		n, err := FurtherSuccesses(n, p, gamma)
		return float64(n), err
	case "Mann-Kendall probability":
		trend, err := MannKendall(ranksWith(n, int(in("S"))))
		if trend.S != int(in("S")) || !trend.Exact {
			return 0, fmt.Errorf("got %+v", trend)
		}
		return trend.Rising, err
	case "Student's t":
		return StudentQuantile(p, in("df"))
	}
	return 0, fmt.Errorf("no runner for %q: the row checks nothing", row.Quantity)
}

// ranksWith is an order of n ranks in which the pairs that rise are s more
// than those that fall.
func ranksWith(n, s int) []float64 {
	falling := (n*(n-1)/2 - s) / 2
	var ranks []float64
	for rank := range n { // set down so far from the end that as many pairs fall as are left over
		back := min(falling, rank)
		ranks = slices.Insert(ranks, rank-back, float64(rank))
		falling -= back
	}
	return ranks
}
