package record_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
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

// TestDump prints what is read of $SAMPLE, for looking at.
func TestDump(t *testing.T) {
	path := os.Getenv("SAMPLE")
	if path == "" {
		t.Skip("no SAMPLE")
	}
	job, list := record.Bind(readJob(t, path), record.Options{})
	t.Log(strings.Join(dump(job, list), "\n"))
}

// The samples are read without a question; the rows are all accounted for.
func TestSamples(t *testing.T) {
	for _, sample := range []struct {
		path         string
		tests, areas int
	}{
		{"quillmere-lock", 0, 0},
		{"quillmere-lock.xlsx", 0, 0},
		{"faehre-lirra.xlsx", 0, 0},
		{"faehre-lirra.csv", 0, 0},
	} {
		t.Run(sample.path, func(t *testing.T) {
			files := readJob(t, filepath.Join("../../samples", sample.path))
			job, list := record.Bind(files, record.Options{})
			for _, d := range list.Sorted() {
				if d.Level != diag.Problem {
					t.Errorf("%s", d)
				}
			}
			t.Logf("%d tests, %d areas", len(job.Tests), len(job.Areas))
			var sheets []table.Sheet
			for _, f := range files {
				sheets = append(sheets, f.Sheets...)
			}
			checkBalance(t, job, sheets)
		})
	}
}
