package trend

import (
	"math"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) }

// The numbers of ways are those of the published tables of the rank sum (Mann
// and Whitney 1947): of the 252 ways to draw five of ten, 1, 1, 2, 3, 5 give
// U = 0, 1, 2, 3, 4; of the 70 to draw four of eight, 1, 1, 2, 3, 5 likewise.
func TestHigher(t *testing.T) {
	for _, c := range []struct {
		before, after []float64
		want          float64
	}{
		{[]float64{1, 2, 3, 4, 5}, []float64{6, 7, 8, 9, 10}, 1. / 252},
		{[]float64{1, 2, 3, 4, 6}, []float64{5, 7, 8, 9, 10}, 2. / 252},
		{[]float64{1, 2, 4, 5, 7}, []float64{3, 6, 8, 9, 10}, 12. / 252}, // U = 4
		{[]float64{1, 2, 3, 4}, []float64{5, 6, 7, 8}, 1. / 70},
		{[]float64{5, 6, 7, 8}, []float64{1, 2, 3, 4}, 1},
		// With ties by hand: of the six ways to draw two of 1, 2, 2, 3, the
		// sums of the ranks 1, 2½, 2½, 4 are 3½, 3½, 5, 5, 6½, 6½.
		{[]float64{1, 2}, []float64{2, 3}, 2. / 6},
		{[]float64{7, 7}, []float64{7, 7}, 1},
	} {
		if got := higher(c.before, c.after); !near(got, c.want) {
			t.Errorf("higher(%v, %v) = %v, want %v", c.before, c.after, got, c.want)
		}
	}
	if got, want := least(4, 4), 1./70; !near(got, want) {
		t.Errorf("least(4, 4) = %v, want %v", got, want)
	}
}

// Beyond 40 values the chance is that of the normal distribution: it must lie
// close to the exact one.
func TestHigherNormal(t *testing.T) {
	var before, after []float64
	for i := range 24 {
		before, after = append(before, float64(2*i)), append(after, float64(2*i+9))
	}
	ranks, _ := doubledRanks(append(append([]float64(nil), before...), after...))
	sum := 0
	for _, r := range ranks[len(before):] {
		sum += r
	}
	exact, normal := drawn(ranks, len(after), sum), higher(before, after)
	if math.Abs(exact-normal) > 0.002 {
		t.Errorf("exact %v, by the normal distribution %v", exact, normal)
	}
}

// The lady tasting tea (Fisher 1935): of eight cups four; all four right by
// chance in one of 70, three or more in 17.
func TestSharesDiffer(t *testing.T) {
	p := hypergeometric(4, 8, 4)
	for k, want := range []float64{1, 16, 36, 16, 1} {
		if !near(p[k], want/70) {
			t.Errorf("%d of 4: %v, want %v/70", k, p[k], want)
		}
	}
	if got, want := sharesDiffer([]share{{4, 8, 4, 4}}), 2./70; !near(got, want) {
		t.Errorf("all four: %v, want %v", got, want)
	}
	// Two such strata: 1/70 squared, doubled.
	if got, want := sharesDiffer([]share{{4, 8, 4, 4}, {4, 8, 4, 4}}), 2./4900; !near(got, want) {
		t.Errorf("all four twice: %v, want %v", got, want)
	}
	if got := sharesDiffer([]share{{5, 5, 1, 1}}); got != 1 {
		t.Errorf("nothing to compare with: %v", got)
	}
}

// Of one stratum it is the rank sum test: 5 of 10 with the sum 15 against a
// mean of 27.5 and a variance of 5·5·11/12.
func TestDiffer(t *testing.T) {
	s := stratum{own: []float64{1, 2, 3, 4, 5}, others: []float64{6, 7, 8, 9, 10}}
	want := math.Erfc(12.5 / math.Sqrt(5*5*11/12.) / math.Sqrt2)
	if got := differ([]stratum{s}); !near(got, want) {
		t.Errorf("one stratum: %v, want %v", got, want)
	}
	// Against the same the other way round it says nothing.
	if got := differ([]stratum{s, {own: s.others, others: s.own}}); !near(got, 1) {
		t.Errorf("both ways: %v, want 1", got)
	}
	if got := differ([]stratum{{own: []float64{3, 3}, others: []float64{3}}}); got != 1 {
		t.Errorf("all equal: %v, want 1", got)
	}
}

// TestRunByLuck counts, over all orders of eight values, the stretches of k
// values and more that go one way.
func TestRunByLuck(t *testing.T) {
	const n = 8
	var counts [n + 1]int // by length, of stretches that cannot be made longer
	orders := 0
	var permute func(xs []float64, k int)
	permute = func(xs []float64, k int) {
		if k == n {
			orders++
			length, way := 1, 0
			for i := 1; i < n; i++ {
				step := -1
				if xs[i] > xs[i-1] {
					step = 1
				}
				if step != way && i > 1 {
					counts[length]++
					length = 1
				}
				length, way = length+1, step
			}
			counts[length]++
			return
		}
		for i := k; i < n; i++ {
			xs[k], xs[i] = xs[i], xs[k]
			permute(xs, k+1)
			xs[k], xs[i] = xs[i], xs[k]
		}
	}
	permute([]float64{1, 2, 3, 4, 5, 6, 7, 8}, 0)
	for k := 4; k <= n; k++ {
		expected := 0
		for _, c := range counts[k:] {
			expected += c
		}
		if got, want := runByLuck(k, n), float64(expected)/float64(orders); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d of %d: %v, but %v are counted", k, n, got, want)
		}
	}
}

func TestLongestRun(t *testing.T) {
	for _, c := range []struct {
		xs       []float64
		from, to int
	}{
		{[]float64{1}, 0, 0},
		{[]float64{1, 2, 3, 2, 1, 0}, 2, 6},
		{[]float64{1, 1, 2, 3, 3, 4}, 1, 4},
		{[]float64{3, 2, 1, 2, 3}, 0, 3},
		{[]float64{5, 5, 6}, 1, 3},
	} {
		if from, to := longestRun(c.xs); from != c.from || to != c.to {
			t.Errorf("%v: %d to %d, want %d to %d", c.xs, from, to, c.from, c.to)
		}
	}
}
