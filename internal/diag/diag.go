// Package diag pins what is found to the cells it was found in.
package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unique"
)

// A Pos is a place in an input file. The zero Pos is no place at all: the
// value came from the command line or from nowhere. Every value of a record
// carries its place, so the names of a file and a sheet are kept once for all
// places in them, and a row and a column take no more room than they need.
type Pos struct {
	in       unique.Handle[names]
	row, col int32
}

// names are what the places of one sheet share.
type names struct{ file, sheet string }

// In is a file, or a sheet of it, as a place. The sheet is "" for a CSV file,
// which has only one.
func In(file, sheet string) Pos {
	if file == "" && sheet == "" {
		return Pos{}
	}
	return Pos{in: unique.Make(names{file, sheet})}
}

// At is a cell of the sheet that p lies in; with col 0 it is a row, with both
// 0 the sheet.
func (p Pos) At(row, col int) Pos { return Pos{p.in, int32(row), int32(col)} }

// Row is the row of the place, from 1; 0 where only the sheet or the file is
// meant.
func (p Pos) Row() int { return int(p.row) }

// Col is the column of the place, from 1; 0 where the whole row is meant.
func (p Pos) Col() int { return int(p.col) }

// File is the file that p lies in, as the user named it.
func (p Pos) File() string { return p.names().file }

// Sheet is the sheet that p lies in, empty for a CSV file.
func (p Pos) Sheet() string { return p.names().sheet }

func (p Pos) names() names {
	if p.in == (unique.Handle[names]{}) {
		return names{}
	}
	return p.in.Value()
}

// IsZero reports whether p names no place.
func (p Pos) IsZero() bool { return p == Pos{} }

// Cell names the cell alone, as the reader's program does: "C14" in a
// workbook, "14:3" in a CSV file, "row 14" where no column is meant.
func (p Pos) Cell() string {
	switch {
	case p.row == 0:
		return ""
	case p.col == 0:
		return fmt.Sprintf("row %d", p.row)
	case p.Sheet() == "":
		return fmt.Sprintf("%d:%d", p.row, p.col)
	}
	return fmt.Sprintf("%s%d", ColumnName(p.Col()), p.row)
}

// String spells p as "log.xlsx:Bay 7!C14" or "deck.csv:14:3".
func (p Pos) String() string {
	var b strings.Builder
	sheet := p.Sheet()
	b.WriteString(p.File())
	if sheet != "" {
		if b.Len() > 0 {
			b.WriteByte(':')
		}
		b.WriteString(sheet)
	}
	if c := p.Cell(); c != "" {
		switch {
		case sheet != "":
			b.WriteByte('!')
		case b.Len() > 0:
			b.WriteByte(':')
		}
		b.WriteString(c)
	}
	return b.String()
}

// Compare orders places by file, sheet, row and column.
func (p Pos) Compare(q Pos) int {
	if p.in != q.in {
		return cmp.Or(
			strings.Compare(p.File(), q.File()),
			strings.Compare(p.Sheet(), q.Sheet()),
		)
	}
	return cmp.Or(cmp.Compare(p.row, q.row), cmp.Compare(p.col, q.col))
}

// ColumnName spells column n, from 1, as spreadsheets do: A … Z, AA, AB …
// It returns "" for n below 1.
func ColumnName(n int) string {
	var b []byte
	for ; n > 0; n = (n - 1) / 26 {
		b = append(b, 'A'+byte((n-1)%26))
	}
	slices.Reverse(b)
	return string(b)
}

// A Level says what a Diagnostic keeps from happening.
type Level int

const (
	// Note: worth saying in the reading note; nothing needs to be done.
	Note Level = iota - 1
	// Problem: one value cannot be used; its row stays in the record.
	Problem
	// Question: the record can be read in two ways and the reader must be
	// told which; no document is written before it is answered.
	Question
	// Failure: the file or a table in it cannot be read at all.
	Failure
)

// A Diagnostic is one thing in the input that could not be taken as it
// stands. It reads "place: found X, but wanted Y [check]", then a hint.
type Diagnostic struct {
	Pos     Pos    // where to look first
	Level   Level  // what it keeps from happening
	Check   string // stable name in lower-case words with hyphens
	Msg     string // what was found and what was wanted; lower case, no full stop
	Hint    string // what to do about it, an imperative; "" if nothing is known
	Related []Pos  // other cells that it was computed from
}

// String is the message without its hint.
func (d Diagnostic) String() string {
	s := d.Msg
	if !d.Pos.IsZero() {
		s = d.Pos.String() + ": " + s
	}
	if d.Check != "" {
		s += " [" + d.Check + "]"
	}
	return s
}

// A List collects diagnostics in the order they are found.
type List struct{ all []Diagnostic }

// Add appends d.
func (l *List) Add(d Diagnostic) { l.all = append(l.all, d) }

// Len is the number of diagnostics.
func (l *List) Len() int { return len(l.all) }

// Sorted returns the diagnostics in the order of their places; those of one
// place stay in the order they were added.
func (l *List) Sorted() []Diagnostic {
	s := slices.Clone(l.all)
	slices.SortStableFunc(s, func(a, b Diagnostic) int { return a.Pos.Compare(b.Pos) })
	return s
}

// Worst returns the highest level among the diagnostics, and false when there
// are none.
func (l *List) Worst() (Level, bool) {
	worst := Note
	for _, d := range l.all {
		worst = max(worst, d.Level)
	}
	return worst, len(l.all) > 0
}
