package report_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/report"
)

// In these logs 3 ml on 1250 mm² make the factor 1.2, and 10 ml make it 4.
var firstPages = []struct {
	name, log string
	sets      []string
	says      []string // on the first page or in the text behind it
	silent    []string
}{
	{
		"fails, numbers and values",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0,pass
2,rib 2,2026-05-14,1.0,61.0,3,1250,72.0,fail
3,rib 3,2026-05-14,1.0,12.0,3,1250,13.2,pass
5,rib 5,2026-05-14,1.0,,3,1250,70.0,fail
6,rib 6,2026-05-14,1.0,14.0,3,1250,15.6,pass
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{
			"Fails that the record does not show cleared: tests 2 and 5.",
			"A number of the tests that is not in the record: 4.",
			"Written values that cannot be computed: test 5 (extract not recorded).",
			"Fails of the log that stand, though the recomputation cannot show them: test 5.",
			"A fail of the log stands where the numbers leave it open.",
			"Left open by the record, and not tried here: extract not recorded (test 5)",
		},
		[]string{"Every written value follows", "Nothing that the record leaves open", "becomes a pass", "Volume V: not recorded"},
	},
	{
		"no limit and no volume",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Patch area (mm2),Recorded (mg/m2)
1,rib 1,2026-05-14,1.0,11.0,1250,12.0
2,rib 2,2026-05-14,1.0,12.0,1250,13.2
`,
		nil,
		[]string{
			"With 3 ml 2 of 2 written values would follow.",
			"With 10 ml 0 of 2 written values would follow.",
			"no limit recorded (all tests)",
		},
		[]string{"would pass", "Every written value follows"},
	},
	// As sodium chloride a density is lower by a few per cent at most: 36 and 12
	// are above and within 30 either way.
	{
		"a limit of nobody knows what",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0
2,rib 2,2026-05-14,1.0,31.0,3,1250,36.0
`,
		[]string{"limit=30 mg/m2", "limit comparison=at most"},
		[]string{"The record does not say what the limit speaks of. By the numbers it makes no difference: as total salts and as conductivity of sodium chloride alike, 1 test would pass and 1 fail."},
		[]string{"would be another"},
	},
	{
		"a limit whose basis decides",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0
2,rib 2,2026-05-14,1.0,26.2,3,1250,30.24
`,
		[]string{"limit=30 mg/m2", "limit comparison=at most"},
		[]string{"As total salts 1 test would pass and 1 fail; as conductivity of sodium chloride the verdict of test 2 would be another."},
		[]string{"makes no difference"},
	},
	// 30.24 mg/m² of total salts is above 30; by conductivity of sodium chloride
	// it is less.
	{
		"a fail that the conversion lifts",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0,pass
2,rib 2,2026-05-14,1.0,26.2,3,1250,30.2,fail
`,
		[]string{"limit=30 mg/m2", "limit basis=sodium chloride", "limit comparison=at most", "expanded uncertainty=4 mg/m2"},
		[]string{
			"Written as a fail and within the limit only as sodium chloride: test 2 (30.2 total salts, ",
			"Passes within U of the limit, which a repeat could turn: test 2.",
			"A fail of the log becomes a pass where the numbers pass",
		},
		[]string{"cannot be computed:"},
	},
	{
		"a fail that becomes open",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0,fail
`,
		[]string{"limit=30 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"FAIL as written, NOT ESTABLISHED recomputed: test 1.", "nothing of the kind explains it", "a fail by the log (all tests)"},
		[]string{"No finding takes a fail away", "Nothing that the record leaves open"},
	},
	{
		"volumes of the rows",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0
2,rib 2,2026-05-14,1.0,12.0,3,1250,13.2
3,rib 3,2026-05-14,1.0,11.0,10,1250,40.0
4,rib 4,2026-05-14,1.0,11.0,,1250,
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"by row: 3 ml (rows 2–3), 10 ml (row 4), not recorded (row 5)", "1250 mm² on every row"},
		[]string{"assumed 1250"},
	},
	{
		"nothing written",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2)
1,rib 1,2026-05-14,1.0,11.0,3,1250
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"Neither a value nor a verdict is written, so there is nothing to hold against the readings.", "No value is written, and no verdict is written."},
		[]string{"Every written value follows"},
	},
	{
		"a word that nobody knows",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0,pass
2,rib 2,2026-05-14,1.0,12.0,3,1250,13.2,blorp
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"Written verdicts in words that are not understood, of which nothing is concluded: test 2.", "“blorp”", "the written verdict is not understood (test 2)"},
		[]string{"Every written value follows"},
	},
	{
		"a value that cannot be read",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,rib 1,2026-05-14,1.0,11.0,3,1250,twelve or so
2,rib 2,2026-05-14,1.0,<12,3,1250,13.2
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"Written values that cannot be computed: test 1 (the written value cannot be read); test 2 (a reading is only bounded)."},
		[]string{"Every written value follows", "Nothing that the record leaves open"},
	},
	{
		"the whole of it stands",
		`
Test,Location,Date,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,rib 1,2026-05-14,1.0,11.0,3,1250,12.0,pass
`,
		[]string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"},
		[]string{"Every written value follows from its row, and no verdict changes.", "Nothing that the record leaves open would change a value or a verdict."},
		[]string{"Fails that", "not in the record", "cannot be computed:", "within U", "sodium chloride:"},
	},
}

// judgeText judges a log that is written out in a test.
func judgeText(t *testing.T, log string, sets ...string) *assess.Result {
	t.Helper()
	path := filepath.Join(t.TempDir(), "gate.csv")
	if err := os.WriteFile(path, []byte(strings.TrimSpace(log)+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return judge(t, path, sets...)
}

func TestFirstPages(t *testing.T) {
	for _, c := range firstPages {
		t.Run(c.name, func(t *testing.T) {
			a := auditOf(t, judgeText(t, c.log, c.sets...), words(t, nil))
			said := everythingSaid(t, a)
			for _, want := range c.says {
				if !strings.Contains(said, want) {
					t.Errorf("not said: %q", want)
				}
			}
			for _, not := range c.silent {
				if strings.Contains(said, not) {
					t.Errorf("said: %q", not)
				}
			}
			if t.Failed() {
				t.Log(said)
			}
		})
	}
}

// everythingSaid is the text of a report and of its table for a terminal, in
// one line.
func everythingSaid(t *testing.T, a report.Audit) string {
	t.Helper()
	made, err := a.Compose()
	if err != nil {
		t.Fatal(err)
	}
	_, table, err := a.Terminal()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := made.Document.WriteText(&b, 10_000); err != nil {
		t.Fatal(err)
	}
	if err := table.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "\u00a0", " ")), " ")
}
