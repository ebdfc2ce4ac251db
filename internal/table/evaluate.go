package table

import (
	"math"
	"strconv"
	"strings"
)

// A formula is computed here only as far as every spreadsheet program gives
// the same: a result that is called stale must be stale wherever the workbook
// is opened. Where programs differ, by their kind of value or in the last
// digits of binary numbers, the value is not known and neither is what depends
// on it.

// A value is what a cell or a part of a formula holds.
type value struct {
	kind Kind // of a cell; a Date counts as its serial number
	num  float64
	text string // of a Text; of an Error its name
}

var nothing value // what an empty cell holds

func ofText(s string) value { return value{kind: Text, text: s} }

func ofNumber(v float64) value { return value{kind: Number, num: v} }

func ofTruth(t bool) value {
	if t {
		return value{kind: Bool, num: 1}
	}
	return value{kind: Bool}
}

func ofError(name string) value { return value{kind: Error, text: name} }

const (
	byZero   = "#DIV/0!"
	noNumber = "#NUM!" // a function of a number that it is not defined for
)

// counts reports whether the value is a number or a date.
func (v value) counts() bool { return v.kind == Number || v.kind == Date }

// String is the value as a workbook stores it.
func (v value) String() string {
	switch v.kind {
	case Number, Date:
		return strconv.FormatFloat(v.num, 'f', -1, 64)
	case Bool:
		return strings.ToUpper(strconv.FormatBool(v.num != 0))
	}
	return v.text
}

// number is the number that v counts as in arithmetic. An empty cell counts as
// 0 and TRUE as 1; a text is a number in some programs and an error in others.
func (v value) number() (float64, bool) { return v.num, v.kind != Text && v.kind != Error }

// doubtful is the part of a number within which two ways of adding up, or two
// programs, may differ: well above the last binary digit, well below anything
// that is written.
const doubtful = 1e-10

// cancelled is what must be left of a number when another is taken off, for
// what is left of it not to be the noise of its last digits.
const cancelled = 1e-6

// tooClose reports whether two numbers differ, but by so little that programs
// do not agree on whether they are equal.
func tooClose(a, b float64) bool {
	return a != b && math.Abs(a-b) <= doubtful*max(math.Abs(a), math.Abs(b))
}

// known is a number as a result, if it is one in every program. Adding 0 takes
// the sign from a negative zero.
func known(v float64) (value, bool) {
	return ofNumber(v + 0), !math.IsNaN(v) && math.Abs(v) < 1e300 && (v == 0 || math.Abs(v) > 1e-300)
}

// evaluate computes an expression of a formula on a sheet. It reports false
// where the value is not known here.
func (r *recomputer) evaluate(e *expression, sheet int) (value, bool) {
	switch e.kind {
	case aValue:
		return e.value, true
	case aReference:
		if e.ref.cells() != 1 {
			return nothing, false
		}
		return r.valueAt(r.sheetOf(e.ref, sheet), e.ref.row1, e.ref.col1)
	case aCall:
		return call{recomputer: r, sheet: sheet, args: e.args}.compute(e.name)
	}
	a, ok := r.evaluate(e.args[0], sheet)
	if !ok {
		return nothing, false
	}
	b := a
	if len(e.args) == 2 {
		if b, ok = r.evaluate(e.args[1], sheet); !ok {
			return nothing, false
		}
	}
	switch {
	case a.kind == Error:
		return a, true
	case b.kind == Error:
		return b, true
	case e.kind == aPrefix:
		return sign(e.name, a)
	}
	switch e.name {
	case "&":
		return join(a, b)
	case "=", "<>", "<", "<=", ">", ">=":
		return compare(e.name, a, b)
	}
	x, ok1 := a.number()
	y, ok2 := b.number()
	if !ok1 || !ok2 {
		return nothing, false
	}
	return arithmetic(e.name, x, y)
}

// sign is an operand behind a sign. A plus changes nothing, not even a text or
// a truth.
func sign(name string, v value) (value, bool) {
	if name == "+" {
		return v, v.counts()
	}
	x, ok := v.number()
	return ofNumber(0 - x), ok
}

func arithmetic(sign string, x, y float64) (value, bool) {
	switch sign {
	case "+":
		return difference(x, -y)
	case "-":
		return difference(x, y)
	case "*":
		return known(x * y)
	case "/":
		if y == 0 {
			return ofError(byZero), true
		}
		return known(x / y)
	case "^":
		return power(x, y)
	case "%":
		return known(x / 100)
	}
	return nothing, false
}

// difference is not known where next to nothing is left: some programs then
// give 0, others what the last digits happened to be.
func difference(x, y float64) (value, bool) {
	if x != y && math.Abs(x-y) <= cancelled*max(math.Abs(x), math.Abs(y)) {
		return nothing, false
	}
	return known(x - y)
}

// power is known for a base above 0 and for a whole exponent of one below, as
// long as it is not so small that some programs give 0.
func power(x, y float64) (value, bool) {
	if x == 0 && y <= 0 || x < 0 && (y != math.Trunc(y) || math.Abs(y) > 100) {
		return nothing, false
	}
	v, ok := known(math.Pow(x, y))
	return v, ok && (x == 0 || v.num != 0)
}

// join puts texts together. A number is spelled where it is short; beyond,
// and for dates and truths, programs spell differently.
func join(a, b value) (value, bool) {
	s, ok1 := spelled(a)
	t, ok2 := spelled(b)
	if len(s)+len(t) > longestText { // an error in every program; and texts could double from cell to cell
		return nothing, false
	}
	return ofText(s + t), ok1 && ok2
}

func spelled(v value) (string, bool) {
	const digits = 10
	switch v.kind {
	case Empty, Text:
		return v.text, true
	case Number:
		s := v.String()
		return s, v.num == 0 || math.Abs(v.num) >= 1e-4 && math.Abs(v.num) < 1e10 && len(strings.Trim(s, "-0.")) <= digits
	}
	return "", false
}

// compare holds two values of one kind against each other, an empty cell being
// 0 beside a number and "" beside a text. A text is greater than any number.
// Which of two texts is greater is a matter of languages, and what a truth is
// beside a number one of programs.
func compare(sign string, a, b value) (value, bool) {
	order, ordered := 0, true
	isText := func(v value) bool { return v.kind == Text || v.kind == Empty }
	switch {
	case (a.kind == Bool) != (b.kind == Bool):
		return nothing, false
	case a.kind == Text && b.counts():
		order = 1
	case a.counts() && b.kind == Text:
		order = -1
	case isText(a) && isText(b):
		order, ordered = 1, a.kind == Empty && b.kind == Empty
		if a.text == b.text {
			order = 0
		} else if alike(a.text, b.text) {
			return nothing, false
		}
	case tooClose(a.num, b.num):
		return nothing, false
	case a.num < b.num:
		order = -1
	case a.num > b.num:
		order = 1
	}
	switch {
	case sign == "=":
		return ofTruth(order == 0), true
	case sign == "<>":
		return ofTruth(order != 0), true
	case !ordered:
		return nothing, false
	case sign == "<":
		return ofTruth(order < 0), true
	case sign == "<=":
		return ofTruth(order <= 0), true
	case sign == ">":
		return ofTruth(order > 0), true
	}
	return ofTruth(order >= 0), true
}

// alike reports whether two texts might be taken as equal: those that differ in
// their capitals alone are in most programs, not in all. Long ones might be: to
// find out is too much work for what thousands of formulas may ask for.
func alike(a, b string) bool {
	const long = 2048 // bytes
	if len(a)+len(b) > long {
		return true
	}
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return strings.EqualFold(plain(a), plain(b))
}
