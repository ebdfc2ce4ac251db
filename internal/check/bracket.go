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

// A reading rests on two good checks of its meter, one before and one after
// it: what lies between them is bracketed. The checks below ask for either
// side of the bracket and never twice for the same one (common practice;
// US EPA method 120.1 asks for a daily check).

// meterChecksNotRecorded: the record holds no meter check and no list of
// meters. Many site logs do not, and their verdicts stand; it is said once.
var meterChecksNotRecorded = &assess.Check{
	Name:     "meter-checks-not-recorded",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Housekeeping,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		if len(v.Job.Checks) == 0 && len(v.Job.Meters) == 0 && len(v.Lines) > 0 {
			v.Report(assess.Finding{})
		}
	},
}

// noMeterCheck: the record keeps meter checks or lists its meters, and holds
// no check of this meter on this day that has a number. One finding a day
// and meter; one for the job where it holds no check at all. A meter that is
// not on the list is asked about as such.
var noMeterCheck = &assess.Check{
	Name:     "no-meter-check",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Checks) == 0 && len(v.Job.Meters) == 0 {
			return
		}
		all, listed := sessions(v), listedMeters(v)
		bare := slices.DeleteFunc(slices.Clone(all), func(s session) bool {
			strange := len(listed) > 0 && s.meter != "" && listed[plate(s.meter)] == ""
			return len(s.numbered()) > 0 || strange // meter-not-listed
		})
		if len(bare) == len(all) && len(bare) > 1 && len(v.Job.Checks) == 0 {
			var tests []int
			for _, s := range bare {
				tests = append(tests, s.between(math.Inf(-1), math.Inf(1), true)...)
			}
			slices.Sort(tests)
			report(v, assess.Finding{Tests: tests, Places: places(v, tests, (*record.Test).Row), Args: map[string]any{"Meter": "", "Ever": false, "Day": unit.Date{}, "Ticks": 0}})
			return
		}
		for _, s := range bare {
			for _, tests := range byDay(v, s.between(math.Inf(-1), math.Inf(1), true)) {
				report(v, assess.Finding{
					Tests: tests, Places: append(checkRows(s.checks), places(v, tests, (*record.Test).Row)...),
					Args: map[string]any{"Meter": s.meter, "Ever": true, "Day": s.day, "Ticks": len(s.checks)},
				})
			}
		}
	},
}

// beforeFirstCheck: tests that were read before the first check of the day.
// Whether the meter was right when they were read is not known from that side.
var beforeFirstCheck = &assess.Check{
	Name:     "before-first-check",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, s := range checkedSessions(v) {
			checks := s.numbered()
			if len(checks) == 0 || !allTimed(checks) || !s.good(v, checks[0].what) {
				continue
			}
			before := slices.DeleteFunc(s.between(math.Inf(-1), checks[0].minutes, false), func(i int) bool {
				return !v.Lines[i].Test.Read().Known() // it may have begun before the check and been read after it
			})
			for _, tests := range byDay(v, before) {
				report(v, assess.Finding{
					Tests: tests, Places: append([]diag.Pos{checks[0].what.Row}, places(v, tests, readAt)...),
					Args: map[string]any{"Meter": s.meter, "First": checks[0].what.Time.Val},
				})
			}
		}
	},
}

// afterLastCheck: tests that were read after the last check of the day. No
// closing check, no bracket.
var afterLastCheck = &assess.Check{
	Name:     "after-last-check",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, s := range checkedSessions(v) {
			checks := s.numbered()
			if len(checks) == 0 || !allTimed(checks) || !s.good(v, checks[len(checks)-1].what) {
				continue
			}
			last := checks[len(checks)-1]
			for _, tests := range byDay(v, s.between(last.minutes, math.Inf(1), false)) {
				report(v, assess.Finding{
					Tests: tests, Places: append([]diag.Pos{last.what.Row}, places(v, tests, readAt)...),
					Args: map[string]any{"Meter": s.meter, "Last": last.what.Time.Val},
				})
			}
		}
	},
}

// checkOutsideTolerance: a check found the meter further off than its
// tolerance. When it went off is not known, so every test since the last good
// check is touched, and every one up to the next. A meter that does not
// compensate is held to what the solution has at its temperature.
var checkOutsideTolerance = &assess.Check{
	Name:     "check-outside-tolerance",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.CheckTolerance},
	Run: func(v *assess.Review) {
		for _, s := range checkedSessions(v) {
			checks := s.numbered()
			for from := 0; from < len(checks); from++ {
				if s.good(v, checks[from].what) {
					continue
				}
				to := from
				for to+1 < len(checks) && !s.good(v, checks[to+1].what) {
					to++
				}
				s.reportOff(v, checks, from, to)
				from = to
			}
		}
	},
}

// reportOff reports the checks from to to, which follow one another and are
// all outside.
func (s *session) reportOff(v *assess.Review, checks []timed[*record.MeterCheck], from, to int) {
	since, until := math.Inf(-1), math.Inf(1)
	if from > 0 {
		since = checks[from-1].minutes
	}
	if to+1 < len(checks) {
		until = checks[to+1].minutes
	}
	if !allTimed(checks) {
		since, until = math.Inf(-1), math.Inf(1)
	}
	worst := slices.MaxFunc(checks[from:to+1], func(a, b timed[*record.MeterCheck]) int {
		return cmp.Compare(math.Abs(float64(s.deviation(v, a.what))), math.Abs(float64(s.deviation(v, b.what))))
	}).what
	off := s.deviation(v, worst)
	direction := assess.SafeSide
	if off < 0 {
		direction = assess.UnsafeSide
	}
	days := byDay(v, s.between(since, until, true))
	if len(days) == 0 {
		days = [][]int{nil} // the check is off, whether it touches a test or not
	}
	for _, tests := range days {
		f := assess.Finding{
			Tests: tests, Places: checkRows(checks[from : to+1]), Direction: direction,
			Args: map[string]any{
				"Meter": s.meter, "Checks": to - from + 1, "Reading": worst.Reading.Dec, "Nominal": worst.Nominal.Dec,
				"Off": off, "Decimals": apart(max(off, -off), tolerance(v, worst)),
				"Tolerance": tolerance(v, worst), "House": !tolerated(v, worst) && house(v, assess.CheckTolerance),
				"Flips": Numbers(v.Lines, flipping(v, tests, off)),
			},
		}
		if len(tests) == 0 {
			f.Date = s.day
		}
		report(v, f)
	}
}

// flipping are the passes that would be above their limit if the meter had
// been off by so much when they were read.
func flipping(v *assess.Review, tests []int, off unit.Percent) []int {
	return slices.DeleteFunc(slices.Clone(tests), func(i int) bool {
		l := &v.Lines[i]
		if l.ByNumber != assess.Pass || off <= -100 {
			return true
		}
		return float64(l.Limits()[0].Value)/(1+float64(off)/100) <= float64(l.Limits()[0].Limit.Value)
	})
}

// house reports whether a threshold is the program's own and not the
// record's.
func house(v *assess.Review, key string) bool {
	s, _ := v.Basis.Setting(key)
	return s.House
}
