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
		told := zeroTold(v)
		tests := steel(v)
		if len(told.days) == 0 && told.job == nil {
			tests = remarked(v)
		}
		zeroed := among(v, tests, func(l *assess.Line) bool {
			return l.Density.Known && l.Test.Blank().Val > 0 && told.of(l.Test) != nil
		})
		for _, tests := range byDay(v, zeroed) {
			if open := keep(tests, func(i int) bool { return !holdsNet(&v.Lines[i]) }); len(open) > 0 {
				reportZeroed(v, told, open, assess.UnprovenPass)
				continue
			}
			reportZeroed(v, told, tests, assess.AsDeclared)
		}
	},
}

func reportZeroed(v *assess.Review, told zeroRemarks, tests []int, severity assess.Severity) {
	l := &v.Lines[tests[0]]
	report(v, assess.Finding{
		Severity: severity, Tests: tests, Direction: assess.UnsafeSide,
		Places: places(v, tests, func(t *record.Test) diag.Pos { return told.of(t).Pos }),
		Args: map[string]any{
			"Remark": told.of(l.Test).Text, "Test": Number(v.Lines, tests[0]), "Blank": l.Test.Blank().Dec,
			"Value": l.Density.Value, "Net": net(l), "Open": severity == assess.UnprovenPass,
		},
	})
}

// net is the density of a test if its extract is net already.
func net(l *assess.Line) unit.SurfaceDensity {
	return unit.SurfaceDensity(l.Factor() * float64(l.Test.Extract().Val))
}

// holdsNet reports whether the verdict of a test stays if its extract is net
// already.
func holdsNet(l *assess.Line) bool {
	if l.ByNumber != assess.Pass || l.Density.Value <= 0 {
		return true
	}
	return !slices.ContainsFunc(l.Limits(), func(j assess.Judgement) bool {
		return j.Value*net(l)/l.Density.Value > j.Limit.Value
	})
}

// zeroRemarks are what the record says of a zero set on the water elsewhere
// than beside the tests: in the diary of a day, and of the job.
type zeroRemarks struct {
	days map[unit.Date]*record.Words
	job  *record.Words
}

func zeroTold(v *assess.Review) zeroRemarks {
	told := zeroRemarks{days: map[unit.Date]*record.Words{}}
	for i := range v.Job.Days {
		d := &v.Job.Days[i]
		if d.Date.Known() && told.days[d.Date.Val] == nil && zeroWords.toldOf(d.Remarks.Val, waterWords) {
			told.days[d.Date.Val] = &d.Remarks
		}
	}
	for i := range v.Job.Terms.Other {
		if f := &v.Job.Terms.Other[i]; told.job == nil && zeroWords.toldOf(f.Key+" "+f.Value.Val, waterWords) {
			told.job = &f.Value
		}
	}
	return told
}

// of is what is said for a test; nil where nothing is.
func (told zeroRemarks) of(t *record.Test) *record.Words {
	if zeroWords.told(t.Remark().Val, waterWords) {
		remark := t.Remark()
		return &remark
	}
	if said := told.days[t.Date().Val]; said != nil {
		return said
	}
	return told.job
}

var (
	zeroWords = lexiconOf("zeroed", "zero set", "set to zero", "tared", "nulled", "genullt", "nullgestellt", "auf null", "tariert",
		"a cero", "puesto a cero", "tarado", "mis à zéro", "remis à zéro", "mise à zéro", "remise à zéro", "taré", "nullstilt", "nullet", "tarert").
		butNotBeside("air", "dry", "luft", "aire", "seco", "sec")
	waterWords = setOf("water", "blank", "bottle", "di", "wasser", "blindwert", "flasche", "agua", "blanco", "botella", "eau", "blanc", "bouteille", "vann", "vannet", "blindprøve", "flaske")
)
