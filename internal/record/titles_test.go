package record_test

import (
	"slices"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// A titleRow is one row above a table and what a colleague reads out of it.
// Cells are parted by "¦".
type titleRow struct {
	text      string
	limit     string // as wildLimit spells it; "" for none
	volume    string // in ml; "-" for none
	procedure string
}

const (
	direct = "direct"
	beaker = "beaker return"
)

// The sentences were made up, and their readings written down, before the
// code that reads them.
var titleRows = []titleRow{
	// English.
	{"Acceptance: less than or equal to 50 mg/m2 total salts; volume 15 ml", "50, total salts, at most", "15", ""},
	{"Acceptance criterion: not to exceed 20 mg/m² expressed as NaCl", "20, sodium chloride, at most", "-", ""},
	{"Acceptance criteria - soluble salts shall not exceed 50 mg/m2", "50, total salts, at most", "-", ""},
	{"Total soluble salts must be below 30 mg/m2; beaker, 10 ml of water", "30, total salts, less than", "10", beaker},
	{"Limit max. 50 mg/m² soluble salts, expressed as NaCl | 15ml in beaker", "50, sodium chloride, at most", "15", beaker},
	{"Limit 50 mg/m2 or less, total soluble salts; 15 ml beaker", "50, total salts, at most", "15", beaker},
	{"Limit 50 mg/m2 or below as chloride ion", "50, chloride, at most", "-", ""},
	{"Limit 20 mg/m² as Cl⁻ maximum", "20, chloride, at most", "-", ""},
	{"Limit: not to exceed 50 mg/m2 (total salts). Volume of water: 15 ml; beaker", "50, total salts, at most", "15", beaker},
	{"Soluble salt limit: 40 mg/m² (total)", "40, total salts", "-", ""},
	{"Acceptance level 50 mg/m2", "50", "-", ""},
	{"Requirement: no more than 7 µg/cm2 NaCl equivalent", "70, sodium chloride, at most", "-", ""},
	{"Limit 50 mg/m² total salts or chlorides", "50", "-", ""},
	{"Limit 50 mg/m² soluble salts (chloride)", "50", "-", ""},
	{"Limit 25 mg/m2 total chlorides", "25, chloride", "-", ""},
	{"Max. permitted total soluble salts: 50 mg/m² as per specification, section 4", "50, total salts, at most", "-", ""},
	{"Limit for chloride on the blasted surface: 10 mg/m2, not to be exceeded", "10, chloride, at most", "-", ""},
	{"Chlorides on blast-cleaned steel - limit 50 mg/m2", "50", "-", ""},
	{"Acceptance ¦ less than 50 mg/m2 total salts ¦ 15 ml ¦ beaker", "50, total salts, less than", "15", beaker},
	{"Acceptable if equal to or less than 50 mg/m² calculated as sodium chloride", "50, sodium chloride, at most", "-", ""},
	{"Limit: about 50 mg/m2", "50", "-", ""},
	{"Limit: equal or under 50 mg/m2", "50, at most", "-", ""},

	{"Limit = 50 mg/m² = 5 µg/cm² NaCl", "50, sodium chloride", "-", ""},
	{"Limit 50 mg NaCl/m²", "50, sodium chloride", "-", ""},
	{"Limit < 50 mg/m² max", "50", "-", ""}, // is 50 allowed?
	{"Limit 50 mg/m2 total soluble salts expressed as KCl", "50", "-", ""},
	{"Limit, total salts ¦ 50 mg/m²", "50, total salts", "-", ""},
	{"Beaker ¦ 15 ml ¦ Limit ¦ max 50 mg/m² as NaCl", "50, sodium chloride, at most", "15", beaker},
	{"Contract limit 30 mg/m² soluble salts measured as conductivity, expressed as NaCl, not to be exceeded", "30, sodium chloride, at most", "-", ""},
	{"Volume: 15 ml ± 0.1 ml; beaker", "", "15", beaker},

	{"Limit 50 mg/m² soluble salts, all values being expressed as NaCl", "50, sodium chloride", "-", ""},
	{"Limit 50 mg/m² soluble salts; of which chloride is measured on request", "50, total salts", "-", ""},

	// German.
	{"Grenzwert: kleiner oder gleich 50 mg/m2 Gesamtsalze; Volumen 15 ml Becher", "50, total salts, at most", "15", beaker},
	{"Akzeptanzkriterium: kleiner gleich 20 mg/m², ausgedrückt als NaCl", "20, sodium chloride, at most", "-", ""},
	{"Annahmekriterium: Gesamtsalze kleiner als 50 mg/m²", "50, total salts, less than", "-", ""},
	{"Die löslichen Salze dürfen 50 mg/m² nicht überschreiten; 15 ml; Becherglas", "50, total salts, at most", "15", beaker},
	{"Lösliche Salze: darf 50 mg/m² nicht überschreiten", "50, total salts, at most", "-", ""},
	{"Akzeptanz: 30 mg/m² oder weniger, lösliche Salze", "30, total salts, at most", "-", ""},
	{"Grenzwert Chlorid: höchstens 10 mg/m²", "10, chloride, at most", "-", ""},
	{"Anforderung 50 mg/m², angegeben als Natriumchlorid; direkt gemessen; 3,0 ml Wasser", "50, sodium chloride", "3", direct},

	{"Höchstwert lösliche Salze 50 mg/m²", "50, total salts, at most", "-", ""},
	{"Salzgehalt muss kleiner als 20 mg/m² sein (lösliche Salze, berechnet als NaCl)", "20, sodium chloride, less than", "-", ""},
	{"Zulässiger Salzgehalt: 50 mg/m² (Gesamtsalz), nicht zu überschreiten", "50, total salts, at most", "-", ""},

	// Spanish.
	{"Límite: menor o igual a 50 mg/m2, sales totales;15 ml; vaso de precipitados", "50, total salts, at most", "15", beaker},
	{"Criterio de aceptación: no superior a 20 mg/m² expresado como NaCl", "20, sodium chloride, at most", "-", ""},
	{"Aceptación: 50 mg/m2 o menos de sales solubles totales", "50, total salts, at most", "-", ""},
	{"Las sales totales no deben superar 40 mg/m²; vaso de precipitados; 10 ml", "40, total salts, at most", "10", beaker},
	{"Sales solubles: no debe superar los 40 mg/m²", "40, total salts, at most", "-", ""},
	{"Requisito: cloruros, menos de 15 mg/m2", "15, chloride, less than", "-", ""},
	{"Límite de cloruros: máximo 15 mg/m2; medida directa, 3 ml", "15, chloride, at most", "3", direct},

	{"Cantidad máxima admisible de sales solubles: 50 mg/m²", "50, total salts, at most", "-", ""},
	{"Se acepta hasta 50 mg/m2 como NaCl", "50, sodium chloride, at most", "-", ""},

	// French.
	{"Limite: inférieur ou égal à 50 mg/m2, sels totaux selon cahier des charges; Volume: 15 ml, bécher", "50, total salts, at most", "15", beaker},
	{"Sels totaux : limite 50 mg/m2 maxi | volume 15 ml", "50, total salts, at most", "15", ""},
	{"Critère d'acceptation : ne pas dépasser 20 mg/m², exprimé en NaCl", "20, sodium chloride, at most", "-", ""},
	{"Seuil d'acceptation 50 mg/m² ou moins (sels solubles)", "50, total salts, at most", "-", ""},
	{"Teneur en sels solubles exprimée en chlorures : doit être inférieure à 25 mg/m²", "25, chloride, less than", "-", ""},
	{"Acceptation : sels solubles inférieurs à 25 mg/m² ; retour au bécher ; 15 ml", "25, total salts, less than", "15", beaker},

	{"Exigence : sels solubles < 20 mg/m² (éq. NaCl)", "20, sodium chloride, less than", "-", ""},
	{"Critères : 20 mg/m² maximum en NaCl, 10 ml d'eau, bécher", "20, sodium chloride, at most", "10", beaker},

	// Norwegian.
	{"Krav: mindre enn eller lik 50 mg/m2 totalsalt; Volum: 15 ml; begerglass", "50, total salts, at most", "15", beaker},
	{"Akseptkriterium: skal ikke overstige 20 mg/m² uttrykt som NaCl", "20, sodium chloride, at most", "-", ""},
	{"Godkjent ved 50 mg/m² eller mindre, løselige salter; 10 ml; beger", "50, total salts, at most", "10", beaker},
	{"Klorid: skal være under 15 mg/m2", "15, chloride, less than", "-", ""},
	{"Totale løselige salter maks. 30 mg/m²; direkte avlesning; 3 ml", "30, total salts, at most", "3", direct},

	{"Maks tillatt saltinnhold 50 mg/m² (som NaCl)", "50, sodium chloride, at most", "-", ""},
	{"Grenseverdi klorider 20 mg/m², må ikke overskrides", "20, chloride, at most", "-", ""},

	// What is no limit, no volume and no basis.
	{"Specification NS-50 rev. 2, 12.03.2025", "", "-", ""},
	{"Acceptance: 12.03.2025", "", "-", ""},
	{"Accepted by K. Berg; mean of yesterday 42 mg/m2", "", "-", ""},
	{"Limit of detection 2 mg/m²", "", "-", ""},
	{"Nachweisgrenze 2 mg/m² Chlorid", "", "-", ""},
	{"Límite de detección 2 mg/m2; límite de cuantificación: 5 mg/m2", "", "-", ""},
	{"Limite de détection : 2 mg/m²", "", "-", ""},
	{"Deteksjonsgrense 2 mg/m2", "", "-", ""},
	{"Limit 50 mg/m², limit of detection 2 mg/m²", "50", "-", ""},
	{"Dust limit 30 mg/m²; profile 50 µm", "", "-", ""},
	{"Coating consumption max 50 mg/m2 of paint", "", "-", ""},
	{"Acceptance: max 85 % RH, dew point margin 3 °C", "", "-", ""},
	{"Limit: 85 % RH", "", "-", ""},
	{"Requirement: profile 50 µm", "", "-", ""},
	{"Requirement: 50 µm", "", "-", ""},
	{"Limit 20 mg/m² in zone A, 50 mg/m² in zone B", "", "-", ""},
	{"Limit: zone A 20 mg/m²; zone B 50 mg/m²", "", "-", ""},
	{"Results of the first round: max 42 mg/m2", "", "-", ""},
	{"Limit 50 mg/m2, max 85 % RH", "50", "-", ""},
	{"Limit 50 mg/m2 below frame 12", "50", "-", ""},
	{"Limit 50 mg/m²; chloride test strips lot 4", "50", "-", ""},
	{"Beaker test; 3 ml of 15 ml", "", "-", beaker},
	{"Beaker ¦ 3 ml ¦ 15 ml", "", "-", beaker},
	{"Beaker; water from 50 ml bottles", "", "-", beaker},
	{"Water recovered ¦ 14 ml ¦ beaker", "", "-", beaker},
	{"Chloride test report; acceptance 50 mg/m2", "50", "-", ""},
	{"Total contamination limit 50 mg/m2", "50", "-", ""},
	{"Limit 50 mg/m² (máx. 3 tests above it)", "50", "-", ""},
	{"Acceptance: 12", "", "-", ""},
	{"Limit 50 mg/m² as total salts / 30 mg/m² as chloride", "", "-", ""},
	{"Yesterday 80 mg/m² on plate three, must be washed", "", "-", ""},
	{"Test 7 with 42 mg/m² was accepted", "", "-", ""},
	{"Acceptance: test 7, 42 mg/m²", "", "-", ""},
	{"Acceptance of plate four, 42 mg/m², by the owner", "", "-", ""},
	{"Plate 3: salts must be below 30 mg/m2", "", "-", ""}, // of one plate
	{"Die Stelle mit 80 mg/m² muss gewaschen werden", "", "-", ""},
	{"Accepted 42 mg/m²", "", "-", ""},
	{"Godkjent av K. Berg, 42 mg/m²", "", "-", ""},
	{"Thinner 15 ml; batch 7", "", "-", ""},
	{"Batch 7 ¦ 15 ml", "", "-", ""},
}

func TestTitleRows(t *testing.T) {
	for _, c := range titleRows {
		var quoted []string
		for cell := range strings.SplitSeq(c.text, "¦") {
			quoted = append(quoted, `"`+strings.TrimSpace(cell)+`"`)
		}
		log := strings.Join(quoted, ",") + "\n\nNo,Zone,Blank (µS/cm),Reading (µS/cm),Result (mg/m2)\n1,A,1.0,11.0,60\n2,A,1.2,10.2,54\n3,B,1.0,8.0,42\n"
		f, err := table.Read("log.csv", []byte(log), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		job, list := record.Bind([]*table.File{f}, record.Options{})
		if got := wildLimit(job.Terms.Limits); got != c.limit {
			t.Errorf("%q: limit %q, want %q", c.text, got, c.limit)
		}
		volume := "-"
		if v := job.Terms.Volume; v.Known() {
			volume = number(float64(v.Val))
		}
		if volume != c.volume {
			t.Errorf("%q: volume %s, want %s", c.text, volume, c.volume)
		}
		if got := [...]string{"", direct, beaker}[job.Terms.Procedure.Val]; got != c.procedure {
			t.Errorf("%q: procedure %q, want %q", c.text, got, c.procedure)
		}
		unclear := slices.ContainsFunc(list.Sorted(), func(d diag.Diagnostic) bool { return d.Check == "title-unclear" })
		if two := strings.Contains(c.text, "zone B") || strings.Contains(c.text, " / 30") || strings.Contains(c.text, "3 ml of 15") || strings.Contains(c.text, "¦ 3 ml ¦"); two != unclear {
			t.Errorf("%q: two values are reported: %v, want %v", c.text, unclear, two)
		}
		for _, d := range list.Sorted() {
			if d.Level > diag.Note && d.Check != "title-unclear" {
				t.Errorf("%q: unwanted %v", c.text, d)
			}
		}
	}
}
