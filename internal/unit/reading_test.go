package unit

import (
	"errors"
	"strings"
	"testing"
)

// The spellings are those met on site sheets (common practice); the factors
// are SI.
func TestParseKnown(t *testing.T) {
	for _, tt := range []struct {
		q       Quantity
		text    string
		heading string
		want    string // in the base unit, with its digits
		flag    Flag
	}{
		{OfConductivity, "14.2", "", "14.2", Plain},
		{OfConductivity, "14.2µS/cm", "", "14.2", Plain},
		{OfConductivity, "14.2 μS/cm", "", "14.2", Plain},
		{OfConductivity, "14 uS", "", "14", Plain},
		{OfConductivity, "14,0 us/cm", "", "14.0", Plain},
		{OfConductivity, "14.2 microS/cm", "", "14.2", Plain},
		{OfConductivity, "14.2 micro siemens", "", "14.2", Plain},
		{OfConductivity, "14.2 mikroS/cm", "", "14.2", Plain},
		{OfConductivity, "14.2 µmho/cm", "", "14.2", Plain},
		{OfConductivity, "14.2 umhos", "", "14.2", Plain},
		{OfConductivity, "14.2 µS·cm⁻¹", "", "14.2", Plain},
		{OfConductivity, "14.2 ÂµS/cm", "", "14.2", LostMicro},
		{OfConductivity, "14.2 ?S/cm", "", "14.2", LostMicro},
		{OfConductivity, "14.2", "µS/cm @ 25 °C", "14.2", Plain},
		{OfConductivity, "14.2", "[µS/cm]", "14.2", Plain},
		{OfConductivity, "1.42 mS/m", "", "14.2", Plain},
		{OfConductivity, "0.0384 mS/cm", "", "38.4", Plain},
		{OfConductivity, "0.0384", "MS/CM", "38.4", Capitals},
		{OfConductivity, "0,0384 ms/cm", "", "38.4", Plain},
		{OfConductivity, "0.00142 S/m", "", "14.2", Plain},
		{OfConductivity, "14.2 µS/cm", "mS/m", "14.2", Plain}, // the cell goes before the heading
		{OfConductivity, "1.2e1", "", "12", Plain},
		{OfDensity, "50 mg/m2", "", "50", Plain},
		{OfDensity, "50", "mg/m²", "50", Plain},
		{OfDensity, "50 mg/m^2", "", "50", Plain},
		{OfDensity, "50 mg/sqm", "", "50", Plain},
		{OfDensity, "50 mg/sq.m", "", "50", Plain},
		{OfDensity, "50 mgr/m2", "", "50", Plain},
		{OfDensity, "50 mg NaCl/m2", "", "50", AsSodiumSalt},
		{OfDensity, "5.0 µg/cm²", "", "50", Plain},
		{OfDensity, "5,05 ug/cm2", "", "50.5", Plain},
		{OfDensity, "5.0 mcg/cm2", "", "50", Plain},
		{OfDensity, "5.0 µg/sq cm", "", "50", Plain},
		{OfDensity, "5.0 ?g/cm2", "", "50", LostMicro},
		{OfDensity, "5.0 µg Cl/cm2", "", "50", AsChloride},
		{OfDensity, "0.05 g/m2", "", "50", Plain},
		{OfDensity, "5.0 mg/cm2", "", "50000", AlwaysSlip},
		{OfVolume, "3ml", "", "3", Plain},
		{OfVolume, "3.0 mL", "", "3.0", Plain},
		{OfVolume, "15 cc", "", "15", Plain},
		{OfVolume, "15 cm3", "", "15", Plain},
		{OfVolume, "15 cm³", "", "15", Plain},
		{OfVolume, "15 ccm", "", "15", Plain},
		{OfVolume, "0.015 l", "", "15", Plain},
		{OfVolume, "3000 µl", "", "3.000", Plain},
		{OfSteelArea, "120 m²", "", "120", Plain},
		{OfSteelArea, "1 024,5 qm", "", "1024.5", Plain},
		{OfSteelArea, "1000 ft2", "", "92.90304000", Plain},
		{OfTemperature, "21.5 °C", "", "21.5", Plain},
		{OfTemperature, "21.5 ºC", "", "21.5", Plain},
		{OfTemperature, "21.5C", "", "21.5", Plain},
		{OfTemperature, "−2 degC", "", "-2", Plain},
		{OfTemperature, "70 °F", "", "21.11", Plain},
		{OfTemperature, "32", "F", "0.00", Plain},
		{OfTemperature, "-40 F", "", "-40.00", Plain},
		{OfHumidity, "62 %", "", "62", Plain},
		{OfHumidity, "62", "% RH", "62", Plain},
		{OfLength, "4 in", "", "101.6", Plain},
		{OfLength, "4½\"", "", "114.30", Plain}, // 4.5 × 25.4
		{OfLength, "21.91 cm", "", "219.1", Plain},
		{OfLength, "1 ft", "", "304.8", Plain},
		{OfTime, "10 min", "", "10", Plain},
		{OfTime, "90 s", "", "1.50", Plain},
		{OfTime, "0.5 h", "", "30.0", Plain},
		{OfPercent, "5 %", "", "5", Plain},
		{OfConstant, "5", "", "5", Plain},
		{OfConstant, "4.7 kg·m⁻²·S⁻¹", "", "4.7", Plain},
		{OfMoney, "€ 12.50", "", "12.50", Plain},
		{OfMoney, "12,50 EUR", "", "12.50", Plain},
		{Pure, "4", "", "4", Plain},
	} {
		r := Parse(tt.q, tt.text, tt.heading, AnySign)
		if r.State != Known || r.Value.String() != tt.want || r.Flag != tt.flag || r.Err != nil {
			t.Errorf("%v %q under %q: %v %v, flag %d, %v; want %s, flag %d", tt.q, tt.text, tt.heading, r.State, r.Value, r.Flag, r.Err, tt.want, tt.flag)
		}
		if r.Text != tt.text {
			t.Errorf("%q is kept as %q", tt.text, r.Text)
		}
	}
}

