package heading

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The chances are sums of binomial coefficients over powers of two, worked
// out by hand: of 9 rows 1 falls by chance in (1 + 9)/512 of all logs.
func TestRiseButFor(t *testing.T) {
	for _, c := range []struct {
		up, down int
		want     bool
	}{
		{11, 1, true},  // 13/4096
		{8, 1, true},   // 10/512 = 0.0195
		{7, 1, false},  // 9/256 = 0.035
		{10, 2, true},  // 79/4096 = 0.0193
		{9, 2, false},  // 67/2048 = 0.033
		{12, 3, true},  // 576/32768 = 0.0176
		{11, 3, false}, // 470/16384 = 0.029
		{3, 0, false},  // 1/8: that none falls is another rule's business
		{15, 5, false}, // one in four falls
		{80, 20, true},
		{79, 21, false}, // more than one in five
		{1, 11, false},
		{4000, 400, true}, // smaller than what a float can hold
	} {
		n := comparing{c.up + c.down, c.up, c.down}
		if got := n.riseButFor(); got != c.want {
			t.Errorf("%d rise, %d fall: %v, want %v", c.up, c.down, got, c.want)
		}
	}
}

// Two conductivities without a name are blank and extract, in the order of
// their headings, where the rows leave no doubt; else they are asked about.
func TestUnnamedConductivities(t *testing.T) {
	for _, c := range []struct {
		headings   string
		rows, down int
		title      string
		asked      bool
	}{
		{"Cond 1|Cond 2", 12, 1, "", false},
		{"Cond 1|Cond 2", 12, 2, "", false},
		{"LF 1|LF 2", 11, 1, "", false},
		{"C1|C2", 9, 1, "", false},
		{"γ1|γ2", 10, 1, "", false},
		{"Kond. 1|Kond. 2", 2, 0, "", false},
		{"Water|Reading", 12, 2, "", false},
		{"C1|C2", 8, 1, "", true},
		{"Cond 1|Cond 2", 4, 1, "", true},
		{"Cond 1|Cond 2", 12, 3, "", true},
		{"Cond 1|Cond 2", 12, 6, "", true},
		{"Cond 1|Cond 2", 12, 11, "", true},
		{"Cond 2|Cond 1", 12, 10, "", true}, // rises from the first to the second, but for two
		{"Cond 1|Cond 2", 12, 2, "Readings before and after washing", true},
		{"Before (µS/cm)|After (µS/cm)", 12, 2, "", true}, // may be before and after washing
	} {
		var grid []string
		if c.title != "" {
			grid = append(grid, c.title)
		}
		grid = append(grid, "Test|Spot|"+c.headings+"|Volume (ml)")
		for i := range c.rows {
			extract := fmt.Sprintf("%d.5", 11+i)
			if i < c.down {
				extract = "0.8"
			}
			grid = append(grid, fmt.Sprintf("%d|spot %d|1.2|%s|15", i+1, i+1, extract))
		}
		sheet := sheetOf(grid...)
		blocks, ds := Find(&sheet, "readings", nil)
		asked := len(ds) > 0
		if asked != c.asked {
			t.Errorf("%+v: asked %v, want %v: %v", c, asked, c.asked, ds)
		}
		if asked {
			continue
		}
		var names []string
		for _, column := range blocks[0].Columns[2:4] {
			names = append(names, column.Name)
		}
		if !slices.Equal(names, []string{"blank", "extract"}) {
			t.Errorf("%+v: taken for %s", c, strings.Join(names, " and "))
		}
	}
}
