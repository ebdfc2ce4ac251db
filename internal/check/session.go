package check

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A session is what one meter did on one working day. A shift that goes past
// midnight belongs to the day on which it began.
type session struct {
	meter  string // as the tests name it; "" where they name none
	day    unit.Date
	tests  []timed[int]                // on steel, in the order of the log
	checks []timed[*record.MeterCheck] // by time
}

// A timed thing happened so many minutes after the midnight that begins its
// day; known is false where no time was written down.
type timed[T any] struct {
	what    T
	minutes float64
	known   bool
}

// sessions lists the sessions of the tests on steel, in the order in which
// they begin in the log.
var sessions = assess.Shared(func(v *assess.Review) []session {
	return sessionsOf(v, steel(v))
})

// checkedSessions lists those in which the meter was checked.
var checkedSessions = assess.Shared(func(v *assess.Review) []session {
	if len(v.Job.Checks) == 0 {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(sessions(v)), func(s session) bool { return len(s.checks) == 0 })
})

// sessionsOf lists the sessions of some of the tests.
func sessionsOf(v *assess.Review, tests []int) []session {
	type key struct {
		meter int32
		day   unit.Date
	}
	meters := metersUsed(v)
	parts := groups(tests, func(i int) key {
		day, _, _ := momentOfTest(v, v.Lines[i].Test)
		return key{meters.at(i), day}
	})
	all := make([]session, len(parts))
	room := make([]timed[int], 0, len(tests))
	for n, part := range parts {
		s := &all[n]
		for _, i := range part {
			day, minutes, known := momentOfTest(v, v.Lines[i].Test)
			s.day, room = day, append(room, timed[int]{i, minutes, known})
		}
		s.meter = v.Lines[part[0]].Test.Meter().Val
		s.tests, room = slices.Clip(room), room[len(room):]
		s.takeChecks(v)
	}
	return all
}

// momentOfTest is when the extract of a test was read, or else when its water
// went in. An extract that was read more than twelve hours before its water
// went in was read after midnight; by less the two times changed places or one
// is wrong (read-before-start), and it stays where it was written.
func momentOfTest(v *assess.Review, t *record.Test) (day unit.Date, minutes float64, known bool) {
	if s := t.Start().Val.Minutes() - t.Read().Val.Minutes(); t.Start().Known() && t.Read().Known() && s > minutesADay/2 {
		day, minutes, known = moment(v, t.Date(), t.Start())
		return day, minutes + minutesADay - float64(s), known
	}
	return moment(v, t.Date(), t.Read(), t.Start())
}

// takeChecks gives the session the checks of its meter and day. A check or a
// session that names no meter or no day may belong to any.
func (s *session) takeChecks(v *assess.Review) {
	overnight := slices.ContainsFunc(s.tests, func(t timed[int]) bool { return t.minutes >= 24*60 })
	last := s.day.Add(2) // after the night that ends on the day that an overnight test ends on
	for i := range v.Job.Checks {
		c := &v.Job.Checks[i]
		if c.Date.Known() && !s.day.IsZero() && (c.Date.Val.Compare(s.day) < 0 || c.Date.Val.Compare(last) > 0) {
			continue
		}
		if s.meter != "" && c.Meter.Val != "" && plate(s.meter) != plate(c.Meter.Val) {
			continue
		}
		day, minutes, known := moment(v, c.Date, c.Time)
		if overnight && !s.day.IsZero() && day == s.day.Add(1) && minutes < 12*60 {
			day, minutes = s.day, minutes+24*60
		}
		if day == s.day || day.IsZero() || s.day.IsZero() {
			s.checks = append(s.checks, timed[*record.MeterCheck]{c, minutes, known})
		}
	}
	slices.SortStableFunc(s.checks, func(a, b timed[*record.MeterCheck]) int {
		return cmp.Compare(a.minutes, b.minutes)
	})
}

// moment is the working day of a date and the minutes since its midnight by
// the first clock that is known.
func moment(v *assess.Review, date record.Given[unit.Date], clocks ...record.Given[unit.Clock]) (day unit.Date, minutes float64, known bool) {
	if !date.Known() {
		return unit.Date{}, 0, false
	}
	day = date.Val
	for _, c := range clocks {
		if !c.Known() {
			continue
		}
		minutes = float64(c.Val.Minutes())
		if endsOn(v, day, minutes) {
			return day.Add(-1), minutes + 24*60, true
		}
		return day, minutes, true
	}
	return day, 0, false
}

// afterShift is how long after the end of a night shift its last checks are
// still made, min.
const afterShift = 120

// endsOn reports whether the time belongs to a shift of the day before that
// went past midnight.
func endsOn(v *assess.Review, day unit.Date, minutes float64) bool {
	ends := nightShifts(v)
	if len(ends) == 0 {
		return false
	}
	end, is := ends[day.Add(-1)]
	return is && minutes <= float64(end.Minutes())+afterShift
}

