package salt

import (
	"math"
	"testing"

	"saltline/internal/unit"
)

// A value equal to the limit and its neighbours, under each comparison and
// rounding. 50.4 against "50 after rounding to 1" is the example of the
// rounding method of ASTM E29 (from memory).
func TestCompare(t *testing.T) {
	unit1 := Rounding{Step: unit.Int(1)}
	even := Rounding{Step: unit.Int(1), ToEven: true}
	five := Rounding{Step: unit.Int(5)}
	for _, tt := range []struct {
		density string
		c       Comparison
		r       Rounding
		want    Outcome
	}{
		{"50", AtMost, Rounding{}, Conforms},
		{"50.0000000001", AtMost, Rounding{}, NotConforms},
		{"49.9999999999", LessThan, Rounding{}, Conforms},
		{"50", LessThan, Rounding{}, NotConforms},
		{"50", ComparisonNotStated, Rounding{}, Undecided},
		{"49.9", ComparisonNotStated, Rounding{}, Conforms},
		{"50.1", ComparisonNotStated, Rounding{}, NotConforms},
		{"50.4", AtMost, Rounding{}, NotConforms},
		{"50.4", AtMost, unit1, Conforms},
		{"50.4", LessThan, unit1, NotConforms},
		{"50.5", AtMost, unit1, NotConforms}, // half up
		{"50.4999999999", AtMost, unit1, Conforms},
		{"50.5", AtMost, even, Conforms}, // half to even: 50
		{"50.5000000001", AtMost, even, NotConforms},
		{"49.5", LessThan, unit1, NotConforms},
		{"49.5", LessThan, even, NotConforms}, // 49.5 goes to 50
		{"49.4", LessThan, unit1, Conforms},
		{"52.4", AtMost, five, Conforms},
		{"52.5", AtMost, five, NotConforms},
		{"-1", AtMost, Rounding{}, Conforms}, // a finding elsewhere
	} {
		l := Limit{unit.Int(50), TotalSalts, tt.c, tt.r}
		if got := l.Compare(ratio(t, tt.density)); got != tt.want {
			t.Errorf("%s, comparison %d, rounding %+v: %v, want %v", tt.density, tt.c, tt.r, got, tt.want)
		}
	}
}

// A bound above a limit of chloride shows nothing; one within it does.
func TestCompareChlorideBound(t *testing.T) {
	l := Limit{Value: unit.Int(30), Basis: ChlorideIon, Comparison: AtMost}
	for density, want := range map[string]Outcome{"30": Conforms, "30.1": Undecided} {
		if got := l.Compare(ratio(t, density)); got != want {
			t.Errorf("at most %s of chloride against 30: %v, want %v", density, got, want)
		}
	}
}

// Limit 50, U = 8: the acceptance limit of guarded acceptance is 42, the
// rejection limit of guarded rejection 58 (JCGM 106:2012, 8.3).
func TestJudge(t *testing.T) {
	at := func(rule RuleKind, density string, u unit.SurfaceDensity, want Outcome) {
		t.Helper()
		l := Limit{Value: unit.Int(50), Basis: TotalSalts, Comparison: AtMost}
		if got := rule.Judge(ratio(t, density), u, l); got != want {
			t.Errorf("%v, %s with U = %v against 50: %v, want %v", rule, density, u, got, want)
		}
	}
	at(Simple, "50", 8, Conforms)
	at(Simple, "50.0001", 8, NotConforms)
	at(RuleNotStated, "50", 8, Conforms)
	at(RuleNotStated, "50.0001", 0, NotConforms)

	at(Guarded, "42", 8, Conforms)
	at(Guarded, "42.0001", 8, Undecided)
	at(Guarded, "50", 8, Undecided)
	at(Guarded, "50.0001", 8, NotConforms) // doubt never takes away a fail
	at(Guarded, "10", 0, Undecided)        // no uncertainty known: nothing is shown
	at(Guarded, "50.0001", 0, NotConforms)
	at(Guarded, "10", unit.SurfaceDensity(math.NaN()), Undecided)
	at(Guarded, "10", unit.SurfaceDensity(math.Inf(1)), Undecided)

	at(GuardedRejection, "50", 8, Conforms)
	at(GuardedRejection, "50.0001", 8, Undecided)
	at(GuardedRejection, "58", 8, Undecided)
	at(GuardedRejection, "58.0001", 8, NotConforms)
	at(GuardedRejection, "50.0001", 0, NotConforms)
	at(GuardedRejection, "50.0001", unit.SurfaceDensity(math.NaN()), NotConforms)
}

// Under no rule is a value above its limit shown to conform, and only under
// guarded rejection does it escape the fail.
func TestJudgeAboveTheLimit(t *testing.T) {
	for _, rule := range []RuleKind{RuleNotStated, Simple, Guarded, GuardedRejection} {
		for _, c := range []Comparison{AtMost, LessThan, ComparisonNotStated} {
			for _, u := range []unit.SurfaceDensity{0, 1, 1000} {
				l := Limit{Value: unit.Int(50), Basis: TotalSalts, Comparison: c}
				got := rule.Judge(ratio(t, "50.1"), u, l)
				if got == Conforms || got != NotConforms && rule != GuardedRejection {
					t.Errorf("%v, comparison %d, U = %v: 50.1 against 50 %v", rule, c, u, got)
				}
			}
		}
	}
}

func TestConformity(t *testing.T) {
	// The chance that a true value lies above 50 at 46.8 with u = 4.1 is some
	// 22 % (normal distribution, printed tables: Φ(0.78) = 0.782).
	if p := Conformity(46.8, 4.1, 50); math.Abs(p-0.782) > 0.001 {
		t.Errorf("conformity at 46.8: %v, want 0.782", p)
	}
	for _, u := range []unit.SurfaceDensity{0, -1, unit.SurfaceDensity(math.NaN())} {
		if p := Conformity(40, u, 50); !math.IsNaN(p) {
			t.Errorf("conformity with u = %v is %v", u, p)
		}
	}
}
