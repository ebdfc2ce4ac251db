package record

import (
	"slices"
	"strings"

	"saltline/internal/heading"
	"saltline/internal/table"
)

// A filler fills the cells of one column from the cell above: where cells
// are merged, where a ditto mark stands, and where a column is written only
// at the rows in which it changes. Only an area, a date, an inspector and a
// meter are filled without a merged cell or a mark; every other gap stays a
// gap. A mark is never followed in a column of readings: each was read anew.
type filler struct {
	downwards bool       // ditto marks are followed
	gaps      bool       // and so are empty cells
	above     table.Cell // the last cell with a value
	at        int        // the row it reaches down to
}

var filledDown = []string{"area", "date", "inspector", "meter"}

// marked are the columns in which ditto marks are followed besides.
var marked = []string{"location", "spot type", "orientation", "water", "volume", "patch area", "patch kind", "limit", "substrate"}

// newFiller looks at a column of a block. Empty cells stand for the value
// above only where nobody ever wrote the same value twice in a row: who
// repeats a value in one row has forgotten it in another.
func newFiller(block heading.Block, col heading.Column) filler {
	if block.Table != "readings" {
		return filler{}
	}
	f := filler{gaps: slices.Contains(filledDown, col.Name)}
	f.downwards = f.gaps || slices.Contains(marked, col.Name)
	if !f.gaps {
		return f
	}
	above := ""
	for _, row := range block.Rows {
		c := row.Cell(col.Pos.Col)
		if c.Text != "" && c.Text == above && c.FillOf().IsZero() {
			f.gaps = false
		}
		above = c.Text
	}
	return f
}

// cell returns what stands for the cell c of the row.
func (f *filler) cell(b *binder, row table.Row, c table.Cell) table.Cell {
	unbroken := f.above.Kind != table.Empty && f.at == row.Number-1
	switch {
	case !c.FillOf().IsZero() && c.FillOf().Col != c.Pos.Col: // merged across
		return table.Cell{}
	case !c.FillOf().IsZero():
		b.note(Change{Pos: c.Pos, What: "filled down from the merged cell " + c.FillOf().Cell(), To: c.Text})
		c.Pos = c.FillOf()
	case !f.downwards:
		return c
	case isDitto(c.Text) && f.above.Kind != table.Empty:
		b.note(Change{Pos: c.Pos, What: "a ditto mark, filled down", From: c.Text, To: f.above.Text})
		c = f.above
	case c.Kind == table.Empty && f.gaps && unbroken:
		at := f.above.Pos
		at.Row = row.Number
		b.note(Change{Pos: at, What: "filled down", To: f.above.Text})
		c = f.above
	}
	if c.Kind != table.Empty {
		f.above, f.at = c, row.Number
	}
	return c
}

// isDitto reports whether text is a mark that says: as above.
func isDitto(text string) bool {
	switch strings.ToLower(strings.Trim(text, " .-–")) {
	case `"`, `''`, "”", "“", "„", "″", "〃", "do", "ditto", "dito", "idem", "id", "desgl", "dgl":
		return true
	}
	return false
}
