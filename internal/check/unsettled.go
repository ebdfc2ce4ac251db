package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// compensationNotRecorded: neither whether the meter compensated nor the
// temperature of the solution is recorded, so the readings may be of any
// temperature. Where the record has a place for it, in a column or in a list of
// meters, and leaves it open, the evidence is weaker; a log that has no such
// place is one of many, and it is said once.
var compensationNotRecorded = &assess.Check{
	Name:     "compensation-not-recorded",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		warmth := solutionKnown(v)
		tests := keep(where(steel(v), extractKnown(v)), func(i int) bool {
			return v.Lines[i].Compensation == assess.CompensationUnknown && !warmth.At(i)
		})
		switch {
		case len(tests) == 0:
		case hasPlaceForCompensation(v):
			report(v, assess.Finding{Tests: tests, Places: places(v, tests, compensatedAt), Args: map[string]any{"Place": true}})
		default:
			v.Report(assess.Finding{Severity: assess.Housekeeping, Args: map[string]any{"Place": false}})
		}
	},
}

// hasPlaceForCompensation reports whether the record has a column that would
// hold the setting of the meter or the temperature of the solution, or lists a
// meter for conductivity.
func hasPlaceForCompensation(v *assess.Review) bool {
	return len(listedMeters(v)) > 0 || slices.ContainsFunc(v.Job.Note.Headings, func(h record.Heading) bool {
		return h.Column == "compensated" || h.Column == "solution temperature"
	})
}
