package table

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/diag"
)

// The bounds of the format itself, ISO/IEC 29500-1 and every program that
// writes it.
const (
	lastRow    = 1_048_576
	lastColumn = 16_384
)

// maxMerged is how many merged ranges a sheet may have.
const maxMerged = 20_000

// A sheetReader reads the XML of one sheet.
type sheetReader struct {
	*workbook
	sheet  Sheet
	at     diag.Pos // the sheet
	most   int      // rows that its XML can hold
	merges []area
	shared map[string]sharedFormula
	moved  int    // bytes of shared formulas written out
	hidden []area // hidden columns; only their columns count

	row    Row      // the one being read …
	refs   []uint32 // … and its cells
	in     *block   // where the last rows lie
	col    int      // the column of its last cell, with content or not
	cell   storedCell
	rich   richText
	seen   []uint64 // a bit for each row number read so far
	sorted bool
}

// read goes through the sheet once. Every row element of a well-formed sheet
// comes out as a row; anything else is refused.
func (s *sheetReader) read(w walker) error {
	s.shared, s.sorted = map[string]sharedFormula{}, true
	for {
		start, end, err := w.next()
		if err == io.EOF {
			break
		}
		if err == nil && start != nil {
			err = s.start(w, start)
		} else if err == nil {
			err = s.end(w, end)
		}
		if err != nil {
			if _, ok := err.(*Refusal); ok || err == errNotPlain {
				return err
			}
			return s.refuseWorkbook(diag.In("", s.sheet.Name).At(s.row.Number, 0), err)
		}
	}
	return s.finish()
}

func (s *sheetReader) start(w walker, e *element) error {
	switch name, parent := e.name, w.parent(2); {
	case name == "row" && parent == "sheetData":
		return s.startRow(e)
	case name == "c" && parent == "row":
		return s.startCell(e)
	case name == "f" && parent == "c":
		s.cell.has = true
		switch e.attribute("t") {
		case "shared":
			s.cell.share = strings.Clone(e.attribute("si"))
		case "array", "dataTable":
			s.barred = "as the workbook holds array formulas"
		}
	case name == "is" && parent == "c":
		s.rich = richText{}
		s.cell.inline, s.cell.cached = true, true
	case name == "v" && parent == "c":
		s.cell.cached = true
	case name == "col" && parent == "cols":
		if isTrue(e.attribute("hidden")) {
			from, _ := strconv.Atoi(e.attribute("min"))
			to, _ := strconv.Atoi(e.attribute("max"))
			if len(s.hidden) == lastColumn {
				return fmt.Errorf("more hidden columns than a sheet has")
			}
			s.hidden = append(s.hidden, area{col1: from, col2: to})
		}
	case name == "dimension" && len(s.sheet.Rows) == 0:
		if a, ok := parseArea(e.attribute("ref")); ok { // whatever it says, it is no more than room
			s.sheet.Rows = make([]Row, 0, min(a.row2, s.limits.Rows, s.most))
		}
	case name == "mergeCell" && parent == "mergeCells":
		if a, ok := parseArea(e.attribute("ref")); ok {
			if len(s.merges) == maxMerged {
				return fmt.Errorf("more than %d merged ranges", maxMerged)
			}
			s.merges = append(s.merges, a)
		}
	case s.cell.inline:
		s.rich.start(w, name, e.attribute("val"))
	}
	return nil
}

func (s *sheetReader) end(w walker, name string) error {
	switch parent := w.parent(1); {
	case name == "row" && parent == "sheetData":
		return s.endRow()
	case name == "c" && parent == "row":
		return s.endCell()
	case name == "f" && parent == "c":
		s.cell.formula = append(s.cell.formula[:0], w.content()...)
	case name == "v" && parent == "c":
		value := w.content()
		if s.cell.kind != "str" {
			value = bytes.TrimSpace(value)
		}
		s.cell.value = append(s.cell.value[:0], value...)
	case s.cell.inline:
		s.rich.end(w, name)
	}
	return nil
}

