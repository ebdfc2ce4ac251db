package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"saltline/internal/diag"
)

// Bounds on recomputing. A log of some hundred tests has some thousand
// formulas; beyond this the stored results are used as they are, and a note
// says so.
const (
	maxFormulas   = 5_000     // in a workbook
	maxPrecedents = 200_000   // cells that all its formulas together take values from
	maxFormula    = 8_192     // bytes of one, as the format itself allows characters
	maxCompared   = 5_000_000 // merged ranges that are looked at for them
)

// A formulaCell is a cell that holds a formula.
type formulaCell struct {
	sheet int // index into File.Sheets
	pos   diag.Pos
	style int
}

// A cellKey is a place in the workbook.
type cellKey struct{ sheet, row, col int }

// A recomputer finds out which formulas can be recomputed, and in which order.
// A formula is recomputed if it uses only what is known here (see references)
// and if the same holds for every formula that it takes a value from.
type recomputer struct {
	*workbook
	sheets map[string]int // by name in lower case
	index  map[cellKey]int
	state  []formulaState // of workbook.formulas
	order  []int          // those to recompute, each after what it depends on
	spelt  map[int]string // those that the library must be given in other words
	budget int            // what is left of maxPrecedents
	looks  int            // what is left of maxCompared
}

type formulaState int

const (
	unseen formulaState = iota
	inProgress
	sound
	unsound
)

// recompute computes every formula that it can. It marks results that are
// stale and fills in those that are missing.
func (b *workbook) recompute() {
	if len(b.formulas) == 0 {
		return
	}
	r := recomputer{
		workbook: b,
		sheets:   map[string]int{},
		index:    map[cellKey]int{},
		state:    make([]formulaState, len(b.formulas)),
		spelt:    map[int]string{},
		budget:   maxPrecedents,
		looks:    maxCompared,
	}
	switch {
	case len(b.formulas) > maxFormulas:
		r.leave(len(b.formulas), b.formulas[0].pos, fmt.Sprintf("as there are more than %d", maxFormulas))
		return
	case b.barred != "":
		r.leave(len(b.formulas), b.formulas[0].pos, b.barred)
		return
	}
	for i, s := range b.file.Sheets {
		r.sheets[strings.ToLower(s.Name)] = i
	}
	for i, f := range b.formulas {
		r.index[cellKey{f.sheet, f.pos.Row, f.pos.Col}] = i
	}
	for i := range b.formulas {
		r.visit(i)
	}
	left, first := 0, diag.Pos{}
	for i, f := range b.formulas {
		if r.state[i] != sound {
			if left == 0 {
				first = f.pos
			}
			left++
		}
	}
	for i, formula := range r.spelt { // all before the first is computed
		pos := b.formulas[i].pos
		if err := b.pkg.SetCellFormula(pos.Sheet(), pos.Cell(), formula); err != nil {
			r.leave(len(b.formulas), b.formulas[0].pos, "as the workbook library could not take one of them")
			return
		}
	}
	for _, i := range r.order {
		r.apply(b.formulas[i])
	}
	if left > 0 {
		r.leave(left, first, "as they, or what they depend on, use more than plain arithmetic")
	}
}

// leave notes the formulas that are not recomputed.
func (r *recomputer) leave(n int, first diag.Pos, why string) {
	r.note(first, "formulas-not-recomputed",
		fmt.Sprintf("found %d formulas that were not recomputed, %s; the first is here", n, why),
		"open the workbook, let it compute and save it, so that the stored results hold")
}

// cellOf is the cell at a place; nil beyond the end of its row or sheet.
func (r *recomputer) cellOf(sheet, row, col int) *Cell {
	rows := r.file.Sheets[sheet].Rows
	if row > len(rows) || col > len(rows[row-1].Cells) {
		return nil
	}
	return &rows[row-1].Cells[col-1]
}

// numberAsText reports whether a text reads as a number, with a decimal point
// or a decimal comma. Programs do not agree on where they count one.
func numberAsText(c Cell) bool {
	if c.Kind != Text {
		return false
	}
	_, err := strconv.ParseFloat(strings.ReplaceAll(c.Text, ",", "."), 64)
	return err == nil
}

