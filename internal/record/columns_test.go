package record

import (
	"testing"

	"saltline/internal/heading"
)

// Every column that headings are recognised for has a field that it is read
// into; otherwise its cells are known and lost from sight.
func TestEveryColumnIsRead(t *testing.T) {
	for _, b := range bindings {
		columns := heading.Columns(b.table)
		if len(columns) == 0 {
			t.Errorf("no headings are known for the table %q", b.table)
		}
		for _, name := range columns {
			if b.has(name) || name == "remark" {
				continue
			}
			t.Errorf("%s: no field for the column %q", b.table, name)
		}
	}
}
