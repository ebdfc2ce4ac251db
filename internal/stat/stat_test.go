package stat

import (
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %v ± %g", what, got, want, tolerance)
	}
}

func TestSummarise(t *testing.T) {
	s, err := Summarise([]float64{5, 1, 4, 2}) // by hand: mean 3, squares 4 + 4 + 1 + 1
	if err != nil || s.N != 4 || s.Min != 1 || s.Max != 5 || s.Median != 3 || s.Mean != 3 {
		t.Errorf("%+v %v", s, err)
	}
	near(t, "standard deviation", s.SD, math.Sqrt(10.0/3), 1e-15)
	s, err = Summarise([]float64{7})
	if err != nil || s.Median != 7 || !math.IsNaN(s.SD) {
		t.Errorf("a single value: %+v %v", s, err)
	}
	if _, err := Summarise(nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("no values: %v", err)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := Summarise([]float64{1, bad}); !errors.Is(err, ErrNotFinite) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	xs := []float64{3, 1, 2}
	if _, err := Summarise(xs); err != nil || !slices.Equal(xs, []float64{3, 1, 2}) {
		t.Errorf("the sample is reordered: %v %v", xs, err)
	}
}

func TestAutocorrelationRange(t *testing.T) {
	for _, xs := range [][]float64{nil, {1}, {2, 2, 2}, {1, math.NaN()}} {
		if r, err := Autocorrelation(xs); err == nil {
			t.Errorf("%v: %v", xs, r)
		}
	}
}

// A sum that cancels keeps the small values.
func TestMeanIsCompensated(t *testing.T) {
	for _, xs := range [][]float64{{1e16, 1, 1, -1e16}, {1, 1e16, -1e16, 1}} {
		if got := Mean(xs); got != 0.5 {
			t.Errorf("mean of %v is %v, want 0.5", xs, got)
		}
	}
}

// The shares are those printed in tables of 0.05^(1/n), to the per cent.
func TestCoverageWithoutFailure(t *testing.T) {
	for n, want := range map[int]float64{1: 0.05, 2: 0.22, 3: 0.37, 5: 0.55, 8: 0.69, 10: 0.74, 20: 0.86, 29: 0.90, 59: 0.95} {
		p, err := CoverageWithoutFailure(n, 0.95)
		if err != nil {
			t.Error(err)
		}
		near(t, "coverage", p, want, 0.005)
	}
	for _, tt := range []struct {
		n int
		c float64
	}{{0, 0.95}, {5, 0}, {5, 1}, {5, math.NaN()}} {
		if _, err := CoverageWithoutFailure(tt.n, tt.c); err == nil {
			t.Errorf("n = %d, confidence %v passes", tt.n, tt.c)
		}
	}
}

// One value fewer than the sample size does not reach the confidence.
func TestSampleSizeIsLeast(t *testing.T) {
	for _, tt := range []struct{ p, c float64 }{{0.95, 0.95}, {0.9, 0.95}, {0.5, 0.5}, {0.99, 0.999}} {
		n, err := SampleSize(tt.p, tt.c)
		if err != nil || 1-math.Pow(tt.p, float64(n)) < tt.c || n > 1 && 1-math.Pow(tt.p, float64(n-1)) >= tt.c {
			t.Errorf("%v: %d %v", tt, n, err)
		}
	}
	if n, err := SampleSize(0.999999999, 0.95); err == nil {
		t.Errorf("a size of %d is given", n)
	}
}

func TestToleranceArguments(t *testing.T) {
	for _, tt := range []struct {
		n    int
		p, c float64
	}{{1, 0.95, 0.95}, {0, 0.95, 0.95}, {-3, 0.95, 0.95}, {10, 1, 0.95}, {10, 0.95, 0}, {10, math.NaN(), 0.95}, {10_001, 0.95, 0.95}} {
		if k, err := ToleranceFactor(tt.n, tt.p, tt.c); err == nil {
			t.Errorf("one-sided %v gives %v", tt, k)
		}
		if k, err := ToleranceFactorBetween(tt.n, tt.p, tt.c); err == nil {
			t.Errorf("two-sided %v gives %v", tt, k)
		}
	}
	// Two values are the least: 95/95 one-sided is 26.260 (printed tables, from memory).
	k, err := ToleranceFactor(2, 0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "n = 2", k, 26.260, 0.001)
	for _, tt := range []struct{ p, nu float64 }{{0.95, 0}, {0.95, -1}, {1, 5}, {0, 5}} {
		if q, err := StudentQuantile(tt.p, tt.nu); err == nil {
			t.Errorf("Student %v gives %v", tt, q)
		}
	}
}

// The factor grows as values get fewer, and tends to the normal quantile.
func TestToleranceFactorTends(t *testing.T) {
	last := math.Inf(1)
	for _, n := range []int{2, 3, 10, 100, 1000, 10_000} {
		k, err := ToleranceFactor(n, 0.95, 0.95)
		if err != nil || !(k < last && k > 1.6449) {
			t.Errorf("n = %d: %v %v after %v", n, k, err, last)
		}
		last = k
	}
	near(t, "n = 10 000", last, 1.6449, 0.05)
}

// By hand: 10, 12, 11, 13 has the ranges 2, 1, 2, a mean of 11.5 and so the
// limits 11.5 ± 2.659 × 5/3.
func TestIndividuals(t *testing.T) {
	c, err := Individuals([]float64{10, 12, 11, 13})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre", c.Centre, 11.5, 1e-12)
	near(t, "mean range", c.MeanRange, 5.0/3, 1e-12)
	near(t, "upper", c.Upper, 11.5+2.659*5/3, 0.001)
	near(t, "lower", c.Lower, 11.5-2.659*5/3, 0.001)
	near(t, "upper of range", c.RangeUpper, 3.267*5/3, 0.001)
	if _, err := Individuals([]float64{1}); err == nil {
		t.Error("one value has a chart")
	}
}

func TestRun(t *testing.T) {
	for _, tt := range []struct {
		xs   []float64
		want int
	}{{nil, 0}, {[]float64{1}, 1}, {[]float64{1, 1, 1}, 1}, {[]float64{1, 2, 3, 4, 5, 6}, 6}, {[]float64{1, 2, 3, 4, 5, 5}, 5}, {[]float64{6, 5, 4, 5, 4, 3}, 3}, {[]float64{1, 2, 2, 3, 4}, 3}} {
		if got := Run(tt.xs); got != tt.want {
			t.Errorf("longest run of %v: %d, want %d", tt.xs, got, tt.want)
		}
	}
}

// Probabilities of S by a printed table of the Mann–Kendall test for small
// samples (from memory): n = 4, S = 6 0.042; n = 5, S = 8 0.042, S = 10
// 0.0083; n = 6, S = 15 0.0014; n = 8, S = 8 0.199.
func TestMannKendallTable(t *testing.T) {
	for _, tt := range []struct {
		xs   []float64
		s    int
		want float64
	}{
		{[]float64{1, 2, 3, 4}, 6, 0.042},
		{[]float64{1, 2, 3, 5, 4}, 8, 0.042},
		{[]float64{1, 2, 3, 4, 5}, 10, 0.0083},
		{[]float64{1, 2, 3, 4, 5, 6}, 15, 0.0014},
		{[]float64{2, 1, 4, 3, 6, 5, 8, 7}, 20, 0.007},
		{[]float64{5, 4, 3, 2, 1}, -10, 1},
	} {
		got, err := MannKendall(tt.xs)
		if err != nil || got.S != tt.s || !got.Exact {
			t.Errorf("%v: %+v %v, want S = %d", tt.xs, got, err, tt.s)
		}
		near(t, "probability", got.Rising, tt.want, 0.0005)
	}
}

// The exact probability, ties and all, is that of counting every ordering.
func TestMannKendallEnumerated(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 40 {
		xs := make([]float64, 3+r.IntN(5))
		for i := range xs {
			xs[i] = float64(r.IntN(5))
		}
		got, err := MannKendall(xs)
		if err != nil {
			t.Fatal(err)
		}
		all, reached := 0, 0
		permute(slices.Clone(xs), 0, func(ys []float64) {
			all++
			if kendallS(ys) >= got.S {
				reached++
			}
		})
		near(t, "probability", got.Rising, float64(reached)/float64(all), 1e-12)
	}
}

func kendallS(xs []float64) int {
	s := 0
	for i := range xs {
		for j := range i {
			switch {
			case xs[i] > xs[j]:
				s++
			case xs[i] < xs[j]:
				s--
			}
		}
	}
	return s
}

func permute(xs []float64, from int, visit func([]float64)) {
	if from == len(xs) {
		visit(xs)
		return
	}
	for i := from; i < len(xs); i++ {
		xs[from], xs[i] = xs[i], xs[from]
		permute(xs, from+1, visit)
		xs[from], xs[i] = xs[i], xs[from]
	}
}

// At 40 values, still exact, and at 41, normal, a like series is judged
// alike.
func TestMannKendallLarge(t *testing.T) {
	series := func(n int) []float64 {
		xs := make([]float64, n)
		for i := range xs {
			xs[i] = float64(i%7) + float64(i)/20
		}
		return xs
	}
	small, err := MannKendall(series(40))
	large, err2 := MannKendall(series(41))
	if err != nil || err2 != nil || !small.Exact || large.Exact {
		t.Fatal(small, large, err, err2)
	}
	near(t, "41 against 40 values", large.Rising, small.Rising, 0.02)
	if flat, err := MannKendall(make([]float64, 50)); err != nil || flat.S != 0 || flat.Rising != 1 {
		t.Errorf("no scatter at all: %+v %v", flat, err)
	}
	if _, err := MannKendall([]float64{1, 2}); err == nil {
		t.Error("two values have a trend")
	}
}

// A line with one wild value keeps its slope.
func TestTheilSen(t *testing.T) {
	slope, err := TheilSen([]float64{0, 1, 2, 3, 4}, []float64{1, 3, 5, 700, 9})
	if err != nil || slope != 2 {
		t.Errorf("slope %v %v, want 2", slope, err)
	}
	for _, tt := range [][2][]float64{{{1}, {1}}, {{1, 1}, {1, 2}}, {{1, 2}, {1}}, {{1, 2}, {1, math.NaN()}}, {nil, nil}} {
		if s, err := TheilSen(tt[0], tt[1]); err == nil {
			t.Errorf("%v has the slope %v", tt, s)
		}
	}
}

// Exact sums of binomial terms.
func TestBinomialTail(t *testing.T) {
	for _, tt := range []struct {
		k, n int
		p    float64
	}{{1, 1, 0.2}, {22, 24, 0.2}, {5, 24, 0.2}, {10, 20, 0.5}, {20, 20, 0.5}, {1, 100, 0.01}} {
		sum := new(big.Rat)
		p := new(big.Rat).SetFloat64(tt.p)
		q := new(big.Rat).Sub(big.NewRat(1, 1), p)
		for k := tt.k; k <= tt.n; k++ {
			term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(tt.n), int64(k)))
			for range k {
				term.Mul(term, p)
			}
			for range tt.n - k {
				term.Mul(term, q)
			}
			sum.Add(sum, term)
		}
		want, _ := sum.Float64()
		got, err := BinomialTail(tt.k, tt.n, tt.p)
		if err != nil {
			t.Error(err)
		}
		near(t, "tail", got, want, 1e-12*want)
	}
	for _, tt := range []struct {
		k, n int
		p    float64
		want float64
	}{{0, 10, 0.5, 1}, {-1, 10, 0.5, 1}, {11, 10, 0.5, 0}, {1, 0, 0.5, 0}, {0, 0, 0.5, 1}, {3, 10, 0, 0}, {3, 10, 1, 1}} {
		if got, err := BinomialTail(tt.k, tt.n, tt.p); err != nil || got != tt.want {
			t.Errorf("P(X ≥ %d), n = %d, p = %v: %v %v, want %v", tt.k, tt.n, tt.p, got, err, tt.want)
		}
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := BinomialTail(1, 2, p); err == nil {
			t.Errorf("p = %v passes", p)
		}
	}
}

