package table

import (
	"math"
	"slices"
	"unicode/utf8"
)

// many is how many arguments a function takes that sets no bound.
const many = 255

// functions are those that are computed here, each with the least and the most
// arguments: those that a salt log needs and that mean the same in every
// program. None depends on the clock, on chance or on the place of a cell.
var functions = map[string]struct{ least, most int }{
	"ABS": {1, 1}, "AND": {1, many}, "ASIN": {1, 1}, "AVERAGE": {1, many},
	"COUNT": {1, many}, "COUNTA": {1, many}, "COUNTIF": {2, 2}, "EXP": {1, 1},
	"FALSE": {0, 0}, "HYPERLINK": {2, 2}, "IF": {2, 3}, "IFERROR": {2, 2},
	"INDEX": {2, 3}, "INT": {1, 1}, "ISBLANK": {1, 1}, "ISERROR": {1, 1},
	"ISNUMBER": {1, 1}, "ISTEXT": {1, 1}, "LEN": {1, 1}, "LN": {1, 1},
	"LOG": {1, 2}, "LOG10": {1, 1}, "MATCH": {3, 3}, "MAX": {1, many},
	"MEDIAN": {1, many}, "MIN": {1, many}, "MOD": {2, 2}, "NOT": {1, 1},
	"OR": {1, many}, "PI": {0, 0}, "POWER": {2, 2}, "PRODUCT": {1, many},
	"ROUND": {2, 2}, "ROUNDDOWN": {2, 2}, "ROUNDUP": {2, 2}, "SIN": {1, 1},
	"SQRT": {1, 1}, "STDEV": {1, many}, "STDEV.S": {1, many}, "SUM": {1, many},
	"SUMIF": {2, 3}, "SUMPRODUCT": {1, many}, "TRUE": {0, 0}, "TRUNC": {1, 2},
	"VLOOKUP": {4, 4},
}

// A call is a function with its arguments, each computed only when asked for.
type call struct {
	*recomputer
	sheet int
	args  []*expression
}

// compute is the result of the function of that name.
func (c call) compute(name string) (value, bool) {
	switch name {
	case "TRUE", "FALSE":
		return ofTruth(name == "TRUE"), true
	case "PI":
		return ofNumber(math.Pi), true
	case "IF":
		return c.choose()
	case "AND", "OR":
		return c.truths(name == "OR")
	case "NOT":
		return c.truth(0, func(t bool) (value, bool) { return ofTruth(!t), true })
	case "IFERROR":
		v, ok := c.arg(0)
		if ok && v.kind == Error {
			return c.arg(1)
		}
		return v, ok
	case "ISBLANK", "ISERROR", "ISNUMBER", "ISTEXT":
		return c.is(name)
	case "LEN":
		v, ok := c.arg(0)
		if !ok || v.kind == Error {
			return v, ok
		}
		s, ok := spelled(v)
		for _, r := range s {
			ok = ok && r < 0x10000 // others count as one or two
		}
		return ofNumber(float64(utf8.RuneCountInString(s))), ok
	case "HYPERLINK":
		v, ok := c.arg(1)
		return v, ok && v.kind == Text
	case "COUNTIF", "SUMIF":
		return c.countOrSumIf(name == "SUMIF")
	case "INDEX":
		return c.index()
	case "MATCH":
		return c.match()
	case "VLOOKUP":
		return c.lookUp()
	case "COUNT", "COUNTA":
		return c.count(name == "COUNTA")
	case "SUMPRODUCT":
		return c.sumProduct()
	case "AVERAGE", "MAX", "MEDIAN", "MIN", "PRODUCT", "STDEV", "STDEV.S", "SUM":
		return c.numbers(func(all []float64) (value, bool) { return summarise(name, all) })
	}
	return c.reals(func(x []float64) (value, bool) { return ofReals(name, x) })
}

// arg is the value of the argument at i, from 0.
func (c call) arg(i int) (value, bool) { return c.evaluate(c.args[i], c.sheet) }

// reals passes on the arguments as numbers. An error among them is the result.
func (c call) reals(do func([]float64) (value, bool)) (value, bool) {
	var all []float64
	for i := range c.args {
		v, ok := c.arg(i)
		if !ok || v.kind == Error {
			return v, ok
		}
		x, ok := v.number()
		if !ok {
			return nothing, false
		}
		all = append(all, x)
	}
	return do(all)
}