func TestParseStates(t *testing.T) {
	for _, tt := range []struct {
		q    Quantity
		text string
		want State
	}{
		{OfConductivity, "", Blank},
		{OfConductivity, " \u00a0", Blank},
		{OfConductivity, "0", Known}, // a zero is a number; whether it can be true is another question
		{OfConductivity, "<1", Below},
		{OfConductivity, "< 0,6 µS/cm", Below},
		{OfConductivity, "≤0.6", Below},
		{OfDensity, "ND", Below},
		{OfDensity, "BDL", Below},
		{OfDensity, "n.n.", Below},
		{OfConductivity, ">2000", Above},
		{OfConductivity, "OL", Above},
		{OfConductivity, "-", NotDone},
		{OfConductivity, "--", NotDone},
		{OfConductivity, "–", NotDone},
		{OfConductivity, "n/a", NotDone},
		{OfConductivity, "N.A.", NotDone},
		{OfConductivity, "NA", NotDone},
		{OfConductivity, "n.b.", NotDone},
		{OfConductivity, "N/T", NotDone},
		{OfConductivity, "nil", NotDone},
		{OfConductivity, "/", NotDone},
		{OfConductivity, "xxx", NotDone},
		{OfConductivity, "ok", NotDone},
		{OfConductivity, "1,024", Ambiguous},
		{OfConductivity, "14..2", Unreadable},
		{OfConductivity, "l2", Unreadable},
		{OfConductivity, "1O.4 µS/cm", Unreadable},
		{OfConductivity, "ca. 14", Unreadable},
		{OfConductivity, "14 furlongs", Unreadable},
		{OfConductivity, "NaN", Unreadable},
		{OfConductivity, "14 ppm", WrongUnit},
		{OfConductivity, "14 TDS", WrongUnit},
		{OfConductivity, "14 mg/l", WrongUnit},
		{OfConductivity, "14 °/oo", WrongUnit},
		{OfConductivity, "14 mS", WrongUnit}, // per cm or per m?
		{OfConductivity, "14 ml", WrongUnit},
		{OfDensity, "50 ppm", WrongUnit},
		{OfDensity, "50 µS/cm", WrongUnit},
		{OfVolume, "9999999999999999999 l", Unreadable},
		{OfLength, "999999999999999999 in", Unreadable},
		{OfPatchArea, "large", Unreadable},
		{OfPatchArea, "12.5", Known},
		{OfPatchArea, "13", Ambiguous},
		{OfPatchArea, "99.9", Ambiguous},
		{OfPatchArea, "100", Known},
	} {
		r := Parse(tt.q, tt.text, "", AnySign)
		if tt.q == OfPatchArea {
			r = ParsePatchArea(tt.text, "", AnySign)
		}
		if r.State != tt.want {
			t.Errorf("%v %q is %v (%v), want %v", tt.q, tt.text, r.State, r.Err, tt.want)
		}
		if bad := r.State >= Ambiguous; bad != (r.Reason() != "") {
			t.Errorf("%v %q is %v with the reason %q", tt.q, tt.text, r.State, r.Reason())
		}
	}
}

func TestParsePatchArea(t *testing.T) {
	for _, tt := range []struct {
		text, heading, want string
		flag                Flag
	}{
		{"1250", "", "1250", Plain}, {"12.5 cm2", "", "1250", Plain}, {"12,5 cm²", "", "1250", Plain}, {"1250 mm2", "", "1250", Plain},
		{"12.5", "", "1250", UnitFromNumber}, {"12.5", "cm²", "1250", Plain}, {"1.55", "", "155", UnitFromNumber},
		{"A-1250", "", "1250", Plain}, {"A-0310", "cm2", "310", Plain},
	} {
		r := ParsePatchArea(tt.text, tt.heading, AnySign)
		if r.State != Known || r.Value.Cmp(mustDecimal(t, tt.want)) != 0 || r.Flag != tt.flag {
			t.Errorf("%q under %q: %v %v %d %v, want %s %d", tt.text, tt.heading, r.State, r.Value, r.Flag, r.Err, tt.want, tt.flag)
		}
	}
}

