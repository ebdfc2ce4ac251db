package stat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Trend is the Mann–Kendall test of values in their order.
type Trend struct {
	S      int     // pairs that rise less pairs that fall
	Rising float64 // probability of an S as large or larger without a trend
	Exact  bool    // Rising is exact, not by the normal approximation
}

// exactTrend is the largest sample whose distribution of S is enumerated.
const exactTrend = 40

// MannKendall tests whether at least three values rise with their order.
//
// Up to 40 values the probability is exact, ties included: the orderings of
// values with tie groups t1, t2 … have their inversions counted by the
// q-multinomial coefficient [n]!/([t1]!·[t2]!…), and S is the number of
// untied pairs less twice the inversions. Beyond, S is taken as normal with
// the variance for ties and a continuity correction of one.
func MannKendall(xs []float64) (Trend, error) {
	if err := check(xs, 3); err != nil {
		return Trend{}, err
	}
	values, ties := tieGroups(xs)
	s := 0
	before := make([]int, len(values)) // how often each value stands before
	for i, x := range xs {
		k, _ := slices.BinarySearch(values, x)
		lower := 0
		for _, n := range before[:k] {
			lower += n
		}
		s += lower - (i - lower - before[k])
		before[k]++
	}
	if len(xs) <= exactTrend {
		return Trend{s, atLeast(s, len(xs), ties), true}, nil
	}
	variance := kendallVariance(len(xs))
	for _, t := range ties {
		variance -= kendallVariance(t)
	}
	if variance <= 0 {
		return Trend{s, 1, false}, nil
	}
	return Trend{s, distuv.UnitNormal.Survival(float64(s-1) / math.Sqrt(variance)), false}, nil
}

// kendallVariance is n(n−1)(2n+5)/18.
func kendallVariance(n int) float64 {
	m := float64(n)
	return m * (m - 1) * (2*m + 5) / 18
}

// tieGroups are the values that occur, ascending, and how often each does.
func tieGroups(xs []float64) (values []float64, groups []int) {
	sorted := slices.Clone(xs)
	slices.Sort(sorted)
	for i := 0; i < len(sorted); {
		j := i
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		values, groups = append(values, sorted[i]), append(groups, j-i)
		i = j
	}
	return values, groups
}

// atLeast is the probability of S ≥ s over all orderings of n values with
// the given ties.
func atLeast(s, n int, ties []int) float64 {
	inversions := []float64{1} // probabilities by number of inversions
	placed := 0
	for _, t := range ties {
		placed += t
		inversions = timesBinomial(inversions, placed, t)
	}
	untied := n * (n - 1) / 2
	for _, t := range ties {
		untied -= t * (t - 1) / 2
	}
	p := 0.0
	for i, share := range inversions {
		if untied-2*i >= s {
			p += share
		}
	}
	return min(max(p, 0), 1)
}

// timesBinomial multiplies a distribution by the Gaussian binomial [n, t],
// scaled to sum to one: ∏ (1 + q + … + q^(n−t+i−1)) / (1 + … + q^(i−1)).
func timesBinomial(p []float64, n, t int) []float64 {
	for i := 1; i <= t; i++ {
		p = timesUniform(p, n-t+i)
		p = overUniform(p, i)
	}
	return p
}

// timesUniform multiplies p by (1 + q + … + q^(m−1))/m.
func timesUniform(p []float64, m int) []float64 {
	product := make([]float64, len(p)+m-1)
	for i, v := range p {
		for j := range m {
			product[i+j] += v / float64(m)
		}
	}
	return product
}

// overUniform undoes timesUniform; the division leaves no remainder.
func overUniform(p []float64, m int) []float64 {
	quotient := make([]float64, len(p)-m+1)
	for i := range quotient {
		v := p[i] * float64(m)
		for j := max(0, i-m+1); j < i; j++ {
			v -= quotient[j]
		}
		quotient[i] = v
	}
	return quotient
}

// TheilSen is the median of the slopes between all pairs with different x:
// a slope that a few wild values do not move.
func TheilSen(xs, ys []float64) (float64, error) {
	if len(xs) != len(ys) {
		return 0, ErrTooFew
	}
	if err := check(slices.Concat(xs, ys), 4); err != nil {
		return 0, err
	}
	var slopes []float64
	for i := range xs {
		for j := range i {
			if xs[i] != xs[j] {
				slopes = append(slopes, (ys[i]-ys[j])/(xs[i]-xs[j]))
			}
		}
	}
	if len(slopes) == 0 {
		return 0, ErrTooFew
	}
	return Median(slopes), nil
}