// ofReals are the functions of one number or two.
func ofReals(name string, x []float64) (value, bool) {
	defined := func(ok bool, f func(float64) float64) (value, bool) {
		if !ok {
			return ofError(noNumber), true
		}
		return known(f(x[0]))
	}
	second := func(otherwise float64) float64 {
		if len(x) > 1 {
			return x[1]
		}
		return otherwise
	}
	switch name {
	case "ABS":
		return known(math.Abs(x[0]))
	case "ASIN":
		return defined(math.Abs(x[0]) <= 1, math.Asin)
	case "EXP":
		v, ok := known(math.Exp(x[0]))
		return v, ok && v.num != 0 // a result too small to be stored is 0 in some programs
	case "LN":
		return defined(x[0] > 0, math.Log)
	case "LOG10":
		return defined(x[0] > 0, math.Log10)
	case "LOG":
		base := second(10)
		if base <= 0 || base == 1 {
			return nothing, false
		}
		return defined(x[0] > 0, func(v float64) float64 { return math.Log(v) / math.Log(base) })
	case "POWER":
		return power(x[0], x[1])
	case "SIN":
		v, ok := known(math.Sin(x[0]))
		return v, ok && math.Abs(x[0]) < 1e5 // beyond, programs turn round in other ways or not at all
	case "SQRT":
		return defined(x[0] >= 0, math.Sqrt)
	case "INT":
		return cut(x[0], 0, math.Floor)
	case "MOD":
		return remainder(x[0], x[1])
	case "ROUND":
		return round(x[0], x[1])
	case "ROUNDDOWN", "TRUNC":
		return cut(x[0], second(0), math.Trunc)
	case "ROUNDUP":
		return cut(x[0], x[1], func(v float64) float64 { return math.Copysign(math.Ceil(math.Abs(v)), v) })
	}
	return nothing, false
}

// choose is IF, which computes only what it chooses.
func (c call) choose() (value, bool) {
	return c.truth(0, func(t bool) (value, bool) {
		switch {
		case t:
			return c.arg(1)
		case len(c.args) > 2:
			return c.arg(2)
		}
		return ofTruth(false), true
	})
}

// truth passes on whether the argument at i holds. A number holds unless it is
// 0; an error is the result.
func (c call) truth(i int, do func(bool) (value, bool)) (value, bool) {
	v, ok := c.arg(i)
	switch {
	case !ok || v.kind == Error:
		return v, ok
	case v.kind == Text || v.kind == Empty:
		return nothing, false
	}
	return do(v.num != 0)
}

// truths is OR if any is to hold, else AND.
func (c call) truths(any bool) (value, bool) {
	result := !any
	for i := range c.args {
		v, ok := c.truth(i, func(t bool) (value, bool) { return ofTruth(t), true })
		if !ok || v.kind == Error {
			return v, ok
		}
		if (v.num != 0) == any {
			result = any
		}
	}
	return ofTruth(result), true
}

// is asks of what kind an argument is. Of a truth programs do not agree on
// whether it is a number.
func (c call) is(name string) (value, bool) {
	v, ok := c.arg(0)
	switch {
	case !ok:
		return nothing, false
	case name == "ISERROR":
		return ofTruth(v.kind == Error), true
	case name == "ISTEXT":
		return ofTruth(v.kind == Text), true
	case name == "ISNUMBER":
		return ofTruth(v.counts()), v.kind != Bool
	}
	return ofTruth(v.kind == Empty), c.args[0].kind == aReference && !c.hollow
}

// numbers passes on the numbers among the arguments. In a reference texts and
// empty cells are passed over; programs do not agree on truths.
func (c call) numbers(do func([]float64) (value, bool)) (value, bool) {
	var all []float64
	for i, a := range c.args {
		if a.kind != aReference {
			v, ok := c.arg(i)
			if !ok || v.kind == Error {
				return v, ok
			}
			if !v.counts() {
				return nothing, false
			}
			all = append(all, v.num)
			continue
		}
		var failed value
		ok := c.eachCell(a.ref, func(v value) bool {
			switch {
			case v.counts():
				all = append(all, v.num)
			case v.kind == Error && failed.kind != Error:
				failed = v
			}
			return v.kind != Bool
		})
		if !ok || failed.kind == Error {
			return failed, ok
		}
	}
	return do(all)
}

