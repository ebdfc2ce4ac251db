package check

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// everyTest lists all tests, those on glass too, in the order of the log.
var everyTest = assess.Shared(func(v *assess.Review) []int {
	tests := make([]int, len(v.Lines))
	for i := range tests {
		tests[i] = i
	}
	return tests
})

// steel lists the tests on steel.
var steel = assess.Shared(func(v *assess.Review) []int {
	return keep(everyTest(v), func(i int) bool { return v.Lines[i].OfSteel() })
})

// onSteel lists the tests on steel of which asked holds, in the order of the
// log. The list is for reading, as keep says.
func onSteel(v *assess.Review, asked func(*assess.Line) bool) []int {
	return among(v, steel(v), asked)
}

// among lists those of the tests of which asked holds, as keep does.
func among(v *assess.Review, tests []int, asked func(*assess.Line) bool) []int {
	return keep(tests, func(i int) bool { return asked(&v.Lines[i]) })
}

// keep lists those of the tests of which asked holds. The list is for reading:
// as long as they follow one another, as where it is all or none, it is a part
// of the list that they come from.
func keep(tests []int, asked func(test int) bool) []int {
	from := 0
	for from < len(tests) && !asked(tests[from]) {
		from++
	}
	if from == len(tests) {
		return nil
	}
	to := from + 1
	for to < len(tests) && asked(tests[to]) {
		to++
	}
	kept := tests[from:to:to]
	for k := to + 1; k < len(tests); k++ {
		if !asked(tests[k]) {
			continue
		}
		if len(kept) == cap(kept) {
			kept = slices.Grow(kept, min(max(8, len(kept)), len(tests)-k))
		}
		kept = append(kept, tests[k])
	}
	return kept
}

// standing is how the areas stand at the end of the job, by the numbers alone.
var standing = assess.Shared(func(v *assess.Review) []*assess.Standing { return course(v).Outcome() })

// course is the course of the job, by the numbers alone.
var course = assess.Shared(func(v *assess.Review) *assess.Course { return v.Course() })

// report adds a finding. One whose tests were all made on one day belongs to
// that day, and only the report of that day shows it. What has its cause on a
// day is therefore reported a day at a time; what holds for the whole job, and
// reads the same on each of its days, stays one finding without a day.
func report(v *assess.Review, f assess.Finding) {
	if f.Date.IsZero() {
		f.Date = sharedDay(v, f.Tests)
	}
	v.Report(f)
}

// reportByDay reports what a finding touches a day at a time. One that touches
// no test is of the day on which it was seen or, as a day without tests has no
// report, of the whole job.
func reportByDay(v *assess.Review, seen unit.Date, f assess.Finding) {
	if len(f.Tests) == 0 {
		if datesTested(v)[seen] > 0 {
			f.Date = seen
		}
		report(v, f)
		return
	}
	for _, tests := range byDay(v, f.Tests) {
		f.Tests = tests
		report(v, f)
	}
}

func sharedDay(v *assess.Review, tests []int) unit.Date {
	if len(tests) == 0 {
		return unit.Date{}
	}
	first := &v.Lines[tests[0]]
	for _, i := range tests[1:] {
		if v.Lines[i].Day() != first.Day() {
			return unit.Date{}
		}
	}
	return first.Test.Date().Val
}

// byDay splits tests by the day they were made on, in the order in which the
// days appear.
func byDay(v *assess.Review, tests []int) [][]int {
	of, sizes := daysOf(v, tests)
	return split(tests, of, sizes)
}

// mostDays is over how many days of the calendar tests are told apart by a
// list of all of them.
const mostDays = 1 << 16

// daysOf numbers the days of tests, as numbersOf does.
func daysOf(v *assess.Review, tests []int) (of numbers, sizes []int32) {
	if len(tests) == 0 {
		return nil, nil
	}
	first, last := 0, 0
	for _, i := range tests {
		if day := v.Lines[i].Day(); day != 0 {
			if first == 0 {
				first = day
			}
			first, last = min(first, day), max(last, day)
		}
	}
	if last-first >= mostDays {
		return numbersOf(len(tests), func(k int) int { return v.Lines[tests[k]].Day() })
	}
	return numbersBelow(last-first+2, len(tests), func(k int) int { return max(0, v.Lines[tests[k]].Day()-first+1) })
}

// datesOf are the dates of tests, with how many were made on each.
func datesOf(v *assess.Review, tests []int) map[unit.Date]int {
	dates := map[unit.Date]int{}
	of, sizes := daysOf(v, tests)
	known := 0 // days
	for k := range tests {
		n := of.of(k)
		if int(n) < known {
			continue
		}
		known++
		if d := v.Lines[tests[k]].Test.Date(); d.Known() {
			dates[d.Val] = int(sizes[n])
		}
	}
	return dates
}

// datesTested is datesOf all tests, those on glass too. It is for reading.
var datesTested = assess.Shared(func(v *assess.Review) map[unit.Date]int { return datesOf(v, everyTest(v)) })

// groupsOf splits tests by their names in a register, as groups does.
func groupsOf(r *register, tests []int) [][]int {
	if int(r.roll.names) > 8*(len(tests)+64) {
		return groups(tests, r.at)
	}
	of, sizes := numbersBelow(int(r.roll.names)+1, len(tests), func(k int) int { return int(r.at(tests[k])) })
	return split(tests, of, sizes)
}

