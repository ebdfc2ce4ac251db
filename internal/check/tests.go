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

// steel lists the tests on steel, in the order of the log.
var steel = assess.Shared(func(v *assess.Review) []int {
	tests := make([]int, 0, len(v.Lines))
	for i := range v.Lines {
		if v.Lines[i].OfSteel() {
			tests = append(tests, i)
		}
	}
	return tests
})

// onSteel lists the tests on steel of which asked holds, in the order of the
// log.
func onSteel(v *assess.Review, asked func(*assess.Line) bool) []int {
	var tests []int
	all := steel(v)
	for k, i := range all {
		if !asked(&v.Lines[i]) {
			continue
		}
		if tests == nil {
			tests = make([]int, 0, len(all)-k) // mostly it is none or nearly all
		}
		tests = append(tests, i)
	}
	if len(tests) < cap(tests)/2 {
		return slices.Clone(tests)
	}
	return tests
}

// standing is how the areas stand at the end of the job, by the numbers alone.
var standing = assess.Shared(func(v *assess.Review) []assess.Standing { return v.Standing(unit.Date{}) })

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
		if slices.ContainsFunc(v.Job.Tests, func(t record.Test) bool { return t.Date.Val == seen }) {
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
	var day unit.Date
	for k, i := range tests {
		d := v.Lines[i].Test.Date.Val
		if k > 0 && d != day {
			return unit.Date{}
		}
		day = d
	}
	return day
}

// byDay splits tests by the day they were made on, in the order in which the
// days appear.
func byDay(v *assess.Review, tests []int) [][]int {
	return groups(tests, func(i int) unit.Date { return v.Lines[i].Test.Date.Val })
}

// groups splits items by a key, in the order in which the keys appear.
func groups[I any, K comparable](items []I, key func(I) K) [][]I {
	var all [][]I
	at := map[K]int{}
	var last K // most often the next one has it too
	n := 0
	for i, item := range items {
		if k := key(item); i == 0 || k != last {
			var seen bool
			if n, seen = at[k]; !seen {
				n = len(all)
				at[k] = n
				all = append(all, nil)
			}
			last = k
		}
		all[n] = append(all[n], item)
	}
	return all
}

// places are the cells of tests that at points to; the rows where a cell is
// not known.
func places(v *assess.Review, tests []int, at func(*record.Test) diag.Pos) []diag.Pos {
	var all []diag.Pos
	for _, i := range tests {
		t := v.Lines[i].Test
		p := at(t)
		if p.IsZero() {
			p = t.Row
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
