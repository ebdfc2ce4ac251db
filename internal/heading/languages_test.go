package heading

import (
	"slices"
	"strings"
	"testing"

	"saltline/templates"
)

// ours are the tables that are filled in under our own headings.
var ours = []string{
	"job", "areas", "meters", "checks", "water", "patches", "treatments", "extracts", "days", "people", "signatures", "concessions", "documents",
}

// In a table of ours a wording means one column, whatever the order of its
// words: nothing below bears out which.
func TestOneColumnOfOurTables(t *testing.T) {
	l := words()
	for _, table := range append(slices.Clone(ours), "terms") {
		v := l.tables[table]
		if table == "terms" {
			v = l.terms
		}
		for _, in := range []map[string][]meaning{v.exact, v.loose} {
			for w, ms := range in {
				if len(surest(ms)) > 1 {
					t.Errorf("%s: %q means %s", table, w, meant(ms))
				}
			}
		}
	}
}

// surest are the meanings with the least doubt.
func surest(ms []meaning) []meaning {
	least := lying
	for _, m := range ms {
		least = min(least, m.doubt)
	}
	return slices.DeleteFunc(slices.Clone(ms), func(m meaning) bool { return m.doubt > least })
}

// A key of the job table alone means no column of the readings and no key of a
// title beside: those go first.
func TestTermsAreNotHidden(t *testing.T) {
	for w, ms := range words().terms.exact {
		if key, _ := Key(w); key != ms[0].column {
			t.Errorf("%q is a wording of %q and read as %q", w, ms[0].column, key)
		}
	}
}

