package record_test

import (
	"bytes"
	"encoding/csv"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// readJob reads a sample: a file, or the CSV files of a folder.
func readJob(tb testing.TB, path string) []*table.File {
	tb.Helper()
	names := []string{path}
	if info, err := os.Stat(path); err != nil {
		tb.Fatal(err)
	} else if info.IsDir() {
		names, _ = filepath.Glob(filepath.Join(path, "*.csv"))
		slices.Sort(names)
	}
	var files []*table.File
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		f, err := table.Read(filepath.Base(name), data, table.Options{})
		if err != nil {
			tb.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}

// The samples are read without a question, and what is read gives the
// densities that were worked out beside this program, from the same cells.
func TestSamples(t *testing.T) {
	for _, sample := range []struct{ path, expected string }{
		{"quillmere-lock", "expected.csv"},
		{"quillmere-lock.xlsx", "expected.csv"},
		{"faehre-lirra.xlsx", "expected-faehre.csv"},
		{"faehre-lirra.csv", "expected-faehre.csv"},
	} {
		t.Run(sample.path, func(t *testing.T) {
			files := readJob(t, filepath.Join("../../samples", sample.path))
			job, list := record.Bind(files, record.Options{})
			for _, d := range list.Sorted() {
				if d.Level > diag.Problem {
					t.Errorf("%s", d)
				}
			}
			var sheets []table.Sheet
			for _, f := range files {
				sheets = append(sheets, f.Sheets...)
			}
			checkBalance(t, job, sheets)
			compare(t, job, expectations(t, sample.expected))
		})
	}
}

// expectations reads a table of what is expected, by the names of its
// columns.
func expectations(t *testing.T, name string) []map[string]string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../samples", name))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, head := range rows[0] {
			m[head] = row[i]
		}
		all = append(all, m)
	}
	return all
}

var kindNames = []string{"original", "repeat", "retest", "adjacent", "witness", "procedural blank"}
var verdictNames = []string{"", "pass", "fail", "void"}

func compare(t *testing.T, job *record.Job, want []map[string]string) {
	t.Helper()
	if len(job.Tests) != len(want) {
		t.Fatalf("%d tests, want %d", len(job.Tests), len(want))
	}
	for i := range want {
		test := &job.Tests[i]
		recorded, verdict := "", verdictNames[test.RecordedVerdict().Val]
		if test.Recorded().Known() {
			recorded = test.Recorded().Dec.String()
		}
		for column, got := range map[string]string{
			"test": test.Number().Val, "area": test.Area().Val, "date": test.Date().Val.ISO(), "kind": kindNames[test.Kind().Val],
			"of test": test.OfTest().Val, "density (mg/m²)": density(job, test), "recorded (mg/m²)": recorded, "recorded verdict": verdict,
		} {
			if got != want[i][column] && !sameNumber(got, want[i][column]) {
				t.Errorf("row %v, test %s, %s: read %q, want %q", test.Row(), test.Number().Val, column, got, want[i][column])
			}
		}
	}
}

// density is ρ = 100·c·V·Δ/A in mg/m², with V in ml, Δ in µS/cm and A in mm²
// (ISO 8502-9), exactly; "" where a reading is not known.
func density(job *record.Job, test *record.Test) string {
	volume, area := test.Volume(), test.PatchArea()
	if volume.State == record.Absent {
		volume = job.Terms.Volume
	}
	if area.State == record.Absent {
		area = job.Terms.PatchArea
	}
	if !test.Blank().Known() || !test.Extract().Known() || !volume.Known() || !area.Known() {
		return ""
	}
	rho := new(big.Rat).Sub(test.Extract().Dec.Rat(), test.Blank().Dec.Rat())
	rho.Mul(rho, volume.Dec.Rat())
	rho.Mul(rho, big.NewRat(500, 1))
	return rho.Quo(rho, area.Dec.Rat()).FloatString(12)
}

func sameNumber(a, b string) bool {
	x, ok1 := new(big.Rat).SetString(a)
	y, ok2 := new(big.Rat).SetString(b)
	return ok1 && ok2 && x.Cmp(y) == 0
}
