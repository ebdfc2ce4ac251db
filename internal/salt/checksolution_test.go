package salt

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"saltline/internal/unit"
)

// Worked separately from tables: Λ of potassium chloride at 25 °C (0.0005
// and 0.001 mol/l: 147.8 and 147.0 S·cm²/mol) gives the concentration, Λ at
// 18 °C (0.0001 and 0.001 mol/l: 129.07 and 127.34, Kohlrausch, from memory),
// interpolated in √c, the reading. TestPublished holds the NIST table.
func TestCheckSolution(t *testing.T) {
	for _, tt := range []struct {
		nominal   unit.Conductivity
		at        unit.Temperature
		want, tol float64
	}{
		{84, 18, 72.9, 0.3},
		{147, 18, 127.5, 0.4},
		{84, 25, 84, 1e-9}, // nothing to compensate
		{13000, 25, 13000, 1e-8},
	} {
		got, err := CheckSolution(tt.nominal, tt.at)
		ratio, err2 := CheckSolutionRatio(tt.nominal, tt.at)
		if err != nil || err2 != nil || math.Abs(float64(got)-tt.want) > tt.tol {
			t.Errorf("%v µS/cm reads %v at %v °C (%v, %v), want %v", tt.nominal, got, tt.at, err, err2, tt.want)
		}
		if math.Abs(ratio*tt.want-float64(tt.nominal)) > 1.2*tt.tol {
			t.Errorf("%v × %v is not %v", tt.want, ratio, tt.nominal)
		}
	}
}

func TestCheckSolutionRange(t *testing.T) {
	below := func(x float64) float64 { return math.Nextafter(x, math.Inf(-1)) }
	above := func(x float64) float64 { return math.Nextafter(x, math.Inf(1)) }
	for _, tt := range []struct {
		nominal, at float64
		ok          bool
	}{
		{10, 18, true}, {below(10), 18, false}, {13000, 18, true}, {above(13000), 18, false},
		{84, 0, true}, {84, below(0), false}, {84, 50, true}, {84, above(50), false},
		{0, 18, false}, {-84, 18, false}, {math.NaN(), 18, false}, {84, math.NaN(), false}, {math.Inf(1), 18, false},
	} {
		got, err := CheckSolution(unit.Conductivity(tt.nominal), unit.Temperature(tt.at))
		_, err2 := CheckSolutionRatio(unit.Conductivity(tt.nominal), unit.Temperature(tt.at))
		var beyond *RangeError
		if (err == nil) != tt.ok || (err2 == nil) != tt.ok || !tt.ok && (!errors.As(err, &beyond) || got != 0) {
			t.Errorf("%v µS/cm at %v °C: %v %v, ratio %v", tt.nominal, tt.at, got, err, err2)
		}
	}
}

// A stronger or a warmer solution reads more, and at 25 °C any reads its
// nominal value.
func TestCheckSolutionRises(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 1000 {
		nominal := unit.Conductivity(10 * math.Pow(1299, r.Float64()))
		at := unit.Temperature(49 * r.Float64())
		home, err := CheckSolution(nominal, 25)
		if err != nil || math.Abs(float64(home/nominal-1)) > 1e-12 {
			t.Fatalf("%v µS/cm reads %v at 25 °C: %v", nominal, home, err)
		}
		read, err := CheckSolution(nominal, at)
		stronger, err2 := CheckSolution(nominal*1.0001, at)
		warmer, err3 := CheckSolution(nominal, at+0.01)
		if err := errors.Join(err, err2, err3); err != nil || stronger <= read || warmer <= read {
			t.Fatalf("%v µS/cm at %v °C: %v, stronger %v, warmer %v: %v", nominal, at, read, stronger, warmer, err)
		}
	}
}
