package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
)

// A log seldom has all the columns that there are. The tests that have
// something in one are listed once for all checks that go by it, and a check
// looks at these alone: where the log has no such column it has nothing to do.

// holding lists the tests on steel of which something holds, once for all
// checks. The list is for reading.
func holding(what func(*assess.Line) bool) func(*assess.Review) []int {
	return assess.Shared(func(v *assess.Review) []int { return onSteel(v, what) })
}

var (
	timedTests      = holding(func(l *assess.Line) bool { return hasTime(l.Test) })
	twiceTimed      = holding(func(l *assess.Line) bool { return l.Test.Start().Known() && l.Test.Read().Known() })
	remarked        = holding(func(l *assess.Line) bool { return l.Test.Remark().Val != "" })
	recovered       = holding(func(l *assess.Line) bool { return l.Test.Recovered().Known() })
	injected        = holding(func(l *assess.Line) bool { return l.Test.Injected().Known() })
	usesCounted     = holding(func(l *assess.Line) bool { return l.Test.PatchUse().Known() })
	limited         = holding(func(l *assess.Line) bool { return l.Test.Limit().Known() })
	steelRead       = holding(func(l *assess.Line) bool { return l.Test.Steel().Known() })
	solutionRead    = holding(func(l *assess.Line) bool { return l.Test.SolutionTemperature().Known() })
	shownBySheet    = holding(func(l *assess.Line) bool { return unseenIn(l.Test) || l.Test.TypedOver() || l.Test.StaleFormula() })
	notCompensating = holding(func(l *assess.Line) bool { return l.Compensation == assess.NotCompensated })
	unjudged        = holding(func(l *assess.Line) bool { return l.Open() })
	contradicted    = assess.Shared(func(v *assess.Review) []int {
		return onSteel(v, func(l *assess.Line) bool { return contradicts(v, l) })
	})
	notRead = holding(func(l *assess.Line) bool {
		t := l.Test
		return t.Blank().State == record.Unreadable || t.Extract().State == record.Unreadable || t.Volume().State == record.Unreadable ||
			t.PatchArea().State == record.Unreadable || t.Recorded().State == record.Unreadable || t.Difference().State == record.Unreadable
	})
)