// eachCell calls do for the cells of a reference, row by row, until it says
// false or a value is not known.
func (c call) eachCell(ref reference, do func(value) bool) bool {
	sheet := c.sheetOf(ref, c.sheet)
	for row := ref.row1; row <= ref.row2; row++ {
		for col := ref.col1; col <= ref.col2; col++ {
			if v, ok := c.valueAt(sheet, row, col); !ok || !do(v) {
				return false
			}
		}
	}
	return true
}

// summarise are the functions of any number of numbers.
func summarise(name string, all []float64) (value, bool) {
	n := float64(len(all))
	switch name {
	case "SUM":
		return total(all)
	case "AVERAGE":
		if n == 0 {
			return ofError(byZero), true
		}
		sum, ok := total(all)
		return ofNumber(sum.num / n), ok
	case "PRODUCT":
		product := 1.0
		for _, x := range all {
			product *= x
		}
		if n == 0 {
			product = 0
		}
		return known(product)
	case "STDEV", "STDEV.S":
		return deviation(all)
	}
	if n == 0 { // 0 or an error
		return nothing, false
	}
	slices.Sort(all)
	switch name {
	case "MIN":
		return ofNumber(all[0]), true
	case "MAX":
		return ofNumber(all[len(all)-1]), true
	}
	return known((all[(len(all)-1)/2] + all[len(all)/2]) / 2) // the median
}

// total is a sum. It is not known where next to nothing is left of numbers
// that are not whole: programs add up in different ways.
func total(all []float64) (value, bool) {
	sum, size, whole := 0.0, 0.0, true
	for _, x := range all {
		sum += x
		size += math.Abs(x)
		whole = whole && x == math.Trunc(x) && math.Abs(x) < 1e12
	}
	if !whole && math.Abs(sum) <= cancelled*size {
		return nothing, false
	}
	return known(sum)
}

// deviation is the sample standard deviation, where it is not lost in the last
// digits of the numbers.
func deviation(all []float64) (value, bool) {
	n := float64(len(all))
	if n < 2 {
		return ofError(byZero), true
	}
	mean, squares, size := 0.0, 0.0, 0.0
	for _, x := range all {
		mean += x / n
		size = max(size, math.Abs(x))
	}
	for _, x := range all {
		squares += (x - mean) * (x - mean)
	}
	s := math.Sqrt(squares / (n - 1))
	return ofNumber(s), s > 1e-6*size
}

// count is COUNTA if every cell that is not empty counts, else COUNT.
func (c call) count(all bool) (value, bool) {
	n := 0
	one := func(v value) bool {
		if v.counts() || all && v.kind != Empty {
			n++
		}
		return v.kind != Error && (all || v.kind != Bool)
	}
	for i, a := range c.args {
		if a.kind == aReference {
			if !c.eachCell(a.ref, one) {
				return nothing, false
			}
			continue
		}
		if v, ok := c.arg(i); !ok || !v.counts() || !one(v) {
			return nothing, false
		}
	}
	return ofNumber(float64(n)), !all || !c.hollow
}

// sumProduct is known for areas of one shape that hold numbers throughout, or
// nothing.
func (c call) sumProduct() (value, bool) {
	var products []float64
	for k, a := range c.args {
		if a.kind != aReference || !c.args[0].ref.sameShape(a.ref.area) {
			return nothing, false
		}
		if k == 0 {
			products = slices.Repeat([]float64{1}, a.ref.cells())
		}
		i := 0
		if !c.eachCell(a.ref, func(v value) bool {
			products[i] *= v.num
			i++
			return v.counts() || v.kind == Empty
		}) {
			return nothing, false
		}
	}
	return total(products)
}

// sameShape reports whether two areas have as many rows and columns.
func (a area) sameShape(b area) bool {
	return a.row2-a.row1 == b.row2-b.row1 && a.col2-a.col1 == b.col2-b.col1
}
