package check

import (
	"cmp"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stock"
)

// supplyOf is the row of the patches table that a test drew on, as the stock
// is counted; nil where there is none.
func supplyOf(v *assess.Review, i int) *record.Patch {
	if len(v.Job.Patches) == 0 {
		return nil
	}
	return supplies(v)[i]
}

// supplies are the rows of the patches table by test.
var supplies = assess.Shared(func(v *assess.Review) []*record.Patch { return stock.Rows(v.Job) })

// kindOf is the kind of the patch of a test, by its own row, else by the
// patches table.
func kindOf(v *assess.Review, i int) record.PatchKind {
	if kind := v.Lines[i].Test.PatchKind(); kind.Known() {
		return kind.Val
	}
	if p := supplyOf(v, i); p != nil {
		return p.Kind.Val
	}
	return record.PatchNotStated
}

// ofStatedKind lists the tests on steel of which the record may say what kind of
// patch they had.
func ofStatedKind(v *assess.Review) []int {
	if len(v.Job.Patches) == 0 {
		return where(steel(v), patchKindKnown(v))
	}
	return steel(v)
}

// lifeOf is how often the patch of a test may be used; false where the record
// does not say. A single-use patch is used once.
func lifeOf(v *assess.Review, i int) (int, bool) {
	if most := v.Lines[i].Test.MaximumUses(); most.Known() {
		return most.Val, true
	}
	if p := supplyOf(v, i); p != nil && p.MaximumUses.Known() {
		return p.MaximumUses.Val, true
	}
	return 1, kindOf(v, i) == record.SingleUse
}

// singleUse lists the tests with a patch that serves once, those on glass
// too, in order of time as far as it is known.
func singleUse(v *assess.Review) []int {
	may := everyTest(v)
	if len(v.Job.Patches) == 0 {
		may = where(may, ask(v, record.Columns.MaximumUses, record.Given[int].Known), patchKindKnown(v))
	}
	return inTime(v, keep(may, func(i int) bool {
		n, ok := lifeOf(v, i)
		return ok && n == 1
	}))
}

// inTime puts tests in order of time. One without a time stays behind the
// test before it in the log.
func inTime(v *assess.Review, tests []int) []int {
	type placed struct {
		test int
		at   float64
	}
	var all []placed
	last := 0.0
	for _, i := range tests {
		if at, ok := stayOf(v, i).begin(); ok {
			last = float64(at)
		} else if d := v.Lines[i].Test.Date(); d.Known() {
			last = max(last, float64(startOf(d.Val)))
		}
		all = append(all, placed{i, last})
	}
	slices.SortStableFunc(all, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	var sorted []int
	for _, p := range all {
		sorted = append(sorted, p.test)
	}
	return sorted
}

// marked reports whether the patches of tests bear a name each: three in four
// names are then different (house choice). Otherwise the column names batches
// or sizes.
func marked(v *assess.Review, tests []int) bool {
	named := keep(tests, func(i int) bool { return v.Lines[i].Test.Patch().Val != "" })
	return 4*patchesNamed(v).different(named) >= 3*len(named)
}
