package salt

import (
	"math"
	"testing"

	"saltline/internal/unit"
)

// A budget worked separately: ρ = 46.8 at 3.0 ml; steps of 0.1 µS/cm,
// gain 2 %, volume ± 0.1 ml, area ± 2 %: 0.049, 0.540, 0.901, 0.540, hence
// u = 1.18 and U = 2.4.
func TestBudget(t *testing.T) {
	d := Doubt{
		Blank: unit.Conductivity(Resolution(0.1)), Extract: unit.Conductivity(Resolution(0.1)),
		Gain: Rectangular(0.02), Volume: unit.Volume(Rectangular(0.1)), Area: unit.PatchArea(Rectangular(0.02 * 1250)),
	}
	b := usual.Budget(2, 41, d, 2)
	want := map[source]float64{meterGain: 0.540, volumeOfWater: 0.901, patchSize: 0.540}
	reading := 0.0
	for of, u := range usual.shares(2, 41, d) {
		switch of := source(of); of {
		case blankResolution, extractResolution:
			reading = math.Hypot(reading, u)
		default:
			if math.Abs(u-want[of]) > 0.001 {
				t.Errorf("source %d: %v, want %v", of, u, want[of])
			}
		}
	}
	if math.Abs(reading-0.049) > 0.001 || math.Abs(float64(b.Standard)-1.18) > 0.005 || math.Abs(float64(b.Expanded)-2.4) > 0.05 {
		t.Errorf("both readings %v, u = %v, U = %v", reading, b.Standard, b.Expanded)
	}
	if got := usual.Budget(2, 41, Doubt{}, 2); got.Standard != 0 || got.Expanded != 0 {
		t.Errorf("nothing in doubt, but %+v", got)
	}
	// A density below zero is as uncertain as one above.
	if up, down := usual.Budget(0, 10, d, 2), usual.Budget(10, 0, d, 2); up.Standard != down.Standard {
		t.Errorf("u of ±12 is %v and %v", up.Standard, down.Standard)
	}
}

func TestStatedBudget(t *testing.T) {
	if b := StatedBudget(8.2, 2); b.Standard != 4.1 || b.Expanded != 8.2 {
		t.Errorf("8.2 at k = 2: %+v", b)
	}
	if b := StatedBudget(8.2, 0); b.Coverage != 2 {
		t.Errorf("no factor stated: k = %v", b.Coverage)
	}
}

func TestRequired(t *testing.T) {
	five := SamplingRule{PerArea, 5, 100, 1, 100}
	tenth := SamplingRule{PerArea, 1, 0.1, 1, 0.1}
	each := SamplingRule{Form: OnePer, First: 5, Step: 20}
	for _, tt := range []struct {
		rule  SamplingRule
		size  unit.SteelArea
		items int
		want  int
	}{
		{five, 1, 0, 5}, {five, 100, 0, 5}, {five, 100.001, 0, 6}, {five, 200, 0, 6}, {five, 200.5, 0, 7},
		{tenth, 0.3, 0, 3}, // 0.3 − 0.1 is 2 steps of 0.1 exactly, not 2.0000000000000004
		{tenth, 0.31, 0, 4},
		{each, 20, 0, 5}, {each, 100, 0, 5}, {each, 100.01, 0, 6},
		{SamplingRule{Form: FixedNumber, First: 8}, 0, 0, 8},
		{SamplingRule{Form: PerItem, First: 2}, 0, 3, 6},
	} {
		if got, err := tt.rule.Required(tt.size, tt.items); err != nil || got != tt.want {
			t.Errorf("%+v for %v m², %d items: %d %v, want %d", tt.rule, tt.size, tt.items, got, err, tt.want)
		}
	}
	for _, tt := range []struct {
		rule  SamplingRule
		size  unit.SteelArea
		items int
	}{
		{five, 0, 0}, {five, -1, 0}, {five, unit.SteelArea(math.NaN()), 0}, {five, unit.SteelArea(math.Inf(1)), 0}, {five, 1e12, 0},
		{SamplingRule{Form: PerArea, First: 5, FirstArea: 100, Then: 1}, 200, 0}, {SamplingRule{Form: PerItem, First: 1}, 100, 0},
		{SamplingRule{Form: PerItem, First: 1_000_000}, 0, 2}, {SamplingRule{}, 100, 1},
	} {
		if got, err := tt.rule.Required(tt.size, tt.items); err == nil {
			t.Errorf("%+v for %v m², %d items: %d, want an error", tt.rule, tt.size, tt.items, got)
		}
	}
}

func TestTouched(t *testing.T) {
	if got := Touched(6, 1250, 120); math.Abs(float64(got)-0.00625) > 1e-12 {
		t.Errorf("six patches on 120 m² touch %v %%, want 0.00625", got)
	}
}

// 2.6 ± 0.6 µl/mm² (ISO 8502-6, from memory): 2.5 to 4.0 ml on 1250 mm².
func TestFill(t *testing.T) {
	low, nominal, high := Fill(1250)
	if low != 2.5 || nominal != 3.25 || high != 4 {
		t.Errorf("1250 mm² takes %v, %v, %v ml", low, nominal, high)
	}
	if n := len(PatchAreas()); n != 5 {
		t.Errorf("%d compartments", n)
	}
}

func TestCost(t *testing.T) {
	if _, err := CostPerTest(10, 0); err == nil {
		t.Error("no use has a cost")
	}
	if _, err := TestsPerPatch(10, 0); err == nil {
		t.Error("no patch has tests")
	}
}
