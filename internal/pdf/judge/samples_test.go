package judge_test

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"saltline/internal/pdf/judge"
)

var folder = flag.String("folder", "../../../samples", "folder of PDF files to judge")

func TestDocuments(t *testing.T) {
	n := 0
	err := filepath.WalkDir(*folder, func(name string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".pdf" {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		n++
		if bs := judge.File(data, judge.Accessible); len(bs) > 0 {
			t.Errorf("%s:\n%s", name, judge.Report(bs))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if n == 0 {
		t.Errorf("no PDF file in %s", *folder)
	}
}
