package heading

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// Find finds the tables in a sheet. The hint names the table that the sheet is
// known to hold, "" where that is not known. What cannot be settled comes back
// as a question.
//
// Every row of the sheet that is not blank is in one of the blocks, as a record
// or as skipped. A sheet that holds no table gives one block with no Table.
// Tables that stand side by side share their rows: each block has the cells of
// its own columns, and a row may be a record of both.
func Find(s *table.Sheet, hint string, m Mapping) ([]Block, []diag.Diagnostic) {
	if hint == "job" {
		return findJob(s, m)
	}
	f := &finder{sheet: s, hint: hint, mapping: m}
	heads := f.heads()
	if len(heads) == 0 {
		return noTable(s)
	}
	l := &layout{sheet: s, heads: heads}
	return l.blocks()
}

// A layout turns the heads of a sheet into blocks.
type layout struct {
	sheet  *table.Sheet
	heads  []*head
	titles []Skip // of the block to come
	facts  []Fact // of the title rows above the first head, which hold for the whole sheet
	out    []Block
	ds     []diag.Diagnostic
}

func (l *layout) blocks() ([]Block, []diag.Diagnostic) {
	rows := l.sheet.Rows
	from := 0
	var open *head // the head whose block a repeated one continues
	for i, h := range l.heads {
		end := len(rows)
		if i+1 < len(l.heads) {
			end = l.heads[i+1].first
		}
		titles := rows[from:h.first]
		if i > 0 {
			titles = l.takeTitles(rows[from:h.first], open)
		}
		body := rows[h.last+1 : end]
		if open != nil && sameHead(open, h) && !saysAnything(titles) {
			l.repeat(h, titles)
			h.entries = open.entries
			l.fill(len(l.out)-1, h, body, i)
		} else {
			l.open(h, titles, body, i)
			open = h
		}
		from = l.end(body, h.last+1, i)
	}
	return l.out, l.ds
}
