package check

import (
	"cmp"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// outOfTimeOrder: a test has an earlier time than the one with the number
// before it. Only originals and repeats of one person, one day and one
// numbering are compared: a retest is made when the steel is dry again. They
// are compared by the time the water went in where both have it: with several
// sets an extract may well be read before one that was begun earlier. Where
// only the reading has a time, a difference up to the contact time means
// nothing unless the record says that there was one set. Nor does half a day:
// the work then went past midnight.
var outOfTimeOrder = &assess.Check{
	Name:     "out-of-time-order",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.ContactTime},
	Run: func(v *assess.Review) {
		var pairs [][2]int
		for _, tests := range countedByHand(v) {
			pairs = append(pairs, turnedPairs(v, tests)...)
		}
		reportPairs(v, pairs, timeAt, func(p [2]int) any {
			a, b := stayOf(v, p[0]), stayOf(v, p[1])
			return orderPair{Number(v.Lines, p[0]), Number(v.Lines, p[1]), orderTime(v, a, b), orderTime(v, b, a)}
		})
	},
}

// countedByHand lists the originals and repeats with a number that counts, by
// person, day and numbering; none where no test of the log has a time.
func countedByHand(v *assess.Review) [][]int {
	if len(everyTimed(v)) == 0 {
		return nil
	}
	type hand struct {
		day            unit.Date
		person, within int32
		prefix         string
	}
	within, people := numberingOf(v).within, people(v)
	counted := keep(numbered(v), func(i int) bool {
		t := v.Lines[i].Test
		_, _, ok := serial(t.Number().Val)
		return ok && (t.Kind().Val == record.Original || t.Kind().Val == record.Repeat)
	})
	return groups(counted, func(i int) hand {
		t := v.Lines[i].Test
		prefix, _, _ := serial(t.Number().Val)
		return hand{t.Date().Val, people.at(i), within(i), prefix}
	})
}

// turnedPairs are those of the tests, each with that which bears the next
// number, that were made in the other order. Of one number the last counts.
func turnedPairs(v *assess.Review, tests []int) [][2]int {
	type place struct{ number, test int }
	places := make([]place, len(tests))
	for k, i := range tests {
		_, n, _ := serial(v.Lines[i].Test.Number().Val)
		places[k] = place{n, i}
	}
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(b.test, a.test))
	})
	places = slices.CompactFunc(places, func(a, b place) bool { return a.number == b.number })
	var pairs [][2]int
	for k := 1; k < len(places); k++ {
		a, b := places[k-1], places[k]
		if b.number == a.number+1 && earlier(v, stayOf(v, b.test), stayOf(v, a.test)) {
			pairs = append(pairs, [2]int{a.test, b.test})
		}
	}
	slices.SortFunc(pairs, func(a, b [2]int) int { return a[0] - b[0] })
	return pairs
}

type orderPair struct {
	First, Second     string
	FirstAt, SecondAt unit.Clock
}

// earlier reports whether a test was made before another though it should
// have followed it.
func earlier(v *assess.Review, a, b stay) bool {
	gap := unit.Minutes(0)
	switch {
	case a.hasFrom && b.hasFrom:
		gap = b.from - a.from
	case a.hasTo && b.hasTo:
		gap = b.to - a.to
		if sets, known := setsInUse(v); !known || sets > 1 {
			gap -= unit.Minutes(v.Basis.Value(assess.ContactTime))
		}
	}
	return gap > 0 && gap < minutesADay/2
}

// orderTime is the time of a by which it was compared with b.
func orderTime(v *assess.Review, a, b stay) unit.Clock {
	if a.hasFrom && b.hasFrom {
		return v.Lines[a.test].Test.Start().Val
	}
	return v.Lines[a.test].Test.Read().Val
}

// readBeforeStart: the extract has an earlier time than the water that went
// in. More than half a day earlier is past midnight.
var readBeforeStart = &assess.Check{
	Name:     "read-before-start",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		turned := among(v, twiceTimed(v), func(l *assess.Line) bool {
			s := stayOf(v, l.Index)
			return s.to < s.from
		})
		for _, tests := range byDay(v, turned) {
			var rows []timesRow
			for _, i := range tests {
				t := v.Lines[i].Test
				rows = append(rows, timesRow{Number(v.Lines, i), t.Start().Val, t.Read().Val})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, readAt),
				Args: map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// A timesRow is a test with its two times.
type timesRow struct {
	Test        string
	Start, Read unit.Clock
}
