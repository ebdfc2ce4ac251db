package unit

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
	"time"
)

// operands are fractions of all sizes: many that fit in two words, some at
// the edge of them and some beyond.
func operands(rnd *rand.Rand) *big.Rat {
	part := func() *big.Int {
		switch rnd.IntN(8) {
		case 0:
			return big.NewInt(math.MaxInt64 - rnd.Int64N(3))
		case 1:
			return big.NewInt(math.MinInt64 + rnd.Int64N(3))
		case 2:
			return new(big.Int).Lsh(big.NewInt(rnd.Int64()), uint(rnd.IntN(40)))
		case 3:
			return pow10(rnd.IntN(25))
		case 4:
			return big.NewInt(rnd.Int64N(5) - 2)
		}
		return big.NewInt(rnd.Int64N(200_000) - 100_000)
	}
	num, den := part(), part()
	if den.Sign() == 0 {
		den.SetInt64(1)
	}
	return new(big.Rat).SetFrac(num, den)
}

// TestRatio holds the arithmetic of Ratio against that of math/big.
func TestRatio(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	for range 50_000 {
		a, b := operands(rnd), operands(rnd)
		x, y := RatioOf(a), RatioOf(b)
		same := func(what string, got Ratio, want *big.Rat) {
			t.Helper()
			if got.Rat().Cmp(want) != 0 {
				t.Fatalf("%v, %v: %s is %v, want %v", a, b, what, got.Rat(), want)
			}
			if fits := RatioOf(want); fits.big == nil && got != fits {
				t.Fatalf("%v, %v: %s is %v, kept as %v, want %v", a, b, what, want, got, fits)
			}
		}
		same("value", x, a)
		same("negative", x.Neg(), new(big.Rat).Neg(a))
		same("sum", x.Add(y), new(big.Rat).Add(a, b))
		same("difference", x.Sub(y), new(big.Rat).Sub(a, b))
		same("product", x.Mul(y), new(big.Rat).Mul(a, b))
		if b.Sign() != 0 {
			same("quotient", x.Quo(y), new(big.Rat).Quo(a, b))
		}
		same("nearest", x.Whole(false), new(big.Rat).SetInt(Steps(a, false)))
		same("nearest, ties to even", x.Whole(true), new(big.Rat).SetInt(Steps(a, true)))
		if got, want := x.Cmp(y), a.Cmp(b); got != want {
			t.Fatalf("%v, %v: compare as %d, want %d", a, b, got, want)
		}
		if got, want := x.Sign(), a.Sign(); got != want {
			t.Fatalf("%v: sign %d, want %d", a, got, want)
		}
		if f, _ := a.Float64(); x.Float() != f {
			t.Fatalf("%v: nearest float is %v, want %v", a, x.Float(), f)
		}
	}
}

func TestRatioTies(t *testing.T) {
	for _, tt := range []struct {
		num, den int64
		up, even int64
	}{{1, 2, 1, 0}, {-1, 2, -1, 0}, {3, 2, 2, 2}, {5, 2, 3, 2}, {-5, 2, -3, -2}, {499, 1000, 0, 0}, {501, 1000, 1, 1}, {math.MaxInt64, 2, 1 << 62, 1 << 62}} {
		r := RatioOf(big.NewRat(tt.num, tt.den))
		if up, even := r.Whole(false), r.Whole(true); up != Int(tt.up).Ratio() || even != Int(tt.even).Ratio() {
			t.Errorf("%d/%d: got %v and %v, want %d and %d", tt.num, tt.den, up.Rat(), even.Rat(), tt.up, tt.even)
		}
	}
}

func TestRatioOfFloat(t *testing.T) {
	for _, f := range []float64{0, 1, -3, 0.1, 48.5, 1e300, -1e-300, 1 << 53, 1<<53 + 2} {
		if got := RatioOfFloat(f).Rat(); got.Cmp(new(big.Rat).SetFloat64(f)) != 0 {
			t.Errorf("%v: got %v", f, got)
		}
	}
	for _, f := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if RatioOfFloat(f).Known() {
			t.Errorf("%v became a number", f)
		}
	}
	if (Ratio{}).Known() || (Ratio{}).Rat() != nil || RatioOf(nil).Known() {
		t.Error("the zero Ratio is a number")
	}
}

func TestDecimalRatio(t *testing.T) {
	for _, d := range []Decimal{{0, 0}, {140, -1}, {-5, 3}, {math.MaxInt64, 0}, {math.MinInt64, 0}, {math.MinInt64, -18}, {7, 18}, {7, -18}, {7, 25}, {7, -25}} {
		want := new(big.Rat).SetInt64(d.Coef)
		if p := new(big.Rat).SetInt(pow10(max(d.Exp, -d.Exp))); d.Exp < 0 {
			want.Quo(want, p)
		} else {
			want.Mul(want, p)
		}
		if got := d.Ratio(); got.Rat().Cmp(want) != 0 || got != RatioOf(want) && got.big == nil {
			t.Errorf("%d × 10^%d: got %v, want %v", d.Coef, d.Exp, got.Rat(), want)
		}
	}
}
