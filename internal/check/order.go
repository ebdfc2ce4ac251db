package check

import (
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
		type hand struct {
			day                    unit.Date
			person, within, prefix string
		}
		within := numberingOf(v)
		var all []int
		for i := range v.Lines {
			t := v.Lines[i].Test
			if _, _, ok := serial(t.Number.Val); ok && (t.Kind.Val == record.Original || t.Kind.Val == record.Repeat) {
				all = append(all, i)
			}
		}
		var pairs [][2]int
		for _, tests := range groups(all, func(i int) hand {
			prefix, _, _ := serial(v.Lines[i].Test.Number.Val)
			t := v.Lines[i].Test
			return hand{t.Date.Val, folded(t.Inspector.Val), within(t), prefix}
		}) {
			byNumber := map[int]int{}
			for _, i := range tests {
				_, n, _ := serial(v.Lines[i].Test.Number.Val)
				byNumber[n] = i
			}
			for _, i := range tests {
				_, n, _ := serial(v.Lines[i].Test.Number.Val)
				if next, ok := byNumber[n+1]; ok && byNumber[n] == i && earlier(v, stayOf(v, next), stayOf(v, i)) {
					pairs = append(pairs, [2]int{i, next})
				}
			}
		}
		reportPairs(v, pairs, timeAt, func(p [2]int) any {
			a, b := stayOf(v, p[0]), stayOf(v, p[1])
			return orderPair{Number(v.Lines, p[0]), Number(v.Lines, p[1]), orderTime(v, a, b), orderTime(v, b, a)}
		})
	},
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
		return v.Lines[a.test].Test.Start.Val
	}
	return v.Lines[a.test].Test.Read.Val
}

// readBeforeStart: the extract has an earlier time than the water that went
// in. More than half a day earlier is past midnight.
var readBeforeStart = &assess.Check{
	Name:     "read-before-start",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		turned := onSteel(v, func(l *assess.Line) bool {
			s := stayOf(v, l.Index)
			return s.hasFrom && s.hasTo && s.to < s.from
		})
		for _, tests := range byDay(v, turned) {
			var rows []timesRow
			for _, i := range tests {
				t := v.Lines[i].Test
				rows = append(rows, timesRow{Number(v.Lines, i), t.Start.Val, t.Read.Val})
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
