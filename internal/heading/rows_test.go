package heading

import (
	"fmt"
	"testing"
)

// Before and after are blank and extract while at most one pair in ten falls.
func TestRisingEdge(t *testing.T) {
	for _, c := range []struct{ falling, asked int }{{0, 0}, {1, 0}, {2, 1}, {10, 1}} {
		grid := []string{"Test | Spot | Before (µS/cm) | After (µS/cm) | Salt"}
		for i := range 10 {
			blank, extract := 1.2, 9.0
			if i < c.falling {
				blank, extract = extract, blank
			}
			grid = append(grid, fmt.Sprintf("%d | A%d | %.1f | %.1f | 9.4", i+1, i+1, blank, extract))
		}
		sheet := sheetOf(grid...)
		if _, ds := Find(&sheet, "", nil); len(ds) != c.asked {
			t.Errorf("%d of 10 fall: found %d questions, want %d: %v", c.falling, len(ds), c.asked, ds)
		}
	}
}

// Hidden and struck-through rows are records: they are read and reported.
func TestHiddenAndStruckRowsAreRecords(t *testing.T) {
	sheet := sheetOf("Test | Spot | Blank | Extract", "1 | A | 1.2 | 9.0", "2 | B | 1.2 | 61.0", "3 | C | 1.2 | 8.0")
	sheet.Rows[1].Hidden = true
	cells := sheet.Rows[2].Cells()
	for i := range cells {
		cells[i].Struck = true
	}
	sheet.Rows[2] = sheet.Rows[2].With(cells)
	blocks, _ := Find(&sheet, "", nil)
	if len(blocks) != 1 || len(blocks[0].Rows) != 3 || !blocks[0].Rows[0].Hidden || !blocks[0].Rows[1].Struck() {
		t.Errorf("found %s", describe(blocks, nil))
	}
}
