package check_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/table"
)

// unseen is a log of four rows as a workbook holds it, changed by a case.
func unseen(t *testing.T, change func(*table.Sheet)) *record.Job {
	t.Helper()
	text := "test,date,blank (µS/cm),extract (µS/cm),volume (ml),remark\n"
	for n := range 4 {
		text += fmt.Sprintf("%d,2026-03-03,1.2,14.2,3.0,held\n", n+1)
	}
	f, err := table.Read("log.csv", []byte(text), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	change(&f.Sheets[0])
	job, _ := record.Bind([]*table.File{f}, record.Options{})
	return job
}

// TestRowsNotSeen: a sheet of a check cannot hold what a workbook hides.
func TestRowsNotSeen(t *testing.T) {
	words := load(t)
	faint := func(s *table.Sheet, row, but int) {
		cells := s.Rows[row].Cells()
		for k := range cells {
			cells[k].Faint = k != but
		}
		s.Rows[row] = s.Rows[row].With(cells)
	}
	for _, c := range []struct {
		name   string
		change func(*table.Sheet)
		want   string
	}{
		{"nothing hidden", func(*table.Sheet) {}, ""},
		{"a hidden row", func(s *table.Sheet) { s.Rows[2].Hidden = true }, "Test 2 stands in a hidden row. It is counted as recorded. [weakens]"},
		{"a hidden sheet", func(s *table.Sheet) { s.Hidden = true }, "Tests 1–4 stand in hidden rows. They are counted as recorded. [weakens]"},
		{"a row that cannot be seen", func(s *table.Sheet) { faint(s, 3, -1) }, "Test 3 is written in the colour of the background. It is counted as recorded. [weakens]"},
		{"a row of which a cell can be seen", func(s *table.Sheet) { faint(s, 3, 2) }, ""},
		{"one hidden, one not to be seen", func(s *table.Sheet) { s.Rows[1].Hidden = true; faint(s, 3, -1) },
			"Test 1 stands in a hidden row. Test 3 is written in the colour of the background. They are counted as recorded. [weakens]"},
		{"a hidden column with readings", func(s *table.Sheet) { s.HiddenCols = []int{4, 5} }, "Hidden columns hold extract (µS/cm) and volume (ml). [housekeeping]"},
		{"a hidden column without", func(s *table.Sheet) { s.HiddenCols = []int{6} }, ""},
		{"the heading is hidden", func(s *table.Sheet) { s.Rows[0].Hidden = true }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := assess.Run(unseen(t, c.change), integrityChecks())
			var says []string
			for i := range r.Findings {
				f := &r.Findings[i]
				says = append(says, plain(render(t, words, r, f)["found"])+" ["+f.Severity.String()+"]")
				if f.Check.Name != "rows-not-seen" {
					t.Errorf("%s speaks", f.Check.Name)
				}
			}
			if got := strings.Join(says, " | "); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// TestTimeOfABlockInTwoAreas: the time of one merged cell is that of a block,
// and puts nobody in two places.
func TestTimeOfABlockInTwoAreas(t *testing.T) {
	job := dayOf(0, timing{480, 490}, timing{480, 495})
	for k, area := range []string{"T1", "T2"} {
		job.Tests[k].Own().Area = record.Words{Val: area, Text: area, State: record.Known}
		job.Tests[k].Own().Inspector = record.Words{Val: "A. Brandt", Text: "A. Brandt", State: record.Known}
	}
	if n := found(job, "inspector-in-two-places"); n != 1 {
		t.Errorf("a cell for each: %d findings, want 1", n)
	}
	job.Tests[1].Own().Start.Pos = job.Tests[0].Start().Pos
	if n := found(job, "inspector-in-two-places"); n != 0 {
		t.Errorf("one cell for both: %d findings, want none", n)
	}
}

// recordChecks are the checks of group Integrity that ask about papers, people
// and days, which the honest days of one log say little of.
var recordChecks = []string{
	"inspector-in-two-places", "work-on-a-rest-day", "signed-before-last-test", "reviewed-by-the-inspector", "photo-used-twice",
	"number-missing-beside-a-retest", "day-and-month-swapped", "label-made-a-date", "rows-not-seen", "revision-differs",
}

// TestHonestPapers puts them to jobs of some days to some months with all
// their papers in order: one job in a hundred is asked about at the most. The
// rest is chance: a last visit that lies among the first days when its day and
// month change places.
func TestHonestPapers(t *testing.T) {
	const jobs = 1000
	seed := *honestSeed + 3
	t.Logf("seed %d, %d jobs", seed, jobs)
	var checks []*assess.Check
	for _, c := range check.All() {
		if slices.Contains(recordChecks, c.Name) {
			checks = append(checks, c)
		}
	}
	if len(checks) != len(recordChecks) {
		t.Fatalf("%d checks, want %d", len(checks), len(recordChecks))
	}
	words := load(t)
	spoken, tests := 0, 0
	by := map[string]int{}
	for k := range uint64(jobs) {
		r := assess.Run(honestPapers(seed, k), checks)
		tests += len(r.Lines)
		if len(r.Findings) > 0 {
			spoken++
		}
		for i := range r.Findings {
			f := &r.Findings[i]
			if by[f.Check.Name]++; by[f.Check.Name] <= 3 {
				t.Logf("job %d: %s: %s", k, f.Check.Name, plain(render(t, words, r, f)["found"]))
			}
		}
	}
	t.Logf("%d tests; a check speaks on %d of %d jobs", tests, spoken, jobs)
	for _, name := range slices.Sorted(maps.Keys(by)) {
		t.Logf("%-30s %d findings", name, by[name])
	}
	if 100*spoken > jobs {
		t.Errorf("a check speaks on %d of %d honest jobs, want one in a hundred at the most", spoken, jobs)
	}
}
