package record

import (
	"reflect"
	"strings"
	"testing"

	"saltline/internal/salt"
	"saltline/internal/unit"
)

func TestSamplingRule(t *testing.T) {
	for _, c := range []struct {
		text string
		want salt.SamplingRule
		ok   bool
	}{
		{"5 for the first 100 m2, then 1 per further 100 m2 or part", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"10 on the first 1 000 m², 2 for every 250.5 m²", salt.SamplingRule{Form: salt.PerArea, First: 10, FirstArea: 1000, Then: 2, Step: 250.5}, true},
		{"8", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"8 tests per area", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"1 per item", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"One per plate", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"1 per 20 m2, at least 5", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 per 20 m2 or part (min 5)", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 per 20 m2", salt.SamplingRule{Form: salt.OnePer, Then: 1, Step: 20}, true},
		{"0", salt.SamplingRule{}, false},
		{"1 per 0 m2", salt.SamplingRule{}, false},
		{"as agreed", salt.SamplingRule{}, false},
		{"5 for the first 100 m2", salt.SamplingRule{}, false}, // and then?
		{"", salt.SamplingRule{}, false},
	} {
		got, ok := samplingRule(c.text)
		if ok != c.ok || ok && got != c.want {
			t.Errorf("%q: got %+v %v, want %+v %v", c.text, got, ok, c.want, c.ok)
		}
	}
}

func TestRetestRule(t *testing.T) {
	for _, c := range []struct {
		text string
		want RetestRule
		ok   bool
	}{
		{"beside the old footprint, 2 adjacent", RetestRule{true, 2}, true},
		{"Next to the first print and three further adjacent tests", RetestRule{true, 3}, true},
		{"beside the old footprint", RetestRule{true, 0}, true},
		{"two adjacent tests at 0.5 m", RetestRule{false, 2}, true},
		{"as the client says", RetestRule{}, false},
	} {
		if got, ok := retestRule(c.text); got != c.want || ok != c.ok {
			t.Errorf("%q: got %+v %v, want %+v %v", c.text, got, ok, c.want, c.ok)
		}
	}
}

func TestCorrection(t *testing.T) {
	for _, c := range []struct {
		text  string
		kind  salt.CorrectionKind
		alpha unit.Percent
		ok    bool
	}{
		{"linear 2 %", salt.Linear, 2, true},
		{"linear, 1.95 %/°C", salt.Linear, 1.95, true},
		{"linear 0.02", salt.Linear, 2, true},
		{"2,1 % per K", salt.Linear, 2.1, true},
		{"natural water", salt.NaturalWater, 0, true},
		{"Natural water (ISO 7888)", salt.NaturalWater, 0, true},
		{"none", salt.NoCorrection, 0, true},
		{"linear", 0, 0, false}, // by how much?
		{"linear 20 %", 0, 0, false},
		{"2", 0, 0, false},
		{"usual", 0, 0, false},
	} {
		got, ok := correction(c.text)
		if ok != c.ok || ok && (got.Kind != c.kind || got.Alpha != c.alpha) {
			t.Errorf("%q: got %+v %v", c.text, got, ok)
		}
	}
}

func TestComparison(t *testing.T) {
	for text, want := range map[string]salt.Comparison{
		"≤": salt.AtMost, "<=": salt.AtMost, "at most": salt.AtMost, "at most (≤)": salt.AtMost, "less than (<)": salt.LessThan,
		"<": salt.LessThan, "less than": salt.LessThan, "Höchstens": salt.AtMost, "máx.": salt.AtMost, "inférieur à": salt.LessThan,
		"about": salt.ComparisonNotStated,
	} {
		if got, _ := comparison(text); got != want {
			t.Errorf("%q: got %v, want %v", text, got, want)
		}
	}
}

func TestRounding(t *testing.T) {
	for _, c := range []struct {
		text string
		step unit.Decimal
		ok   bool
	}{
		{"unrounded", unit.Decimal{}, true},
		{"to 1 mg/m2", unit.Int(1), true},
		{"to the nearest 0.1 mg/m²", unit.Decimal{Coef: 1, Exp: -1}, true},
		{"to the nearest whole number", unit.Int(1), true},
		{"to 0 mg/m2", unit.Decimal{}, false},
		{"sensibly", unit.Decimal{}, false},
	} {
		got, ok := rounding(c.text)
		if ok != c.ok || ok && got.Step != c.step {
			t.Errorf("%q: got %+v %v", c.text, got, ok)
		}
	}
}

