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
		{"5 für die ersten 100 m², dann 1 je weitere 100 m² oder Teil davon", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"5 Prüfungen auf die ersten 100 m2 und danach eine Prüfung je weitere angefangene 50 m2", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 50}, true},
		{"5 por los primeros 100 m2 y 1 por cada 100 m2 adicionales o fracción", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"Cinco ensayos en los primeros 100 m², luego uno por cada 100 m² más", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"5 pour les 100 premiers m², puis 1 par 100 m² supplémentaires ou fraction", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"5 essais pour les premiers 100 m2, puis 1 essai par tranche de 100 m2 supplémentaire entamée", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"5 for de første 100 m², deretter 1 per påbegynte 100 m²", salt.SamplingRule{Form: salt.PerArea, First: 5, FirstArea: 100, Then: 1, Step: 100}, true},
		{"8 Prüfungen je Bereich", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"8 ensayos por área", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"8 essais par zone", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"8 tester per område", salt.SamplingRule{Form: salt.FixedNumber, First: 8}, true},
		{"1 je Teil", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"Zwei Prüfungen je Stück", salt.SamplingRule{Form: salt.PerItem, First: 2}, true},
		{"1 por pieza", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"un essai par pièce", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"1 per del", salt.SamplingRule{Form: salt.PerItem, First: 1}, true},
		{"1 je 20 m², mindestens 5", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 por cada 20 m² o fracción, al menos 5", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 par 20 m² ou fraction, 5 au minimum", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 per 20 m², minst fem", salt.SamplingRule{Form: salt.OnePer, First: 5, Then: 1, Step: 20}, true},
		{"1 je volle 20 m²", salt.SamplingRule{}, false}, // fewer than per 20 m² or part
		{"2 je 20 m²", salt.SamplingRule{}, false},
		{"1 je 20 m², höchstens 5", salt.SamplingRule{}, false},
		{"1 per 20 m2 or part, at least 5 and at most 20", salt.SamplingRule{}, false},
		{"5 für die ersten 100 m²", salt.SamplingRule{}, false},
		{"5 für die ersten 1.000 m², dann 1 je weitere 100 m²", salt.SamplingRule{}, false}, // one of them or a thousand?
		{"nicht weniger als 5 für die ersten 100 m², dann 1 je weitere 100 m²", salt.SamplingRule{}, false},
		{"5 por los primeros 100 m2 y 1 por cada 100 m2 adicionales salvo soldaduras", salt.SamplingRule{}, false},
		{"1 par soudure", salt.SamplingRule{}, false},
		{"nach Vereinbarung", salt.SamplingRule{}, false},
		{"to", salt.SamplingRule{}, false},
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
		{"neben dem ersten Abdruck, 2 Nachbarprüfungen", RetestRule{true, 2}, true},
		{"Neben der alten Stelle und zwei benachbarte Prüfungen", RetestRule{true, 2}, true},
		{"zwei Nachbarprüfungen im Abstand von 0,5 m", RetestRule{false, 2}, true},
		{"junto a la huella anterior, 2 ensayos adyacentes", RetestRule{true, 2}, true},
		{"al lado de la primera huella y dos contiguos", RetestRule{true, 2}, true},
		{"à côté de l’empreinte d’origine, 2 essais adjacents", RetestRule{true, 2}, true},
		{"à côté de la première empreinte et deux voisins", RetestRule{true, 2}, true},
		{"ved siden av det første avtrykket, 2 nabotester", RetestRule{true, 2}, true},
		{"ved siden av det gamle avtrykket og to tilstøtende prøver", RetestRule{true, 2}, true},
		{"not beside the old footprint", RetestRule{}, false},
		{"nicht neben dem ersten Abdruck, 2 Nachbarprüfungen", RetestRule{}, false},
		{"neben dem ersten Abdruck, 2 Nachbarprüfungen, frühestens nach 4 Stunden", RetestRule{}, false},
		{"2 beside the old footprint", RetestRule{}, false}, // the rule has one
		{"adjacent to the old footprint", RetestRule{}, false},
		{"junto a la huella anterior, ensayos adyacentes", RetestRule{}, false}, // how many?
		{"sur la même empreinte", RetestRule{}, false},
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
		{"linear 2 % je Kelvin", salt.Linear, 2, true},
		{"lineal 2 % por kelvin", salt.Linear, 2, true},
		{"linéaire, 2 % par kelvin", salt.Linear, 2, true},
		{"lineær 2 % per kelvin", salt.Linear, 2, true},
		{"natürliches Wasser (ISO 7888)", salt.NaturalWater, 0, true},
		{"natürliches Wasser", salt.NaturalWater, 0, true},
		{"eau naturelle", salt.NaturalWater, 0, true},
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
		{"ungerundet", unit.Decimal{}, true},
		{"sin redondear", unit.Decimal{}, true},
		{"non arrondi", unit.Decimal{}, true},
		{"uavrundet", unit.Decimal{}, true},
		{"gerundet auf 1 mg/m²", unit.Int(1), true},
		{"a 1 mg/m²", unit.Int(1), true},
		{"à 1 mg/m²", unit.Int(1), true},
		{"til 1 mg/m²", unit.Int(1), true},
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
	for _, text := range []string{"9.30 bis 9.45", "9:30 a 9:45", "9 h 30 à 9 h 45", "9.30 til 9.45", "9:30 am - 9:45 am"} {
		if got, ok := spans(text); !ok || len(got) != 1 || got[0] != (Span{unit.ClockAt(9, 30), unit.ClockAt(9, 45)}) {
			t.Errorf("%q: got %v %v", text, got, ok)
		}
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
		m := temperatureRange().FindStringSubmatch(text)
		if m == nil || m[1] != want[0] || m[2] != want[1] {
			t.Errorf("%q: got %q", text, m)
		}
	}
	for _, text := range []string{"", "40", "warm to hot"} {
		if temperatureRange().MatchString(text) {
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
