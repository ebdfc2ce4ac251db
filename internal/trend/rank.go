package trend

import (
	"math"
	"slices"
)

// mostExact is the number of values up to which the rank sum is exact; beyond
// it is taken as normal.
const mostExact = 40

// higher is the chance that so many values as after, drawn from all of them,
// stand as high by their ranks or higher (Wilcoxon, Mann, Whitney), ties as the
// mean of their ranks. Up to 40 values it is exact over all ways of drawing.
func higher(before, after []float64) float64 {
	all := slices.Concat(before, after)
	ranks, ties := doubledRanks(all)
	sum := 0
	for _, r := range ranks[len(before):] {
		sum += r
	}
	if len(all) <= mostExact {
		return drawn(ranks, len(after), sum)
	}
	mean, variance := rankMoments(len(before), len(after), ties)
	return normalAbove((float64(sum)/2 - mean - 0.5) / math.Sqrt(variance))
}

// doubledRanks are twice the ranks of xs, so that those of ties are whole, and
// Σ(t³ − t) over the groups of ties.
func doubledRanks(xs []float64) (ranks []int, ties float64) {
	order := make([]int, len(xs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		switch {
		case xs[i] < xs[j]:
			return -1
		case xs[i] > xs[j]:
			return 1
		}
		return 0
	})
	ranks = make([]int, len(xs))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && xs[order[to]] == xs[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			ranks[i] = from + 1 + to // twice the mean of from+1 … to
		}
		t := float64(to - from)
		ties += t*t*t - t
		from = to
	}
	return ranks, ties
}

// drawn is the chance that k of the ranks, all ways alike, sum up to least or
// more.
func drawn(ranks []int, k, least int) float64 {
	total := 0
	for _, r := range ranks {
		total += r
	}
	ways := make([][]float64, k+1) // by how many are drawn, then by their sum
	for n := range ways {
		ways[n] = make([]float64, total+1)
	}
	ways[0][0] = 1
	for i, r := range ranks {
		for n := min(i+1, k); n > 0; n-- {
			for s := total; s >= r; s-- {
				ways[n][s] += ways[n-1][s-r]
			}
		}
	}
	at, all := 0.0, 0.0
	for s, w := range ways[k] {
		all += w
		if s >= least {
			at += w
		}
	}
	return at / all
}

// rankMoments are the mean and the variance of the sum of the ranks of the m
// values drawn, with Σ(t³ − t) for ties.
func rankMoments(others, m int, ties float64) (mean, variance float64) {
	k, n := float64(m), float64(others+m)
	if n < 2 {
		return k * (n + 1) / 2, 0
	}
	return k * (n + 1) / 2, k * (n - k) / 12 * (n + 1 - ties/(n*(n-1)))
}

// normalAbove is the chance of a standard normal value above z.
func normalAbove(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }

// A stratum are the values of one person and those of the others where both
// worked alike: in one area, on one day.
type stratum struct{ own, others []float64 }

// differ is the chance that the ranks of one person within the strata lie as
// far to one side as they do, if persons make no difference: the rank sums of
// the strata, each weighed with 1/(n + 1) (van Elteren), taken as normal. It
// is 1 where nothing can be compared.
func differ(strata []stratum) float64 {
	off, variance := 0.0, 0.0
	for _, s := range strata {
		if len(s.own) == 0 || len(s.others) == 0 {
			continue
		}
		ranks, ties := doubledRanks(slices.Concat(s.own, s.others))
		sum := 0
		for _, r := range ranks[:len(s.own)] {
			sum += r
		}
		mean, v := rankMoments(len(s.others), len(s.own), ties)
		weight := 1 / float64(len(ranks)+1)
		off += weight * (float64(sum)/2 - mean)
		variance += weight * weight * v
	}
	if variance <= 0 {
		return 1
	}
	return min(1, 2*normalAbove(math.Abs(off)/math.Sqrt(variance)))
}

// A share are the voids of one person and of all where both worked alike.
type share struct{ own, all, ownVoids, voids int }

// sharesDiffer is the chance that one person has so many voids, or so few,
// where voids fall on the tests of each stratum without regard to who made
// them: exact, by the hypergeometric distributions of the strata one after the
// other; twice the smaller tail.
func sharesDiffer(strata []share) float64 {
	chances := []float64{1} // by number of own voids
	own := 0
	for _, s := range strata {
		if s.own == 0 || s.own == s.all {
			continue
		}
		own += s.ownVoids
		chances = convolve(chances, hypergeometric(s.own, s.all, s.voids))
	}
	above, below := 0.0, 0.0
	for n, p := range chances {
		if n >= own {
			above += p
		}
		if n <= own {
			below += p
		}
	}
	return min(1, 2*min(above, below))
}

// hypergeometric are the chances of 0, 1, … of the voids among own of all
// tests.
func hypergeometric(own, all, voids int) []float64 {
	chances := make([]float64, min(own, voids)+1)
	for k := range chances {
		if rest := voids - k; rest <= all-own {
			chances[k] = math.Exp(choose(own, k) + choose(all-own, rest) - choose(all, voids))
		}
	}
	return chances
}

// choose is the logarithm of n over k.
func choose(n, k int) float64 { return factorial(n) - factorial(k) - factorial(n-k) }

// factorial is the logarithm of n!.
func factorial(n int) float64 { f, _ := math.Lgamma(float64(n) + 1); return f }

func convolve(a, b []float64) []float64 {
	sum := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		for j, y := range b {
			sum[i+j] += x * y
		}
	}
	return sum
}

// least is the smallest chance that higher can give with so many values: all
// of one side above all of the other.
func least(before, after int) float64 { return math.Exp(-choose(before+after, after)) }
