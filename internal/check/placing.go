package check

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// notPlacedBetweenChecks: the meter was checked that day, and the times that
// would put the tests between two good checks are missing: those of the tests,
// or that of a check. A test that lies between two checks that do have a time
// is placed; one that lies before the first or after the last of checks that
// all have one is asked about there, and so is a check outside its tolerance.
var notPlacedBetweenChecks = &assess.Check{
	Name:     "not-placed-between-checks",
	Group:    assess.MeterAndCalibration,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.ContactTime},
	Run: func(v *assess.Review) {
		for _, s := range checkedSessions(v) {
			checks := s.numbered()
			if len(checks) == 0 || s.day.IsZero() ||
				slices.ContainsFunc(checks, func(c timed[*record.MeterCheck]) bool { return !s.good(v, c.what) }) {
				continue
			}
			untimed := slices.DeleteFunc(slices.Clone(checks), func(c timed[*record.MeterCheck]) bool { return c.known })
			for _, tests := range byDay(v, s.unplaced(v, checks)) {
				report(v, assess.Finding{
					Tests: tests, Places: append(checkRows(untimed), places(v, tests, readAt)...),
					Args: map[string]any{"Meter": s.meter, "Day": s.day, "Untimed": len(untimed), "Checks": len(checks)},
				})
			}
		}
	},
}

// unplaced lists the tests of the session that no times put on either side of
// its checks. An extract whose time is missing was read when its water had
// been on the steel for the contact time, or later.
func (s *session) unplaced(v *assess.Review, checks []timed[*record.MeterCheck]) []int {
	first, last := math.Inf(1), math.Inf(-1)
	for _, c := range checks {
		if c.known {
			first, last = min(first, c.minutes), max(last, c.minutes)
		}
	}
	all := allTimed(checks)
	var tests []int
	for _, t := range s.tests {
		from, to := t.minutes, t.minutes
		read := v.Lines[t.what].Test.Read().Known()
		if !read {
			to += v.Basis.Value(assess.ContactTime)
		}
		bracketed := t.known && first <= from && to <= last
		elsewhere := t.known && all && (read || from > last) // before-first-check, after-last-check
		if !bracketed && !elsewhere {
			tests = append(tests, t.what)
		}
	}
	return tests
}
