// Package samples keeps the sample jobs: its tests make the workbooks from
// their sources, and fail when a committed one no longer equals what its
// source gives.
package samples

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"saltline/internal/table"
)

var update = flag.Bool("update", false, "write the sample workbooks anew")

func TestSamplesFollowTheirSources(t *testing.T) {
	lock, err := table.Write(lockBook(t))
	if err != nil {
		t.Fatal(err)
	}
	ferry, err := table.Write(ferryBook())
	if err != nil {
		t.Fatal(err)
	}
	span, err := table.Write(spanBook())
	if err != nil {
		t.Fatal(err)
	}
	ferryText, err := ferryCSV()
	if err != nil {
		t.Fatal(err)
	}
	type sample struct {
		name string
		want []byte
	}
	all := []sample{
		{"quillmere-lock.xlsx", lock},
		{"faehre-lirra.xlsx", ferry},
		{"faehre-lirra.csv", ferryText},
		{"torrel-bridge.xlsx", span},
	}
	for _, b := range pierBooks {
		data, err := table.Write(b.book(t))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, sample{filepath.Join(pierFolder, b.file), data})
	}
	for _, sample := range all {
		if *update {
			if err := os.WriteFile(sample.name, sample.want, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		got, err := os.ReadFile(sample.name)
		if err != nil {
			t.Error(err)
			continue
		}
		if !bytes.Equal(got, sample.want) {
			t.Errorf("%s is not what its source gives: run go test ./samples -update", sample.name)
		}
	}
}

// readSample reads a committed sample as saltline does.
func readSample(t *testing.T, name string) *table.File {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	file, err := table.Read(name, data, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return file
}