// visit decides on formula i, depth first. A formula that depends on itself is
// not recomputed.
func (r *recomputer) visit(i int) formulaState {
	if r.state[i] != unseen {
		return r.state[i]
	}
	r.state[i] = inProgress
	r.state[i] = r.decide(i)
	if r.state[i] == sound {
		r.order = append(r.order, i)
	}
	return r.state[i]
}

func (r *recomputer) decide(i int) formulaState {
	f := r.formulas[i]
	c := r.cellOf(f.sheet, f.pos.Row, f.pos.Col)
	if c == nil || len(c.Formula()) > maxFormula {
		return unsound
	}
	refs, ok := references(c.Formula())
	if !ok {
		return unsound
	}
	spelt, ok := spellBlankTests(c.Formula())
	if !ok {
		return unsound
	}
	if spelt != c.Formula() {
		r.spelt[i] = spelt
	}
	for _, ref := range refs {
		sheet := f.sheet
		if ref.sheet != "" {
			if sheet, ok = r.sheets[strings.ToLower(ref.sheet)]; !ok {
				return unsound
			}
		}
		if ref.cells() > r.budget {
			return unsound
		}
		r.budget -= ref.cells()
		if r.looks -= len(r.merges[sheet]); r.looks < 0 || r.touchesMerge(sheet, ref.area) {
			return unsound
		}
		for row := ref.row1; row <= ref.row2; row++ {
			for col := ref.col1; col <= ref.col2; col++ {
				if j, ok := r.index[cellKey{sheet, row, col}]; ok {
					if r.visit(j) != sound {
						return unsound
					}
				} else if c := r.cellOf(sheet, row, col); c != nil && numberAsText(*c) {
					return unsound
				}
			}
		}
	}
	return sound
}

// touchesMerge reports whether the area has a cell that a merged range
// covers. The library would give it the value of the range, while in the
// workbook it is empty.
func (r *recomputer) touchesMerge(sheet int, a area) bool {
	for _, m := range r.merges[sheet] {
		if m.cells() == 1 || a.col2 < m.col1 || m.col2 < a.col1 || a.row2 < m.row1 || m.row2 < a.row1 {
			continue
		}
		holder := a.cells() == 1 && a.col1 == m.col1 && a.row1 == m.row1
		if !holder {
			return true
		}
	}
	return false
}

// apply computes one formula and compares the result with the stored one.
func (r *recomputer) apply(f formulaCell) {
	c := r.cellOf(f.sheet, f.pos.Row, f.pos.Col)
	result, err := r.pkg.CalcCellValue(f.pos.Sheet(), f.pos.Cell(), excelize.Options{RawCellValue: true})
	failed := strings.HasPrefix(result, "#")
	if err != nil && !failed {
		return
	}
	if !c.NoCache {
		// The library's own failures look like errors of the workbook, so an
		// error does not make a stored result stale.
		if !failed && !sameResult(*c, result) {
			c.Stale, c.from().Fresh = true, result
		}
		return
	}
	switch _, err := strconv.ParseFloat(result, 64); {
	case result == "#DIV/0!" || result == "#NUM!":
		c.Kind, c.Raw, c.Text = Error, result, result
	case failed: // not to be told from a failure of the library; left without a result
	case result == "":
		c.Kind = Empty
	case err == nil:
		r.number(c, result, f.style)
	case result == "TRUE" || result == "FALSE":
		c.Kind, c.Raw, c.Text = Bool, result, result
	default:
		c.Kind, c.Raw, c.Text = Text, result, clean(result)
	}
}

// sameResult compares a stored result with a computed one. Numbers may differ
// by what two ways of adding up may differ in.
func sameResult(c Cell, result string) bool {
	if c.Kind != Number && c.Kind != Date {
		return c.Raw == result
	}
	stored, err1 := strconv.ParseFloat(c.Raw, 64)
	fresh, err2 := strconv.ParseFloat(result, 64)
	if err1 != nil || err2 != nil {
		return false
	}
	return math.Abs(stored-fresh) <= 1e-9*max(math.Abs(stored), math.Abs(fresh), 1e-3)
}
