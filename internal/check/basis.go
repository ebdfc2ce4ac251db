package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// limitOfAnotherBasis: the results are total salts by the constant, and the
// limit speaks of sodium chloride or of chloride. Said is on which basis the
// tests are judged. A chloride limit that conductivity does not decide has a
// finding of its own (chloride-limit-by-conductivity); here stand the tests
// that it does decide, with the most chloride that any of them can hold.
var limitOfAnotherBasis = &assess.Check{
	Name:     "limit-of-another-basis",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, basis := range []salt.Basis{salt.SodiumChloride, salt.ChlorideIon} {
			tests := onSteel(v, func(l *assess.Line) bool {
				if !l.LimitedBy(basis) {
					return false
				}
				j, ok := judgedBy(l, basis)
				return ok && l.Density.Known && (basis == salt.SodiumChloride || j.Outcome == salt.Conforms)
			})
			if len(tests) == 0 {
				continue
			}
			highest := slices.MaxFunc(tests, func(a, b int) int {
				return v.Lines[a].Exact().Cmp(v.Lines[b].Exact())
			})
			l := &v.Lines[highest]
			j, _ := judgedBy(l, basis)
			at := j.Limit.Pos
			if at.IsZero() {
				at = extractAt(l.Test)
			}
			report(v, assess.Finding{
				Tests: tests, Places: []diag.Pos{at},
				Args: map[string]any{
					"Chloride": basis == salt.ChlorideIon, "Limit": j.Limit.Exact,
					"Test": Number(v.Lines, highest), "Total": l.Judged().Value, "Value": j.Value, "Decimals": apart(j.Value, j.Limit.Value),
				},
			})
		}
	},
}

// judgedBy is the judgement of a test by a limit of a basis.
func judgedBy(l *assess.Line, basis salt.Basis) (assess.Judgement, bool) {
	for j := range l.EachLimit {
		if j.Limit.Basis == basis && len(j.Limit.Gaps) == 0 {
			return j, true
		}
	}
	return assess.Judgement{}, false
}

// inTheGuardBand: under the guarded decision rule a density within the limit
// by less than its expanded uncertainty is neither a pass nor a fail (JCGM
// 106:2012, 8.3.2); under guarded rejection one above the limit by less is
// neither. The verdict is drawn from the numbers; this says why, and what to
// do.
var inTheGuardBand = &assess.Check{
	Name:     "in-the-guard-band",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		undecided := among(v, unjudged(v), func(l *assess.Line) bool { return l.Because(assess.InGuardBand) })
		for _, tests := range byDay(v, undecided) {
			var rows []guardRow
			for _, i := range tests {
				l := &v.Lines[i]
				k := slices.IndexFunc(l.Limits(), func(j assess.Judgement) bool { return j.Outcome == salt.Undecided })
				j := &l.Limits()[max(0, k)]
				rows = append(rows, guardRow{
					Test: Number(v.Lines, i), Value: j.Value, Expanded: l.Uncertainty().Expanded,
					Limit: j.Limit.Exact, Decimals: apart(j.Value, j.Limit.Value),
				})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, extractAt),
				Args: map[string]any{"Rows": few, "More": more, "Rejection": v.Basis.Rule == salt.GuardedRejection},
			})
		}
	},
}

// A guardRow is a test in the guard band.
type guardRow struct {
	Test            string
	Value, Expanded unit.SurfaceDensity // in the basis of the limit; U
	Limit           unit.Decimal        // mg/m²
	Decimals        int                 // that tell Value from Limit
}
