package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
)

// A roll numbers names from 1. Two spellings of one name have one number, and
// a spelling is folded once, as a log may have a million rows.
type roll struct {
	fold  func(string) string
	by    map[string]int32 // by spelling, and folded
	names int32
}

// newRoll is a roll on which names are one that fold makes equal.
func newRoll(fold func(string) string) *roll { return &roll{fold: fold, by: map[string]int32{}} }

// of is the number of a name; 0 is that of none.
func (r *roll) of(name string) int32 {
	n, seen := r.by[name]
	if seen || name == "" {
		return n
	}
	plain := r.fold(name)
	if plain != name {
		n = r.by[plain]
	}
	if n == 0 && plain != "" {
		r.names++
		n = r.names
		r.by[plain] = n
	}
	if plain != name {
		r.by[name] = n
	}
	return n
}

// A register is the roll of the names in a column of the readings, those of
// tests on glass too.
type register struct {
	roll    *roll
	of      []int32 // by test; nil where no test has a name
	bearers []int32 // by number, how many tests bear it
}

// registerOf keeps the register of a column. names is how many it may have,
// 0 where that is few.
func registerOf(v *assess.Review, fold func(string) string, names int, column func(*record.Test) record.Words) *register {
	r := &register{
		roll:    &roll{fold: fold, by: make(map[string]int32, names)},
		bearers: make([]int32, 1, names+1),
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
	if n := r.roll.by[plain]; n > 0 || plain == "" {
		return n
	}
	return -1
}

// The registers of the columns by which several checks go. Of the number of an
// instrument or a bottle only its letters and digits count.
var (
	numbersBorne = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, len(v.Lines), func(t *record.Test) record.Words { return t.Number() })
	})
	areasNamed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, 0, func(t *record.Test) record.Words { return t.Area() })
	})
	patchesNamed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, record.Folded, 0, func(t *record.Test) record.Words { return t.Patch() })
	})
	metersUsed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, plate, 0, func(t *record.Test) record.Words { return t.Meter() })
	})
	bottlesUsed = assess.Shared(func(v *assess.Review) *register {
		return registerOf(v, plate, 0, func(t *record.Test) record.Words { return t.Water() })
	})
)