// Every column of our tables, and every key of the job, has wordings in every
// language.
func TestOurTablesInEveryLanguage(t *testing.T) {
	for _, file := range []string{"job", "means", "work", "papers", "terms"} {
		table, column := "", ""
		has := map[string][]string{}
		var order []string
		err := eachLine("lexicon/"+file+".txt", func(s string) error {
			if rest, ok := strings.CutPrefix(s, "table "); ok {
				table = rest
			} else if s[0] == '[' {
				column, _, _ = strings.Cut(s[1:], "]")
				column = table + "." + column
				order = append(order, column)
			} else if lang, _, ok := strings.Cut(s, ": "); ok {
				has[column] = append(has[column], lang)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range order {
			for _, lang := range []string{"de", "es", "fr", "no"} {
				if !slices.Contains(has[c], lang) {
					t.Errorf("%s has no wordings in %q", c, lang)
				}
			}
		}
	}
}

// printed says which column a head of the documents is of, as a file of words
// and a key.
var printed = map[string]string{
	"report/head-number": "readings.test", "report/head-location": "readings.location", "report/head-area": "readings.area", "report/head-verdict": "readings.recorded verdict",
	"report/head-treatment": "treatments.treatment",
	"report/head-serial":    "meters.meter", "report/head-kind": "meters.kind", "report/head-range": "meters.range",
	"report/head-resolution": "meters.resolution", "report/head-compensates": "meters.compensates", "report/head-certificate": "meters.certificate",
	"report/head-due": "meters.due", "report/head-laboratory": "meters.laboratory", "dossier/head-calibrated": "meters.calibrated on",
	"report/head-time": "checks.time", "report/head-meter": "checks.meter", "report/head-solution": "checks.solution", "report/head-lot": "checks.lot",
	"report/head-expiry": "checks.expiry", "report/head-nominal": "checks.nominal", "report/head-reading": "checks.reading", "report/head-temperature": "checks.temperature",
	"report/head-tolerance": "checks.tolerance", "report/head-found-left": "checks.found or left", "report/head-by": "checks.by",
	"report/head-bottle": "water.water", "report/head-grade": "water.grade", "report/head-opened": "water.opened",
	"report/head-blank-kind": "water.blank kind", "report/head-conductivity": "water.conductivity",
	"report/head-patch": "patches.batch", "report/head-patch-area": "patches.patch area", "report/head-designation": "patches.size designation",
	"report/head-uses": "patches.maximum uses", "stock/head-opening": "patches.opening stock", "stock/head-closing": "patches.closing stock", "stock/head-kind": "patches.kind",
	"report/head-place": "ambient.place", "report/head-air": "ambient.air temperature", "report/head-humidity": "ambient.humidity",
	"report/head-steel": "ambient.steel temperature", "report/head-dew-written": "ambient.recorded dew point", "report/head-date": "extracts.date",
	"report/head-batch": "extracts.batch", "report/head-method": "extracts.method", "report/head-extract-limit": "extracts.limit", "report/head-oil": "extracts.oil seen",
	"report/label-stops": "days.stops", "report/label-weather": "days.weather", "report/label-work": "days.work done", "report/label-delays": "days.delays",
	"report/label-instructions": "days.instructions received", "report/label-visitors": "days.visitors", "report/label-remarks": "days.remarks",
	"dossier/head-report": "days.report number", "dossier/head-revision": "days.revision", "dossier/head-changed": "days.what changed",
	"dossier/head-name": "people.name", "dossier/head-role": "people.role", "dossier/head-employer": "people.employer",
	"dossier/head-qualification": "people.qualification", "dossier/head-expiry": "people.expiry",
	"dossier/head-document": "documents.document", "dossier/head-number": "documents.number", "dossier/head-issued": "documents.issued on", "dossier/head-digest": "documents.data digest",
}

// What the documents print over a column, the tables are read by.
func TestPrintedHeadsAreRead(t *testing.T) {
	for _, lang := range []string{"en", "de", "es", "fr", "nb"} {
		for key, column := range printed {
			file, name, _ := strings.Cut(key, "/")
			head := textOf(t, lang, file, name)
			table, want, _ := strings.Cut(column, ".")
			e := &entry{names: []string{takeApart(head).name}}
			e.lookUp()
			if ms := surest(e.mean(words().tables[table])); len(ms) != 1 || ms[0].column != want || ms[0].doubt != certain {
				t.Errorf("%s: %s %q means %q in %s, want %s", lang, key, head, meant(ms), table, want)
			}
		}
	}
}

// labels are the words that the documents print for keys of the job.
var labels = map[string]string{
	"job": "job number", "title": "title", "client": "client", "owner": "owner", "contractor": "contractor", "contract": "contract", "site": "site",
	"structure": "structure", "weather": "weather", "plan": "inspection plan", "specification": "specification", "limit": "limit", "procedure": "procedure",
	"constant": "constant", "contact": "contact time", "correction": "temperature correction", "rule": "decision rule", "sampling": "sampling rule",
	"chosen": "spots chosen", "retest": "retest rule", "uncertainty": "expanded uncertainty", "hours": "hours to coating",
}

// unlike are the labels that stand for another thing on a cover sheet: a
// person to be called, a while, the beginning of a sentence.
var unlike = []string{"de hours", "nb hours", "fr contact", "es contact", "es weather"}

// What the documents print before a value of the job, the job table is read by.
func TestPrintedLabelsAreRead(t *testing.T) {
	for _, lang := range []string{"de", "es", "fr", "nb"} {
		for name, want := range labels {
			if slices.Contains(unlike, lang+" "+name) {
				continue
			}
			text := textOf(t, lang, "report", "label-"+name)
			if key, _ := Key(text); key != want {
				t.Errorf("%s: %q is read as %q, want %q", lang, text, key, want)
			}
		}
	}
}

// textOf is a text of the documents.
func textOf(t *testing.T, lang, file, name string) string {
	t.Helper()
	data, err := templates.Files.ReadFile(lang + "/" + file + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(data), "\n= "+name+"\n")
	if !ok {
		t.Fatalf("%s/%s.txt has no %s", lang, file, name)
	}
	text, _, _ := strings.Cut(rest, "\n")
	return text
}

func TestKeysOfTheJob(t *testing.T) {
	for text, want := range map[string]string{
		"Grenzwert 2": "limit 2", "Bezugsgröße 2": "limit basis 2", "Límite 3": "limit 3", "Grense 2": "limit 2", "Limite 2 (mg/m²)": "limit 2",
		"Volumen 2": "", "Grenzwert 0": "", "Stichprobenregel": "sampling rule", "Règle de contre-essai": "retest rule", "Valg av punkter": "spots chosen",
	} {
		if key, _ := Key(text); key != want {
			t.Errorf("%q is read as %q, want %q", text, key, want)
		}
	}
}

// What the title rows above readings say, and what they are not taken for.
func TestTitlesInUse(t *testing.T) {
	for title, want := range map[string]string{
		"Messgerät Nr. CX-4711":                   "meter=CX-4711",
		"LF-Messgerät Nr.: CX-4711":               "meter=CX-4711",
		"Verfahren direkt, Einwirkzeit 10 min":    "procedure=direkt contact time=10 min",
		"Tiempo de contacto: 10 min":              "contact time=10 min",
		"Temps de contact 10 min":                 "contact time=10 min",
		"Kontakttid (min): 10":                    "contact time=10 min",
		"Revision: 1":                             "revision=1",
		"Bericht Nr. 12, Rev. 2":                  "report number=12 revision=2",
		"Informe n.º 12|Revisión: B":              "report number=12 revision=B",
		"Rapport n° : 12|Rév. 1":                  "report number=12 revision=1",
		"Rapport nr. 12, revisjon 1":              "report number=12 revision=1",
		"Formblatt 7-3|Rev. 4":                    "", // of the form
		"Verfahrensanweisung VA-3, Rev. 2":        "",
		"Revision: see the list of the documents": "",
		"Verfahren nicht direkt":                  "",
		"Einwirkzeit: wie vereinbart":             "",
	} {
		sheet := sheetOf(title, "", "Nr.|Stelle|Blindwert (µS/cm)|Extrakt (µS/cm)|Volumen (ml)", "1|A|1,2|9,4|15", "2|B|1,2|8,4|15")
		blocks, _ := Find(&sheet, "readings", nil)
		var got []string
		for _, f := range blocks[0].Facts {
			got = append(got, f.Key+"="+f.Text)
		}
		if all := strings.Join(got, " "); all != want {
			t.Errorf("%q says %q, want %q", title, all, want)
		}
	}
}
