package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// outsideTheShift: a test lies outside the shift of its day, or its water
// went in or its extract was read during a recorded stop. Days without shift
// times are not asked about.
var outsideTheShift = &assess.Check{
	Name:     "outside-the-shift",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		tests := among(v, timedTests(v), func(l *assess.Line) bool {
			_, odd := againstDiary(v, stayOf(v, l.Index))
			return odd
		})
		for _, day := range byDay(v, tests) {
			var of []shiftRow
			for _, i := range day {
				row, _ := againstDiary(v, stayOf(v, i))
				row.Test = Number(v.Lines, i)
				of = append(of, row)
			}
			few, more := upTo(mostShown, of)
			report(v, assess.Finding{
				Tests: day, Places: places(v, day, timeAt),
				Args: map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// A shiftRow is a test at a time that the diary does not cover: outside the
// span, or inside it where it is a stop.
type shiftRow struct {
	Test     string
	At       unit.Clock
	Stop     bool
	From, To unit.Clock
}

// againstDiary finds the stop that a test falls into, or the shift that it
// falls out of.
func againstDiary(v *assess.Review, s stay) (shiftRow, bool) {
	t := v.Lines[s.test].Test
	var row shiftRow
	begin, ok := s.begin()
	end, _ := s.end()
	if !ok || !t.Date().Known() || len(v.Job.Days) == 0 {
		return row, false
	}
	covered, asked := false, false
	var few [8]int
	rows := few[:0]
	for _, apart := range []int{-1, 0, 1} { // a shift or a stop may go past midnight
		rows = append(rows, diary(v)[t.Date().Val.Add(apart)]...)
	}
	slices.Sort(rows)
	for _, i := range rows {
		d := &v.Job.Days[i]
		for _, stop := range d.Stops.Val {
			from, to := spanOn(d.Date.Val, stop)
			for _, at := range []unit.Minutes{begin, end} {
				if from < at && at < to {
					row.At, row.Stop, row.From, row.To = clockOf(at), true, stop.From, stop.To
					return row, true
				}
			}
		}
		if !d.ShiftStarted.Known() || !d.ShiftEnded.Known() {
			covered = covered || d.Date.Val == t.Date().Val
			continue
		}
		shift := record.Span{From: d.ShiftStarted.Val, To: d.ShiftEnded.Val}
		from, to := spanOn(d.Date.Val, shift)
		covered = covered || from <= begin && end <= to
		if d.Date.Val == t.Date().Val {
			asked = true
			row.From, row.To = shift.From, shift.To
			row.At = clockOf(end)
			if begin < from {
				row.At = clockOf(begin)
			}
		}
	}
	return row, asked && !covered
}

// diary lists the rows of the diary of each day.
var diary = assess.Shared(func(v *assess.Review) map[unit.Date][]int {
	rows := map[unit.Date][]int{}
	for i := range v.Job.Days {
		if d := &v.Job.Days[i].Date; d.Known() {
			rows[d.Val] = append(rows[d.Val], i)
		}
	}
	return rows
})

// spanOn is a span of the diary of a day; one that ends earlier on the clock
// than it begins goes past midnight.
func spanOn(day unit.Date, s record.Span) (from, to unit.Minutes) {
	from, to = startOf(day)+s.From.Minutes(), startOf(day)+s.To.Minutes()
	if to < from {
		to += minutesADay
	}
	return from, to
}

// clockOf is the time of day of an instant.
func clockOf(at unit.Minutes) unit.Clock {
	return unit.ClockAt(0, ((int(at)%minutesADay)+minutesADay)%minutesADay)
}

// beforeBlastingEnded: the steel was blasted after it was tested, and what
// was tested is gone. A treatment after a fail is no such blasting: it has a
// table of its own.
var beforeBlastingEnded = &assess.Check{
	Name:     "before-blasting-ended",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		againstArea(v, func(a *record.Area) record.Given[record.Moment] { return a.BlastingEnded }, stay.begin, func(_, last unit.Minutes, m record.Moment) bool {
			from, _ := momentSpan(m)
			return last < from
		})
	},
}

// afterCoatingBegan: an extract was read when coating of the area had begun.
var afterCoatingBegan = &assess.Check{
	Name:     "after-coating-began",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		againstArea(v, func(a *record.Area) record.Given[record.Moment] { return a.CoatingStarted }, stay.end, func(first, _ unit.Minutes, m record.Moment) bool {
			_, to := momentSpan(m)
			return first > to
		})
	},
}

// againstArea reports the tests of each area that lie on the wrong side of a
// moment of that area. time is the time of a test that counts; one without a
// time lies between the first and the last minute of its day.
func againstArea(v *assess.Review, moment func(*record.Area) record.Given[record.Moment], time func(stay) (unit.Minutes, bool),
	wrong func(first, last unit.Minutes, m record.Moment) bool) {

	for k := range v.Job.Areas {
		area := &v.Job.Areas[k]
		m := moment(area)
		if !m.Known() {
			continue
		}
		areas := areasNamed(v)
		number := areas.find(area.Name.Val)
		tests := onSteel(v, func(l *assess.Line) bool {
			if areas.at(l.Index) != number || !l.Test.Date().Known() {
				return false
			}
			first, ok := time(stayOf(v, l.Index))
			last := first
			if !ok {
				first = startOf(l.Test.Date().Val)
				last = first + minutesADay
			}
			return wrong(first, last, m.Val)
		})
		for _, day := range byDay(v, tests) {
			at, hasTime := time(stayOf(v, day[0]))
			report(v, assess.Finding{
				Tests: day, Places: append(places(v, day, timeAt), m.Pos),
				Args: map[string]any{
					"Area": area.Name.Text, "HasTime": hasTime, "At": clockOf(at),
					"Day": m.Val.Date, "HasClock": m.Val.HasClock, "Clock": m.Val.Clock,
				},
			})
		}
	}
}

// passTooOld: more hours lie between a test and the coating of its area than
// were agreed; salt settles again in the meantime. Where no time is agreed
// there is no house setting, and nothing is asked. Of times that are not
// written the nearest to each other are taken.
var passTooOld = &assess.Check{
	Name:     "pass-too-old",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Settings: []string{assess.HoursToCoating},
	Run: func(v *assess.Review) {
		agreed, ok := v.Basis.Setting(assess.HoursToCoating)
		if !ok {
			return
		}
		for k := range v.Job.Areas {
			area := &v.Job.Areas[k]
			if !area.CoatingStarted.Known() {
				continue
			}
			begun, _ := momentSpan(area.CoatingStarted.Val)
			areas := areasNamed(v)
			number := areas.find(area.Name.Val)
			age := func(i int) unit.Minutes { return begun - readOrEndOfDay(v, i) }
			old := onSteel(v, func(l *assess.Line) bool {
				return areas.at(l.Index) == number && l.Test.Date().Known() &&
					l.ByNumber == assess.Pass && float64(age(l.Index))/60 > agreed.Value
			})
			for _, tests := range byDay(v, old) {
				var oldest unit.Minutes
				for _, i := range tests {
					oldest = max(oldest, age(i))
				}
				report(v, assess.Finding{
					Tests: tests, Places: append(places(v, tests, timeAt), area.CoatingStarted.Pos),
					Args: map[string]any{"Area": area.Name.Text, "Hours": int(oldest) / 60, "Minutes": int(oldest) % 60, "Agreed": agreed.Value},
				})
			}
		}
	},
}

func readOrEndOfDay(v *assess.Review, i int) unit.Minutes {
	if at, ok := stayOf(v, i).end(); ok {
		return at
	}
	return startOf(v.Lines[i].Test.Date().Val) + minutesADay
}