func BenchmarkToleranceFactorBetween(b *testing.B) {
	for b.Loop() {
		ToleranceFactorBetween(10, 0.95, 0.95)
	}
}

// Nth is held against the values in order, and moves them as it says.
func TestNth(t *testing.T) {
	const seed = 20260611
	t.Logf("seed %d", seed)
	chance := rand.New(rand.NewPCG(seed, 0))
	for range 2000 {
		xs := make([]int, 1+chance.IntN(40))
		spread := 1 + chance.IntN(50) // few different values, or many
		for k := range xs {
			xs[k] = chance.IntN(spread)
		}
		want := slices.Clone(xs)
		slices.Sort(want)
		switch chance.IntN(4) {
		case 0:
			slices.Sort(xs)
		case 1:
			slices.Sort(xs)
			slices.Reverse(xs)
		}
		n := chance.IntN(len(xs))
		got := Nth(xs, n)
		if got != want[n] || xs[n] != got || slices.Max(xs[:n+1]) > got || slices.Min(xs[n:]) < got {
			t.Fatalf("the %d-th of %v is %d, and they were left as %v", n, want, got, xs)
		}
		slices.Sort(xs)
		if !slices.Equal(xs, want) {
			t.Fatalf("of %v are left %v", want, xs)
		}
	}
}

// S is the number of pairs that rise less that of those that fall.
func TestTrendCountsPairs(t *testing.T) {
	const seed = 20260612
	t.Logf("seed %d", seed)
	chance := rand.New(rand.NewPCG(seed, 0))
	for range 500 {
		xs := make([]float64, 3+chance.IntN(60))
		spread := 1 + chance.IntN(80)
		for k := range xs {
			xs[k] = float64(chance.IntN(spread)) / 10
		}
		s := 0
		for i, x := range xs {
			for _, later := range xs[i+1:] {
				switch {
				case later > x:
					s++
				case later < x:
					s--
				}
			}
		}
		if trend, err := MannKendall(xs); err != nil || trend.S != s {
			t.Fatalf("%v: S is %d, want %d (%v)", xs, trend.S, s, err)
		}
	}
}
