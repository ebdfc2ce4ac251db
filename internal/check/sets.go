package check

import (
	"cmp"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// moreAtOnceThanSets: water was on the steel at more places at once than
// there were sets of patch and syringe. A set is free again in the minute in
// which its extract was read. A record that does not say how many sets were
// in use is not asked; that it does not is said once (fields-not-recorded).
var moreAtOnceThanSets = &assess.Check{
	Name:     "more-at-once-than-sets",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		sets, known := setsInUse(v)
		if !known {
			return
		}
		crowd, most := overlapping(v, sets)
		for _, tests := range byDay(v, crowd) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, startAt),
				Args: map[string]any{"Most": mostOf(most, tests), "Sets": sets},
			})
		}
	},
}

// setsInUse is how many sets of patch and syringe were in use, one at least;
// false where the record does not say.
func setsInUse(v *assess.Review) (int, bool) {
	sets, _ := v.Basis.Setting(assess.SetsInUse)
	return max(1, int(sets.Value)), !sets.House
}

func startAt(t *record.Test) diag.Pos { return t.Start().Pos }

// overlapping are the tests on steel during which more sets than there are
// were in use, and for each the most that were. Blanks on glass use sets too.
func overlapping(v *assess.Review, sets int) (tests []int, most map[int]int) {
	most = map[int]int{}
	all := stays(v, func(s stay) (unit.Minutes, bool) { return s.from, s.both() })
	for k, s := range all {
		var inUse []stay // when s began
		for _, o := range slices.Backward(all[:k+1]) {
			if s.from-o.from > minutesADay { // no stay is longer
				break
			}
			if o.from == s.from || o.to > s.from {
				inUse = append(inUse, o)
			}
		}
		if len(inUse) <= sets {
			continue
		}
		for _, o := range inUse {
			most[o.test] = max(most[o.test], len(inUse))
		}
	}
	if len(most) == 0 {
		return nil, most
	}
	return onSteel(v, func(l *assess.Line) bool { return most[l.Index] > 0 }), most
}

func mostOf(n map[int]int, tests []int) int {
	most := 0
	for _, i := range tests {
		most = max(most, n[i])
	}
	return most
}

// spacingTooShort: where a row has one time only, two tests with one set
// cannot be nearer to each other than the contact time and the handling
// between two tests; with k sets this holds for each test and the k-th after
// it. Two minutes of handling are the house setting. A record that does not
// say how many sets were in use is not asked.
var spacingTooShort = &assess.Check{
	Name:     "spacing-too-short",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.ContactTime, assess.HandlingTime},
	Run: func(v *assess.Review) {
		sets, _ := setsInUse(v)
		for _, tests := range byDay(v, onSteelOf(v, crowded(v))) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, timeAt),
				Args: map[string]any{"Shortest": shortestGap(v, sets, tests), "Needed": neededForATest(v), "Sets": sets},
			})
		}
	},
}

func timeAt(t *record.Test) diag.Pos {
	if t.Read().Known() {
		return t.Read().Pos
	}
	return t.Start().Pos
}

func onSteelOf(v *assess.Review, tests map[int]bool) []int {
	if len(tests) == 0 {
		return nil
	}
	return onSteel(v, func(l *assess.Line) bool { return tests[l.Index] })
}

// neededForATest is the time that one set needs from a test to the next.
func neededForATest(v *assess.Review) unit.Minutes {
	return unit.Minutes(v.Basis.Value(assess.ContactTime) + v.Basis.Value(assess.HandlingTime))
}

// singly lists the tests that have one time only, in order of time.
func singly(v *assess.Review) []stay {
	shared := sharedTimes(v)
	return stays(v, func(s stay) (unit.Minutes, bool) { return s.only(v, shared) })
}

// crowded are the tests that stand too near to each other for the sets; none
// where it is not known how many there were.
var crowded = assess.Shared(func(v *assess.Review) map[int]bool {
	near := map[int]bool{}
	sets, known := setsInUse(v)
	if !known {
		return near
	}
	all := singly(v)
	for k := range all {
		if k+sets >= len(all) {
			break
		}
		if until(all[k], all[k+sets]) < neededForATest(v) {
			for _, s := range all[k : k+sets+1] {
				near[s.test] = true
			}
		}
	}
	return near
})

// until is the time from one test to another.
func until(a, b stay) unit.Minutes {
	from, _ := a.end()
	to, _ := b.end()
	return to - from
}

// shortestGap is the least time in which sets + 1 of the tests were made.
func shortestGap(v *assess.Review, sets int, tests []int) unit.Minutes {
	all := slices.DeleteFunc(singly(v), func(s stay) bool { return !slices.Contains(tests, s.test) })
	shortest := neededForATest(v)
	for k := range max(0, len(all)-sets) {
		shortest = min(shortest, until(all[k], all[k+sets]))
	}
	return shortest
}

// readWithinAMinute: one meter read two extracts within a minute, the minute
// written being the same or the next. Between two extracts the cell of the
// meter is rinsed and settles. Pairs that stand too near for the sets as well
// are that finding's (spacing-too-short), and so are those for which the meter
// would have been in two areas (meter-in-two-places).
var readWithinAMinute = &assess.Check{
	Name:     "read-within-a-minute",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		near, shared, elsewhere := crowded(v), sharedTimes(v), inTwoPlaces(v)
		all := stays(v, func(s stay) (unit.Minutes, bool) {
			t := v.Lines[s.test].Test
			return s.to, s.hasTo && t.Meter().Val != "" && shared[t.Read().Pos] < 2
		})
		var pairs [][2]int
		for _, meter := range groups(all, func(s stay) string { return record.Folded(v.Lines[s.test].Test.Meter().Val) }) {
			for k := range max(0, len(meter)-1) {
				a, b := meter[k], meter[k+1]
				pair, turned := [2]int{a.test, b.test}, [2]int{b.test, a.test}
				if b.to-a.to <= 1 && !(near[a.test] && near[b.test]) && !slices.Contains(elsewhere, pair) && !slices.Contains(elsewhere, turned) {
					pairs = append(pairs, pair)
				}
			}
		}
		reportPairs(v, pairs, readAt, func(p [2]int) any {
			a, b := v.Lines[p[0]].Test, v.Lines[p[1]].Test
			return readPair{Number(v.Lines, p[0]), Number(v.Lines, p[1]), a.Read().Val, b.Read().Val, a.Meter().Text}
		})
	},
}

type readPair struct {
	First, Second     string
	FirstAt, SecondAt unit.Clock
	Meter             string
}

// reportPairs reports pairs of tests, those of a day together: row says of a
// pair what the words need, at points to the cells.
func reportPairs(v *assess.Review, pairs [][2]int, at func(*record.Test) diag.Pos, row func([2]int) any) {
	days := func(p [2]int) [2]unit.Date {
		return [2]unit.Date{v.Lines[p[0]].Test.Date().Val, v.Lines[p[1]].Test.Date().Val}
	}
	for _, day := range groups(pairs, days) {
		var tests []int
		var rows []any
		for _, p := range day {
			rows = append(rows, row(p))
			for _, i := range p {
				if v.Lines[i].OfSteel() && !slices.Contains(tests, i) {
					tests = append(tests, i)
				}
			}
		}
		slices.SortFunc(tests, cmp.Compare[int])
		few, more := upTo(mostShown, rows)
		report(v, assess.Finding{
			Tests: tests, Places: places(v, tests, at),
			Args: map[string]any{"Rows": few, "More": more},
		})
	}
}
