package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
)

// sheets are those that the tests stand in.
var sheets = assess.Shared(func(v *assess.Review) *record.Answers[diag.Pos] { return logOf(v).Sheets() })

// What several checks ask of all tests.
var (
	numberSaid     = said(record.Columns.Number)
	startKnown     = known(record.Columns.Start)
	readKnown      = known(record.Columns.Read)
	blankKnown     = known(record.Columns.Blank)
	extractKnown   = known(record.Columns.Extract)
	injectedKnown  = known(record.Columns.Injected)
	recoveredKnown = known(record.Columns.Recovered)
	locationSaid   = said(record.Columns.Location)
	xKnown         = known(record.Columns.X)
	usesKnown      = known(record.Columns.PatchUse)
	solutionKnown  = known(record.Columns.SolutionTemperature)
	patchKindKnown = known(record.Columns.PatchKind)
	limitKnown     = known(record.Columns.Limit)
	substrateKnown = known(record.Columns.Substrate)
	remarkSaid     = said(record.Columns.Remark)
)

// The tests on steel that several checks go by, each listed once. The lists are
// for reading.
var (
	timedTests   = listed(steel, startKnown, readKnown)
	everyTimed   = listed(everyTest, startKnown, readKnown) // those on glass too
	remarked     = listed(steel, remarkSaid)
	recovered    = listed(steel, recoveredKnown)
	injected     = listed(steel, injectedKnown)
	usesCounted  = listed(steel, usesKnown)
	limited      = listed(steel, limitKnown)
	steelRead    = listed(steel, known(record.Columns.Steel))
	solutionRead = listed(steel, solutionKnown)
	notRead      = listed(steel,
		unread(record.Columns.Blank), unread(record.Columns.Extract), unread(record.Columns.Volume),
		unread(record.Columns.PatchArea), unread(record.Columns.Recorded), unread(record.Columns.Difference),
	)

	twiceTimed      = holding(timedTests, func(l *assess.Line) bool { return l.Test.Start().Known() && l.Test.Read().Known() })
	shownBySheet    = holding(steel, func(l *assess.Line) bool { return unseenIn(l.Test) || l.Test.TypedOver() || l.Test.StaleFormula() })
	notCompensating = holding(steel, func(l *assess.Line) bool { return l.Compensation == assess.NotCompensated })
	unjudged        = holding(steel, func(l *assess.Line) bool { return l.Open() })
	contradicted    = assess.Shared(func(v *assess.Review) []int {
		return onSteel(v, func(l *assess.Line) bool { return contradicts(v, l) })
	})
)

// holding lists those of the tests of which something holds, once for all
// checks. The list is for reading.
func holding(tests func(*assess.Review) []int, what func(*assess.Line) bool) func(*assess.Review) []int {
	return assess.Shared(func(v *assess.Review) []int { return among(v, tests(v), what) })
}
