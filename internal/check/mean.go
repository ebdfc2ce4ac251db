package check

import (
	"sort"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// meanRow is how the reading note calls a row that holds a mean.
const meanRow = "mean of the readings"

// meanDoesNotFollow: the mean that the sheet prints is not that of the
// written values above it. Only a number that can be told to be the mean of
// the results is looked at: the only one in the row. Void and struck rows may
// have been left out of it.
var meanDoesNotFollow = &assess.Check{
	Name:     "mean-does-not-follow",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, m := range means(v) {
			if !m.follows {
				report(v, assess.Finding{
					Tests: m.tests, Places: []diag.Pos{m.row},
					Args: map[string]any{"Mean": m.value, "Value": m.of},
				})
			}
		}
	},
}

// meanHidesAFail: printed means at or below the limit stand over tests that
// are above it, whether or not the log calls these fails. A mean does not
// accept an area unless the contract says so. The means of a day are one
// finding.
var meanHidesAFail = &assess.Check{
	Name:     "mean-hides-a-fail",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		var hiding []mean
		for _, m := range means(v) {
			m.tests = keep(m.tests, func(i int) bool {
				l := &v.Lines[i]
				return l.ByNumber == assess.Fail && m.value.Cmp(l.Limits()[0].Limit.Exact) <= 0
			})
			if len(m.tests) > 0 {
				hiding = append(hiding, m)
			}
		}
		type key struct {
			day   unit.Date
			limit unit.Decimal
		}
		limit := func(m mean) unit.Decimal { return v.Lines[m.tests[0]].Limits()[0].Limit.Exact }
		for _, day := range groups(hiding, func(m mean) key { return key{lastDay(v, m.tests), limit(m)} }) {
			f := assess.Finding{Direction: assess.UnsafeSide}
			var rows []hidingMean
			unmarked := 0
			for _, m := range day {
				called := keep(m.tests, func(i int) bool { return v.Lines[i].Test.RecordedVerdict().Val == record.WrittenFail })
				f.Tests, f.Places = append(f.Tests, m.tests...), append(f.Places, m.row)
				rows = append(rows, hidingMean{m.value, Numbers(v.Lines, m.tests), len(m.tests), Numbers(v.Lines, called), len(called)})
				unmarked += len(m.tests) - len(called)
			}
			f.Args = map[string]any{"Limit": limit(day[0]), "Means": rows, "Unmarked": unmarked}
			report(v, f)
		}
	},
}

// A hidingMean is a mean with the tests above the limit under it, as the words
// show it.
type hidingMean struct {
	Mean   unit.Decimal
	Tests  []string
	Count  int      // of Tests
	Called []string // those of them that the log calls fails
	Marked int      // how many these are
}

// A mean is a row that holds one, and the tests above it up to the row of the
// mean before.
type mean struct {
	row     diag.Pos
	tests   []int
	value   unit.Decimal        // as printed
	of      unit.SurfaceDensity // mean of the written values
	follows bool
}

// means lists the rows whose mean can be told, with the tests on steel between
// each and the mean before.
var means = assess.Shared(func(v *assess.Review) []mean {
	var all []mean
	on := map[diag.Pos][]int{} // the means of each sheet, from above
	var printed []string
	for _, s := range v.Job.Note.Skipped {
		if s.Reason == meanRow {
			sheet := s.Row.At(0, 0)
			on[sheet] = append(on[sheet], len(all))
			all, printed = append(all, mean{row: s.Row}), append(printed, s.Text)
		}
	}
	if len(all) == 0 {
		return nil
	}
	for i := range v.Lines {
		if l := &v.Lines[i]; l.OfSteel() {
			below := on[l.Test.Row().At(0, 0)]
			k := sort.Search(len(below), func(k int) bool { return all[below[k]].row.Row() > l.Test.Row().Row() })
			if k < len(below) {
				m := &all[below[k]]
				m.tests = append(m.tests, i)
			}
		}
	}
	told := all[:0]
	for k, m := range all {
		if m.take(v, numbersIn(printed[k])) {
			told = append(told, m)
		}
	}
	return told
})

// numbersIn reads the cells of a skipped row that hold a number.
func numbersIn(text string) []unit.Decimal {
	var all []unit.Decimal
	for cell := range strings.SplitSeq(text, " | ") {
		if d, err := unit.ParseDecimal(cell, unit.AnySign); err == nil {
			all = append(all, d)
		}
	}
	return all
}

// take finds the mean of the written values among the numbers of the row: the
// one that is a rounding of it, else the only one.
func (m *mean) take(v *assess.Review, numbers []unit.Decimal) bool {
	written := func(keep func(*record.Test) bool) []unit.Ratio {
		var xs []unit.Ratio
		for _, i := range m.tests {
			if t := v.Lines[i].Test; t.Recorded().Known() && keep(t) {
				xs = append(xs, t.Recorded().Dec.Ratio())
			}
		}
		return xs
	}
	all := average(written(func(*record.Test) bool { return true }))
	if !all.Known() {
		return false
	}
	m.of = unit.SurfaceDensity(all.Float())
	for _, x := range []unit.Ratio{
		all,
		average(written(func(t *record.Test) bool { return t.RecordedVerdict().Val != record.WrittenVoid })),
		average(written(func(t *record.Test) bool { return !t.Struck() })),
		average(written(func(t *record.Test) bool { return !t.Struck() && t.RecordedVerdict().Val != record.WrittenVoid })),
	} {
		for _, d := range numbers {
			if x.Known() && rounds(x, d) {
				m.value, m.follows = d, true
				return true
			}
		}
	}
	if len(numbers) != 1 {
		return false
	}
	m.value = numbers[0]
	return true
}

// average is no number where there are none.
func average(xs []unit.Ratio) unit.Ratio {
	if len(xs) == 0 {
		return unit.Ratio{}
	}
	sum := unit.Int(0).Ratio()
	for _, x := range xs {
		sum = sum.Add(x)
	}
	return sum.Quo(unit.Int(int64(len(xs))).Ratio())
}

// rounds reports whether d is within half a unit of its last digit of x, so
// that either way of rounding a tie is right.
func rounds(x unit.Ratio, d unit.Decimal) bool {
	return salt.Written(d).Contains(x)
}