// nightShifts are the ends of the shifts that went past midnight, by the day
// on which they began; of two the later.
var nightShifts = assess.Shared(func(v *assess.Review) map[unit.Date]unit.Clock {
	ends := map[unit.Date]unit.Clock{}
	for i := range v.Job.Days {
		d := &v.Job.Days[i]
		if d.Date.Known() && d.ShiftStarted.Known() && d.ShiftEnded.Known() && d.ShiftEnded.Val < d.ShiftStarted.Val {
			ends[d.Date.Val] = max(ends[d.Date.Val], d.ShiftEnded.Val)
		}
	}
	return ends
})

// numbered are the checks of the session that hold a number to go by.
func (s *session) numbered() []timed[*record.MeterCheck] {
	return slices.DeleteFunc(slices.Clone(s.checks), func(c timed[*record.MeterCheck]) bool { return !hasNumber(c.what) })
}

func hasNumber(c *record.MeterCheck) bool {
	return c.Reading.Known() && c.Nominal.Known() && c.Nominal.Val > 0
}

// allTimed reports whether the checks can be put in an order.
func allTimed(checks []timed[*record.MeterCheck]) bool {
	return !slices.ContainsFunc(checks, func(c timed[*record.MeterCheck]) bool { return !c.known })
}

// between lists the tests of the session read after from and before to. A
// test without a time may have been, and is listed where open says so.
func (s *session) between(from, to float64, open bool) []int {
	var tests []int
	for _, t := range s.tests {
		if t.known && from < t.minutes && t.minutes < to || !t.known && open {
			tests = append(tests, t.what)
		}
	}
	return tests
}

// deviation is how far the reading of a check lies from what the solution
// has: from its nominal conductivity or, by a meter that does not
// compensate, from that at the temperature of the solution.
func (s *session) deviation(v *assess.Review, c *record.MeterCheck) unit.Percent {
	off := percent(c.Reading.Val, c.Nominal.Val)
	if at, ok := s.uncompensated(v, c); ok {
		if there := percent(c.Reading.Val, at); math.Abs(float64(there)) < math.Abs(float64(off)) {
			return there
		}
	}
	return off
}

func percent(read, nominal unit.Conductivity) unit.Percent {
	return unit.Percent(100 * (read/nominal - 1))
}

// uncompensated is what a meter that does not compensate should read in the
// check solution at its temperature, as one of potassium chloride; false where
// the meter does, where it is not known, and near 25 °C.
func (s *session) uncompensated(v *assess.Review, c *record.MeterCheck) (unit.Conductivity, bool) {
	t := c.Temperature
	if !t.Known() || math.Abs(float64(t.Val)-25) <= v.Basis.Value(assess.NoCompensation) || !s.notCompensating(v) {
		return 0, false
	}
	if at, err := salt.CheckSolution(c.Nominal.Val, t.Val); err == nil {
		return at, true
	}
	// Beyond the range of the formula, as the record refers readings to 25 °C.
	correction := v.Basis.Correction
	if correction.Kind == salt.NoCorrection {
		correction = salt.Correction{Kind: salt.Linear, Alpha: 2} // % per K, the usual one for dilute salts
	}
	ofOne, err := correction.To25(1, t.Val)
	if err != nil || ofOne <= 0 {
		return 0, false
	}
	return c.Nominal.Val / ofOne, true
}

// notCompensating reports whether the meter is known not to compensate: by
// the list of meters, else by every test of the session.
func (s *session) notCompensating(v *assess.Review) bool {
	for i := range v.Job.Meters {
		if m := &v.Job.Meters[i]; m.Compensates.Known() && s.meter != "" && plate(m.Serial.Val) == plate(s.meter) {
			return !m.Compensates.Val
		}
	}
	return !slices.ContainsFunc(s.tests, func(t timed[int]) bool {
		return v.Lines[t.what].Compensation != assess.NotCompensated
	})
}

// good reports whether a check is within its tolerance, the limits included.
func (s *session) good(v *assess.Review, c *record.MeterCheck) bool {
	const rounding = 1e-9 // of binary fractions
	return math.Abs(float64(s.deviation(v, c))) <= float64(tolerance(v, c))+rounding
}

// tolerance is what a check may be off by. What its row says does not widen
// what the job has agreed: of the two the tighter counts. The house setting
// counts only where neither says anything.
func tolerance(v *assess.Review, c *record.MeterCheck) unit.Percent {
	return v.Basis.ToleranceOf(c)
}

// tolerated reports whether the tolerance of a check is that of its row.
func tolerated(v *assess.Review, c *record.MeterCheck) bool {
	return c.Tolerance.Known() && (house(v, assess.CheckTolerance) || float64(c.Tolerance.Val) <= v.Basis.Value(assess.CheckTolerance))
}

// plate spells the number of an instrument for comparison: "K-0417" and
// "k 0417" are one meter.
func plate(serial string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, serial)
}

func checkRows(checks []timed[*record.MeterCheck]) []diag.Pos {
	var rows []diag.Pos
	for _, c := range checks {
		rows = append(rows, c.what.Row)
	}
	return rows
}