func TestSplitLimit(t *testing.T) {
	for _, c := range []struct{ text, sign, value, basis string }{
		{"50 mg/m2", "", "50 mg/m2", ""},
		{"≤ 50 mg/m² as NaCl", "≤", "50 mg/m²", "NaCl"},
		{"<50", "<", "50", ""},
		{"max. 50,5 mg/m^2", "max", "50,5 mg/m^2", ""},
		{"Grenzwert max. 50 mg/m² (Gesamtsalz)", "Grenzwert max", "50 mg/m²", "Gesamtsalz"},
		{"less than 3 µg/cm2, total salts", "less than", "3 µg/cm2", "total salts"},
		{"20 mg/m2 chloride", "", "20 mg/m2", "chloride"},
		{"5.0 ug/sq cm as NaCl", "", "5.0 ug/sq cm", "NaCl"},
		{"as agreed", "", "as agreed", ""},
	} {
		sign, value, basis := splitLimit(c.text)
		if sign != c.sign || value != c.value || basis != c.basis {
			t.Errorf("%q: got %q, %q, %q", c.text, sign, value, basis)
		}
	}
}

func TestSpans(t *testing.T) {
	got, ok := spans("12:00-12:45; 14:00–14:10")
	want := []Span{{unit.ClockAt(12, 0), unit.ClockAt(12, 45)}, {unit.ClockAt(14, 0), unit.ClockAt(14, 10)}}
	if !ok || !reflect.DeepEqual(got, want) {
		t.Errorf("got %v %v", got, ok)
	}
	if got, ok := spans("9.30 to 9.45"); !ok || got[0] != (Span{unit.ClockAt(9, 30), unit.ClockAt(9, 45)}) {
		t.Errorf("got %v %v", got, ok)
	}
	for _, text := range []string{"", "noon", "12:00", "12:00-25:00"} {
		if got, ok := spans(text); ok {
			t.Errorf("%q: got %v", text, got)
		}
	}
}

func TestListOfTests(t *testing.T) {
	for _, text := range []string{"2, 3", "2; 3", "2 and 3", "2 3", "2\n3"} {
		if got, ok := listOfTests(text); !ok || !reflect.DeepEqual(got, []string{"2", "3"}) {
			t.Errorf("%q: got %v %v", text, got, ok)
		}
	}
	if _, ok := listOfTests(" ; "); ok {
		t.Error("nothing is no list")
	}
}

func TestTemperatureRange(t *testing.T) {
	for text, want := range map[string][2]string{
		"5 to 40 °C": {"5", "40"}, "5–40": {"5", "40"}, "-2 to 40": {"-2", "40"}, "5 °C bis 40 °C": {"5", "40"}, "2,5...35 C": {"2,5", "35"},
	} {
		m := temperatureRange.FindStringSubmatch(text)
		if m == nil || m[1] != want[0] || m[2] != want[1] {
			t.Errorf("%q: got %q", text, m)
		}
	}
	for _, text := range []string{"", "40", "warm to hot"} {
		if temperatureRange.MatchString(text) {
			t.Errorf("%q is no range", text)
		}
	}
}

// The words of a vocabulary are spelled as fold leaves them, and no word has
// two meanings.
func TestVocabularies(t *testing.T) {
	checkVocabulary(t, "testKinds", testKinds)
	checkVocabulary(t, "writtenVerdicts", writtenVerdicts)
	checkVocabulary(t, "switches", switches)
	checkVocabulary(t, "procedures", procedures)
	checkVocabulary(t, "choices", choices)
	checkVocabulary(t, "comparisons", comparisons)
	checkVocabulary(t, "bases", bases)
	checkVocabulary(t, "decisionRules", decisionRules)
	checkVocabulary(t, "dateOrders", dateOrders)
}

func checkVocabulary[Q comparable](t *testing.T, name string, v vocabulary[Q]) {
	t.Helper()
	seen := map[string]Q{}
	for _, m := range v {
		for w := range strings.SplitSeq(m.words, ", ") {
			if f := fold(w); f != w {
				t.Errorf("%s: %q is folded to %q and never found", name, w, f)
			}
			if other, twice := seen[w]; twice {
				t.Errorf("%s: %q means %v and %v", name, w, other, m.value)
			}
			seen[w] = m.value
		}
	}
}

func TestFold(t *testing.T) {
	for text, want := range map[string]string{
		"n.i.O.": "n i o", "  GODKJENT ": "godkjent", "Áéü–ß": "aeu ss", "✓": "✓", "": "", "--": "", "ikke påvist": "ikke pavist", "Ølø": "olo",
	} {
		if got := fold(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

func TestLimitKey(t *testing.T) {
	for _, c := range []struct {
		key, base string
		n         int
		ok        bool
	}{
		{"limit", "limit", 1, true}, {"limit 2", "limit", 2, true}, {"limit 2 basis", "limit basis", 2, true},
		{"limit basis 3", "limit basis", 3, true}, {"limit 2 basis 3", "", 0, false}, {"limit 0", "limit", 0, false}, {"water limit", "", 0, false},
	} {
		if base, n, ok := limitKey(c.key); base != c.base || n != c.n || ok != c.ok {
			t.Errorf("%q: got %q %d %v", c.key, base, n, ok)
		}
	}
}
