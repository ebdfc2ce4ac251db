package record_test

import (
	"fmt"
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

	// A comparison is enough where it is of salts, or stands alone.
	{"Total salts at most 40 mg/m2", "40, total salts, at most", "-", ""},
	{"Soluble salts not more than 25 mg/m2 at any spot", "25, total salts, at most", "-", ""},
	{"No single plate above 40 mg/m2 total salts (clause 3.1)", "40, total salts, at most", "-", ""},
	{"No spot may exceed 40 mg/m2, expressed as NaCl", "40, sodium chloride, at most", "-", ""},
	{"Chlorides: no more than 15 mg/m2", "15, chloride, at most", "-", ""},
	{"Not more than 40 mg/m2", "40, at most", "-", ""},
	{"Gesamtsalze höchstens 40 mg/m², an jeder Stelle", "40, total salts, at most", "-", ""},
	{"An keiner Stelle mehr als 30 mg/m² Gesamtsalze", "30, total salts, at most", "-", ""},
	{"Sels totaux : 40 mg/m² au plus", "40, total salts, at most", "-", ""},
	{"Aucun point au-dessus de 30 mg/m² de sels solubles", "30, total salts, at most", "-", ""},
	{"Sales totales: 40 mg/m2 como máximo", "40, total salts, at most", "-", ""},
	{"Ningún punto por encima de 30 mg/m² de sales totales", "30, total salts, at most", "-", ""},
	{"Løselige salter høyst 40 mg/m²", "40, total salts, at most", "-", ""},
	{"Ingen punkter over 30 mg/m² totalsalt", "30, total salts, at most", "-", ""},
	{"Yesterday total salts were at most 42 mg/m2", "", "-", ""},
	{"All salts below 20 mg/m²", "", "-", ""}, // found, or wanted?
	{"All results not more than 40 mg/m2", "", "-", ""},
	{"25 mg/m2 on every girder", "", "-", ""},
	{"Dust at most 40 mg/m²", "", "-", ""},
	{"Total soluble salts must not exceed thirty mg/m2", "", "-", ""},
	{"Zulässig sind höchstens vierzig Milligramm Gesamtsalze je Quadratmeter", "", "-", ""},

	// The volume that the solution has, however it is said.
	{"2.5 ml in each cell", "", "2.5", ""},
	{"Extract made up to 10 ml", "", "10", ""},
	{"Extract of 3 ml, made up to 10 ml", "", "10", ""},
	{"3 ml injected, solution made up to 10 ml with water", "", "10", ""},
	{"Topped up to ten millilitres", "", "10", ""},
	{"Solution portée à 10 mL", "", "10", ""},
	{"Prélèvement complété à dix millilitres, bécher", "", "10", beaker},
	{"Bécher rincé à 15 ml", "", "15", beaker},
	{"Se completó a 10 ml", "", "10", ""},
	{"Se completó hasta quince mililitros", "", "15", ""},
	{"Auf 10 ml aufgefüllt", "", "10", ""},
	{"Lösung mit Wasser auf fünfzehn Milliliter aufgefüllt", "", "15", ""},
	{"Etterfylt til 10 ml", "", "10", ""},
	{"Fylt opp til femten milliliter", "", "15", ""},
	{"Direct reading; three millilitres of water", "", "3", direct},
	{"Syringe 5 ml, new", "", "-", ""},

	// The uncertainty is no second limit, and a rule is not taken from words.
	{"Limit 40 mg/m2 total salts, U = 3 mg/m2", "40, total salts", "-", ""},
	{"Limit 40 mg/m2; expanded uncertainty 3 mg/m2 (k = 2)", "40", "-", ""},
	{"Grenzwert 40 mg/m²; erweiterte Messunsicherheit U = 3 mg/m²", "40", "-", ""},
	{"Límite 40 mg/m²; incertidumbre expandida: 3 mg/m²", "40", "-", ""},
	{"Limite 40 mg/m² ; incertitude élargie de 3 mg/m²", "40", "-", ""},
	{"Krav 40 mg/m²; utvidet måleusikkerhet er 3 mg/m²", "40", "-", ""},
	{"Pass where the value plus its measurement uncertainty stays within the limit of 40 mg/m2", "40", "-", ""},
	{"Grenzwert 40 mg/m²; die Messunsicherheit wird zum Messwert addiert", "40", "-", ""},

	// Keys and values in one row.
	{"Volume (ml) ¦ 3 ¦ Patch (mm²) ¦ 1150 ¦ Limit (mg/m²) ¦ 40 ¦ total salts", "40, total salts", "3", ""},
	{"Max (mg/m²) ¦ 40 ¦ as NaCl ¦ Volume (ml) ¦ 3", "40, sodium chloride, at most", "3", ""},
	{"Limit (mg/m²) ¦ 40 ¦ chlorides ¦ not tested", "40", "-", ""},

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

// unclearTitles are the titles of which something has to be asked, with how many
// things: two values where one is wanted, or a value that may be meant.
var unclearTitles = map[string]int{
	"Limit 20 mg/m² in zone A, 50 mg/m² in zone B":         1,
	"Limit: zone A 20 mg/m²; zone B 50 mg/m²":              1,
	"Beaker test; 3 ml of 15 ml":                           1,
	"Beaker ¦ 3 ml ¦ 15 ml":                                1,
	"Limit 50 mg/m² as total salts / 30 mg/m² as chloride": 1,

	"Acceptance: test 7, 42 mg/m²":                                           1,
	"Acceptance of plate four, 42 mg/m², by the owner":                       1,
	"Plate 3: salts must be below 30 mg/m2":                                  1,
	"Die Stelle mit 80 mg/m² muss gewaschen werden":                          1,
	"Accepted 42 mg/m²":                                                      1,
	"Godkjent av K. Berg, 42 mg/m²":                                          1,
	"Thinner 15 ml; batch 7":                                                 1,
	"Batch 7 ¦ 15 ml":                                                        1,
	"All salts below 20 mg/m²":                                               1,
	"Total soluble salts must not exceed thirty mg/m2":                       1,
	"Zulässig sind höchstens vierzig Milligramm Gesamtsalze je Quadratmeter": 1,
	"25 mg/m2 on every girder":                                               1,
	"All results not more than 40 mg/m2":                                     1,
	"Syringe 5 ml, new":                                                      1,
	"Extract of 3 ml, made up to 10 ml":                                      1,
	"Pass where the value plus its measurement uncertainty stays within the limit of 40 mg/m2": 1,
	"Grenzwert 40 mg/m²; die Messunsicherheit wird zum Messwert addiert":                       1,
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
		unclear := 0
		for _, d := range list.Sorted() {
			if d.Check == "title-unclear" {
				unclear++
			}
		}
		if want := unclearTitles[c.text]; unclear != want {
			t.Errorf("%q: %d things are reported, want %d: %v", c.text, unclear, want, list.Sorted())
		}
		for _, d := range list.Sorted() {
			if d.Level > diag.Note && d.Check != "title-unclear" {
				t.Errorf("%q: unwanted %v", c.text, d)
			}
		}
	}
}

