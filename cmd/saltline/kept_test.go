package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// Documents of earlier versions go on verifying: what they state still follows
// from the record that they carry. They are the samples as they were committed.
func TestDocumentsOfEarlierVersions(t *testing.T) {
	kept, err := filepath.Glob("../../testdata/verify/*/*.pdf")
	if err != nil || len(kept) == 0 {
		t.Fatalf("%d documents are kept: %v", len(kept), err)
	}
	for _, path := range kept {
		by := filepath.Base(filepath.Dir(path))
		t.Run(by+"/"+filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			var out, errOut bytes.Buffer
			if status := run([]string{"verify", path}, strings.NewReader(""), &out, &errOut); status != 0 {
				t.Errorf("status %d\n%s%s", status, out.String(), errOut.String())
			}
			if want := "written by saltline " + by; !strings.Contains(out.String(), want) {
				t.Errorf("no %q in\n%s", want, out.String())
			}
		})
	}
}
