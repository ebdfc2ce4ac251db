package record

import (
	"cmp"
	"strings"

	"saltline/internal/crew"
	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A page is one sheet of the input, with what its cells tell together.
type page struct {
	file   *table.File
	sheet  *table.Sheet
	at     diag.Pos // the sheet; a CSV file has only one and names none
	jobs   bool     // of the file that --job names: nothing but its job table is read
	again  bool     // accounted for elsewhere: in another reading of the same file
	blocks []heading.Block
	area   string          // of tests that name none, from the name of the sheet
	sign   unit.Convention // the decimal sign that the sheet proves, or that was told
	told   map[columnKey]*told
	open   []unit.Reading // numbers that read in two ways
	openAt []diag.Pos     // their cells
}

func newPage(f *table.File, s *table.Sheet) *page {
	p := &page{file: f, sheet: s, at: diag.In(f.Name, s.Name), told: map[columnKey]*told{}}
	for _, row := range s.Rows {
		if row.Len() > 0 {
			p.at = diag.In(f.Name, row.Cell(1).Pos.Sheet())
			break
		}
	}
	return p
}

// columnKey names one of our columns, or a key of the job table. Stacked
// blocks of a sheet share it.
type columnKey struct{ table, column string }

func (k columnKey) compare(l columnKey) int {
	return cmp.Or(strings.Compare(k.table, l.table), strings.Compare(k.column, l.column))
}

// told is what the cells of a column tell together.
type told struct {
	filled    int   // cells that hold something
	formulas  int   // of which by a formula
	typed     steps // among typed numbers
	computed  steps // among results of formulas
	bare      bool  // humidity: there are numbers without a sign of per cent
	fractions bool  // humidity: none of those is above 1
	dates     proof
	clocked   bool // dates: a time of day stands behind one
	calendar  calendar
	open      []openDate
	noted     map[string]bool // what was noted for the whole column
}

// steps is the finest step among the number cells of a column.
type steps struct {
	exp  int
	some bool
}

func (s *steps) add(exp int) {
	if !s.some || exp < s.exp {
		*s = steps{exp, true}
	}
}

// step is the finest step among the formulas or among the typed numbers.
func (t *told) step(formula bool) steps {
	if formula {
		return t.computed
	}
	return t.typed
}

// mostlyFormulas reports whether at least four of five cells hold a formula.
func (t *told) mostlyFormulas() bool { return t.formulas > 0 && t.formulas*5 >= t.filled*4 }

// column returns what is told of a column.
func (p *page) column(key columnKey) *told {
	t := p.told[key]
	if t == nil {
		t = &told{noted: map[string]bool{}, calendar: calendar{}}
		p.told[key] = t
	}
	return t
}

// gather lets the cells of the page tell what they tell together: those of one
// column one after the other, and the columns side by side.
func (p *page) gather(fallback unit.Convention) {
	at := map[columnKey]int{}
	var columns []gathering
	p.each(func(key columnKey, cells strip) {
		holds := contentOf(key)
		if holds == holdsWords { // which need no others to be understood
			return
		}
		n, known := at[key]
		if !known {
			n, at[key] = len(columns), len(columns)
			columns = append(columns, gathering{told: p.column(key), holds: holds})
		}
		columns[n].strips = append(columns[n].strips, cells)
	})
	crew.Do(len(columns), func(n int) { columns[n].run() })
	var proven [3]bool
	for _, g := range columns {
		for sign, is := range g.proven {
			proven[sign] = proven[sign] || is
		}
	}
	switch comma, point := proven[unit.CommaSign], proven[unit.PointSign]; {
	case comma && !point:
		p.sign = unit.CommaSign
	case point && !comma:
		p.sign = unit.PointSign
	default:
		p.sign = fallback
	}
}

// A gathering is one column of a page that tells what its cells do.
type gathering struct {
	told   *told
	holds  content
	strips []strip
	proven [3]bool // the decimal signs
	last   string  // the last plain text
}

func (g *gathering) run() {
	here := *g // beside the other columns each write would cost them
	for _, s := range here.strips {
		s.each(here.text, here.cell)
	}
	*g = here
}

func (g *gathering) cell(c *table.Cell) {
	g.told.see(c, g.holds)
	if g.holds.numeric() && c.Kind != table.Number {
		g.proven[unit.SignOf(c.Text)] = true
	}
}

// text is cell for one that has nothing but a text. One like that above tells
// nothing more.
func (g *gathering) text(text string) {
	g.told.filled++
	if text == g.last {
		return
	}
	g.last = text
	if g.holds == holdsDates {
		g.told.seeDate(text)
		return
	}
	if g.holds == holdsHumidity {
		g.told.seeWrittenHumidity(text)
	}
	if !g.proven[unit.PointSign] || mayProveComma(text) {
		g.proven[unit.SignOf(text)] = true
	}
}

// mayProveComma reports whether a text may prove that its decimal sign is a comma:
// that of a number with a point and no comma does not.
func mayProveComma(text string) bool {
	points := 0
	for i := range len(text) {
		switch text[i] {
		case ',':
			return true
		case '.':
			points++
		}
	}
	return points > 1
}

// A strip is the cells of one column of some rows, or one cell alone.
type strip struct {
	rows  []table.Row
	col   int
	alone *table.Cell
}

// each calls text for each cell that has nothing but a text, and cell for each other
// that holds something of its own.
func (s strip) each(text func(string), cell func(*table.Cell)) {
	if s.alone != nil {
		cell(s.alone)
	}
	var c table.Cell // one for all of them
	for i := range s.rows {
		if plain, ok := s.rows[i].Plain(s.col); ok {
			if plain != "" {
				text(plain)
			}
			continue
		}
		if c = s.rows[i].Cell(s.col); c.Kind != table.Empty && c.FillOf().IsZero() {
			cell(&c)
		}
	}
}

// each calls see for each of our columns and keys on the page, with the cells
// that it holds.
func (p *page) each(see func(key columnKey, cells strip)) {
	for _, block := range p.blocks {
		for _, f := range block.Facts {
			c := p.factCell(f)
			see(columnKey{block.Table, f.Key}, strip{alone: &c})
		}
		if block.Table == "job" {
			for _, e := range entries(block) {
				see(columnKey{"job", e.key}, strip{alone: &e.cell})
			}
			continue
		}
		for _, col := range block.Columns {
			if col.Name == "" {
				continue
			}
			see(columnKey{block.Table, col.Name}, strip{rows: block.Rows, col: col.Pos.Col()})
		}
	}
}

// factCell is the cell of a fact in a title row. The whole cell stands for
// its part only where the fact is all of its text, as a date may be.
func (p *page) factCell(f heading.Fact) table.Cell {
	if c := p.cellAt(f.Pos); c.Text == f.Text {
		return c
	}
	return table.Cell{Pos: f.Pos, Kind: table.Text, Text: f.Text, Raw: f.Text}
}

// cellAt is the cell of a place on the page.
func (p *page) cellAt(at diag.Pos) table.Cell {
	for _, row := range p.sheet.Rows {
		if row.Number == at.Row() {
			return row.Cell(at.Col())
		}
	}
	return table.Cell{}
}

// see takes one cell into account.
func (t *told) see(c *table.Cell, holds content) {
	t.filled++
	if c.Formula() != "" {
		t.formulas++
	}
	switch {
	case holds == holdsDates:
		t.seeDate(dateText(*c))
	case holds.numeric() && c.Kind == table.Number:
		d, percent, ok := shown(*c)
		if !ok {
			return
		}
		if c.Formula() != "" {
			t.computed.add(d.Exp)
		} else {
			t.typed.add(d.Exp)
		}
		t.seeHumidity(holds, percent, d)
	case holds == holdsHumidity:
		t.seeWrittenHumidity(c.Text)
	}
}

func (t *told) seeDate(text string) {
	d := t.calendar.see(text)
	t.dates.see(d.readings)
	t.clocked = t.clocked || d.hasClock
}

// seeWrittenHumidity takes a humidity into account that is written as a text.
func (t *told) seeWrittenHumidity(text string) {
	r := unit.ParseHumidity(text, "", unit.AnySign)
	t.seeHumidity(holdsHumidity, r.State != unit.Known || r.Unit != "", r.Value)
}

// seeHumidity keeps whether every humidity of the column is a fraction.
func (t *told) seeHumidity(holds content, percent bool, d unit.Decimal) {
	if holds != holdsHumidity || percent {
		return
	}
	t.fractions = (!t.bare || t.fractions) && d.Cmp(unit.Int(1)) <= 0
	t.bare = true
}
