package check

import (
	"os"
	"path/filepath"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/table"
)

func TestZZSite(t *testing.T) {
	for _, src := range []string{"quillmere-lock", "quillmere-lock.xlsx", "faehre-lirra.csv", "faehre-lirra.xlsx"} {
		p := filepath.Join("../../samples", src)
		names := []string{p}
		if st, _ := os.Stat(p); st.IsDir() {
			names, _ = filepath.Glob(p + "/*.csv")
		}
		var files []*table.File
		for _, n := range names {
			data, _ := os.ReadFile(n)
			f, err := table.Read(filepath.Base(n), data, table.Options{})
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		job, list := record.Bind(files, record.Options{})
		t.Logf("== %s: %d tests; %v", src, len(job.Tests), list.Sorted())
		r := assess.Run(job, siteChecks())
		for _, f := range r.Findings {
			t.Logf("%s %v %v tests %v areas %v args %v", f.Check.Name, f.Severity, f.Date, Numbers(r.Lines, f.Tests), f.Areas, f.Args)
		}
	}
}
