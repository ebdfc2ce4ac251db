package check

import (
	"cmp"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

const minutesADay = 24 * 60

// instant is a time of day as minutes since a fixed day, so that times of
// several days compare; false where no time was written. A log without dates
// is one day.
func instant(day unit.Date, at record.Given[unit.Clock]) (unit.Minutes, bool) {
	return startOf(day) + at.Val.Minutes(), at.Known()
}

func startOf(day unit.Date) unit.Minutes {
	return unit.Minutes(day.Since(unit.Date{Year: 2000, Month: 1, Day: 1}) * minutesADay)
}

// momentSpan is the stretch of time that a written moment can mean: its minute,
// or the whole day where no time of day was written.
func momentSpan(m record.Moment) (from, to unit.Minutes) {
	from = startOf(m.Date)
	if m.HasClock {
		from += m.Clock.Minutes()
		return from, from
	}
	return from, from + minutesADay
}

// A stay is the time that the water of a test was on the steel, as far as it
// was written down.
type stay struct {
	test           int
	from, to       unit.Minutes
	hasFrom, hasTo bool
}

// hasTime reports whether a time of a test was written down.
func hasTime(t *record.Test) bool { return t.Start().Known() || t.Read().Known() }

// stayOf is the stay of test i. An extract that was read more than twelve
// hours before its water went in was read after midnight.
func stayOf(v *assess.Review, i int) stay {
	t := v.Lines[i].Test
	s := stay{test: i}
	midnight := startOf(t.Date().Val)
	s.from, s.hasFrom = midnight+t.Start().Val.Minutes(), t.Start().Known()
	s.to, s.hasTo = midnight+t.Read().Val.Minutes(), t.Read().Known()
	if s.hasFrom && s.hasTo && s.from-s.to > minutesADay/2 {
		s.to += minutesADay
	}
	return s
}

// both reports whether begin and end are known and in order.
func (s stay) both() bool { return s.hasFrom && s.hasTo && s.from <= s.to }

// end is when the extract was read, or else when the water went in.
func (s stay) end() (unit.Minutes, bool) {
	if s.hasTo {
		return s.to, true
	}
	return s.from, s.hasFrom
}

// begin is when the water went in, or else when the extract was read.
func (s stay) begin() (unit.Minutes, bool) {
	if s.hasFrom {
		return s.from, true
	}
	return s.to, s.hasTo
}

// only is the one time of a test that has no other, where it was written for
// this test alone: the time of a merged cell stands for a block of tests.
func (s stay) only(v *assess.Review, shared map[diag.Pos]int) (unit.Minutes, bool) {
	t := v.Lines[s.test].Test
	at := t.Read().Pos
	if s.hasFrom {
		at = t.Start().Pos
	}
	end, _ := s.end()
	return end, s.hasFrom != s.hasTo && shared[at] < 2
}

// sharedTimes counts the times that each cell stands for, of the cells that
// may stand for several: those of another row, and those of both times.
var sharedTimes = assess.Shared(func(v *assess.Review) map[diag.Pos]int {
	n := map[diag.Pos]int{}
	for _, i := range everyTimed(v) {
		t := v.Lines[i].Test
		for _, at := range [...]record.Given[unit.Clock]{t.Start(), t.Read()} {
			if at.Known() && !at.Pos.IsZero() && (at.Pos.Row() != t.Row().Row() || t.Start().Pos == t.Read().Pos) {
				n[at.Pos] = 0
			}
		}
	}
	if len(n) == 0 {
		return n
	}
	for _, i := range everyTimed(v) {
		t := v.Lines[i].Test
		for _, at := range [...]record.Given[unit.Clock]{t.Start(), t.Read()} {
			if _, may := n[at.Pos]; may && at.Known() {
				n[at.Pos]++
			}
		}
	}
	return n
})

// stays lists the stays of the tests with a time, those on glass too, by one
// of their times and then in the order of the log: those that timeOf counts.
func stays(v *assess.Review, timeOf func(stay) (at unit.Minutes, counts bool)) []stay {
	type placed struct {
		stay
		at unit.Minutes
	}
	var kept []placed
	for _, i := range everyTimed(v) {
		s := stayOf(v, i)
		if at, counts := timeOf(s); counts {
			kept = append(kept, placed{s, at})
		}
	}
	slices.SortStableFunc(kept, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	all := make([]stay, len(kept))
	for k := range kept {
		all[k] = kept[k].stay
	}
	return all
}
