package check

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// notCompensated: the meter did not refer its readings to 25 °C, or is not
// known to have, and the solution was not near 25 °C. Both bases are worked
// out: with the correction of the record, else with 2 % per kelvin as a
// what-if. A test that is at or below the limit as read and above it at 25 °C
// establishes no pass; of the others the evidence is only weaker. The two are
// separate findings. Compensation that was off, at a temperature that nobody
// wrote down, leaves the basis of the reading open, and no pass rests on it;
// where neither is written down it is compensation-not-recorded.
var notCompensated = &assess.Check{
	Name:     "not-compensated",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.NoCompensation},
	Run: func(v *assess.Review) {
		type kind struct {
			day     unit.Date
			setting assess.Compensation
			falls   bool
		}
		asked := among(v, solutionRead(v), func(l *assess.Line) bool { return l.Compensation != assess.Compensated && awayFrom25(v, l) })
		for _, tests := range groups(asked, func(i int) kind {
			return kind{v.Lines[i].Test.Date().Val, v.Lines[i].Compensation, at25Of(v, &v.Lines[i]).falls}
		}) {
			var rows []bases
			for _, i := range tests {
				rows = append(rows, at25Of(v, &v.Lines[i]))
			}
			f := assess.Finding{
				Tests: tests, Places: places(v, tests, compensatedAt), Direction: coldOrWarm(v, tests),
				Args: map[string]any{
					"Unknown": v.Lines[tests[0]].Compensation == assess.CompensationUnknown, "Falls": rows[0].falls,
					"Agreed": v.Basis.Correction.Kind != salt.NoCorrection,
				},
			}
			if !rows[0].falls {
				f.Severity = assess.Weakens
			}
			f.Args["Shown"] = !slices.ContainsFunc(rows, func(b bases) bool { return !b.Computed })
			f.Args["Rows"], f.Args["More"] = upTo(mostShown, rows)
			report(v, f)
		}
		untold := among(v, notCompensating(v), func(l *assess.Line) bool {
			t := l.Test
			return !t.SolutionTemperature().Known() && t.Extract().Known()
		})
		for _, tests := range byDay(v, untold) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, compensatedAt),
				Args: map[string]any{"Rows": []bases(nil), "More": 0, "Unknown": false, "Falls": false, "Shown": false, "Agreed": false},
			})
		}
	},
}

func compensatedAt(t *record.Test) diag.Pos {
	if t.Compensated().Known() {
		return t.Compensated().Pos
	}
	return t.SolutionTemperature().Pos
}

// awayFrom25 reports whether a test with a density was read at a temperature
// at which compensation matters.
func awayFrom25(v *assess.Review, l *assess.Line) bool {
	t := l.Test
	within := v.Basis.Value(assess.NoCompensation)
	return l.Density.Known && t.SolutionTemperature().Known() &&
		math.Abs(float64(t.SolutionTemperature().Val)-25) > within
}

// A bases is a test on both bases.
type bases struct {
	Test       string
	Solution   unit.Temperature
	Read, At25 unit.SurfaceDensity
	Computed   bool // At25 could be worked out
	falls      bool // at or below the limit as read, and not shown to be so at 25 °C
}

// usualCoefficient is the rise of conductivity that is usual for dilute salt
// solutions (EPA method 120.1 and ISO 7888 know figures around it).
const usualCoefficient = 2 // % per kelvin

// at25Of works a test out on both bases.
func at25Of(v *assess.Review, l *assess.Line) bases {
	t := l.Test
	b := bases{Test: Number(v.Lines, l.Index), Solution: t.SolutionTemperature().Val, Read: l.Density.Value}
	if l.At25().Known { // the verdict of the numbers covers both bases
		b.At25, b.Computed, b.falls = l.At25().Value, true, l.Because(assess.FailsAt25)
		return b
	}
	ofBlank := t.SolutionTemperature().Val
	if t.BlankTemperature().Known() {
		ofBlank = t.BlankTemperature().Val
	}
	linear := salt.Correction{Kind: salt.Linear, Alpha: usualCoefficient}
	g1, err1 := linear.To25(t.Blank().Val, ofBlank)
	g2, err2 := linear.To25(t.Extract().Val, t.SolutionTemperature().Val)
	b.At25, b.Computed = unit.SurfaceDensity(l.Factor()*float64(g2-g1)), err1 == nil && err2 == nil
	if len(l.Limits()) > 0 && len(l.Limits()[0].Limit.Gaps) == 0 {
		j := &l.Limits()[0]
		scale := unit.SurfaceDensity(1) // from the density to the basis of the limit
		if l.Density.Value > 0 && j.Value > 0 {
			scale = j.Value / l.Density.Value
		}
		b.falls = !j.Exceeds && (!b.Computed || scale*b.At25 > j.Limit.Value)
	}
	return b
}

// coldOrWarm is the side to which readings without compensation err: cold
// solutions read low.
func coldOrWarm(v *assess.Review, tests []int) assess.Direction {
	cold := 0
	for _, i := range tests {
		if v.Lines[i].Test.SolutionTemperature().Val < 25 {
			cold++
		}
	}
	switch cold {
	case len(tests):
		return assess.UnsafeSide
	case 0:
		return assess.SafeSide
	}
	return assess.NoDirection
}
