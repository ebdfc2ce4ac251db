package check

import "saltline/internal/assess"

// typedOverFormula: a typed number where the rest of the column is computed
// (four cells in five, or more). Nothing is wrong with a typed value, but it
// no longer follows its readings when they are corrected, and the log does
// not say why this one was typed.
var typedOverFormula = &assess.Check{
	Name:     "typed-over-formula",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		typed := among(v, shownBySheet(v), func(l *assess.Line) bool { return l.Test.TypedOver() && l.Test.Recorded().Known() })
		for _, tests := range byDay(v, typed) {
			report(v, assess.Finding{Tests: tests, Places: places(v, tests, recordedAt)})
		}
	},
}

// staleFormula: the number that stands in the cell is not what its formula
// gives from the cells that it refers to: they were changed after it was
// last computed, or by something that does not compute.
var staleFormula = &assess.Check{
	Name:     "stale-formula",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		stale := among(v, shownBySheet(v), func(l *assess.Line) bool { return l.Test.StaleFormula() })
		for _, tests := range byDay(v, stale) {
			report(v, assess.Finding{Tests: tests, Places: places(v, tests, recordedAt)})
		}
	},
}
