package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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
// A formula is recomputed if it uses only what is known here (see parse
// and evaluate) and if the same holds for every formula that it takes a value
// from.
type recomputer struct {
	*workbook
	sheets map[string]int // by name in lower case
	index  map[cellKey]int
	state  []formulaState // of workbook.formulas
	result []value        // of those that are sound
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
		result:   make([]value, len(b.formulas)),
		budget:   maxPrecedents,
		looks:    maxCompared,
	}
	switch {
	case len(b.formulas) > maxFormulas:
		r.leave(len(b.formulas)+b.more, b.formulas[0].pos, fmt.Sprintf("as there are more than %d", maxFormulas))
		return
	case b.barred != "":
		r.leave(len(b.formulas), b.formulas[0].pos, b.barred)
		return
	}
	for i, s := range b.file.Sheets {
		r.sheets[strings.ToLower(s.Name)] = i
	}
	for i, f := range b.formulas {
		r.index[cellKey{f.sheet, f.pos.Row(), f.pos.Col()}] = i
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
	for i, f := range b.formulas {
		if r.state[i] == sound {
			r.apply(f, r.result[i])
		}
	}
	if left > 0 {
		r.leave(left, first, "as they, or what they depend on, use what programs do not compute alike, or what is not computed here")
	}
}

// leave notes the formulas that are not recomputed.
func (r *recomputer) leave(n int, first diag.Pos, why string) {
	r.note(first, "formulas-not-recomputed",
		fmt.Sprintf("found %d formulas that were not recomputed, %s; the first is here", n, why),
		"open the workbook, let it compute and save it, so that the stored results hold")
}

// cellOf is the cell at a place, if it lies within its row and its sheet.
func (r *recomputer) cellOf(sheet, row, col int) (Cell, bool) {
	rows := r.file.Sheets[sheet].Rows
	if row > len(rows) || col > rows[row-1].Len() {
		return Cell{}, false
	}
	return rows[row-1].Cell(col), true
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

// valueAt is the value of a cell, if it is known: that of a formula is what is
// computed here, whatever is stored.
func (r *recomputer) valueAt(sheet, row, col int) (value, bool) {
	c, ok := r.cellOf(sheet, row, col)
	if !ok {
		return nothing, true
	}
	if c.Formula() != "" {
		i, ok := r.index[cellKey{sheet, row, col}]
		if !ok || r.state[i] != sound {
			return nothing, false
		}
		return r.result[i], true
	}
	switch c.Kind {
	case Number, Date:
		v, err := strconv.ParseFloat(c.Raw, 64)
		return value{kind: c.Kind, num: v + 0}, err == nil // -0 is 0
	case Bool:
		return ofTruth(c.Raw == "TRUE"), true
	case Error:
		return nothing, false
	}
	if c.Raw != "" { // also where it is white space alone
		return ofText(c.Raw), !numberAsText(c)
	}
	return nothing, true
}

// sheetOf is the sheet that a reference leads to, from a formula on another.
func (r *recomputer) sheetOf(ref reference, from int) int {
	if ref.sheet == "" {
		return from
	}
	return r.sheets[strings.ToLower(ref.sheet)]
}

// visit decides on formula i and computes it, what it depends on first. A
// formula that depends on itself is not recomputed.
func (r *recomputer) visit(i int) formulaState {
	if r.state[i] == unseen {
		r.state[i] = inProgress
		r.state[i] = r.decide(i)
	}
	return r.state[i]
}

func (r *recomputer) decide(i int) formulaState {
	f := r.formulas[i]
	c, ok := r.cellOf(f.sheet, f.pos.Row(), f.pos.Col())
	if !ok || len(c.Formula()) > maxFormula {
		return unsound
	}
	e, ok := parse(c.Formula())
	if !ok || !r.prepare(e.references(), f.sheet) {
		return unsound
	}
	v, ok := r.evaluate(e, f.sheet)
	if !ok || v.kind == Empty { // programs show an empty cell as 0 or not at all
		return unsound
	}
	r.result[i] = v
	return sound
}

// prepare computes what the references of a formula lead to. It reports false
// where one leads to what is not known.
func (r *recomputer) prepare(refs []reference, from int) bool {
	for _, ref := range refs {
		if _, ok := r.sheets[strings.ToLower(ref.sheet)]; !ok && ref.sheet != "" {
			return false
		}
		sheet := r.sheetOf(ref, from)
		if ref.cells() > r.budget {
			return false
		}
		r.budget -= ref.cells()
		if r.looks -= len(r.merges[sheet]); r.looks < 0 || r.touchesMerge(sheet, ref.area) {
			return false
		}
		for row := ref.row1; row <= ref.row2; row++ {
			for col := ref.col1; col <= ref.col2; col++ {
				if j, ok := r.index[cellKey{sheet, row, col}]; ok && r.visit(j) != sound {
					return false
				}
			}
		}
	}
	return true
}

// touchesMerge reports whether the area has a cell that a merged range
// covers. It may hold a value that nobody sees, which some programs take and
// others drop.
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

// apply compares the result of a formula with the stored one, or stores it
// where there is none. An error leaves a stored result as it is: some programs
// store an error of another name, or a text.
func (r *recomputer) apply(f formulaCell, v value) {
	c, _ := r.cellOf(f.sheet, f.pos.Row(), f.pos.Col())
	result := v.String()
	switch {
	case !c.NoCache:
		if v.kind == Error || sameResult(c, v) {
			return
		}
		c.Stale = true
		origin := c.from()
		origin.Fresh = result
		c = c.From(origin)
	case v.counts():
		c = r.number(c, result, f.style)
	case result == "":
		c.Kind = Empty
	default:
		c.Kind, c.Raw, c.Text = v.kind, result, clean(result)
	}
	r.file.Sheets[f.sheet].Rows[f.pos.Row()-1].set(f.pos.Col(), c)
}

// sameResult compares a stored result with a computed one. Numbers may differ
// by what two ways of adding up may differ in.
func sameResult(c Cell, v value) bool {
	stored, err := strconv.ParseFloat(c.Raw, 64)
	if c.Kind != Number && c.Kind != Date || !v.counts() || err != nil {
		return c.Raw == v.String()
	}
	return math.Abs(stored-v.num) <= 1e-9*max(math.Abs(stored), math.Abs(v.num), 1e-3)
}
