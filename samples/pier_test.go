package samples

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/testdata/jobs"
)

const pierFolder = "oskerley-pier"

// A dayBook is the workbook that the contractor kept on one day. Its tables
// lie in folders, of which the first that has one counts: those of the job are
// the same in all workbooks.
type dayBook struct {
	file       string
	day        time.Time
	folders    []string
	superseded bool // by the workbook of a later revision
}

// pierBooks are the workbooks of the job. Each day has one, and the second day
// two: the report was issued again as revision 1.
var pierBooks = []dayBook{
	{"oskerley-pier-2026-09-03.xlsx", september(3), []string{"2026-09-03", "job"}, false},
	{"oskerley-pier-2026-09-04-rev-0.xlsx", september(4), []string{"2026-09-04-rev-0", "2026-09-04", "job"}, true},
	{"oskerley-pier-2026-09-04.xlsx", september(8), []string{"2026-09-04", "job"}, false},
	{"oskerley-pier-2026-09-08.xlsx", september(8), []string{"2026-09-08", "job"}, false},
	{"oskerley-pier-2026-09-09.xlsx", september(9), []string{"2026-09-09", "job"}, false},
}

func september(day int) time.Time { return time.Date(2026, time.September, day, 0, 0, 0, 0, time.UTC) }

// rows are those of one table of the workbook; nil where the day has none.
func (b dayBook) rows(t *testing.T, name string) [][]string {
	t.Helper()
	for _, folder := range b.folders {
		file := filepath.Join(pierFolder, folder, name+".csv")
		switch _, err := os.Stat(file); {
		case err == nil:
			return rowsOf(t, file)
		case !errors.Is(err, fs.ErrNotExist):
			t.Fatal(err)
		}
	}
	return nil
}

// tables are those that the workbook has, with the order of its sheets.
func (b dayBook) tables(t *testing.T) (sheets []string, rows map[string][][]string) {
	t.Helper()
	rows = map[string][][]string{}
	for _, name := range append(lockTables[:len(lockTables):len(lockTables)], "documents") {
		if of := b.rows(t, name); of != nil {
			sheets, rows[name] = append(sheets, name), of
		}
	}
	return sheets, rows
}

func (b dayBook) book(t *testing.T) table.Book {
	t.Helper()
	book := table.Book{Title: "Oskerley pier, inner landing, soluble-salt tests", Date: b.day}
	sheets, rows := b.tables(t)
	for _, name := range sheets {
		book.Pages = append(book.Pages, sheetOf(name, rows[name]))
	}
	return book
}

// read reads the workbook, as the command does.
func (b dayBook) read(t *testing.T) *record.Job {
	t.Helper()
	return jobs.Read(t, filepath.Join(pierFolder, b.file))
}

// judgePier reads all workbooks as one job and judges it.
func judgePier(t *testing.T) *assess.Result {
	t.Helper()
	var parts []*record.Job
	for _, b := range pierBooks {
		parts = append(parts, b.read(t))
	}
	return assess.Run(record.Join(parts), check.All())
}

func TestPierWorkbooksShowWhatTheFoldersHold(t *testing.T) {
	for _, b := range pierBooks {
		sheets, rows := b.tables(t)
		holdSheets(t, filepath.Join(pierFolder, b.file), sheets, rows)
	}
}

func TestPierOutcome(t *testing.T) {
	r := judgePier(t)
	holdLines(t, r, "expected-pier.csv")
	for i := range r.Findings {
		t.Errorf("%s speaks of an honest job", r.Findings[i].Check.Name)
	}
}

func TestPierAreas(t *testing.T) {
	r := judgePier(t)
	holdAreas(t, r, "expected-pier-areas.csv")
	for _, row := range records(t, "expected-pier-areas.csv") {
		s := standing(t, r, row["date"], row["area"])
		if s == nil {
			continue // said above
		}
		found := &s.AsCoated
		if got := strconv.Itoa(found.N); got != row["as coated n"] {
			t.Errorf("%s, %s: n = %s, want %s", row["date"], row["area"], got, row["as coated n"])
		}
		for column, got := range map[string]float64{
			"lowest (mg/m²)": float64(found.Min), "median (mg/m²)": float64(found.Median), "highest (mg/m²)": float64(found.Max),
		} {
			if want, err := strconv.ParseFloat(row[column], 64); err == nil && math.Abs(got-want) > 1e-9 {
				t.Errorf("%s, %s: %s %v, want %v", row["date"], row["area"], column, got, want)
			}
		}
	}
}

var chainWords = map[assess.ChainState]string{assess.Open: "open", assess.Treated: "treated", assess.Cleared: "cleared"}

// TestPierChains follows the fail from day to day, through three workbooks.
func TestPierChains(t *testing.T) {
	r := judgePier(t)
	number := func(i int) string { return r.Lines[i].Test.Number().Val }
	numbers := func(tests []int) string {
		var list []string
		for _, i := range tests {
			list = append(list, number(i))
		}
		return strings.Join(list, " ")
	}
	for _, row := range records(t, "expected-pier-chains.csv") {
		s := standing(t, r, row["date"], "GW")
		if s == nil {
			t.Fatalf("%s: no area GW", row["date"])
		}
		chains := slices.Concat(s.Open, s.Cleared)
		if len(chains) != 1 {
			t.Errorf("%s: %d fails, want 1", row["date"], len(chains))
			continue
		}
		c, cleared := chains[0], ""
		if c.ClearedBy >= 0 {
			cleared = number(c.ClearedBy)
		}
		var treatments []string
		for _, w := range c.Treatments {
			treatments = append(treatments, w.Name.Val)
		}
		for _, f := range []struct{ what, got string }{
			{"fail", number(c.Fail)}, {"state", chainWords[c.State]}, {"treatments", strings.Join(treatments, " ")},
			{"retests", numbers(c.Retests)}, {"adjacent", numbers(c.Adjacent)}, {"cleared by", cleared},
		} {
			if f.got != row[f.what] {
				t.Errorf("%s: %s %q, want %q", row["date"], f.what, f.got, row[f.what])
			}
		}
	}
}
