package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// The volumes of the two honest procedures, ml: about three go into a cell of
// 1250 mm² and are read directly; ten or fifteen stand in the beaker that the
// extract goes back to (common practice).
const (
	usualDirect   = 3
	usualBeaker   = 15
	mostDirect    = 8 // more than any cell takes by direct reading
	leastOfBeaker = 5 // less than dips an electrode
)

// volumeNotStated: neither the test nor the job says in how much water the
// salt was dissolved when it was read. Between the two procedures lies a
// factor of five, and the readings look alike.
var volumeNotStated = &assess.Check{
	Name:     "volume-not-stated",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		tests := among(v, unjudged(v), func(l *assess.Line) bool { return l.Because(assess.NoVolume) })
		if len(tests) > 0 {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, (*record.Test).Row),
				Args: factors(&v.Lines[tests[0]]),
			})
		}
	},
}

// volumeAgainstProcedure: the volume belongs to the other procedure: eight
// millilitres and more were not read directly, five and less did not go back
// to a beaker. The volume stays what the record says; no pass rests on it.
var volumeAgainstProcedure = &assess.Check{
	Name:     "volume-against-procedure",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		askVolumes(v, record.Direct, func(ml unit.Volume) bool { return ml >= mostDirect })
		askVolumes(v, record.BeakerReturn, func(ml unit.Volume) bool { return ml <= leastOfBeaker })
	},
}

// askVolumes asks about the tests of one procedure whose volume is the other's.
func askVolumes(v *assess.Review, p record.Procedure, others func(unit.Volume) bool) {
	of := where(steel(v), ask(v, record.Columns.Procedure, func(g record.Given[record.Procedure]) bool {
		return v.Basis.ProcedureOf(g) == p
	}))
	may := ask(v, record.Columns.Volume, func(g record.Given[unit.Volume]) bool { return g.State.Silent() || others(g.Val) })
	tests := among(v, where(of, may), func(l *assess.Line) bool { return l.Volume().Known && others(l.Volume().Val) })
	if len(tests) == 0 {
		return
	}
	first := &v.Lines[tests[0]]
	args := factors(first)
	args["Volume"], args["Direct"] = first.Volume().Val, p == record.Direct
	at := first.Volume().Pos
	if at.IsZero() {
		at = first.Test.Row()
	}
	report(v, assess.Finding{Tests: tests, Places: []diag.Pos{at}, Args: args})
}

// factors are K in mg/m² per µS/cm for either procedure.
func factors(l *assess.Line) map[string]any {
	k := func(ml float64) float64 { return 100 * float64(l.Constant().Val) * ml / float64(l.PatchArea().Val) }
	return map[string]any{
		"UsualDirect": unit.Volume(usualDirect), "FactorDirect": k(usualDirect),
		"UsualBeaker": unit.Volume(usualBeaker), "FactorBeaker": k(usualBeaker),
	}
}

// recoveredAsVolume: the volume in the formula is the water that came out of
// the patch. What stays behind in the cell took its salt along, so the water
// that went in counts. It shows where the volume equals the recovered water
// and more is known to have gone in; and, where what went in is not recorded,
// where the volumes change from test to test as nobody sets a syringe: three
// different ones, two of them no half millilitres.
//
// A test whose density with the injected water is above its limit, or may be
// as that water is not known, is no proof of a pass. Those are then the tests
// of the finding.
var recoveredAsVolume = &assess.Check{
	Name:     "recovered-as-volume",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		tests := among(v, recovered(v), func(l *assess.Line) bool { return asRecovered(l.Test) })
		if len(tests) == 0 {
			tests = uneven(v)
		}
		if len(tests) == 0 {
			return
		}
		f := assess.Finding{
			Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Volume().Pos }),
			Direction: assess.UnsafeSide,
			Args:      map[string]any{"Rows": len(tests), "Least": least(v, tests), "Most": most(v, tests), "Test": ""},
		}
		first := &v.Lines[tests[0]]
		if injected, ok := injectedOf(v, first.Test); ok && first.Density.Known {
			f.Args["Test"], f.Args["Injected"] = Number(v.Lines, tests[0]), injected
			f.Args["Value"], f.Args["With"] = first.Density.Value, withVolume(first, injected)
		}
		if open := keep(tests, func(i int) bool { return !holdsInjected(v, &v.Lines[i]) }); len(open) > 0 {
			f.Tests, f.Severity = open, assess.UnprovenPass
		}
		report(v, f)
	},
}

// uneven are the tests whose volumes look measured rather than set, in a log
// that does not say what was injected.
func uneven(v *assess.Review) []int {
	volumes := ask(v, record.Columns.Volume, func(g record.Given[unit.Volume]) unit.Volume {
		if g.Known() && g.Val <= leastOfBeaker {
			return g.Val
		}
		return unit.Volume(math.Inf(1))
	})
	if _, same := volumes.All(); same {
		return nil
	}
	went := injectedKnown(v)
	tests := keep(steel(v), func(i int) bool { return volumes.At(i) <= leastOfBeaker && !went.At(i) })
	different, odd := map[unit.Volume]bool{}, map[unit.Volume]bool{}
	last := unit.Volume(-1)
	for _, i := range tests {
		ml := volumes.At(i)
		if ml == last {
			continue
		}
		last = ml
		different[ml] = true
		if half := float64(ml) * 2; half != math.Trunc(half) {
			odd[ml] = true
		}
	}
	if len(different) < 3 || len(odd) < 2 {
		return nil
	}
	return tests
}

// injectedOf is the water that went into the patch, by the test or by a job
// that reads it directly.
func injectedOf(v *assess.Review, t *record.Test) (unit.Volume, bool) {
	switch job := v.Job.Terms.Volume; {
	case t.Injected().Known():
		return t.Injected().Val, true
	case job.Known() && v.Basis.ProcedureOf(t.Procedure()) == record.Direct:
		return job.Val, true
	}
	return 0, false
}

func withVolume(l *assess.Line, ml unit.Volume) unit.SurfaceDensity {
	return l.Judged().Value * unit.SurfaceDensity(ml/l.Volume().Val)
}

// holdsInjected reports whether the verdict stays with the injected water.
func holdsInjected(v *assess.Review, l *assess.Line) bool {
	injected, ok := injectedOf(v, l.Test)
	if l.ByNumber != assess.Pass {
		return true
	}
	return ok && l.Limits()[0].Value*unit.SurfaceDensity(injected/l.Volume().Val) <= l.Limits()[0].Limit.Value
}

func least(v *assess.Review, tests []int) unit.Volume {
	ml := v.Lines[tests[0]].Volume().Val
	for _, i := range tests {
		ml = min(ml, v.Lines[i].Volume().Val)
	}
	return ml
}

func most(v *assess.Review, tests []int) unit.Volume {
	ml := v.Lines[tests[0]].Volume().Val
	for _, i := range tests {
		ml = max(ml, v.Lines[i].Volume().Val)
	}
	return ml
}
