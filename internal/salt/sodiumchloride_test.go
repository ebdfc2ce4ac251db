package salt

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"saltline/internal/unit"
	"saltline/testdata/published"
)

// perMilligram turns the formulas to concentrations: 1 mg/m² is 1 mg/l.
var perMilligram = Method{unit.Int(5), unit.Int(1), unit.Int(1000)}

// For every chloride of the table, at every concentration in range, the
// chloride that is there does not exceed the bound from its conductivity.
func TestChlorideUpperBoundHolds(t *testing.T) {
	records, err := published.Table("chlorides.csv")
	if err != nil {
		t.Fatal(err)
	}
	inRange := 0
	for _, r := range records {
		c, err1 := strconv.ParseFloat(r[1], 64)
		lambda, err2 := strconv.ParseFloat(r[2], 64)
		if err1 != nil || err2 != nil {
			t.Fatal(r)
		}
		if c == 0 {
			c = 1e-9 // infinite dilution
		}
		chloride := c * 35.453 * 1000 // mg/l
		rise := unit.Conductivity(1000 * c * lambda)
		bound, err := perMilligram.ChlorideUpperBound(rise)
		if err != nil {
			// More conductive than sodium chloride at the same concentration.
			if rise < 1140 {
				t.Errorf("%v: %v", r, err)
			}
			continue
		}
		inRange++
		if float64(bound) < chloride*(1-1e-9) {
			t.Errorf("%s at %v: bound %v mg/l, but %v are there", r[0], c, bound, chloride)
		}
		if r[0] == "NaCl" && float64(bound) > 1.08*chloride {
			t.Errorf("NaCl at %v: bound %v mg/l is more than 8 %% above the %v there", c, bound, chloride)
		}
	}
	if inRange < 15 {
		t.Errorf("only %d values lie in the range of the bound", inRange)
	}
}

// The bound is above the plain factor of infinite dilution, 0.2805 mg/l per
// µS/cm, at any real concentration, and above the chloride of the sodium
// chloride of the same conductivity.
func TestChlorideUpperBoundRises(t *testing.T) {
	last := 0.0
	for _, rise := range []unit.Conductivity{0.1, 1, 10, 41.67, 100, 500, 1000, 1140} {
		bound, err := usual.ChlorideUpperBound(rise)
		salt, err2 := usual.SodiumChlorideDensity(rise)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		factor := float64(bound) / float64(rise)
		if factor <= last || factor <= 0.2805*3/1.25 || float64(bound) < ChlorideShare*float64(salt) {
			t.Errorf("at %v µS/cm: bound %v mg/m², %v per µS/cm, NaCl %v", rise, bound, factor, salt)
		}
		last = factor
	}
}

// The rises of 50 mg/m² of sodium chloride, worked separately; a handbook
// table interpolated in √c gives 44.5 and 8.96 µS/cm.
func TestSodiumChlorideRise(t *testing.T) {
	for want, m := range map[float64]Method{44.48: usual, 8.96: beaker} {
		rise, err := m.SodiumChlorideRise(50)
		if err != nil || math.Abs(float64(rise)-want) > 0.02 {
			t.Errorf("50 mg/m² in %v ml: %v µS/cm %v, want %v", m.Volume, rise, err, want)
		}
	}
}

func TestSodiumChlorideInverse(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	last, lastRise := unit.SurfaceDensity(-1), unit.Conductivity(-1)
	for i := range 1000 {
		rho := unit.SurfaceDensity(float64(i) + r.Float64())
		rise, err := usual.SodiumChlorideRise(rho)
		if err != nil {
			t.Fatal(err)
		}
		back, err := usual.SodiumChlorideDensity(rise)
		if err != nil || math.Abs(float64(back-rho)) > 1e-11*float64(rho) {
			t.Fatalf("%v mg/m² makes %v µS/cm, which is %v mg/m² %v", rho, rise, back, err)
		}
		if rho > last && rise <= lastRise {
			t.Fatalf("not monotone at %v mg/m²", rho)
		}
		last, lastRise = rho, rise
	}
}

func TestSodiumChlorideRange(t *testing.T) {
	const top = MostConcentrated * 58.443 * 1000 // mg/l
	for _, tt := range []struct {
		rho unit.SurfaceDensity
		ok  bool
	}{{0, true}, {top * 0.999999, true}, {top * 1.000001, false}, {-1, false}, {unit.SurfaceDensity(math.NaN()), false}} {
		if _, err := perMilligram.SodiumChlorideRise(tt.rho); (err == nil) != tt.ok {
			t.Errorf("%v mg/l: %v", tt.rho, err)
		}
	}
	edge, _ := perMilligram.SodiumChlorideRise(top * 0.9999999)
	for _, tt := range []struct {
		rise unit.Conductivity
		ok   bool
	}{{0, true}, {edge, true}, {edge + 1, false}, {-0.1, false}, {unit.Conductivity(math.NaN()), false}, {unit.Conductivity(math.Inf(1)), false}} {
		got, err := perMilligram.SodiumChlorideDensity(tt.rise)
		if (err == nil) != tt.ok || err != nil && got != 0 {
			t.Errorf("%v µS/cm: %v %v", tt.rise, got, err)
		}
	}
}
