package doc

// A Table is rows under a head. The head is printed again on every page that
// the table reaches, and a row is not split. A table of few rows is kept on one
// page where that leaves little of another empty.
type Table struct {
	Columns []Column
	Rows    []Row
	Empty   string // what is printed in place of rows where there are none
	Notes   []Item // printed below the table, at its width
}

// A Column is the head of a column with the way its cells are set.
type Column struct {
	Head  string
	Unit  string // printed on a line of its own below the head; "" for a pure number or words
	Align Align
}

// An Align is where the cells of a column stand. Text that stands left or
// centred may be broken over lines; text that stands right or on its decimal
// sign is a number and is never broken.
type Align uint8

const (
	AlignLeft Align = iota
	AlignRight
	AlignCentre
	AlignDecimal // decimal signs one below the other
)

// A Row is one line of a table.
type Row struct {
	Cells    []Text // as many as there are columns; one for a group row
	Group    bool   // a row that heads those below it and spans all columns
	Emphasis bool   // set in a heavier face: the row that must be seen
	Note     Text   // printed under the row across all columns; nil for none
	Anchor   string // name that links lead to; "" for none
}

// A Col is a column of a table of T: its head, and how a T fills it. One list
// of columns serves the page, the terminal and the spreadsheet.
type Col[T any] struct {
	Column
	Cell  func(T) Text
	plain func(T) string // the same, where the cell has no looks; nil where it may
}

// Left is a column of words.
func Left[T any](head, unit string, cell func(T) string) Col[T] {
	return column(head, unit, AlignLeft, cell)
}

// Right is a column of whole numbers or dates.
func Right[T any](head, unit string, cell func(T) string) Col[T] {
	return column(head, unit, AlignRight, cell)
}

// Centre is a column of short signs.
func Centre[T any](head, unit string, cell func(T) string) Col[T] {
	return column(head, unit, AlignCentre, cell)
}

// Decimal is a column of numbers that may differ in their decimals.
func Decimal[T any](head, unit string, cell func(T) string) Col[T] {
	return column(head, unit, AlignDecimal, cell)
}

// Rich is a column whose cells have looks, marks or links.
func Rich[T any](head, unit string, align Align, cell func(T) Text) Col[T] {
	return Col[T]{Column: Column{head, unit, align}, Cell: cell}
}

func column[T any](head, unit string, align Align, cell func(T) string) Col[T] {
	c := Rich(head, unit, align, func(v T) Text { return Plain(cell(v)) })
	c.plain = cell
	return c
}

// Tabulate makes the table of items, a row each. Every function of each is
// called with an item and its row, and may give the row its emphasis, note or
// anchor.
func Tabulate[T any](cols []Col[T], items []T, each ...func(T, *Row)) Table {
	t := newTable(cols, len(items))
	for _, it := range items {
		t.Rows = append(t.Rows, row(cols, it, each))
	}
	return t
}

// TabulateBy makes the table of items with a group row wherever the group of
// an item differs from that of the item before it.
func TabulateBy[T any](group func(T) string, cols []Col[T], items []T, each ...func(T, *Row)) Table {
	t := newTable(cols, len(items))
	last := ""
	for i, it := range items {
		if g := group(it); i == 0 || g != last {
			t.Rows = append(t.Rows, Row{Group: true, Cells: []Text{Plain(g)}})
			last = g
		}
		t.Rows = append(t.Rows, row(cols, it, each))
	}
	return t
}

func newTable[T any](cols []Col[T], rows int) Table {
	t := Table{Rows: make([]Row, 0, rows)}
	for _, c := range cols {
		t.Columns = append(t.Columns, c.Column)
	}
	return t
}

func row[T any](cols []Col[T], it T, each []func(T, *Row)) Row {
	r := Row{Cells: make([]Text, len(cols))}
	runs := make([]Run, len(cols)) // of the whole row at once
	for i := range cols {
		if cols[i].plain == nil {
			r.Cells[i] = cols[i].Cell(it)
			continue
		}
		runs[i].S = cols[i].plain(it)
		r.Cells[i] = runs[i : i+1 : i+1]
	}
	for _, f := range each {
		f(it, &r)
	}
	return r
}

// Records is the table as rows of strings with the heads first, each with its
// unit in brackets, for a spreadsheet. A group row has one string.
func (t Table) Records() [][]string {
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = c.Head
		if c.Unit != "" {
			head[i] += " (" + c.Unit + ")"
		}
	}
	out := [][]string{head}
	for _, r := range t.Rows {
		rec := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			rec[i] = c.String()
		}
		out = append(out, rec)
	}
	return out
}
