package record

import (
	"fmt"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/salt"
	"saltline/internal/table"
	"saltline/templates"
)

// printed are the words of the documents in one language, by file and key.
func printed(t *testing.T, lang, file string) map[string]string {
	t.Helper()
	data, err := templates.Files.ReadFile(lang + "/" + file + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for part := range strings.SplitSeq("\n"+string(data), "\n= ") {
		key, text, _ := strings.Cut(part, "\n")
		text, _, _ = strings.Cut(text, "\n")
		all[key] = strings.TrimSpace(strings.ReplaceAll(text, "{{.}}", ""))
	}
	return all
}

// What the documents print for a value of a closed set is read back as that
// value, in every language that they are printed in.
func TestPrintedWordsAreRead(t *testing.T) {
	kind := func(text string) (any, bool) { return asked(testKinds.find(text)) }
	verdict := func(text string) (any, bool) { return asked(writtenVerdicts.find(text)) }
	onOff := func(text string) (any, bool) { return asked(switches.find(text)) }
	chosen := func(text string) (any, bool) { return asked(choices.find(text)) }
	basis := func(text string) (any, bool) { return asked(bases.find(text)) }
	how := func(text string) (any, bool) { return asked(procedure(text)) }
	rule := func(text string) (any, bool) { return asked(decisionRule(text)) }
	than := func(text string) (any, bool) { return asked(comparison(text)) }
	patch := func(text string) (any, bool) { return asked(patchKind(text)) }
	corrected := func(text string) (any, bool) {
		c, ok := correction(text)
		return c.Kind, ok
	}
	for _, lang := range []string{"en", "de", "es", "fr", "nb"} {
		for _, c := range []struct {
			file, key string
			read      func(string) (any, bool)
			want      any
		}{
			{"report", "kind-repeat", kind, Repeat}, {"report", "kind-retest", kind, Retest}, {"report", "kind-adjacent", kind, Adjacent},
			{"report", "kind-witness", kind, Witness}, {"report", "kind-blank", kind, ProceduralBlank},
			{"report", "verdict-pass", verdict, WrittenPass}, {"report", "verdict-fail", verdict, WrittenFail}, {"report", "verdict-void", verdict, WrittenVoid},
			{"format", "on", onOff, true}, {"format", "off", onOff, false}, {"format", "yes", onOff, true}, {"format", "no", onOff, false},
			{"report", "chosen-random", chosen, AtRandom}, {"report", "chosen-judgement", chosen, ByJudgement},
			{"report", "basis-total-salts", basis, salt.TotalSalts}, {"report", "basis-sodium-chloride", basis, salt.SodiumChloride}, {"report", "basis-chloride", basis, salt.ChlorideIon},
			{"report", "comparison-at-most", than, salt.AtMost}, {"report", "comparison-less-than", than, salt.LessThan},
			{"report", "procedure-direct", how, Direct}, {"report", "procedure-beaker", how, BeakerReturn},
			{"report", "rule-simple", rule, salt.Simple}, {"report", "rule-guarded", rule, salt.Guarded}, {"report", "rule-guarded-rejection", rule, salt.GuardedRejection},
			{"workbook", "rule-simple", rule, salt.Simple}, {"workbook", "rule-guarded", rule, salt.Guarded}, {"workbook", "rule-guarded-rejection", rule, salt.GuardedRejection},
			{"stock", "kind-single-use", patch, SingleUse}, {"stock", "kind-magnetic-ring", patch, MagneticRing}, {"stock", "kind-sleeve", patch, Sleeve},
			{"report", "correction-none", corrected, salt.NoCorrection},
		} {
			text := printed(t, lang, c.file)[c.key]
			if got, ok := c.read(text); !ok || got != c.want {
				t.Errorf("%s: %s/%s %q is read as %v (%v), want %v", lang, c.file, c.key, text, got, ok, c.want)
			}
		}
		for key, want := range map[string]any{"unrounded": salt.Rounding{}, "simple": salt.Simple} {
			text := printed(t, lang, "terms")[key]
			got, ok := asked(rounding(text))
			if key == "simple" {
				got, ok = rule(text)
			}
			if !ok || got != want {
				t.Errorf("%s: terms/%s %q is read as %v (%v), want %v", lang, key, text, got, ok, want)
			}
		}
	}
}

func asked[Q any](v Q, ok bool) (any, bool) { return v, ok }

// The usual words of the trade beside those that are printed.
func TestUsualKinds(t *testing.T) {
	for text, want := range map[string]TestKind{
		"Wiederholungsprüfung": Retest, "Gegenprobe": Retest, "Nachtest": Retest, "Nachbarstelle": Adjacent, "Erstprüfung": Original,
		"nuevo ensayo": Retest, "contiguo": Adjacent, "testigo": Witness, "nouvel essai": Retest, "essai voisin": Adjacent, "témoin": Witness,
		"etterkontroll": Retest, "nabopunkt": Adjacent, "første test": Original, "Blind­probe": ProceduralBlank,
	} {
		if got, ok := testKinds.find(text); !ok || got != want {
			t.Errorf("%q is read as %d (%v), want %d", text, got, ok, want)
		}
	}
	for _, text := range []string{"Prüfung", "ensayo", "essai", "test", "4"} {
		if got, ok := testKinds.find(text); ok {
			t.Errorf("%q is read as %d, and says nothing", text, got)
		}
	}
}

// The message for a kind that is not known says what an empty cell would mean.
func TestUnknownKind(t *testing.T) {
	job, found := kindOf(t, "Kontrolle")
	if job.Tests[1].Kind().State != Unreadable || len(found) != 1 || found[0].Pos.String() != "readings.csv:3:7" ||
		!strings.Contains(found[0].Hint, "an empty cell means an original test") {
		t.Errorf("kind %v; %v", job.Tests[1].Kind(), found)
	}
	if job, found = kindOf(t, "Nachprüfung"); job.Tests[1].Kind().Val != Retest || job.Tests[1].OfTest().Val != "1" || len(found) != 0 {
		t.Errorf("kind %v of %v; %v", job.Tests[1].Kind(), job.Tests[1].OfTest(), found)
	}
}

// A column headed "Art" and no more is that of the kinds where its cells say so,
// and is left alone where they say something else.
func TestBareKind(t *testing.T) {
	for text, want := range map[string]TestKind{"Nachbarprüfung": Adjacent, "Ecke": Original} {
		rows := strings.Replace(fmt.Sprintf(twoTests, text), "Prüfungsart", "Art", 1)
		job, found := bindCSV(t, rows)
		if k := job.Tests[1].Kind(); k.Val != want || k.Known() != (want != Original) || len(found) != 0 {
			t.Errorf("%q under \"Art\": %v; %v", text, k, found)
		}
	}
}

const twoTests = "Nr.;Stelle;Blindwert (µS/cm);Extrakt (µS/cm);Volumen (ml);zu Nr.;Prüfungsart\n1;A;1,2;9,4;15;;\n2;B;1,2;4,1;15;1;%s\n"

func kindOf(t *testing.T, text string) (*Job, []diag.Diagnostic) {
	return bindCSV(t, fmt.Sprintf(twoTests, text))
}

func bindCSV(t *testing.T, text string) (*Job, []diag.Diagnostic) {
	t.Helper()
	f, err := table.Read("readings.csv", []byte(text), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	job, list := Bind([]*table.File{f}, Options{})
	if len(job.Tests) != 2 {
		t.Fatalf("%d tests; %v", len(job.Tests), list.Sorted())
	}
	return job, list.Sorted()
}
