package table

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"math"
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
	merges []area
	shared map[string]sharedFormula
	moved  int    // bytes of shared formulas written out
	hidden []area // hidden columns; only their columns count

	row    Row // the one being read
	col    int // the column of its last cell, with content or not
	wide   int // the most cells of a row so far
	cell   storedCell
	rich   richText
	rows   map[int]bool // numbers read so far
	sorted bool
}

// maxMoved bounds the shared formulas when each is written out in its cell.
const maxMoved = 32 << 20

// A storedCell is a cell as its element says it.
type storedCell struct {
	col     int
	style   int
	kind    string // the t attribute
	value   string // <v>
	cached  bool   // whether there is a <v> or an <is>
	formula string
	has     bool   // whether there is a formula
	share   string // the index of its shared formula
	inline  bool
}

// read goes through the sheet once. Every row element of a well-formed sheet
// comes out as a row; anything else is refused.
func (s *sheetReader) read(part io.Reader) error {
	s.shared, s.rows, s.sorted = map[string]sharedFormula{}, map[int]bool{}, true
	w := newXMLWalker(part)
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
			if r, ok := err.(*Refusal); ok {
				return r
			}
			return s.refuseWorkbook(diag.In("", s.sheet.Name).At(s.row.Number, 0), err)
		}
	}
	return s.finish()
}

func (s *sheetReader) start(w *xmlWalker, e *xml.StartElement) error {
	switch name, parent := e.Name.Local, w.parent(2); {
	case name == "row" && parent == "sheetData":
		return s.startRow(e)
	case name == "c" && parent == "row":
		return s.startCell(e)
	case name == "f" && parent == "c":
		s.cell.has = true
		switch attribute(e, "t") {
		case "shared":
			s.cell.share = attribute(e, "si")
		case "array", "dataTable":
			s.barred = "as the workbook holds array formulas"
		}
	case name == "is" && parent == "c":
		s.rich = richText{}
		s.cell.inline, s.cell.cached = true, true
	case name == "v" && parent == "c":
		s.cell.cached = true
	case name == "col" && parent == "cols":
		if isTrue(attribute(e, "hidden")) {
			from, _ := strconv.Atoi(attribute(e, "min"))
			to, _ := strconv.Atoi(attribute(e, "max"))
			if len(s.hidden) == lastColumn {
				return fmt.Errorf("more hidden columns than a sheet has")
			}
			s.hidden = append(s.hidden, area{col1: from, col2: to})
		}
	case name == "mergeCell" && parent == "mergeCells":
		if a, ok := parseArea(attribute(e, "ref")); ok {
			if len(s.merges) == maxMerged {
				return fmt.Errorf("more than %d merged ranges", maxMerged)
			}
			s.merges = append(s.merges, a)
		}
	case s.cell.inline:
		s.rich.start(w, name, attribute(e, "val"))
	}
	return nil
}

func (s *sheetReader) end(w *xmlWalker, name string) error {
	switch parent := w.parent(1); {
	case name == "row" && parent == "sheetData":
		return s.endRow()
	case name == "c" && parent == "row":
		return s.endCell()
	case name == "f" && parent == "c":
		s.cell.formula = w.text.String()
	case name == "v" && parent == "c":
		s.cell.value = w.text.String()
		if s.cell.kind != "str" {
			s.cell.value = strings.TrimSpace(s.cell.value)
		}
	case s.cell.inline:
		s.rich.end(w, name)
	}
	return nil
}

func (s *sheetReader) startRow(e *xml.StartElement) error {
	number := s.row.Number + 1 // rows may leave out where they are
	if r := attribute(e, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n < 1 || n > lastRow {
			return fmt.Errorf("a row numbered %q", brief(r))
		}
		number = n
	} else {
		s.barred = "as rows are stored without their number"
	}
	if s.rows[number] {
		return fmt.Errorf("row %d stands there twice", number)
	}
	if number < s.row.Number {
		s.sorted = false
		s.barred = "as rows are stored out of order"
	}
	s.rows[number], s.col = true, 0
	height, err := strconv.ParseFloat(attribute(e, "ht"), 64)
	s.wide = max(s.wide, len(s.row.cells)) // the rows of a table are alike
	s.row = Row{Number: number, Hidden: isTrue(attribute(e, "hidden")) || err == nil && height == 0}
	return nil
}

