package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// zeroedOnTheWater: the record says that the meter was set to zero on the
// water, and a blank is subtracted from its readings. If the blank was read
// before the zero was set, the extract is net already and the blank is taken
// off twice, which shows K·g1 too little. The remark of the test is read, the
// diary of its day, and what the record says of the job beside our keys.
//
// A pass that would not stand without the subtraction is not established.
// Those passes are then the tests of the finding, else all.
var zeroedOnTheWater = &assess.Check{
	Name:     "zeroed-on-the-water",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		zeroed := onSteel(v, func(l *assess.Line) bool {
			_, said := zeroRemark(v, l.Test)
			return said && l.Density.Known && l.Test.Blank.Val > 0
		})
		for _, tests := range byDay(v, zeroed) {
			if open := keep(tests, func(i int) bool { return !holdsNet(&v.Lines[i]) }); len(open) > 0 {
				reportZeroed(v, open, assess.UnprovenPass)
				continue
			}
			reportZeroed(v, tests, assess.AsDeclared)
		}
	},
}

func reportZeroed(v *assess.Review, tests []int, severity assess.Severity) {
	l := &v.Lines[tests[0]]
	remark, _ := zeroRemark(v, l.Test)
	report(v, assess.Finding{
		Severity: severity, Tests: tests, Direction: assess.UnsafeSide,
		Places: places(v, tests, func(t *record.Test) diag.Pos {
			r, _ := zeroRemark(v, t)
			return r.Pos
		}),
		Args: map[string]any{
			"Remark": remark.Text, "Test": Number(v.Lines, tests[0]), "Blank": l.Test.Blank.Dec,
			"Value": l.Density.Value, "Net": net(l), "Open": severity == assess.UnprovenPass,
		},
	})
}

// net is the density of a test if its extract is net already.
func net(l *assess.Line) unit.SurfaceDensity {
	return unit.SurfaceDensity(l.Factor * float64(l.Test.Extract.Val))
}

// holdsNet reports whether the verdict of a test stays if its extract is net
// already.
func holdsNet(l *assess.Line) bool {
	if l.ByNumber != assess.Pass || l.Density.Value <= 0 {
		return true
	}
	return !slices.ContainsFunc(l.Limits, func(j assess.Judgement) bool {
		return j.Value*net(l)/l.Density.Value > j.Limit.Value
	})
}

// zeroRemark is what the record says of a zero set on the water, for a test.
func zeroRemark(v *assess.Review, t *record.Test) (record.Words, bool) {
	if zeroWords.told(t.Remark.Val, waterWords) {
		return t.Remark, true
	}
	for i := range v.Job.Days {
		d := &v.Job.Days[i]
		if d.Date.Known() && d.Date.Val == t.Date.Val && zeroWords.toldOf(d.Remarks.Val, waterWords) {
			return d.Remarks, true
		}
	}
	for _, f := range v.Job.Terms.Other {
		if zeroWords.toldOf(f.Key+" "+f.Value.Val, waterWords) {
			return f.Value, true
		}
	}
	return record.Words{}, false
}

var (
	zeroWords = lexiconOf("zeroed", "zero set", "set to zero", "tared", "nulled", "genullt", "nullgestellt", "auf null", "tariert",
		"a cero", "puesto a cero", "tarado", "mis à zéro", "remis à zéro", "mise à zéro", "remise à zéro", "taré", "nullstilt", "nullet", "tarert").
		butNotBeside("air", "dry", "luft", "aire", "seco", "sec")
	waterWords = setOf("water", "blank", "bottle", "di", "wasser", "blindwert", "flasche", "agua", "blanco", "botella", "eau", "blanc", "bouteille", "vann", "vannet", "blindprøve", "flaske")
)
