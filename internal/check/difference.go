package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// differenceDoesNotFollow: the written difference is not extract less blank.
// It may be rounded, so half a unit of its last digit is allowed; where the
// readings were referred to 25 °C, their difference there is right too.
var differenceDoesNotFollow = &assess.Check{
	Name:     "difference-does-not-follow",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		written := where(steel(v), ask(v, record.Columns.Difference, record.Given[unit.Conductivity].Known))
		wrong := among(v, written, func(l *assess.Line) bool {
			t := l.Test
			return t.Blank().Known() && t.Extract().Known() && !differenceFollows(l)
		})
		for _, tests := range byDay(v, wrong) {
			var rows []differenceRow
			for _, i := range tests {
				l := &v.Lines[i]
				rows = append(rows, differenceRow{Number(v.Lines, i), l.Test.Difference().Dec, l.Test.Blank().Dec, l.Test.Extract().Dec, l.Difference()})
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests:  tests,
				Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Difference().Pos }),
				Args:   map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

type differenceRow struct {
	Test                    string
	Written, Blank, Extract unit.Decimal // µS/cm
	Value                   unit.Conductivity
}

// differenceFollows reports whether the written difference is that of the readings.
func differenceFollows(l *assess.Line) bool {
	t := l.Test
	if rounds(t.Extract().Dec.Ratio().Sub(t.Blank().Dec.Ratio()), t.Difference().Dec) {
		return true
	}
	if !l.At25().Known || l.Factor() == 0 {
		return false
	}
	at25 := float64(l.At25().Value) / l.Factor()
	return math.Abs(at25-float64(t.Difference().Val)) <= t.Difference().Dec.Step().Float()/2+1e-9
}

// extractBelowBlank: the extract reads lower than the water that went in, by
// more than one step of the meter. Steel does not take salt out of water: the
// blank was read of other water, or one of the two readings is not what it
// says. The result is not a zero.
var extractBelowBlank = &assess.Check{
	Name:     "extract-below-blank",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		below := among(v, unjudged(v), func(l *assess.Line) bool {
			return l.Because(assess.NegativeDifference) && l.Test.Extract().Val >= 0 // else impossible-value
		})
		for _, tests := range byDay(v, below) {
			first := v.Lines[tests[0]].Test
			report(v, assess.Finding{
				Tests:  tests,
				Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Extract().Pos }),
				Args:   map[string]any{"Test": Number(v.Lines, tests[0]), "Blank": first.Blank().Dec, "Extract": first.Extract().Dec},
			})
		}
	},
}
