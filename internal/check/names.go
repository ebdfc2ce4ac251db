package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A roll numbers names from 1. Two spellings of one name have one number, and
// a spelling is folded once, as a log may have a million rows.
type roll struct {
	fold   func(string) string
	by     map[string]int32 // by spelling, and folded
	serial []int32          // of the names that are a number, as those of most logs are, by that; 0 where not
	names  int32
}

// newRoll is a roll on which names are one that fold makes equal.
func newRoll(fold func(string) string) *roll { return &roll{fold: fold, by: map[string]int32{}} }

// of is the number of a name; 0 is that of none.
func (r *roll) of(name string) int32 {
	if name == "" {
		return 0
	}
	if n := r.known(name); n != 0 {
		return n
	}
	if _, is := counts(name); is { // it folds to itself
		return r.add(name)
	}
	if n, seen := r.by[name]; seen {
		return n
	}
	plain := r.fold(name)
	n := r.known(plain)
	if n == 0 && plain != "" {
		n = r.add(plain)
	}
	if plain != name {
		r.by[name] = n
	}
	return n
}

// known is the number of a name that is spelled as it folds; 0 where it is not
// on the roll.
func (r *roll) known(plain string) int32 {
	if k, is := counts(plain); is && k < len(r.serial) && r.serial[k] != 0 {
		return r.serial[k]
	}
	return r.by[plain]
}

// add puts a name on the roll and numbers it. Names that are numbers go into a
// list of their own as long as they fill an eighth of it.
func (r *roll) add(plain string) int32 {
	r.names++
	k, is := counts(plain)
	if !is || k >= 8*(int(r.names)+64) {
		r.by[plain] = r.names
		return r.names
	}
	if k >= len(r.serial) {
		r.serial = append(r.serial, make([]int32, max(k+1-len(r.serial), len(r.serial)))...)
	}
	r.serial[k] = r.names
	return r.names
}

// counts is a name that is a number as one counts: of up to nine digits, and
// without a 0 before it.
func counts(name string) (int, bool) {
	if len(name) == 0 || len(name) > 9 || name[0] == '0' {
		return 0, false
	}
	k := 0
	for i := range len(name) {
		d := name[i] - '0'
		if d > 9 {
			return 0, false
		}
		k = 10*k + int(d)
	}
	return k, true
}

// A register is the roll of the names in a column of the readings, those of
// tests on glass too.
type register struct {
	roll *roll
	of   *record.Answers[int32] // by test
	said bool                   // there are any
}

// registered keeps the register of a column, once for all checks.
func registered(fold func(string) string, column record.Column[string]) func(*assess.Review) *register {
	return assess.Shared(func(v *assess.Review) *register {
		r := &register{roll: newRoll(fold)}
		r.of = ask(v, column, func(name record.Words) int32 {
			r.said = r.said || name.Val != ""
			return r.roll.of(name.Val)
		})
		return r
	})
}

// at is the number of the name of a test; 0 where it has none.
func (r *register) at(test int) int32 { return r.of.At(test) }

// days numbers the names of tests and their days together, as numbersOf does.
func (r *register) days(v *assess.Review, tests []int) (of numbers, sizes []int32) {
	if _, same := r.of.All(); same {
		return daysOf(v, tests)
	}
	type nameDay struct {
		name int32
		day  unit.Date
	}
	return numbersOf(len(tests), func(k int) nameDay { return nameDay{r.at(tests[k]), v.Lines[tests[k]].Test.Date().Val} })
}

// find is the number of a name that another table has; 0 for no name, and −1
// for one that no test bears.
func (r *register) find(name string) int32 {
	plain := r.roll.fold(name)
	if n := r.roll.known(plain); n > 0 || plain == "" {
		return n
	}
	return -1
}

// The registers of the columns by which several checks go. Of the number of an
// instrument or a bottle only its letters and digits count.
var (
	numbersBorne = registered(record.Folded, record.Columns.Number)
	areasNamed   = registered(record.Folded, record.Columns.Area)
	people       = registered(record.Folded, record.Columns.Inspector)
	patchesNamed = registered(record.Folded, record.Columns.Patch)
	metersUsed   = registered(plate, record.Columns.Meter)
	bottlesUsed  = registered(plate, record.Columns.Water)

	locationsNamed = registered(record.Folded, record.Columns.Location)
	spotTypesNamed = registered(record.Folded, record.Columns.SpotType)
)

// different is how many different names some tests have.
func (r *register) different(tests []int) int {
	seen, n := make([]bool, r.roll.names+1), 0
	for _, i := range tests {
		if k := r.at(i); !seen[k] {
			seen[k] = true
			n++
		}
	}
	return n
}
