package check_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

const samples = "../../samples"

// TestSamples holds all checks together to the sample jobs: what was planted
// there is found, and nothing else is. The files of testdata/findings list
// what was planted, by check, tests and severity, one file a job.
func TestSamples(t *testing.T) {
	for job, paths := range map[string][]string{
		"quillmere-lock": {"quillmere-lock/*.csv", "quillmere-lock.xlsx"},
		"faehre-lirra":   {"faehre-lirra.csv", "faehre-lirra.xlsx"},
	} {
		want := planted(t, filepath.Join("../../testdata/findings", job+".csv"))
		for _, pattern := range paths {
			t.Run(pattern, func(t *testing.T) {
				r := judge(t, filepath.Join(samples, pattern))
				left := slices.DeleteFunc(slices.Clone(want), func(f finding) bool { return f.only != "" && f.only != filepath.Ext(pattern) })
				words := load(t)
				for i := range r.Findings {
					f := &r.Findings[i]
					ofItsDay(t, r, f)
					got := finding{f.Check.Name, strings.Join(check.Numbers(r.Lines, f.Tests), " "), f.Severity.String(), ""}
					says := plain(render(t, words, r, f)["found"])
					same := func(w finding) bool { w.only = ""; return w == got }
					if k := slices.IndexFunc(left, same); k >= 0 {
						left = slices.Delete(left, k, k+1)
						continue
					}
					t.Errorf("not planted: %s,%s,%s: %s", got.check, got.tests, got.severity, says)
				}
				for _, f := range left {
					t.Errorf("not found: %s,%s,%s", f.check, f.tests, f.severity)
				}
			})
		}
	}
}

// A finding is one line of a file of planted findings. One that shows only
// in a workbook, such as a formula, names its ending.
type finding struct{ check, tests, severity, only string }

func planted(t *testing.T, file string) []finding {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []finding
	for _, row := range rows[1:] {
		all = append(all, finding{row[0], row[1], row[2], row[3]})
	}
	return all
}

// judge puts all checks to the job of some files.
func judge(t *testing.T, pattern string) *assess.Result {
	t.Helper()
	return assess.Run(bind(t, pattern), check.All())
}

// bind reads the files of one job.
func bind(t testing.TB, pattern string) *record.Job {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	if err != nil || len(paths) == 0 {
		t.Fatalf("no files %s: %v", pattern, err)
	}
	var files []*table.File
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		f, err := table.Read(filepath.Base(path), data, table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	job, list := record.Bind(files, record.Options{})
	if worst, some := list.Worst(); some && worst >= diag.Question {
		t.Fatalf("reading %s: %v", pattern, list.Sorted())
	}
	return job
}
