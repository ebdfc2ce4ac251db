package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
)

// bindRows adds one T to list for each record of a block. parts are the
// fields that every row type has: its place, and the cells of columns that
// are not ours. each, if not nil, sees every row when its cells are bound.
func bindRows[T any](b *binder, p *page, block heading.Block, columns tableOf[T], list *[]T,
	parts func(*T) (*diag.Pos, *[]Fact), each func(*T, table.Row)) {

	type bound struct {
		heading.Column
		column[T]
		ours bool
		told *told
		fill filler
		at   cell // the one being bound
	}
	cols := make([]bound, len(block.Columns))
	for i, h := range block.Columns {
		c, ours := columns.find(h.Name)
		cols[i] = bound{Column: h, column: c, ours: ours, told: p.column(columnKey{block.Table, h.Name}), fill: newFiller(block, h)}
	}
	titles := titlesOf(b, block, columns)
	from := len(*list)
	*list = slices.Grow(*list, len(block.Rows))[:from+len(block.Rows)]
	for i, row := range block.Rows {
		v := &(*list)[from+i]
		place, extra := parts(v)
		*place = p.at.At(row.Number, 0)
		for k := range cols {
			col := &cols[k]
			found := col.fill.cell(b, row, row.Cell(col.Pos.Col))
			switch {
			case found.Kind == table.Empty:
			case col.ours:
				col.at = b.cellOf(p, found, col.Unit, col.Pos, col.told)
				col.set(v, &col.at)
			default:
				*extra = append(*extra, Fact{col.Text, Words{Val: found.Text, State: Known, Text: found.Text, Unit: col.Unit, Pos: found.Pos}})
			}
		}
		for k := range titles {
			if c := titles[k].column; c.said(v).state == Absent {
				c.copy(v, titles[k].row(b, p))
			}
		}
		if each != nil {
			each(v, row)
		}
	}
}

// cellOf puts a found cell together with what its heading and its sheet say.
func (b *binder) cellOf(p *page, found table.Cell, unit string, head diag.Pos, t *told) cell {
	c := cell{Cell: found, value: found.Text, head: unit, headAt: head, sign: p.sign, told: t, page: p, b: b}
	if found.NoCache && found.Text != "" {
		c.changed("computed here, for the formula has no stored result", "="+found.Formula(), found.Text)
	}
	if found.Stale {
		c.changed("the stored result of a formula, which now gives another", found.Text, found.Fresh())
	}
	return c
}

// A title is a fact above or below the records of a block that stands for
// the cells of a column that are not there.
type title[T any] struct {
	column[T]
	fact  heading.Fact
	table string
	read  *T // holds the fact, once a row wants it
}

// titlesOf are the facts of a block that its rows have a column for, less
// those of the whole job that a stronger source has settled.
func titlesOf[T any](b *binder, block heading.Block, columns tableOf[T]) []title[T] {
	var all []title[T]
	for _, f := range block.Facts {
		if b.settled[f.Key] {
			continue
		}
		if c, ours := columns.find(f.Key); ours {
			all = append(all, title[T]{column: c, fact: f, table: block.Table})
		}
	}
	return all
}

// row is a row that holds nothing but the fact, read once.
func (t *title[T]) row(b *binder, p *page) *T {
	if t.read == nil {
		t.read = new(T)
		at := b.cellOf(p, p.factCell(t.fact), "", t.fact.Pos, p.column(columnKey{t.table, t.fact.Key}))
		t.set(t.read, &at)
		what := "taken from a title row"
		if t.fact.Pos.Row == 0 {
			what = "taken from the name of the sheet"
		}
		at.changedAll(what, t.fact.Text, t.fact.Key)
	}
	return t.read
}
