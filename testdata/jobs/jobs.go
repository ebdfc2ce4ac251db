// Package jobs reads a job for a test, as the command does.
package jobs

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// Read reads the job at path, a file or a folder of CSV files, with values as
// --set gives them, each "key=value". A question or failure fails the test.
func Read(t *testing.T, path string, sets ...string) *record.Job {
	t.Helper()
	names := []string{path}
	if info, err := os.Stat(path); err != nil {
		t.Fatal(err)
	} else if info.IsDir() {
		if names, err = filepath.Glob(filepath.Join(path, "*.csv")); err != nil || len(names) == 0 {
			t.Fatalf("%s: no CSV files (%v)", path, err)
		}
	}
	var files []*table.File
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := table.Read(filepath.Base(name), data, table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	var opts record.Options
	for _, s := range sets {
		key, value, _ := strings.Cut(s, "=")
		opts.Set = append(opts.Set, record.Fact{Key: key, Value: record.Words{Val: value, Text: value, State: record.Known}})
	}
	job, list := record.Bind(files, opts)
	if worst, found := list.Worst(); found && worst > diag.Problem {
		t.Fatalf("%s cannot be read: %v", path, list.Sorted())
	}
	return job
}
