package unit

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

func TestFloat(t *testing.T) {
	en := English()
	for _, tt := range []struct {
		f        float64
		decimals int
		want     string
	}{
		{16.5, 0, "17"}, {math.Nextafter(16.5, 0), 0, "16"}, {49.95, 1, "50.0"}, {-2.1, 1, "−2.1"}, {-0.04, 1, "0.0"}, {0, 1, "0.0"},
		{1234.5, 1, "1234.5"}, {0.005, 2, "0.01"}, {50, 0, "50"}, {1e-9, 1, "0.0"}, {math.NaN(), 1, "—"}, {math.Inf(1), 1, "—"}, {1e30, 0, "1000000000000000019884624838656"},
	} {
		if got := en.Float(tt.f, tt.decimals); got != tt.want {
			t.Errorf("%v to %d decimals prints as %q, want %q", tt.f, tt.decimals, got, tt.want)
		}
	}
}

// A printed value lies on the same side of the limit as the value itself.
func TestBeside(t *testing.T) {
	en := English()
	for _, tt := range []struct {
		x, limit string
		want     string
	}{
		{"50.04", "50", "50.04"}, {"50", "50", "50.0"}, {"49.96", "50", "49.96"}, {"50.05", "50", "50.1"}, {"49.9", "50", "49.9"}, {"61.02", "50", "61.0"},
		{"50.0004", "50", "50.0004"}, {"49.999996", "50", "49.999996"}, {"5.04", "5.0", "5.04"}, {"-0.04", "0", "−0.04"}, {"0.04", "0", "0.04"},
	} {
		x, _ := new(big.Rat).SetString(tt.x)
		limit, _ := new(big.Rat).SetString(tt.limit)
		if got := en.Beside(RatioOf(x), RatioOf(limit), 1); got != tt.want {
			t.Errorf("%s beside %s prints as %q, want %q", tt.x, tt.limit, got, tt.want)
		}
	}
	third := big.NewRat(50_000_000_000_000_001, 1_000_000_000_000_000) // beyond any display
	if got := en.Beside(RatioOf(third), RatioOf(big.NewRat(50, 1)), 1); got != "50.000000000000" {
		t.Errorf("prints as %q", got)
	}
}

func TestSpelling(t *testing.T) {
	comma := English()
	comma.Sign = ','
	if got := comma.Decimal(Decimal{140, -1}); got != "14,0" {
		t.Errorf("14.0 prints as %q", got)
	}
	if got := comma.Decimal(Decimal{12, 2}); got != "1200" {
		t.Errorf("12 × 10² prints as %q", got)
	}
	if got := Format(English(), SurfaceDensity(50.04), 1); got != "50.0\u00a0mg/m²" {
		t.Errorf("prints as %q", got)
	}
	if got := Format(English(), Temperature(-2.1), 1); got != "−2.1\u00a0°C" {
		t.Errorf("prints as %q", got)
	}
	if got := Format(English(), Money(12.5), 2); got != "12.50" {
		t.Errorf("prints as %q", got)
	}
	for d, want := range map[Date]string{{2025, 3, 11}: "11\u00a0Mar\u00a02025", {0, 3, 4}: "4\u00a0Mar", {}: ""} {
		if got := English().Date(d); got != want {
			t.Errorf("%v prints as %q, want %q", d, got, want)
		}
	}
}

func TestPatternOfDates(t *testing.T) {
	german := English()
	german.Months[2], german.Dates = "März", "D. M Y"
	for want, d := range map[string]Date{
		"11.\u00a0März\u00a02025": {2025, 3, 11}, "4.\u00a0März": {0, 3, 4}, "": {},
	} {
		if got := german.Date(d); got != want {
			t.Errorf("%v: got %q, want %q", d, got, want)
		}
	}
	for pattern, want := range map[Pattern]bool{
		"D M Y": true, "D. M Y": true, "": false, "D M": false, "M D Y": false, "D M Y Y": false, "D de M Y": false, "D/M/Y 1": false,
	} {
		if got := pattern.Valid(); got != want {
			t.Errorf("%q: valid is %v, want %v", pattern, got, want)
		}
	}
}

// Numbers are rounded and spelled as math/big does it, which rounds a tie away
// from zero as we do.
func TestSpellingAsMathBig(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	sp := English()
	number := func() int64 {
		if rnd.IntN(3) == 0 {
			return int64(rnd.Uint64())
		}
		return rnd.Int64N(2_000_000) - 1_000_000
	}
	for range 100_000 {
		x, decimals := big.NewRat(number(), 1+rnd.Int64N(1000)), rnd.IntN(14)
		if rnd.IntN(10) == 0 {
			x.Mul(x, big.NewRat(1+rnd.Int64N(1e15), 1))
		}
		want := x.FloatString(decimals)
		if strings.Trim(want, "-0.") == "" {
			want = strings.TrimPrefix(want, "-") // nothing is below zero that shows no digit
		}
		want = strings.Replace(want, "-", minus, 1)
		if got := sp.Rat(x, decimals); got != want {
			t.Fatalf("%v with %d decimals is spelled %q, want %q", x, decimals, got, want)
		}
		d := Decimal{number(), 6 - rnd.IntN(16)}
		want = strings.Replace(d.Rat().FloatString(max(0, -d.Exp)), "-", minus, 1)
		if got := sp.Decimal(d); got != want {
			t.Fatalf("%d × 10^%d is spelled %q, want %q", d.Coef, d.Exp, got, want)
		}
	}
}
