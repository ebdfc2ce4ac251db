package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// largestSample bounds the tolerance factors; beyond it they change in the
// fourth figure only and the distribution functions lose digits.
const largestSample = 10_000

// ToleranceFactor is k of the one-sided normal tolerance limit: with the
// given confidence at least the given share of a normal population lies
// below x̄ + k·s of n values. It is exact, from the noncentral t
// distribution: k = t(confidence; n − 1, z·√n)/√n (ISO 16269-6). 2 ≤ n.
func ToleranceFactor(n int, coverage, confidence float64) (float64, error) {
	if err := toleranceArguments(n, coverage, confidence); err != nil {
		return 0, err
	}
	root := math.Sqrt(float64(n))
	t := distuv.NoncentralT{Nu: float64(n - 1), Mu: distuv.UnitNormal.Quantile(coverage) * root}
	return t.Quantile(confidence) / root, nil
}

// ToleranceFactorBetween is k of the two-sided normal tolerance interval
// x̄ ± k·s. It is exact up to the integration, some 1 in 10⁶: the confidence
// that a factor k reaches is
//
//	2·√(n/2π) ∫₀^∞ P(χ²(n−1) ≥ (n−1)·r(x)²/k²) · exp(−n·x²/2) dx
//
// where x is the error of the mean in standard deviations and r(x) the half
// width that covers the share from there: Φ(x+r) − Φ(x−r) = coverage.
func ToleranceFactorBetween(n int, coverage, confidence float64) (float64, error) {
	if err := toleranceArguments(n, coverage, confidence); err != nil {
		return 0, err
	}
	reached := confidenceBetween(n, coverage)
	low, high := 0.0, 1.0
	for reached(high) < confidence {
		if low, high = high, high*2; high > 1e6 {
			return 0, fmt.Errorf("no tolerance factor for n = %d, coverage %g, confidence %g", n, coverage, confidence)
		}
	}
	return bisect(low, high, func(k float64) bool { return reached(k) >= confidence }), nil
}

// confidenceBetween returns the integral above as a function of k. The
// places and their half widths do not depend on k and are found once.
func confidenceBetween(n int, coverage float64) func(k float64) float64 {
	const places = 60
	nu, m := float64(n-1), float64(n)
	end := 8 / math.Sqrt(m) // eight standard deviations of the mean
	var x, weight, squared [places]float64
	quad.Legendre{}.FixedLocations(x[:], weight[:], 0, end)
	for i := range x {
		r := halfWidth(x[i], coverage)
		squared[i] = nu * r * r
		weight[i] *= 2 * math.Sqrt(m/(2*math.Pi)) * math.Exp(-m*x[i]*x[i]/2)
	}
	chi := distuv.ChiSquared{K: nu}
	return func(k float64) float64 {
		total := 0.0
		for i := range weight {
			total += weight[i] * chi.Survival(squared[i]/(k*k))
		}
		return total
	}
}

// halfWidth solves Φ(x+r) − Φ(x−r) = coverage for r.
func halfWidth(x, coverage float64) float64 {
	normal := distuv.UnitNormal
	top := x + normal.Quantile((1+coverage)/2) + 1
	return bisect(0, top, func(r float64) bool { return normal.CDF(x+r)-normal.CDF(x-r) >= coverage })
}

// bisect returns the least value of (low, high] at which a rising condition
// holds, to the last digits.
func bisect(low, high float64, holds func(float64) bool) float64 {
	for range 60 {
		if mid := low + (high-low)/2; holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

func toleranceArguments(n int, coverage, confidence float64) error {
	switch {
	case n < 2:
		return ErrTooFew
	case n > largestSample:
		return fmt.Errorf("%d values are more than the %d that tolerance factors are computed for", n, largestSample)
	}
	return shares(coverage, confidence)
}

// StudentQuantile is the p quantile of Student's t with nu degrees of
// freedom, nu > 0.
func StudentQuantile(p, nu float64) (float64, error) {
	if !(nu > 0) {
		return 0, fmt.Errorf("%g degrees of freedom", nu)
	}
	if err := shares(p); err != nil {
		return 0, err
	}
	return distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(p), nil
}