func (s *sheetReader) startCell(e *xml.StartElement) error {
	col := s.col + 1 // cells may leave out where they are
	if ref := attribute(e, "r"); ref != "" {
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
	style, _ := strconv.Atoi(attribute(e, "s"))
	s.cell = storedCell{col: col, style: style, kind: attribute(e, "t")}
	return nil
}

// endCell turns the stored cell into a Cell of the row.
func (s *sheetReader) endCell() error {
	stored := s.cell
	s.cell = storedCell{}
	if !stored.has && (!stored.cached || stored.value == "" && !stored.inline) {
		return nil // only a format
	}
	pos := s.at.At(s.row.Number, stored.col)
	s.cells += stored.col - len(s.row.cells)
	if err := s.room(s.sheet.Name, s.row.Number, stored.col); err != nil {
		return err
	}
	cell, err := s.convert(stored, pos)
	if err != nil {
		return err
	}
	if stored.has {
		formula, err := s.formula(stored, pos)
		if err != nil {
			return err
		}
		if formula != "" {
			cell.from().Formula = formula
		}
	}
	if cell.Formula() != "" {
		cell.NoCache = !stored.cached || stored.value == "" && stored.kind != "str" && !stored.inline
		if cell.NoCache {
			cell.Kind = Error
		}
		if len(s.formulas) <= maxFormulas {
			s.formulas = append(s.formulas, formulaCell{sheet: len(s.file.Sheets), pos: pos, style: stored.style})
		} else {
			s.more++
		}
	}
	if s.row.cells == nil {
		s.row.cells = make([]Cell, 0, max(min(s.wide, 64), stored.col))
	}
	for len(s.row.cells) < stored.col-1 {
		s.row.cells = append(s.row.cells, Cell{Pos: pos.At(pos.Row(), len(s.row.cells)+1)})
	}
	s.row.cells = append(s.row.cells, cell)
	return nil
}

// convert reads the value of a stored cell by its type.
func (s *sheetReader) convert(stored storedCell, pos diag.Pos) (Cell, error) {
	shown := s.look.style(stored.style)
	if tooLong(stored.value) || tooLong(stored.formula) {
		return Cell{}, fmt.Errorf("cell %s: %w", pos.Cell(), errLong)
	}
	if stored.inline {
		s.letters += s.rich.text.Len()
	}
	if s.letters += len(stored.value) + len(stored.formula); s.letters > 2*maxLetters {
		return Cell{}, fmt.Errorf("texts of more than %d bytes", 2*maxLetters)
	}
	c := Cell{Pos: pos, Struck: shown.struck, Faint: shown.faint}
	text := func(t, shown string, k strike) {
		c.Kind, c.Raw, c.Text = Text, t, shown
		if c.Text == "" {
			c.Kind = Empty
			s.hollow = s.hollow || t == "" && !stored.has
		}
		switch k {
		case allStruck:
			c.Struck = true
		case someStruck:
			s.note(pos, "partly-struck", fmt.Sprintf("found %q with a part struck through, read whole", brief(c.Text)),
				"look at the cell and write what counts")
		}
	}
	switch stored.kind {
	case "s":
		i, err := strconv.Atoi(stored.value)
		if err != nil || i < 0 || i >= len(s.strings) {
			return c, fmt.Errorf("cell %s refers to text %q, which is not in the table of %d texts", pos.Cell(), brief(stored.value), len(s.strings))
		}
		text(s.strings[i].text, s.strings[i].shown, s.strings[i].struck)
	case "inlineStr":
		rich, err := s.rich.done()
		if err != nil {
			return c, fmt.Errorf("cell %s: %w", pos.Cell(), err)
		}
		text(rich.text, rich.shown, rich.struck)
	case "str":
		plain := unescape(stored.value)
		text(plain, clean(plain), noStrike)
	case "b":
		c.Kind, c.Text = Bool, "FALSE"
		if isTrue(stored.value) {
			c.Text = "TRUE"
		}
		c.Raw = c.Text
	case "e":
		c.Kind, c.Text, c.Raw = Error, stored.value, stored.value
	case "d": // ISO 8601 text instead of a serial number
		c.Kind, c.Text, c.Raw, c.from().ISO = Date, stored.value, stored.value, isoText(stored.value)
	case "", "n":
		s.number(&c, stored.value, stored.style)
	default:
		return c, fmt.Errorf("cell %s is of an unknown type %q", pos.Cell(), brief(stored.kind))
	}
	return c, nil
}

// number reads a stored number under its format.
func (b *workbook) number(c *Cell, raw string, style int) {
	if raw == "" {
		return
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		c.Kind, c.Raw, c.Text = Text, raw, clean(raw)
		return
	}
	shown := b.look.style(style)
	c.Kind, c.Raw, c.Text = Number, raw, b.look.display(style, raw, v)
	if shown.date != 0 {
		c.Kind, c.from().ISO = Date, isoSerial(v, shown.date, b.date1904)
	}
	if c.Text == "" {
		c.Faint = true
	}
}

// formula is the formula of a stored cell; one that is shared is moved from
// where it was written to here.
func (s *sheetReader) formula(stored storedCell, pos diag.Pos) (string, error) {
	if stored.share == "" {
		return stored.formula, nil
	}
	if stored.formula != "" {
		s.shared[stored.share] = sharedFormula{text: stored.formula, col: pos.Col(), row: pos.Row()}
		return stored.formula, nil
	}
	master, ok := s.shared[stored.share]
	s.moved += len(master.text)
	if s.moved > maxMoved {
		return "", fmt.Errorf("shared formulas of more than %d bytes", maxMoved)
	}
	if !ok {
		return "", fmt.Errorf("cell %s shares a formula that is nowhere", pos.Cell())
	}
	return master.at(pos.Col(), pos.Row()), nil
}

func (s *sheetReader) endRow() error {
	s.row.cells = trim(s.row.cells)
	if len(s.row.cells) > 0 || s.row.Hidden {
		s.sheet.Rows = append(s.sheet.Rows, s.row)
	}
	return nil
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
	s.cells += found[len(found)-1].Number - len(found)
	if err := s.room(s.sheet.Name, found[len(found)-1].Number, 0); err != nil {
		return err
	}
	s.sheet.Rows = make([]Row, found[len(found)-1].Number)
	for i := range s.sheet.Rows {
		s.sheet.Rows[i].Number = i + 1
	}
	wide := 0
	for _, r := range found {
		s.sheet.Rows[r.Number-1] = r
		wide = max(wide, len(r.cells))
	}
	for col := 1; col <= wide; col++ {
		if slices.ContainsFunc(s.hidden, func(a area) bool { return a.col1 <= col && col <= a.col2 }) {
			s.sheet.HiddenCols = append(s.sheet.HiddenCols, col)
		}
	}
	return nil
}
