package record

import (
	"slices"

	"saltline/internal/crew"
	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
)

// rowsAtOnce is how many rows are bound by one processor before it takes the
// next: enough to be worth handing out, and of a long log a sheaf.
func rowsAtOnce(rows int) int { return max(2048, min(rows/stretchesAtOnce, testsAtOnce)) }

// stretchesAtOnce is for how many stretches of rows what there is to say is held
// before it is said, when it is known how often the same was said before.
const stretchesAtOnce = 8

// bindRows makes a T of each record of a block. keep is for a stretch of them and
// the titles that stand for some of their columns. parts are the fields that every
// row type has: its place, and the cells of columns that are not ours. each, if not
// nil, sees every row when its cells are bound.
//
// A row rests on no other but where its cells are filled down, so stretches of
// rows are bound side by side. What there is to say of them is said in the
// order of the rows.
func bindRows[T any](b *binder, p *page, block heading.Block, columns tableOf[T], keep func(first, last int, titles []*title[T]) keeping[T],
	parts func(*T) (*diag.Pos, *[]Fact), each func(*T, table.Row, *margin)) {

	all := stretch[T]{b: b, p: p, rows: block.Rows, parts: parts, each: each}
	for _, h := range block.Columns {
		c, ours := columns.find(h.Name)
		all.cols = append(all.cols, bound[T]{Column: h, column: c, ours: ours, fill: newFiller(block, h),
			at: b.under(h.Pos, h.Unit, p, p.column(columnKey{block.Table, h.Name}), nil)})
	}
	all.titles = titlesOf(b, p, block, columns)
	size := rowsAtOnce(len(block.Rows))
	for done := 0; done < len(block.Rows); done += stretchesAtOnce * size {
		var margins [stretchesAtOnce]margin
		crew.Do(stretchesAtOnce, func(k int) {
			s := all
			s.cols, s.wanted, s.out = slices.Clone(all.cols), make([]bool, len(all.titles)), &margins[k]
			first := min(done+k*size, len(block.Rows))
			last := min(first+size, len(block.Rows))
			s.keep = keep(first, last, all.titles)
			s.bind(first, last)
		})
		for _, m := range margins {
			b.take(m)
		}
	}
}

// A stretch is some rows of a block on their way to become a T each.
type stretch[T any] struct {
	b      *binder
	p      *page
	rows   []table.Row // of the whole block
	cols   []bound[T]
	titles []*title[T]
	wanted []bool // which of the titles a row has wanted
	keep   keeping[T]
	parts  func(*T) (*diag.Pos, *[]Fact)
	each   func(*T, table.Row, *margin)
	out    *margin
	found  table.Cell // the one being bound
}

// A bound is one column of a block.
type bound[T any] struct {
	heading.Column
	column[T]
	ours bool
	fill filler
	file filing[T]
	at   cell // the one being bound
}

// bind binds the rows first … last−1 of the block.
func (s *stretch[T]) bind(first, last int) {
	for k := range s.cols {
		col := &s.cols[k]
		col.fill.catchUp(s.rows[:first], col.Pos.Col())
		col.at.out = s.out
		if col.ours {
			col.file = s.keep.filing(col.name)
		}
	}
	v := new(T)
	for i := first; i < last; i++ {
		row := &s.rows[i]
		place, extra := s.parts(v)
		*place = s.p.at.At(row.Number, 0)
		for k := range s.cols {
			s.cell(i-first, v, extra, row, &s.cols[k])
		}
		for k, t := range s.titles {
			if t.state(v) == Absent {
				t.copy(v, &t.read)
				s.want(k)
			}
		}
		if s.each != nil {
			s.each(v, *row, s.out)
		}
		s.keep.keep(i-first, v)
	}
}

// cell binds the cell of row n in one column.
func (s *stretch[T]) cell(n int, v *T, extra *[]Fact, row *table.Row, col *bound[T]) {
	at, text, plain := col.Pos.Col(), "", false
	if col.file != nil { // without one each cell is read anew
		text, plain = col.fill.plain(row, at)
	}
	switch {
	case plain && (text == "" || col.file.recallText(n, text, v)):
		return
	case plain:
		s.found = row.Cell(at)
	default:
		s.found = col.fill.cell(s.out, row, at)
	}
	found := &s.found
	switch {
	case found.Kind == table.Empty:
	case !plain && col.file != nil && col.file.recall(n, found, v):
	case col.ours:
		before := len(*s.out)
		col.at.fill(found)
		col.set(v, &col.at)
		if col.file != nil {
			col.file.file(n, found, v, len(*s.out) == before)
		}
	default:
		*extra = append(*extra, Fact{col.Text, Words{Val: found.Text, State: Known, Text: found.Text, Unit: col.Unit, Pos: found.Pos}})
	}
}

// want says what there is to say of a title, where a row wants it that is
// perhaps the first.
func (s *stretch[T]) want(k int) {
	if s.wanted[k] {
		return
	}
	s.wanted[k] = true
	t := s.titles[k]
	s.out.add(func(b *binder) {
		b.take(t.out)
		t.out = nil
	})
}

// A title is a fact above or below the records of a block that stands for
// the cells of a column that are not there.
type title[T any] struct {
	column[T]
	read T      // holds the fact and nothing else
	out  margin // what there is to say of it, until a row has wanted it
}

// titlesOf are the facts of a block that its rows have a column for, less
// those of the whole job that a stronger source has settled.
func titlesOf[T any](b *binder, p *page, block heading.Block, columns tableOf[T]) []*title[T] {
	var all []*title[T]
	for _, f := range block.Facts {
		c, ours := columns.find(f.Key)
		if !ours || b.settled[f.Key] {
			continue
		}
		t := &title[T]{column: c}
		at := b.under(f.Pos, "", p, p.column(columnKey{block.Table, f.Key}), &t.out)
		found := p.factCell(f)
		at.fill(&found)
		t.set(&t.read, &at)
		what := "taken from a title row"
		if f.Pos.Row() == 0 {
			what = "taken from the name of the sheet"
		}
		at.changedAll(what, func() (from, to string) { return f.Text, f.Key })
		all = append(all, t)
	}
	return all
}
