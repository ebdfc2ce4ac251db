package table

import (
	"fmt"
	"strings"

	"saltline/internal/diag"
)

// An area is a rectangle of cells, both ends included, from 1.
type area struct{ col1, row1, col2, row2 int }

// cells is how many cells the area has.
func (a area) cells() int { return (a.col2 - a.col1 + 1) * (a.row2 - a.row1 + 1) }

// parseCell reads "C14", with "$" allowed before either part.
func parseCell(s string) (col, row int, ok bool) {
	s = strings.TrimPrefix(s, "$")
	i := 0
	for ; i < len(s) && i < 4 && isLetter(s[i]); i++ {
		col = col*26 + int(s[i]&^0x20-'A') + 1
	}
	letters := i
	s = s[i:]
	s = strings.TrimPrefix(s, "$")
	for i = 0; i < len(s) && i < 8 && isDigit(s[i]); i++ {
		row = row*10 + int(s[i]-'0')
	}
	ok = letters > 0 && i > 0 && i == len(s) && col <= lastColumn && row >= 1 && row <= lastRow
	return col, row, ok
}

// parseArea reads "A1:C3", or "A1" as an area of one cell.
func parseArea(s string) (area, bool) {
	from, to, two := strings.Cut(s, ":")
	c1, r1, ok := parseCell(from)
	if !ok {
		return area{}, false
	}
	if !two {
		return area{c1, r1, c1, r1}, true
	}
	c2, r2, ok := parseCell(to)
	return area{min(c1, c2), min(r1, r2), max(c1, c2), max(r1, r2)}, ok
}

func isLetter(c byte) bool { return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }

// fillMerged gives every cell of a merged range what its first cell holds, as
// the reader of the sheet sees it there, as far as the sheet is in use.
func (b *workbook) fillMerged(s *Sheet, merges []area) error {
	wide := 0
	for _, r := range s.Rows {
		wide = max(wide, r.Len())
	}
	for _, a := range merges {
		a.row2, a.col2 = min(a.row2, len(s.Rows)), min(a.col2, wide)
		if a.row1 > a.row2 || a.col1 > a.col2 {
			continue
		}
		holder := s.Rows[a.row1-1].Cell(a.col1)
		if !holder.holds() {
			continue
		}
		b.cells += a.cells()
		if err := b.room(s.Name, a.row2, a.col2); err != nil {
			return err
		}
		for row := a.row1; row <= a.row2; row++ {
			b.fillRow(s, &s.Rows[row-1], a, holder)
		}
	}
	return nil
}

// fillRow fills the part of one row that belongs to the merged range a.
func (b *workbook) fillRow(s *Sheet, row *Row, a area, holder Cell) {
	row.widen(a.col2, diag.In(b.file.Name, s.Name), b.bank)
	for col := a.col1; col <= a.col2; col++ {
		c := row.Cell(col)
		if c.Pos == holder.Pos {
			continue
		}
		if c.holds() {
			b.note(c.Pos, "covered-by-merge",
				fmt.Sprintf("found %q under the merged cell %s, which covers it", brief(c.Text), holder.Pos.Cell()),
				"unmerge the cells and see which value counts")
		}
		fill := holder
		fill.Pos = c.Pos
		row.set(col, fill.From(Origin{ISO: holder.ISO(), Fresh: holder.Fresh(), FillOf: holder.Pos}))
	}
}
