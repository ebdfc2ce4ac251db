package assess_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

const samples = "../../samples"

// quillmere is the sample job, read from its folder.
func quillmere(t *testing.T) *record.Job {
	t.Helper()
	return jobs.Read(t, filepath.Join(samples, "quillmere-lock"))
}

// expected reads a table of expected values, which were computed by hand and
// in exact fractions outside this program (see samples/README.md).
func expected(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(samples, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := make(map[string]string)
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// planted stands for the checks: it takes away the passes that the sample
// says are to be taken away for another reason than their numbers.
func planted(rows []map[string]string) []*assess.Check {
	report := func(verdict string, s assess.Severity) *assess.Check {
		return &assess.Check{Name: "planted", Severity: s, Run: func(v *assess.Review) {
			for i, row := range rows {
				if row["verdict"] == verdict && v.Lines[i].ByNumber == assess.Pass {
					v.Report(assess.Finding{Tests: []int{i}})
				}
			}
		}}
	}
	return []*assess.Check{report("NOT ESTABLISHED", assess.UnprovenPass), report("VOID", assess.VoidsTest)}
}

func TestSampleTests(t *testing.T) {
	rows := expected(t, "expected.csv")
	r := assess.Run(quillmere(t), planted(rows))
	if len(r.Lines) != len(rows) {
		t.Fatalf("%d tests, want %d", len(r.Lines), len(rows))
	}
	for i, row := range rows {
		l := &r.Lines[i]
		fail := func(what string, got, want any) {
			t.Errorf("test %s: %s: got %v, want %v", row["test"], what, got, want)
		}
		number := func(what string, known bool, got unit.SurfaceDensity, within float64) {
			want, err := strconv.ParseFloat(row[what], 64)
			if known != (err == nil) || known && math.Abs(float64(got)-want) > within {
				fail(what, got, row[what])
			}
		}
		number("density (mg/m²)", l.Density.Known, l.Density.Value, 1e-9)
		number("density at 25 °C (mg/m²)", l.At25().Known, l.At25().Value, 5e-5)
		if got := l.Agreement.String(); got != row["agreement"] {
			fail("agreement", got, row["agreement"])
		}
		if want := row["verdict"]; l.OfSteel() && l.Verdict.String() != want || !l.OfSteel() && want != "" {
			fail("verdict", l.Verdict, want)
		}
		var names []string
		for _, e := range l.Explanations() {
			names = append(names, e.Name)
		}
		switch want := row["explanation among"]; {
		case want == "" || want == "none":
			if len(names) > 0 {
				fail("explanations", names, want)
			}
		case !slices.Contains(names, want):
			fail("explanations", names, want)
		}
	}
}

func TestSampleAreas(t *testing.T) {
	r := assess.Run(quillmere(t), planted(expected(t, "expected.csv")))
	for _, row := range expected(t, "expected-areas.csv") {
		var day unit.Date
		if _, err := fmt.Sscanf(row["date"], "%d-%d-%d", &day.Year, &day.Month, &day.Day); err != nil {
			t.Fatal(err)
		}
		found := false
		for _, s := range r.Standing(day) {
			if s.Name != row["area"] {
				continue
			}
			found = true
			var open []string
			for _, c := range s.Open {
				open = append(open, r.Lines[c.Fail].Test.Number().Val)
			}
			got := fmt.Sprint(s.Required, s.Valid, s.Passes, s.Fails, s.NotEstablished, s.Voids, s.Short, open, s.Verdict)
			want := fmt.Sprint(row["required"], " ", row["valid"], " ", row["pass"], " ", row["fail"], " ", row["not established"], " ",
				row["void"], " ", row["short"], " ", strings.Fields(row["open fails"]), " ", row["verdict"])
			if got != want {
				t.Errorf("%s on %s: got %s, want %s", s.Name, row["date"], got, want)
			}
		}
		if !found {
			t.Errorf("no area %s on %s", row["area"], row["date"])
		}
	}
}

func TestSampleAssumesNothing(t *testing.T) {
	if r := assess.Run(quillmere(t), nil); len(r.Assumptions) != 0 {
		t.Errorf("a complete record, and yet %+v", r.Assumptions)
	}
}
