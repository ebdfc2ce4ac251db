package salt

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"saltline/internal/unit"
)

// usual is the direct procedure on the common patch: K = 1.2.
var usual = Method{unit.Int(5), unit.Int(3), unit.Int(1250)}

// beaker is the beaker return of 15 ml: K = 6.
var beaker = Method{unit.Int(5), unit.Int(15), unit.Int(1250)}

// dec reads a literal of a test.
func dec(t testing.TB, s string) unit.Decimal {
	t.Helper()
	d, err := unit.ParseDecimal(s, unit.PointSign)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func ratio(t testing.TB, s string) unit.Ratio {
	t.Helper()
	return dec(t, s).Ratio()
}

func TestCheck(t *testing.T) {
	if err := usual.Check(); err != nil {
		t.Error(err)
	}
	for _, m := range []Method{{}, {unit.Int(0), unit.Int(3), unit.Int(1250)}, {unit.Int(5), unit.Int(0), unit.Int(1250)}, {unit.Int(5), unit.Int(3), unit.Int(-1)}} {
		if m.Check() == nil {
			t.Errorf("%v passes", m)
		}
	}
}

// 12.5 µS/cm × 4 is 50 exactly, and 0.1 + 0.2 is 0.3.
func TestExact(t *testing.T) {
	m := Method{unit.Int(5), unit.Int(10), unit.Int(1250)}
	if rho := m.ExactDensity(dec(t, "1.5"), dec(t, "14.0")); rho.Rat().Cmp(big.NewRat(50, 1)) != 0 {
		t.Errorf("K = 4, Δ = 12.5: %v, want 50", rho)
	}
	if rho := usual.ExactDensity(dec(t, "0.1"), dec(t, "0.4")); rho.Rat().Cmp(big.NewRat(36, 100)) != 0 {
		t.Errorf("K = 1.2, Δ = 0.3: %v, want 0.36", rho)
	}
	if rho := usual.Density(3, 2); rho != -1.2 {
		t.Errorf("an extract below the blank gives %v, want −1.2", rho)
	}
}

func TestFloatAgreesWithExact(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 5000 {
		m := Method{unit.Decimal{Coef: 40 + r.Int64N(20), Exp: -1}, unit.Decimal{Coef: 1 + r.Int64N(200), Exp: -1}, unit.Int(100 + r.Int64N(2500))}
		g1, g2 := unit.Decimal{Coef: r.Int64N(100), Exp: -1}, unit.Decimal{Coef: r.Int64N(20000), Exp: -1}
		l := Limit{Value: unit.Decimal{Coef: r.Int64N(1000), Exp: -1}, Comparison: AtMost}
		if r.IntN(4) == 0 { // land on the limit, where only exact arithmetic is right
			rho := m.ExactDensity(g1, g2).Rat()
			if rho.IsInt() && rho.Num().IsInt64() {
				l.Value = unit.Int(rho.Num().Int64())
			}
		}
		if quick, exact := m.Compare(g1, g2, l), l.Compare(m.ExactDensity(g1, g2)); quick != exact {
			t.Fatalf("%v, %v and %v against %v: %v, exactly %v", m, g1, g2, l, quick, exact)
		}
	}
}

// The table is arithmetic on the rule that a written digit stands for ± half
// its step: ± K·½(step + step).
func TestInterval(t *testing.T) {
	for _, tt := range []struct {
		m              Method
		blank, extract string
		volume         string // step
		low, high      string
	}{
		{beaker, "2", "10", "", "42", "54"},          // ± 6 at 1 µS/cm and 15 ml
		{beaker, "2.0", "10.0", "", "47.4", "48.6"},  // ± 0.6
		{usual, "2", "42", "", "46.8", "49.2"},       // ± 1.2
		{usual, "2.0", "42.0", "", "47.88", "48.12"}, // ± 0.12
		{usual, "2", "42.0", "", "47.34", "48.66"},   // the two steps differ
		{usual, "2", "2", "", "-1.2", "1.2"},
		{usual, "2.0", "42.0", "0.1", "47.082", "48.922"}, // V 2.95 to 3.05: 39.9·1.18, 40.1·1.22
		{usual, "5", "2", "0.1", "-4.88", "-2.36"},        // the larger volume makes a negative density lower
	} {
		g1, g2 := dec(t, tt.blank), dec(t, tt.extract)
		s := Steps{Blank: g1.Step(), Extract: g2.Step()}
		if tt.volume != "" {
			s.Volume = dec(t, tt.volume)
		}
		i := tt.m.Interval(g1, g2, s)
		if i.Low.Cmp(ratio(t, tt.low)) != 0 || i.High.Cmp(ratio(t, tt.high)) != 0 {
			t.Errorf("%s and %s: %s to %s, want %s to %s", tt.blank, tt.extract, i.Low.Rat().FloatString(4), i.High.Rat().FloatString(4), tt.low, tt.high)
		}
		if !i.Contains(tt.m.ExactDensity(g1, g2)) {
			t.Errorf("%s and %s: the interval misses its own density", tt.blank, tt.extract)
		}
	}
}

func TestIntervalAgainstLimit(t *testing.T) {
	l := Limit{Value: unit.Int(50), Comparison: AtMost}
	for _, tt := range []struct {
		low, high string
		want      bool
	}{
		{"49", "50", true}, {"49", "50.0001", false}, {"50", "51", false}, {"50.0001", "51", true},
	} {
		if got := (Interval{ratio(t, tt.low), ratio(t, tt.high)}).Decides(l); got != tt.want {
			t.Errorf("%s to %s decides: %v", tt.low, tt.high, got)
		}
	}
	w := Written(dec(t, "48.6"))
	for x, want := range map[string]bool{"48.55": true, "48.65": true, "48.6501": false, "48.5499": false} {
		if w.Contains(ratio(t, x)) != want {
			t.Errorf("48.6 stands for %s: %v", x, !want)
		}
	}
	if !w.Overlaps(Interval{ratio(t, "48.65"), ratio(t, "49")}) || w.Overlaps(Interval{ratio(t, "48.651"), ratio(t, "49")}) {
		t.Error("overlap at the end of an interval is judged wrongly")
	}
}

func BenchmarkDensity(b *testing.B) {
	for b.Loop() {
		usual.Density(2, 42)
	}
}

func BenchmarkExactDensity(b *testing.B) {
	g1, g2 := dec(b, "2.0"), dec(b, "42.1")
	for b.Loop() {
		usual.ExactDensity(g1, g2)
	}
}

func BenchmarkCompare(b *testing.B) {
	g1, g2 := dec(b, "2.0"), dec(b, "42.1")
	l := Limit{Value: unit.Int(50), Comparison: AtMost}
	for b.Loop() {
		usual.Compare(g1, g2, l)
	}
}