// bindTitle reads a log of a title row and the rows below it.
func bindTitle(t *testing.T, title, rows string) (*record.Job, []diag.Diagnostic) {
	t.Helper()
	f, err := table.Read("log.csv", []byte(title+"\n\n"+rows), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	job, list := record.Bind([]*table.File{f}, record.Options{})
	return job, list.Sorted()
}

// The expanded uncertainty and the patch stand in titles too.
func TestTitleTerms(t *testing.T) {
	const rows = "No,Blank (µS/cm),Reading (µS/cm),Result (mg/m2)\n1,1.0,11.0,60\n"
	for title, want := range map[string]string{
		`"Limit 40 mg/m2, U = 3.5 mg/m2"`:                             "U 3.5, patch 0",
		`"Utvidet usikkerhet: 0.3 µg/cm²"`:                            "U 3, patch 0",
		`"Value plus expanded uncertainty not to exceed 40 mg/m2"`:    "U 0, patch 0",
		`Volume (ml),3,Patch (mm²),1150,Limit (mg/m²),40,total salts`: "U 0, patch 1150",
		`"Limit 40 mg/m2; measurement uncertainty 3 mg/m2 (patch 4)"`: "U 0, patch 0",
	} {
		job, _ := bindTitle(t, title, rows)
		if got := fmt.Sprintf("U %v, patch %v", job.Terms.ExpandedUncertainty.Val, job.Tests[0].PatchArea().Val); got != want {
			t.Errorf("%s: %s, want %s", title, got, want)
		}
	}
}

// The blank of the day in a title is that of the rows that have none of their
// own, and of no other day.
func TestTitleBlank(t *testing.T) {
	const none = "No,Zone,Extract (µS/cm),Result (mg/m2)\n1,A,11.0,60\n2,A,9.0,50\n"
	const own = "No,Blank (µS/cm),Extract (µS/cm),Result (mg/m2)\n1,1.0,11.0,60\n2,,9.0,50\n"
	const days = "No,Date,Extract (µS/cm),Result (mg/m2)\n1,2026-04-13,11.0,60\n2,2026-04-14,9.0,50\n"
	for _, c := range []struct {
		title, rows string
		blanks      string
		unclear     bool
	}{
		{`"Blank of the day: 1.3 µS/cm"`, none, "1.3 1.3", false},
		{`"Blindwert des Tages (07:15 Uhr): 1.3 µS/cm"`, none, "1.3 1.3", false},
		{`"Blanc du jour : 1.3 µS/cm    Appareil : LM-4"`, none, "1.3 1.3", false},
		{`Blanco del día,1.3 µS/cm`, none, "1.3 1.3", false},
		{`Dagens blank (µS/cm):,1.3`, none, "1.3 1.3", false},
		{`"Blank 1.3 µS/cm"`, none, "1.3 1.3", false},
		{`"Blank of the day: 1.3"`, none, "- -", false},
		{`"Blank of the day: 1.3 µS/cm"`, own, "1 -", false},
		{`"Blank of the day: 1.3 µS/cm"`, days, "- -", true},
		{"\"Date: 13.04.2026, Blank of the day: 1.3 µS/cm\"", none + "\n\"Date: 14.04.2026\"\n" + none, "1.3 1.3 - -", true},
	} {
		job, list := bindTitle(t, c.title, c.rows)
		var got []string
		for _, test := range job.Tests {
			b := "-"
			if test.Blank().Known() {
				b = number(float64(test.Blank().Val))
			}
			got = append(got, b)
		}
		if strings.Join(got, " ") != c.blanks {
			t.Errorf("%s above %q: blanks %v, want %s; %v", c.title, c.rows, got, c.blanks, list)
		}
		if unclear := slices.ContainsFunc(list, func(d diag.Diagnostic) bool { return d.Check == "title-unclear" }); unclear != c.unclear {
			t.Errorf("%s above %q: reported %v, want %v", c.title, c.rows, list, c.unclear)
		}
	}
}
