package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// arithmeticChecks ask whether the written values follow from the written
// readings, in which unit and against which limit.
func arithmeticChecks() []*assess.Check {
	return []*assess.Check{
		systematicSlip, valueDoesNotFollow, roundedTowardLimit,
		differenceDoesNotFollow, extractBelowBlank,
		typedOverFormula, staleFormula,
		meanDoesNotFollow, meanHidesAFail,
		verdictAgainstNumber, judgedInAnotherUnit,
		limitDiffers, limitOfAnotherBasis, chlorideLimit, inTheGuardBand,
		volumeNotStated, volumeAgainstProcedure, recoveredAsVolume, volumeAgainstInjected,
		valueNotReadable, notAConductivity, impossibleValue, readingsInAnotherUnit, readingTenTimesTheRest,
		sourcesDisagree,
	}
}

// systematicSlip: most rows of a sheet do not follow from their readings, and
// one slip explains them. Such a slip sits in a formula and was not made row
// by row, so it is one finding a sheet. From which share of the rows it is
// called systematic is settled where the slips are looked for (four rows, and
// 80 % of those on which it would show: common practice).
var systematicSlip = &assess.Check{
	Name:     "systematic-slip",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, s := range v.Systematic {
			tests := explainedBy(v, s)
			if len(tests) == 0 {
				continue
			}
			args := map[string]any{
				"Explained": s.Rows, "Of": s.Of,
				"Low": countErring(v, tests, assess.UnsafeSide), "High": countErring(v, tests, assess.SafeSide),
			}
			args["Rows"], args["More"] = upTo(mostUnfollowed, unfollowed(v, tests))
			report(v, assess.Finding{
				Severity:  weight(v, tests),
				Tests:     tests,
				Places:    places(v, tests, recordedAt),
				Direction: erring(v, tests),
				Args:      args,
			})
		}
	},
}

// valueDoesNotFollow: single written values that are no rounding of what
// their readings give, nor within the digits that the log does not show. One
// finding a day lists them; the slips that would give them stand with the
// tests. Which of the two is wrong, the value or a reading, the row cannot
// tell.
var valueDoesNotFollow = &assess.Check{
	Name:     "value-does-not-follow",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		shared := map[int]bool{}
		for _, s := range v.Systematic {
			for _, i := range explainedBy(v, s) {
				shared[i] = true
			}
		}
		alone := onSteel(v, func(l *assess.Line) bool {
			return l.Agreement == assess.DoesNotFollow && !shared[l.Index] && !negativeResult(l.Test) // impossible-value
		})
		for _, tests := range byDay(v, alone) {
			few, more := upTo(mostUnfollowed, unfollowed(v, tests))
			report(v, assess.Finding{
				Severity:  weight(v, tests),
				Tests:     tests,
				Places:    places(v, tests, recordedAt),
				Direction: erring(v, tests),
				Args:      map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// mostUnfollowed is how many written values such a finding spells out.
const mostUnfollowed = 6

// An unfollowedRow is a value that does not follow, as the words show it.
type unfollowedRow struct {
	Test, Written string
	Value         unit.SurfaceDensity // that follows
	Falls         bool                // the log leaves its reader with another verdict than Value
}

func unfollowed(v *assess.Review, tests []int) []unfollowedRow {
	var rows []unfollowedRow
	for _, i := range tests {
		l := &v.Lines[i]
		rows = append(rows, unfollowedRow{
			Test: Number(v.Lines, i), Written: asWritten(l.Test.Recorded()), Value: l.Density.Value,
			Falls: aWrittenVerdictFalls(v, []int{i}),
		})
	}
	return rows
}

// roundedTowardLimit: the density is above the limit, the written value is a
// rounding of it that is not, and the log leaves it at that. A fail that is
// written beside such a value was judged unrounded, and a word that is not
// understood leaves open how it was. Rounding before the
// comparison is for the contract to allow; where it does, the value is judged
// rounded and passes.
var roundedTowardLimit = &assess.Check{
	Name:     "rounded-toward-the-limit",
	Group:    assess.Arithmetic,
	Severity: assess.ChangesVerdict,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		above := onSteel(v, func(l *assess.Line) bool {
			return l.ByNumber == assess.Fail && l.Written == assess.Pass && l.Agreement == assess.Agrees && l.Density.Known && l.Test.Recorded().Known() &&
				l.Limits()[0].Exceeds && l.AsWritten() != assess.Fail && !l.UnreadVerdict()
		})
		for _, tests := range byDay(v, above) {
			var rows []roundedRow
			for _, i := range tests {
				l := &v.Lines[i]
				rows = append(rows, roundedRow{
					Test: Number(v.Lines, i), Written: asWritten(l.Test.Recorded()), Value: l.Density.Value,
					Limit: l.Limits()[0].Limit.Exact, Decimals: apart(l.Density.Value, l.Limits()[0].Limit.Value),
				})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, recordedAt), Direction: assess.UnsafeSide,
				Args: map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// A roundedRow is a value above the limit that is written as one within it.
type roundedRow struct {
	Test, Written string
	Value         unit.SurfaceDensity
	Limit         unit.Decimal // mg/m²
	Decimals      int          // that tell Value from Limit
}

func recordedAt(t *record.Test) diag.Pos { return t.Recorded().Pos }

// explainedBy lists the tests on steel that a systematic slip explains.
func explainedBy(v *assess.Review, s assess.Systematic) []int {
	return onSteel(v, func(l *assess.Line) bool {
		if l.Test.Row().At(0, 0) != s.Sheet {
			return false
		}
		for _, e := range l.Explanations() {
			if e.Name == s.Explanation && e.Detail == s.Detail {
				return true
			}
		}
		return false
	})
}

// erring is the side to which the written values of the tests err, if they
// all err to one.
func erring(v *assess.Review, tests []int) assess.Direction {
	switch {
	case countErring(v, tests, assess.UnsafeSide) == len(tests):
		return assess.UnsafeSide
	case countErring(v, tests, assess.SafeSide) == len(tests):
		return assess.SafeSide
	}
	return assess.NoDirection
}

func countErring(v *assess.Review, tests []int, side assess.Direction) int {
	n := 0
	for _, i := range tests {
		switch l := &v.Lines[i]; {
		case !l.Density.Known:
		case side == assess.UnsafeSide && l.Test.Recorded().Val < l.Density.Value,
			side == assess.SafeSide && l.Test.Recorded().Val > l.Density.Value:
			n++
		}
	}
	return n
}
