package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// verdictAgainstNumber: the written verdict is not what the written value
// says of itself beside the limit. A written fail whose readings do fail, by
// another limit or at 25 °C, is right and not asked about; nor is a written
// pass whose readings pass, beside a value that was rounded up to the limit
// for print; nor is a verdict on a value that the decision rule leaves open.
// Where the limit speaks of sodium
// chloride the written value, which is total salts, is held against it as the
// test is judged: as the sodium chloride of the same conductivity. A limit of
// chloride says nothing of a written value of total salts.
var verdictAgainstNumber = &assess.Check{
	Name:     "verdict-against-number",
	Group:    assess.Arithmetic,
	Severity: assess.ChangesVerdict,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		contradicting := among(v, contradicted(v), func(l *assess.Line) bool { return !inAnotherUnit(v, l) })
		for _, tests := range byDay(v, contradicting) {
			var rows []contradiction
			for _, i := range tests {
				rows = append(rows, contradictionOf(v, i))
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, verdictAt),
				Direction: side(v, tests),
				Args:      map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// judgedInAnotherUnit: the written verdict contradicts the written value,
// and is what comes out when the number is held against the limit's number
// while the two are in different units: 5.4 µg/cm² against 50 mg/m².
var judgedInAnotherUnit = &assess.Check{
	Name:     "judged-in-another-unit",
	Group:    assess.Arithmetic,
	Severity: assess.ChangesVerdict,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		contradicting := among(v, contradicted(v), func(l *assess.Line) bool {
			// A value that does not follow, while its readings give the written verdict, has the slip in its unit (value-does-not-follow).
			return inAnotherUnit(v, l) && !(l.Agreement == assess.DoesNotFollow && l.ByNumber == l.AsWritten())
		})
		for _, tests := range byDay(v, contradicting) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, verdictAt), Direction: side(v, tests),
				Args: map[string]any{"First": contradictionOf(v, tests[0]), "Value": v.Lines[tests[0]].Test.Recorded().Val},
			})
		}
	},
}

func verdictAt(t *record.Test) diag.Pos { return t.RecordedVerdict().Pos }

// A contradiction is a written value with its written verdict.
type contradiction struct {
	Test, Written string
	Verdict       string       // as written
	Limit         unit.Decimal // mg/m²
	LimitText     string       // as written
	Below         bool         // the value equals the limit and would have to be less

	SodiumChloride bool // the limit speaks of it
	Value          unit.SurfaceDensity
	Decimals       int // that tell Value, in the basis of the limit, from Limit
}

func contradictionOf(v *assess.Review, i int) contradiction {
	t, j := v.Lines[i].Test, v.Lines[i].Limits()[0]
	return contradiction{
		Test: Number(v.Lines, i), Written: asWritten(t.Recorded()), Verdict: t.RecordedVerdict().Text,
		Limit: j.Limit.Exact, LimitText: j.Limit.Text,
		Below:          j.Limit.Comparison == salt.LessThan && t.Recorded().Dec.Cmp(j.Limit.Exact) == 0,
		SodiumChloride: j.Limit.Basis == salt.SodiumChloride, Value: j.Value, Decimals: apart(j.Value, j.Limit.Value),
	}
}

// contradicts reports whether the written verdict is not that of the written
// value.
func contradicts(v *assess.Review, l *assess.Line) bool {
	t := l.Test
	first, limited := l.First()
	if !limited || l.AsWritten() == l.Written && first.Limit.Basis == salt.TotalSalts ||
		!t.RecordedVerdict().Known() || !t.Recorded().Known() || l.Because(assess.InGuardBand) {
		return false
	}
	says := l.Written
	switch {
	case first.Limit.Basis == salt.ChlorideIon:
		return false
	case first.Limit.Basis == salt.SodiumChloride:
		if l.Agreement != assess.Agrees && l.Agreement != assess.AgreesThroughUnseenDigits {
			return false
		}
		says = l.ByNumber
	case v.Basis.Rule == salt.GuardedRejection && says == assess.Fail && t.Recorded().Val <= first.Limit.Value+l.Uncertainty().Expanded:
		return false
	}
	switch t.RecordedVerdict().Val {
	case record.WrittenPass:
		return says == assess.Fail && !(l.ByNumber == assess.Pass && l.Agreement == assess.Agrees)
	case record.WrittenFail:
		return says == assess.Pass && l.ByNumber != assess.Fail
	}
	return false
}

// inAnotherUnit reports whether the written verdict is that of the bare
// numbers of value and limit, which are in different units.
func inAnotherUnit(v *assess.Review, l *assess.Line) bool {
	value, ok := scale(l.Test.Recorded().Unit)
	limit, okLimit := scale(limitUnit(v, l))
	if !ok || !okLimit || value.Cmp(limit) == 0 {
		return false
	}
	bare := float64(l.Test.Recorded().Val) / value.Float()
	within := bare <= float64(l.Limits()[0].Limit.Value)/limit.Float()
	return within == (l.Test.RecordedVerdict().Val == record.WrittenPass)
}

// scale is what one of a unit is in mg/m². A value without a unit was taken
// as mg/m².
func scale(symbol string) (unit.Decimal, bool) {
	r := unit.ParseDensity("1", symbol, unit.PointSign)
	return r.Value, r.State == unit.Known
}

// limitUnit is the unit in which the limit of a test was written.
func limitUnit(v *assess.Review, l *assess.Line) string {
	if l.Test.Limit().Known() && l.Test.Limit().Unit != "" {
		return l.Test.Limit().Unit
	}
	agreed, _ := agreedLimit(v, l)
	return agreed.Unit
}

// side is unsafe where a written pass is at stake, safe where only written
// fails are.
func side(v *assess.Review, tests []int) assess.Direction {
	d := assess.SafeSide
	for _, i := range tests {
		if v.Lines[i].Test.RecordedVerdict().Val == record.WrittenPass {
			d = assess.UnsafeSide
		}
	}
	return d
}