func (s *sheetReader) startRow(e *element) error {
	number := s.row.Number + 1 // rows may leave out where they are
	if r := e.attribute("r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n < 1 || n > lastRow {
			return fmt.Errorf("a row numbered %q", brief(r))
		}
		number = n
	} else {
		s.barred = "as rows are stored without their number"
	}
	word, bit := number/64, uint64(1)<<(number%64)
	if word >= len(s.seen) {
		s.seen = append(s.seen, make([]uint64, word+1-len(s.seen))...)
	}
	if s.seen[word]&bit != 0 {
		return fmt.Errorf("row %d stands there twice", number)
	}
	s.seen[word] |= bit
	if number < s.row.Number {
		s.sorted = false
		s.barred = "as rows are stored out of order"
	}
	flat := false
	if ht := e.attribute("ht"); ht != "" {
		height, err := strconv.ParseFloat(ht, 64)
		flat = err == nil && height == 0
	}
	s.col, s.refs = 0, s.refs[:0]
	s.row = Row{Number: number, Hidden: flat || isTrue(e.attribute("hidden"))}
	return nil
}

func (s *sheetReader) startCell(e *element) error {
	col := s.col + 1 // cells may leave out where they are
	if ref := e.attribute("r"); ref != "" {
		c, row, ok := parseCell(ref)
		if !ok || row != s.row.Number {
			return fmt.Errorf("a cell %q in row %d", brief(ref), s.row.Number)
		}
		if c < col {
			return fmt.Errorf("cell %s stands there twice or out of order", brief(ref))
		}
		col = c
	} else {
		s.barred = "as cells are stored without their place"
	}
	if col > lastColumn {
		return fmt.Errorf("a cell beyond column %d", lastColumn)
	}
	s.col = col
	style := 0
	if n := e.attribute("s"); n != "" {
		style, _ = strconv.Atoi(n)
	}
	s.cell = storedCell{col: col, style: style, kind: kindOf(e.attribute("t")), value: s.cell.value[:0], formula: s.cell.formula[:0]}
	return nil
}

// refsAtOnce is for how many cells room is made at once, in a sheet that has so
// many.
const refsAtOnce = 1 << 16

// endRow keeps the row, unless nothing of it is to be told.
func (s *sheetReader) endRow() error {
	n := len(s.refs)
	for n > 0 && s.void(s.refs[n-1]) {
		n--
	}
	if n == 0 {
		if s.row.Hidden {
			s.sheet.Rows = append(s.sheet.Rows, s.row)
		}
		return nil
	}
	switch {
	case s.in == nil:
		s.in = &block{sheet: s.at, bank: s.bank}
	case len(s.in.refs)+n > refsAtOnce:
		s.in = &block{sheet: s.at, bank: s.bank, refs: make([]uint32, 0, max(n, refsAtOnce))}
	}
	s.row.in, s.row.at, s.row.n = s.in, uint32(len(s.in.refs)), uint16(n)
	s.in.refs = append(s.in.refs, s.refs[:n]...)
	s.sheet.Rows = append(s.sheet.Rows, s.row)
	return nil
}

// void reports whether a cell at the end of a row is left off. A formula that
// shows nothing stays.
func (s *sheetReader) void(ref uint32) bool {
	if ref != emptyRef && s.bank.kind(ref) != Empty {
		return false
	}
	c := s.bank.cell(ref, s.at)
	return c.Formula() == ""
}

// finish puts the rows in order, fills the gaps between them and spells out
// the hidden columns. Rows that are not there count as a cell each: they take
// room.
func (s *sheetReader) finish() error {
	if !s.sorted {
		slices.SortFunc(s.sheet.Rows, func(a, b Row) int { return cmp.Compare(a.Number, b.Number) })
	}
	found := trimRows(s.sheet.Rows)
	if len(found) == 0 {
		s.sheet.Rows = nil
		return nil
	}
	last := found[len(found)-1].Number
	s.cells += last - len(found)
	if err := s.room(s.sheet.Name, last, 0); err != nil {
		return err
	}
	s.sheet.Rows = found
	if last > len(found) {
		s.sheet.Rows = make([]Row, last)
		for i := range s.sheet.Rows {
			s.sheet.Rows[i].Number = i + 1
		}
		for _, r := range found {
			s.sheet.Rows[r.Number-1] = r
		}
	}
	wide := 0
	for _, r := range found {
		wide = max(wide, r.Len())
	}
	for col := 1; col <= wide; col++ {
		if slices.ContainsFunc(s.hidden, func(a area) bool { return a.col1 <= col && col <= a.col2 }) {
			s.sheet.HiddenCols = append(s.sheet.HiddenCols, col)
		}
	}
	return nil
}
