package heading

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// fewest is the least number of headings that a table beside another has.
const fewest = 3

// groups parts the headings of tables that stand side by side: the same
// headings in the same order, two times or more. Most heads are one group.
func (h *head) groups() [][]*entry {
	n := len(h.entries)
	for size := fewest; size <= n/2; size++ {
		if n%size != 0 {
			continue
		}
		again := true
		for i := size; i < n && again; i++ {
			again = h.entries[i].fold == h.entries[i-size].fold
		}
		if again {
			return slices.Collect(slices.Chunk(h.entries, size))
		}
	}
	return [][]*entry{h.entries}
}

// holds reports whether the cell at pos is one of h.
func (h *head) holds(s *table.Sheet, pos diag.Pos) bool {
	for _, r := range s.Rows[h.first : h.last+1] {
		if r.Number == pos.Row {
			return true
		}
	}
	return false
}

// span is the columns from low up to but not including high that belong to
// group k; what stands between two groups belongs to the left one.
func span(groups [][]*entry, k int) (low, high int) {
	low, high = 1, 1<<30
	if k > 0 {
		low = groups[k][0].col
	}
	if k+1 < len(groups) {
		high = groups[k+1][0].col
	}
	return low, high
}

// within is row with the cells outside the span emptied.
func within(row table.Row, low, high int) table.Row {
	cells := make([]table.Cell, min(len(row.Cells), high-1))
	for i := low - 1; i < len(cells); i++ {
		cells[i] = row.Cells[i]
	}
	row.Cells = cells
	return row
}

// follow settles e as o was settled, whose heading reads the same.
func (e *entry) follow(o *entry) {
	e.column, e.kind, e.doubt, e.mapped, e.asked = o.column, o.kind, o.doubt, o.mapped, o.asked
	e.ev = o.ev
	if o.class == "" {
		e.unit, e.class = "", ""
	}
}

var testAcross = regexp.MustCompile(`^(?:(?:test|prufung|messung|probe|ensayo|prueba|lectura|essai|mesure|prove|maling|reading|result|spot|t|no) ?)?(\d{1,2})$`)

// wide recognises a sheet that has one row for each area and its tests 1, 2,
// 3 … across. Such a row has no blank, no volume and no time of each test, so
// it is not read.
func wide(s *table.Sheet) (diag.Diagnostic, bool) {
	for _, r := range s.Rows {
		var run []table.Cell
		last := 0
		words := 0
		for col := range r.Cells {
			c, ok := cellAt(r, col+1)
			if !ok {
				continue
			}
			m := testAcross.FindStringSubmatch(fold(takeApart(c.Text).name))
			if m == nil {
				words++
				continue
			}
			n, err := strconv.Atoi(m[1])
			if err == nil && n == last+1 {
				run, last = append(run, c), n
			}
		}
		if len(run) < fewest || words == 0 {
			continue
		}
		return diag.Diagnostic{
			Pos:   run[0].Pos,
			Level: diag.Failure,
			Check: "wide-form",
			Msg: fmt.Sprintf("found tests side by side from %q to %q, one area in each row, but wanted one test in each row",
				oneLine(run[0].Text), oneLine(run[len(run)-1].Text)),
			Hint: "put each test on a row of its own, with its area, blank, extract and volume",
		}, true
	}
	return diag.Diagnostic{}, false
}