func TestBounds(t *testing.T) {
	r := ParseConductivity("< 0,06 mS/m", "", AnySign)
	if r.State != Below || !r.Bounded || r.Value != (Decimal{6, -1}) {
		t.Errorf("< 0,06 mS/m: %v %v bounded %v, want below 0.6 µS/cm", r.State, r.Value, r.Bounded)
	}
	if r := ParseDensity("ND", "", AnySign); r.State != Below || r.Bounded {
		t.Errorf("ND: %v bounded %v, want below with no bound", r.State, r.Bounded)
	}
}

// The step of a converted value is that of its written digits.
func TestStep(t *testing.T) {
	for _, tt := range []struct {
		q          Quantity
		text, want string
	}{
		{OfConductivity, "14.0", "0.1"}, {OfConductivity, "14", "1"}, {OfConductivity, "0.0384 mS/cm", "0.1"}, {OfDensity, "5.4 µg/cm2", "1"}, {OfLength, "4 in", "25.4"}, {OfTemperature, "70 °F", "0.56"},
	} {
		if r := Parse(tt.q, tt.text, "", AnySign); r.Step.Cmp(mustDecimal(t, tt.want)) != 0 {
			t.Errorf("step of %q is %v, want %s", tt.text, r.Step, tt.want)
		}
	}
}

func TestChoicesAreConverted(t *testing.T) {
	r := ParseConductivity("1,024", "mS/m", AnySign)
	if r.State != Ambiguous || len(r.Choices) != 2 || r.Choices[0].Cmp(mustDecimal(t, "10.24")) != 0 || r.Choices[1].Cmp(mustDecimal(t, "10240")) != 0 {
		t.Errorf("1,024 mS/m: %v %v, want 10.24 or 10240", r.State, r.Choices)
	}
}

func TestWrongUnitSaysWhat(t *testing.T) {
	for text, want := range map[string]string{"14 ppm": "dissolved solids", "14 mS": "per cm or per m", "14 ml": "volume", "14 mg/m2": "surface density"} {
		r := ParseConductivity(text, "", AnySign)
		var e *SymbolError
		if !errors.As(r.Err, &e) || !strings.Contains(e.Found, want) || e.Dissolved != (text == "14 ppm") {
			t.Errorf("%q: %v, want a word of %s", text, r.Err, want)
		}
	}
}

// Every spelling in the list is looked up in its folded form, so a spelling
// that folding changes could never be found.
func TestSpellingsAreFolded(t *testing.T) {
	for q := range Quantity(len(quantities)) {
		for _, s := range spellings(q) {
			for _, name := range strings.Fields(s.names) {
				if folded, _ := fold(name); folded != name {
					if _, ok := symbols[q][folded]; !ok {
						t.Errorf("%v: %q folds to %q, which is not listed", q, name, folded)
					}
				}
			}
		}
		if q.Symbol() != "" {
			if s, err := ParseSymbol(q, q.Symbol()); err != nil || s.factor != Int(1) {
				t.Errorf("the printed unit %q of %v does not read back: %v", q.Symbol(), q, err)
			}
		}
	}
}

func mustDecimal(t *testing.T, s string) Decimal {
	t.Helper()
	d, err := ParseDecimal(s, PointSign)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"14.2 µS/cm", "< 0,6", "5 mg/cm2", "A-1250", "€ 12.50", "70 °F", "1O.4", "OL", "n.b.", "4½ in", "?S/cm", "-", "1e5 l"} {
		f.Add(s, "", byte(1))
	}
	f.Fuzz(func(t *testing.T, text, heading string, q byte) {
		r := Parse(Quantity(q)%Quantity(len(quantities)), text, heading, AnySign)
		if (r.State >= Ambiguous) != (r.Err != nil) {
			t.Errorf("%q: %v with %v", text, r.State, r.Err)
		}
		if r.State == Known && (r.Value.Exp > maxExp || r.Value.Exp < -maxExp) {
			t.Errorf("%q: %v", text, r.Value)
		}
		ParsePatchArea(text, heading, AnySign)
	})
}

func BenchmarkParseConductivity(b *testing.B) {
	for b.Loop() {
		ParseConductivity("14.2 µS/cm", "", PointSign)
	}
}

func BenchmarkParseConductivityBare(b *testing.B) {
	for b.Loop() {
		ParseConductivity("14.2", "µS/cm", PointSign)
	}
}

func TestSymbolIsBase(t *testing.T) {
	for _, c := range []struct {
		q    Quantity
		text string
		want bool
	}{
		{OfConductivity, "µS/cm", true}, {OfConductivity, "uS", true}, {OfConductivity, "mS/m", false},
		{OfDensity, "mg/m2", true}, {OfDensity, "µg/cm²", false}, {OfTemperature, "°C", true}, {OfTemperature, "°F", false},
	} {
		s, err := ParseSymbol(c.q, c.text)
		if err != nil || s.IsBase() != c.want {
			t.Errorf("%s: base %v, %v; want %v", c.text, s.IsBase(), err, c.want)
		}
	}
}
