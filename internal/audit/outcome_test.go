package audit_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/testdata/jobs"
)

// sheet judges a log that is written out in a test.
func sheet(t *testing.T, text string, sets ...string) *audit.Report {
	t.Helper()
	path := filepath.Join(t.TempDir(), "gate.csv")
	if err := os.WriteFile(path, []byte(strings.TrimSpace(text)+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return audit.Of(assess.Run(jobs.Read(t, path, sets...), check.All()))
}

// With 3 ml on 1250 mm² the factor is 1.2: a rise of 10 is 12 mg/m², one of 50
// is 60.
var outcomes = []struct {
	name, log string
	sets      []string
	want      audit.Outcome
	untried   string // keys of what is left open, with their tests
}{
	{"all follows", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,1.0,11.0,3,1250,12.0,pass
2,1.0,51.0,3,1250,60.0,fail
`, eight, audit.Holds, ""},
	{"nothing computed", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,1.0,,3,1250,12.0
2,1.0,,3,1250,60.0
`, nil, audit.NotShown, "report/reason-no-limit 1 2; report/reason-no-extract 1 2"},
	{"one written value without its extract", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,1.0,11.0,3,1250,12.0,pass
2,1.0,,3,1250,60.0,fail
`, eight, audit.NotShown, "report/reason-no-extract 2; report/reason-written-fail 2"},
	{"a fail in words with neither value nor extract", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,1.0,11.0,3,1250,12.0,pass
2,1.0,,3,1250,,fail
`, eight, audit.NotShown, "report/reason-no-extract 2; report/reason-written-fail 2"},
	{"a pass in words without a limit", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,1.0,11.0,3,1250,12.0,pass
`, nil, audit.DoesNotHold, "report/reason-no-limit 1"},
	{"a word that nobody knows", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,1.0,11.0,3,1250,12.0,pass
2,1.0,12.0,3,1250,13.2,blorp
`, eight, audit.NotShown, "audit/open-verdict-not-read 2"},
	{"values without a limit", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2)
1,1.0,11.0,3,1250,12.0
`, nil, audit.Holds, "report/reason-no-limit 1"},
	{"nothing written", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2)
1,1.0,11.0,3,1250
`, eight, audit.NothingWritten, ""},
	{"verdicts without values", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Verdict
1,1.0,11.0,3,1250,pass
`, eight, audit.Holds, ""},
	// Each usual volume is supposed for test 1; for test 2 none helps.
	{"no volume", `
Test,Blank (µS/cm),Extract (µS/cm),Patch area (mm2),Recorded (mg/m2)
1,1.0,11.0,1250,12.0
2,1.0,,1250,13.0
`, eight, audit.DoesNotHold, "report/reason-no-volume 2; report/reason-no-extract 2"},
	// Without its blank, 51 lies between 60 mg/m² and what the water limit leaves
	// of it: a fail either way, and its value is open.
	{"a fail without its blank", `
Test,Blank (µS/cm),Extract (µS/cm),Volume (ml),Patch area (mm2),Recorded (mg/m2),Verdict
1,,81.0,3,1250,96.0,fail
`, eight, audit.NotShown, "report/reason-no-blank 1"},
}

func TestOutcome(t *testing.T) {
	for _, c := range outcomes {
		t.Run(c.name, func(t *testing.T) {
			a := sheet(t, c.log, c.sets...)
			if got := a.Outcome(); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
			if stands := c.want == audit.Holds || c.want == audit.NothingWritten; a.Stands() != stands {
				t.Errorf("stands: %v", !stands)
			}
			var open []string
			for _, o := range a.Untried {
				open = append(open, fmt.Sprintf("%s %s", o.Key, numbers(a, o.Tests)))
			}
			if got := strings.Join(open, "; "); got != c.untried {
				t.Errorf("left open: %q, want %q", got, c.untried)
			}
			for _, v := range a.Advice {
				if v.Kind == audit.TakeAsItStands && !a.Stands() {
					t.Error("what cannot be shown is recommended to be taken as it stands")
				}
			}
		})
	}
}

// The figures alone are those of the whole conclusion.
func TestCountedIsWhatTheConclusionCounts(t *testing.T) {
	r := assess.Run(archive(300), check.All())
	whole, counted := audit.Of(r), audit.Counted(r)
	if whole.Counts != counted.Counts || !slices.Equal(whole.Changed, counted.Changed) || whole.Largest != counted.Largest || whole.Outcome() != counted.Outcome() {
		t.Errorf("counted are %+v, %d changed; of the whole they are %+v, %d", counted.Counts, len(counted.Changed), whole.Counts, len(whole.Changed))
	}
	if counted.Counts.Tests != 300 || counted.Counts.Agreement[assess.DoesNotFollow] == 0 {
		t.Errorf("of %d tests %d do not follow", counted.Counts.Tests, counted.Counts.Agreement[assess.DoesNotFollow])
	}
}
