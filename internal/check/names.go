package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
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
	if n, seen := r.by[name]; seen {
		return n
	}
	plain := r.fold(name)
	n := r.known(plain)
	if n == 0 && plain != "" {
		r.names++
		n = r.names
		r.add(plain, n)
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

// add puts a name on the roll. Numbers go into a list of their own as long as
// they fill an eighth of it.
func (r *roll) add(plain string, n int32) {
	k, is := counts(plain)
	if !is || k >= 8*(int(r.names)+64) {
		r.by[plain] = n
		return
	}
	if k >= len(r.serial) {
		r.serial = append(r.serial, make([]int32, max(k+1-len(r.serial), len(r.serial)))...)
	}
	r.serial[k] = n
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
	roll    *roll
	of      []int32 // by test; nil where no test has a name
	bearers []int32 // by number, how many tests bear it
}

// registerOf keeps the register of a column.
func registerOf(v *assess.Review, fold func(string) string, column func(*record.Test) record.Words) *register {
	r := &register{
		roll:    newRoll(fold),
		bearers: make([]int32, 1),
	}
	for i := range v.Lines {
		name := column(v.Lines[i].Test)
		if name.Val == "" {
			continue
		}
		if r.of == nil {
			r.of = make([]int32, len(v.Lines))
		}
		n := r.roll.of(name.Val)
		if int(n) == len(r.bearers) {
			r.bearers = append(r.bearers, 0)
		}
		r.of[i] = n
		r.bearers[n]++
	}
	return r
}

// at is the number of the name of a test; 0 where it has none.
func (r *register) at(test int) int32 {
	if r.of == nil {
		return 0
	}
	return r.of[test]
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
	numbersBorne = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, (*record.Test).Number)
	})
	areasNamed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, (*record.Test).Area)
	})
	patchesNamed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, (*record.Test).Patch)
	})
	metersUsed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, plate, (*record.Test).Meter)
	})
	bottlesUsed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, plate, (*record.Test).Water)
	})
)

// different is how many different names some tests have.
func (r *register) different(tests []int) int {
	seen, n := make([]bool, len(r.bearers)), 0
	for _, i := range tests {
		if k := r.at(i); !seen[k] {
			seen[k] = true
			n++
		}
	}
	return n
}
