package salt

import (
	"math"

	"saltline/internal/unit"
)

// String names k as a document cites it.
func (k RuleKind) String() string {
	switch k {
	case Simple:
		return "simple"
	case Guarded:
		return "guarded"
	case GuardedRejection:
		return "guarded rejection"
	}
	return "not stated"
}

// Judge decides on one density, in mg/m², against an upper limit, after
// JCGM 106:2012, clause 8 (clause numbers from memory). Expanded is the expanded uncertainty U of the
// density; zero means that none is known.
//
//   - Simple (8.2.1, shared risk): conforms if within the limit.
//   - Guarded (8.3.2): conforms only if ρ + U is within the limit too; with no
//     U known nothing conforms.
//   - GuardedRejection (8.3.3): does not conform only if ρ − U is above the
//     limit. Between, JCGM 106 accepts; here the value stays Undecided, for a
//     value above its limit is never shown to conform.
//   - RuleNotStated is judged as Simple.
//
// Under all but GuardedRejection a density above the limit does not
// conform, whatever its uncertainty: doubt takes away a pass, never a fail.
func (k RuleKind) Judge(density unit.Ratio, expanded unit.SurfaceDensity, l Limit) Outcome {
	outcome := l.Compare(density)
	switch {
	case k == Guarded && outcome == Conforms:
		u, ok := exact(expanded)
		if !ok || u.Sign() <= 0 || l.Compare(density.Add(u)) != Conforms {
			return Undecided
		}
	case k == GuardedRejection && outcome == NotConforms:
		u, ok := exact(expanded)
		if ok && u.Sign() > 0 && l.Compare(density.Sub(u)) != NotConforms {
			return Undecided
		}
	}
	return outcome
}

// exact is the exact value of the digits of u.
func exact(u unit.SurfaceDensity) (unit.Ratio, bool) {
	d, ok := unit.FromFloat(float64(u))
	return d.Ratio(), ok
}

// Conformity is the probability that the true value is not above an upper
// limit, Φ((L − ρ)/u), for a normal distribution with the standard
// uncertainty u (JCGM 106:2012, 7.3.3). It is NaN where u is not positive.
func Conformity(density, standard, limit unit.SurfaceDensity) float64 {
	if !(standard > 0) {
		return math.NaN()
	}
	return normal(float64(limit-density) / float64(standard))
}

// normal is Φ, the standard normal distribution function.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
