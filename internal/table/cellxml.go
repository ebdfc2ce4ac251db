package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"saltline/internal/diag"
)

// A storedCell is a cell as its element says it.
type storedCell struct {
	col     int
	style   int
	kind    string // the t attribute
	value   []byte // <v>
	cached  bool   // whether there is a <v> or an <is>
	formula []byte
	has     bool   // whether there is a formula
	share   string // the index of its shared formula
	inline  bool
}

// kindOf is the type of a cell, which outlives the element that states it.
func kindOf(t string) string {
	for _, kind := range [...]string{"", "n", "s", "str", "b", "e", "inlineStr", "d"} {
		if t == kind {
			return kind
		}
	}
	return strings.Clone(t)
}

// endCell keeps the stored cell and makes it one of the row.
func (s *sheetReader) endCell() error {
	stored := &s.cell
	if !stored.has && (!stored.cached || len(stored.value) == 0 && !stored.inline) {
		*stored = storedCell{value: stored.value, formula: stored.formula}
		return nil // only a format
	}
	pos := s.at.At(s.row.Number, stored.col)
	s.cells += stored.col - len(s.refs)
	if err := s.room(s.sheet.Name, s.row.Number, stored.col); err != nil {
		return err
	}
	ref, err := s.keep(stored, pos)
	if err != nil {
		return err
	}
	for len(s.refs) < stored.col-1 {
		s.refs = append(s.refs, emptyRef)
	}
	s.refs = append(s.refs, ref)
	*stored = storedCell{value: stored.value, formula: stored.formula}
	return nil
}

// keep puts a stored cell into the bank, unless its like is there.
func (s *sheetReader) keep(stored *storedCell, pos diag.Pos) (uint32, error) {
	if tooLong(asString(stored.value)) || tooLong(asString(stored.formula)) {
		return 0, fmt.Errorf("cell %s: %w", pos.Cell(), errLong)
	}
	if stored.inline {
		s.letters += s.rich.text.Len()
	}
	if s.letters += len(stored.value) + len(stored.formula); s.letters > 2*s.limits.Letters {
		return 0, fmt.Errorf("texts of more than %d bytes", 2*s.limits.Letters)
	}
	if !stored.has && !s.careful {
		if ref, ok := s.alike(stored); ok {
			return ref, nil
		}
	}
	cell, err := s.convert(stored, pos)
	if err != nil {
		return 0, err
	}
	formula := ""
	if stored.has {
		if formula, err = s.formula(stored, pos); err != nil {
			return 0, err
		}
	}
	if formula != "" {
		cell.NoCache = !stored.cached || len(stored.value) == 0 && stored.kind != "str" && !stored.inline
		if cell.NoCache {
			cell.Kind = Error
		}
		if len(s.formulas) <= maxFormulas {
			s.formulas = append(s.formulas, formulaCell{sheet: len(s.file.Sheets), pos: pos, style: stored.style})
		} else {
			s.more++
		}
		origin := cell.from()
		origin.Formula = formula
		cell = cell.From(origin)
	}
	ref := s.bank.put(cell)
	if !stored.has {
		s.remember(stored, ref)
	}
	return ref, nil
}

// convert reads the value of a stored cell by its type.
func (s *sheetReader) convert(stored *storedCell, pos diag.Pos) (Cell, error) {
	shown := s.look.style(stored.style)
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
	value := asString(stored.value)
	switch stored.kind {
	case "s":
		i, err := strconv.Atoi(value)
		if err != nil || i < 0 || i >= len(s.strings) {
			return c, fmt.Errorf("cell %s refers to text %q, which is not in the table of %d texts", pos.Cell(), brief(value), len(s.strings))
		}
		t := s.bank.cell(s.strings[i].ref, pos)
		text(t.Raw, t.Text, s.strings[i].struck)
	case "inlineStr":
		rich, err := s.rich.done()
		if err != nil {
			return c, fmt.Errorf("cell %s: %w", pos.Cell(), err)
		}
		text(rich.text, rich.shown, rich.struck)
	case "str":
		plain := unescape(value)
		text(plain, clean(plain), noStrike)
	case "b":
		c.Kind, c.Text = Bool, "FALSE"
		if isTrue(value) {
			c.Text = "TRUE"
		}
		c.Raw = c.Text
	case "e":
		c.Kind, c.Text, c.Raw = Error, value, value
	case "d": // ISO 8601 text instead of a serial number
		c.Kind, c.Text, c.Raw = Date, value, value
		c = c.From(Origin{ISO: isoText(value)})
	case "", "n":
		c = s.number(c, value, stored.style)
	default:
		return c, fmt.Errorf("cell %s is of an unknown type %q", pos.Cell(), brief(stored.kind))
	}
	return c, nil
}

// number reads a stored number under its format.
func (b *workbook) number(c Cell, raw string, style int) Cell {
	if raw == "" {
		return c
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		c.Kind, c.Raw, c.Text = Text, raw, clean(raw)
		return c
	}
	shown := b.look.style(style)
	c.Kind, c.Raw, c.Text = Number, raw, b.look.display(style, raw, v)
	if c.Text == "" {
		c.Faint = true
	}
	if shown.date != 0 {
		origin := c.from()
		c.Kind, origin.ISO = Date, isoSerial(v, shown.date, b.date1904)
		c = c.From(origin)
	}
	return c
}

// formula is the formula of a stored cell; one that is shared is moved from
// where it was written to here.
func (s *sheetReader) formula(stored *storedCell, pos diag.Pos) (string, error) {
	text := asString(stored.formula)
	if stored.share == "" {
		return text, nil
	}
	if text != "" {
		s.shared[stored.share] = sharedFormula{text: strings.Clone(text), col: pos.Col(), row: pos.Row()}
		return text, nil
	}
	master, ok := s.shared[stored.share]
	s.moved += len(master.text)
	if s.moved > s.limits.Letters {
		return "", fmt.Errorf("shared formulas of more than %d bytes", s.limits.Letters)
	}
	if !ok {
		return "", fmt.Errorf("cell %s shares a formula that is nowhere", pos.Cell())
	}
	return master.at(pos.Col(), pos.Row()), nil
}
