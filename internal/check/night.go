package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// aNight is how long a gap over midnight is for it to be a night and no pause
// of a night shift (house figure).
const aNight = 8 * 60 // min

// nightBeforeCoating: a night lies between the last test of an area and its
// coating, and the record agrees on no hours within which coating has to
// follow. Dew, fog and spray bring salt back. Where hours are agreed they
// decide (pass-too-old).
var nightBeforeCoating = &assess.Check{
	Name:     "night-before-coating",
	Group:    assess.ExtractionAndClock,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		if _, agreed := v.Basis.Setting(assess.HoursToCoating); agreed {
			return
		}
		for k := range v.Job.Areas {
			area := &v.Job.Areas[k]
			if !area.CoatingStarted.Known() {
				continue
			}
			areas := areasNamed(v)
			number := areas.find(area.Name.Val)
			tests := onSteel(v, func(l *assess.Line) bool {
				return areas.at(l.Index) == number && l.Test.Date().Known()
			})
			last, ok := lastOf(v, tests)
			if !ok || !nightBetween(v, last, area.CoatingStarted.Val) {
				continue
			}
			t := v.Lines[last].Test
			reportByDay(v, t.Date().Val, assess.Finding{
				Tests: tests, Places: places(v, []int{last}, timeAt),
				Args: map[string]any{
					"Area": area.Name.Text, "Test": Number(v.Lines, last), "Last": t.Date().Val, "HasTime": t.Read().Known(), "At": t.Read().Val,
					"Day": area.CoatingStarted.Val.Date, "HasClock": area.CoatingStarted.Val.HasClock, "Clock": area.CoatingStarted.Val.Clock,
				},
			})
		}
	},
}

// lastOf is the test that was made last.
func lastOf(v *assess.Review, tests []int) (last int, ok bool) {
	var latest unit.Minutes
	for _, i := range tests {
		if at := readOrEndOfDay(v, i); !ok || at >= latest {
			last, latest, ok = i, at, true
		}
	}
	return last, ok
}

// nightBetween reports whether a night lies between a test and a moment: the
// moment is of a later day and, as far as both have a time, so many hours
// after.
func nightBetween(v *assess.Review, test int, m record.Moment) bool {
	if m.Date.Compare(v.Lines[test].Test.Date().Val) <= 0 {
		return false
	}
	end, timed := stayOf(v, test).end()
	begun, _ := momentSpan(m)
	return !timed || !m.HasClock || begun-end >= aNight
}