// groups splits items by a key, in the order in which the keys appear. The
// groups are for reading, as split says.
func groups[S ~[]I, I any, K comparable](items S, key func(I) K) []S {
	of, sizes := numbersOf(len(items), func(k int) K { return key(items[k]) })
	return split(items, of, sizes)
}

// split splits items by the numbers of their keys, as numbersOf has them. Where
// the items of each number follow one another, the parts are parts of the list
// that they come from.
func split[S ~[]I, I any](items S, of numbers, sizes []int32) []S {
	all := make([]S, len(sizes))
	room := ordered(items, of, sizes)
	for n, size := range sizes {
		all[n], room = room[:size:size], room[size:]
	}
	return all
}

// ordered puts items in the order of the numbers of their keys; where they
// stand in it, it is the same list.
func ordered[S ~[]I, I any](items S, of numbers, sizes []int32) S {
	if len(sizes) < 2 || slices.IsSorted(of) {
		return items
	}
	in := make(S, len(items))
	next := make([]int32, len(sizes)) // the place of the next of each number
	for n := range sizes[1:] {
		next[n+1] = next[n] + sizes[n]
	}
	for k, n := range of {
		in[next[n]] = items[k]
		next[n]++
	}
	return in
}

// Numbers are those of the keys of items; nil where all have one.
type numbers []int32

// of is the number of the key of an item.
func (n numbers) of(item int) int32 {
	if n == nil {
		return 0
	}
	return n[item]
}

// same reports whether n items have one key.
func same[K comparable](n int, key func(int) K) bool {
	if n == 0 {
		return false
	}
	first := key(0)
	for i := 1; i < n; i++ {
		if key(i) != first {
			return false
		}
	}
	return true
}

// numbersBelow is numbersOf of keys that are whole numbers from 0 to below most.
func numbersBelow(most, n int, key func(int) int) (of numbers, sizes []int32) {
	if same(n, key) {
		return nil, []int32{int32(n)}
	}
	of = make(numbers, n)
	at := make([]int32, most) // one more than the number of a key
	for i := range of {
		k := key(i)
		if at[k] == 0 {
			sizes = append(sizes, 0)
			at[k] = int32(len(sizes))
		}
		of[i] = at[k] - 1
		sizes[of[i]]++
	}
	return of, sizes
}

// numbersOf numbers the keys of n items from 0 as they appear: of each item the
// number of its key, and of each number how many items have it.
func numbersOf[K comparable](n int, key func(int) K) (of numbers, sizes []int32) {
	if n == 0 {
		return nil, nil
	}
	if same(n, key) {
		return nil, []int32{int32(n)}
	}
	of = make(numbers, n)
	at := map[K]int32{}
	var last K // most often the next one has it too
	number := int32(0)
	for i := range of {
		if k := key(i); i == 0 || k != last {
			var seen bool
			if number, seen = at[k]; !seen {
				number = int32(len(sizes))
				at[k] = number
				sizes = append(sizes, 0)
			}
			last = k
		}
		of[i] = number
		sizes[number]++
	}
	return of, sizes
}

// places are the cells of tests that at points to; the rows where a cell is
// not known.
func places(v *assess.Review, tests []int, at func(*record.Test) diag.Pos) []diag.Pos {
	if len(tests) == 0 {
		return nil
	}
	all := make([]diag.Pos, 0, len(tests))
	for _, i := range tests {
		t := v.Lines[i].Test
		p := at(t)
		if p.IsZero() {
			p = t.Row()
		}
		all = append(all, p)
	}
	return all
}

// aWrittenVerdictFalls reports whether the log leaves its reader with
// another verdict on one of the tests than its numbers give.
func aWrittenVerdictFalls(v *assess.Review, tests []int) bool {
	return slices.ContainsFunc(tests, func(i int) bool {
		switch l := &v.Lines[i]; l.AsWritten() {
		case assess.Pass:
			return l.ByNumber == assess.Fail
		case assess.Fail:
			return l.ByNumber == assess.Pass
		}
		return false
	})
}

// weight is ChangesVerdict where a written verdict falls, else Weakens.
func weight(v *assess.Review, tests []int) assess.Severity {
	if aWrittenVerdictFalls(v, tests) {
		return assess.ChangesVerdict
	}
	return assess.Weakens
}

// asWritten is a value as the log spells it, with its unit.
func asWritten[Q unit.Value](g record.Given[Q]) string {
	number, own := unit.SplitUnit(g.Text)
	symbol := cmp.Or(own, g.Unit)
	var q Q
	if one := unit.Parse(q.Quantity(), "1", symbol, unit.PointSign); one.State == unit.Known && one.Value.Cmp(unit.Int(1)) == 0 {
		symbol = q.Quantity().Symbol() // another spelling of it
	}
	if g.State == record.Unreadable || symbol == "" {
		return g.Text
	}
	return number + "\u00a0" + symbol
}

// apart is how many decimals it takes, one or more, for x not to be printed
// like the limit that it is beyond.
func apart[Q ~float64](x, limit Q) int {
	const most = 6
	d := 1
	for d < most && math.Round(float64(x)*math.Pow10(d)) == math.Round(float64(limit)*math.Pow10(d)) {
		d++
	}
	return d
}

// mostShown is how many rows a finding spells out. The others stand in the
// table of the tests, and their cells among its places.
const mostShown = 12

// upTo cuts a list after n and says how many are left out.
func upTo[T any](n int, list []T) (first []T, more int) {
	if len(list) <= n {
		return list, 0
	}
	return list[:n], len(list) - n
}
