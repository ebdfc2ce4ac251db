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
	above     table.Cell // the last cell with a value; an empty one where there is none
	at        int        // the row it reaches down to
	passed    *table.Row // a row below that, the cell of which is the last with a value; nil for none
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
		text, own := row.Plain(col.Pos.Col())
		if !own {
			c := row.Cell(col.Pos.Col())
			text, own = c.Text, c.FillOf().IsZero()
		}
		if text != "" && text == above && own {
			f.gaps = false
			break
		}
		above = text
	}
	return f
}

// plain is the text of the cell of the row in column col, where it has nothing else
// and stands for itself, or is empty and stays so. Of any other cell says what
// stands for it.
func (f *filler) plain(row *table.Row, col int) (text string, ok bool) {
	text, ok = row.Plain(col)
	switch {
	case !ok || !f.downwards:
	case text == "":
		ok = !f.gaps
	case isDitto(text):
		ok = false
	default:
		f.passed = row
	}
	return text, ok
}

// cell returns what stands for the cell of the row in column col.
func (f *filler) cell(out *margin, row *table.Row, col int) table.Cell {
	if f.passed != nil {
		f.above, f.at, f.passed = f.passed.Cell(col), f.passed.Number, nil
	}
	c := row.Cell(col)
	merged := !c.FillOf().IsZero()
	switch {
	case merged && c.FillOf().Col() != c.Pos.Col(): // across
		return table.Cell{}
	case merged:
		out.note(Change{Pos: c.Pos, What: "filled down from the merged cell " + c.FillOf().Cell(), To: c.Text})
		c.Pos = c.FillOf()
	case !f.downwards:
		return c
	case f.above.Kind != table.Empty && isDitto(c.Text):
		out.note(Change{Pos: c.Pos, What: "a ditto mark, filled down", From: c.Text, To: f.above.Text})
		c = f.above
	case c.Kind == table.Empty && f.gaps && f.above.Kind != table.Empty && f.at == row.Number-1:
		at := f.above.Pos.At(row.Number, f.above.Pos.Col())
		out.note(Change{Pos: at, What: "filled down", To: f.above.Text})
		c = f.above
	}
	if c.Kind != table.Empty {
		f.above, f.at = c, row.Number
	}
	return c
}

// catchUp brings the filler past rows that others fill. It begins with the last
// of them that has a value of its own.
func (f *filler) catchUp(rows []table.Row, col int) {
	if !f.downwards {
		return
	}
	i := len(rows)
	for ; i > 0; i-- {
		c := rows[i-1].Cell(col)
		if c.Kind != table.Empty && c.FillOf().IsZero() && !isDitto(c.Text) {
			i--
			break
		}
	}
	for ; i < len(rows); i++ {
		f.cell(nil, &rows[i], col)
	}
}

// dittoMarks say: as above.
var dittoMarks = []string{`"`, `''`, "”", "“", "„", "″", "〃", "do", "ditto", "dito", "idem", "id", "desgl", "dgl"}

// isDitto reports whether text is a mark that says: as above.
func isDitto(text string) bool {
	if text == "" || '0' <= text[len(text)-1] && text[len(text)-1] <= '9' {
		return false
	}
	text = strings.Trim(text, " .-–")
	const longest = len("desgl")
	return len(text) <= longest && slices.ContainsFunc(dittoMarks, func(mark string) bool { return strings.EqualFold(text, mark) })
}
