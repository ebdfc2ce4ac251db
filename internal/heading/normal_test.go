package heading

import "testing"

// Spellings on one line are one heading.
func TestFoldMakesEqual(t *testing.T) {
	for _, same := range [][]string{
		{"Test no.", "test No", "Test #", "TEST NR.", "Test n°", "Test Nº", "test\nno.", "Test Number"},
		{"γ1", "Γ1"},
		{"mg/m²", "mg/m2", "mg/m^2", "MG/M2"},
		{"µS", "μS", "uS", "US"},
		{"R.H.", "RH", "rh"},
		{"Límite", "limite", "LIMITE"},
		{"Måling nr.", "maling no"},
		{"Prøve", "prove"},
		{"Maßnahme", "massnahme"},
		{"Steel temp.", "Steel temperature", "steel\u00a0temp"},
		{"Leitfähigkeit", "Leitf.", "LF", "conductivity", "Cond."},
		{"Observaciones", "OBSERVACIONES:"},
		{"", " ", ".", "\n"},
	} {
		for _, s := range same[1:] {
			if fold(s) != fold(same[0]) {
				t.Errorf("fold(%q) = %q, fold(%q) = %q, want them equal", s, fold(s), same[0], fold(same[0]))
			}
		}
	}
}

func TestFoldKeepsApart(t *testing.T) {
	for _, pair := range [][2]string{{"Blank", "Blanc"}, {"C1", "C2"}, {"Area", "Areas"}, {"T", "Ts"}, {"mg/m2", "mg/m"}, {"Δ", "ρ"}} {
		if fold(pair[0]) == fold(pair[1]) {
			t.Errorf("%q and %q both fold to %q", pair[0], pair[1], fold(pair[0]))
		}
	}
}

func TestBag(t *testing.T) {
	if a, b := bag(fold("Temperature of the steel")), bag(fold("Steel temp.")); a != b || a == "" {
		t.Errorf("found %q and %q, want them equal", a, b)
	}
	if b := bag("le"); b != "" {
		t.Errorf("bag of one word is %q, want none", b)
	}
}

func TestTakeApart(t *testing.T) {
	for _, c := range []struct{ in, name, unit, class string }{
		{"Blank (µS/cm)", "Blank", "µS/cm", "conductivity"},
		{"Blank (μS/cm)", "Blank", "μS/cm", "conductivity"},
		{"Blank [ÂµS/cm]", "Blank", "ÂµS/cm", "conductivity"},
		{"Extract, µS/cm", "Extract", "µS/cm", "conductivity"},
		{"Extract (µS/cm at 25 °C)", "Extract", "µS/cm", "conductivity"},
		{"Extract in mS/m", "Extract", "mS/m", "conductivity"},
		{"extract_uS_cm", "extract", "µS/cm", "conductivity"},
		{"recorded_mg_m2", "recorded", "mg/m²", "density"},
		{"patch_area_mm2", "patch_area", "mm²", "patch area"},
		{"size_m2", "size", "m²", "steel area"},
		{"humidity_pct", "humidity", "%", "humidity"},
		{"Salt\n[mg/m²]", "Salt", "mg/m²", "density"},
		{"Salt mg/sq.m", "Salt", "mg/sq.m", "density"},
		{"ml", "ml", "ml", "volume"},
		{"Vol ml", "Vol", "ml", "volume"},
		{"Steel temp C", "Steel temp", "C", "temperature"},
		{"Annex C", "Annex C", "", ""},
		{"RH %", "RH", "%", "humidity"},
		{"Salt (ppm)", "Salt", "ppm", "concentration"},
		{"Area (name)", "Area (name)", "", ""},
		{"Area (m²)", "Area", "m²", "steel area"},
		{"Remark (-)", "Remark", "", ""},
		{"-", "", "", ""},
		{"", "", "", ""},
	} {
		got := takeApart(c.in)
		if want := (label{c.name, c.unit, c.class}); got != want {
			t.Errorf("takeApart(%q) = %+v, want %+v", c.in, got, want)
		}
	}
}

func TestAreaName(t *testing.T) {
	for in, want := range map[string]string{
		"Area B – gate leaf": "B", "Area B": "B", "Bereich 4": "4", "Zone A-2: fond": "A-2", "Område 3 (nord)": "3",
		"Tank 3 (port)": "Tank 3", "Block T4": "Block T4", "Área 12": "12", "Area no. 7": "7",
		"Area of test": "", "Section heading": "", "Tank": "", "Report 7": "", "Area schedule and notes": "",
	} {
		if got := areaName(in); got != want {
			t.Errorf("areaName(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestCellNumber(t *testing.T) {
	for _, c := range []struct {
		in   string
		want float64
		ok   bool
	}{
		{"14.2", 14.2, true}, {"14,2", 14.2, true}, {"<1", 1, true}, {"< 0,6", 0.6, true}, {"-3", -3, true},
		{"14.2µS/cm", 14.2, true}, {"3ml", 3, true}, {"1 024,5", 1024.5, true}, {"1.024,0", 1024, true},
		{"8:05", 0, false}, {"L2", 0, false}, {"", 0, false}, {"12 port", 0, false}, {"OL", 0, false},
	} {
		got, _, ok := cellNumber(c.in)
		if got != c.want || ok != c.ok {
			t.Errorf("cellNumber(%q) = %v, %v, want %v, %v", c.in, got, ok, c.want, c.ok)
		}
	}
}
