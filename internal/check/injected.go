package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// volumeAgainstInjected: the volume in the formula is another than was
// injected. Less than went into the patch is right for neither procedure; more
// than that belongs to a beaker, and not to a direct reading. Where the volume
// is the recovered water, recovered-as-volume says so.
//
// As there, a test whose density with the injected water is above its limit is
// no proof of a pass. Those are then the tests of the finding.
var volumeAgainstInjected = &assess.Check{
	Name:     "volume-against-injected",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		less := among(v, injected(v), func(l *assess.Line) bool { return aside(l) < 0 && !asRecovered(l.Test) })
		more := among(v, injected(v), func(l *assess.Line) bool {
			return aside(l) > 0 && v.Basis.ProcedureOf(l.Test.Procedure()) == record.Direct && l.Volume().Val < mostDirect // volume-against-procedure
		})
		reportAside(v, less, assess.UnsafeSide)
		reportAside(v, more, assess.SafeSide)
	},
}

// aside is by how much the volume in the formula of a test is more than was
// injected, ml; 0 within half a digit of what is written there. Syringes are
// read to a tenth, so a whole number is taken as written to one (house choice).
func aside(l *assess.Line) float64 {
	in := l.Test.Injected()
	if !l.Volume().Known || in.Val <= 0 {
		return 0
	}
	const rounding = 1e-9 // of binary fractions
	step := min(0.1, in.Dec.Step().Float())
	by := float64(l.Volume().Val - in.Val)
	if math.Abs(by) <= step/2+rounding {
		return 0
	}
	return by
}

// asRecovered reports whether the volume of a test is what came back of the
// water that was injected.
func asRecovered(t *record.Test) bool {
	return t.Injected().Known() && t.Volume().Known() && t.Recovered().Known() &&
		t.Volume().Dec.Cmp(t.Recovered().Dec) == 0 && t.Volume().Dec.Cmp(t.Injected().Dec) < 0
}

// reportAside reports the tests whose volume is to one side of the injected
// water.
func reportAside(v *assess.Review, tests []int, side assess.Direction) {
	if len(tests) == 0 {
		return
	}
	f := assess.Finding{
		Tests: tests, Direction: side,
		Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Volume().Pos }),
		Args:   map[string]any{"Rows": len(tests), "Open": 0},
	}
	if open := keep(tests, func(i int) bool { return !holdsInjected(v, &v.Lines[i]) }); len(open) > 0 {
		f.Tests, f.Severity, f.Args["Open"] = open, assess.UnprovenPass, len(open)
	}
	l := &v.Lines[f.Tests[0]]
	f.Args["Test"], f.Args["Volume"], f.Args["Injected"] = Number(v.Lines, f.Tests[0]), l.Volume().Val, l.Test.Injected().Val
	f.Args["Known"], f.Args["Value"], f.Args["With"] = l.Density.Known, unit.SurfaceDensity(0), unit.SurfaceDensity(0)
	if l.Density.Known {
		f.Args["Value"], f.Args["With"] = l.Judged().Value, withVolume(l, l.Test.Injected().Val)
	}
	report(v, f)
}
