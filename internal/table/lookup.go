package table

import (
	"strconv"
	"strings"
)

// A criterion is what COUNTIF asks of a cell, or what VLOOKUP looks for.
type criterion struct {
	sign string
	value
}

// criterionOf reads a number, a plain word, or a number behind a sign, as
// ">20". Everything else is read in different ways.
func criterionOf(v value) (criterion, bool) {
	switch v.kind {
	case Number:
		return criterion{"=", v}, true
	case Text:
		for _, sign := range []string{"<=", ">=", "<>", "<", ">", "="} {
			if rest, ok := strings.CutPrefix(v.text, sign); ok {
				x, err := strconv.ParseFloat(rest, 64)
				return criterion{sign, ofNumber(x)}, err == nil && sign != "<>" && strings.Trim(rest, "0123456789.-") == ""
			}
		}
		return criterion{"=", v}, plainWord(v.text)
	}
	return criterion{}, false
}

// plainWord reports whether a text has only letters, single spaces and
// hyphens, and so neither patterns nor what could be a number or a date.
func plainWord(s string) bool {
	for _, r := range s {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ -", r) {
			return false
		}
	}
	return s != "" && s == strings.Join(strings.Fields(s), " ") && !strings.EqualFold(s, "TRUE") && !strings.EqualFold(s, "FALSE")
}

// meets reports whether a cell meets the criterion; known is false where that
// is a matter of programs.
func (c criterion) meets(v value) (meets, known bool) {
	switch {
	case v.kind == Bool || v.kind == Error:
		return false, false
	case v.kind == Empty || (v.kind == Text) != (c.kind == Text):
		return false, true
	case v.kind == Text:
		return v.text == c.text, v.text == c.text || !alike(v.text, c.text)
	}
	is, known := compare(c.sign, v, c.value)
	return is.num != 0, known
}

// countOrSumIf is SUMIF or COUNTIF.
func (c call) countOrSumIf(sum bool) (value, bool) {
	asked, ok := c.arg(1)
	if !ok {
		return nothing, false
	}
	want, ok := criterionOf(asked)
	if !ok || c.args[0].kind != aReference {
		return nothing, false
	}
	of := c.args[0].ref
	if len(c.args) > 2 {
		if c.args[2].kind != aReference || !of.sameShape(c.args[2].ref.area) {
			return nothing, false
		}
		of = c.args[2].ref
	}
	var met []bool
	n := 0
	if !c.eachCell(c.args[0].ref, func(v value) bool {
		meets, known := want.meets(v)
		if meets {
			n++
		}
		met = append(met, meets)
		return known
	}) {
		return nothing, false
	}
	if !sum {
		return ofNumber(float64(n)), true
	}
	var all []float64
	i := 0
	if !c.eachCell(of, func(v value) bool {
		if met[i] && v.counts() {
			all = append(all, v.num)
		}
		i++
		return v.kind != Bool && v.kind != Error
	}) {
		return nothing, false
	}
	return total(all)
}

// find is how many cells of a column or a row stand before the first that
// equals the argument at 0. Where none does, it is not known.
func (c call) find(in reference) (int, bool) {
	asked, ok := c.arg(0)
	if !ok || asked.kind == Text && !plainWord(asked.text) {
		return 0, false
	}
	want, ok := criterionOf(asked)
	if !ok || in.col1 != in.col2 && in.row1 != in.row2 {
		return 0, false
	}
	n, found := 0, false
	c.eachCell(in, func(v value) bool {
		meets, known := want.meets(v)
		if found = meets && known; !found {
			n++
		}
		return known && !meets
	})
	return n, found
}

// exact reports whether the argument at i asks for an equal value, not for the
// nearest.
func (c call) exact(i int) bool {
	v, ok := c.arg(i)
	return ok && (v.kind == Bool || v.kind == Number) && v.num == 0
}

// match is MATCH for an equal value.
func (c call) match() (value, bool) {
	if c.args[1].kind != aReference || !c.exact(2) {
		return nothing, false
	}
	n, ok := c.find(c.args[1].ref)
	return ofNumber(float64(n + 1)), ok
}

// lookUp is VLOOKUP for an equal value.
func (c call) lookUp() (value, bool) {
	if c.args[1].kind != aReference || !c.exact(3) {
		return nothing, false
	}
	all := c.args[1].ref
	keys := all
	keys.col2 = keys.col1
	n, ok := c.find(keys)
	col, okCol := c.whole(2)
	if !ok || !okCol || col > all.col2-all.col1+1 {
		return nothing, false
	}
	return c.taken(all, n+1, col)
}

// index is INDEX of one cell.
func (c call) index() (value, bool) {
	if c.args[0].kind != aReference {
		return nothing, false
	}
	all := c.args[0].ref
	row, ok := c.whole(1)
	col := 1
	switch {
	case len(c.args) > 2:
		var okCol bool
		col, okCol = c.whole(2)
		ok = ok && okCol
	case all.row1 == all.row2: // the only number counts along the row
		row, col = 1, row
	default:
		ok = ok && all.col1 == all.col2
	}
	if !ok || row > all.row2-all.row1+1 || col > all.col2-all.col1+1 {
		return nothing, false
	}
	return c.taken(all, row, col)
}

// taken is the value of one cell of an area, from 1. A truth that is looked up
// is a number in some programs.
func (c call) taken(from reference, row, col int) (value, bool) {
	v, ok := c.valueAt(c.sheetOf(from, c.sheet), from.row1+row-1, from.col1+col-1)
	return v, ok && v.kind != Bool
}

// whole is the argument at i as a number from 1.
func (c call) whole(i int) (int, bool) {
	v, ok := c.arg(i)
	n := int(v.num)
	return n, ok && v.kind == Number && float64(n) == v.num && n >= 1 && n <= lastRow
}
