package heading

import (
	"os"
	"path/filepath"
	"testing"

	"saltline/internal/table"
)

// The sample jobs are honest logs: nothing has to be asked, every sheet is
// recognised, and no row gets lost.
func TestSamplesAskNothing(t *testing.T) {
	var files []string
	for _, pattern := range []string{"*/*.csv", "*.xlsx", "faehre-*.csv"} {
		found, err := filepath.Glob("../../samples/" + pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) == 0 {
		t.Fatal("no samples")
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		file, err := table.Read(filepath.Base(name), data, table.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, s := range file.Sheets {
			blocks, ds := Find(&s, TableOf(s.Name), nil)
			if len(ds) > 0 || len(blocks) == 0 || blocks[0].Table == "" {
				t.Errorf("%s %s: found %d blocks and asked %v", name, s.Name, len(blocks), ds)
			}
			balanced(t, &s, blocks)
		}
	}
}
