package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// limitDiffers: the limit that stands beside a test is not that of the job
// or, where the areas have their own, of its area. Each test is judged by
// the limit beside it; a pass that does not hold against the other is not
// established until the clause is settled. Those passes are then the tests of
// the finding; without any it lists all rows that differ.
var limitDiffers = &assess.Check{
	Name:     "limit-differs",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		differing := among(v, limited(v), func(l *assess.Line) bool {
			agreed, ok := agreedLimit(v, l)
			return ok && l.Test.Limit().Dec.Cmp(agreed.Dec) != 0
		})
		for _, tests := range groups(differing, func(i int) string { return v.Lines[i].Test.Limit().Dec.Rat().RatString() }) {
			first := &v.Lines[tests[0]]
			agreed, _ := agreedLimit(v, first)
			undecided := keep(tests, func(i int) bool {
				l := &v.Lines[i]
				within := l.Limits()[0].Value <= agreed.Val // what is not known is not
				return l.ByNumber == assess.Pass && !within
			})
			f := assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Limit().Pos }),
				Args: map[string]any{
					"Beside": asWritten(first.Test.Limit()), "Agreed": asWritten(agreed),
					"Rows": len(tests), "Undecided": len(undecided),
				},
			}
			if len(undecided) > 0 {
				f.Tests, f.Severity, f.Direction = undecided, assess.UnprovenPass, assess.UnsafeSide
			}
			report(v, f)
		}
	},
}

// agreedLimit is the limit of the area, else of the job, else the first that
// stands beside a test of the same area.
func agreedLimit(v *assess.Review, l *assess.Line) (record.Given[unit.SurfaceDensity], bool) {
	limits, area := areaLimits(v), l.Test.Area().Val
	if g, stands := limits.agreed[area]; stands {
		return g, true
	}
	if limits := v.Job.Terms.Limits; len(limits) > 0 && limits[0].Value.Known() {
		return limits[0].Value, true
	}
	g, stands := limits.beside[area]
	return g, stands
}

// A limitOf is the limit of each area by its name.
type limitOf map[string]record.Given[unit.SurfaceDensity]

// areaLimits are the limits of the area table, and the first that stands
// beside a test of each area.
var areaLimits = assess.Shared(func(v *assess.Review) (limits struct{ agreed, beside limitOf }) {
	limits.agreed, limits.beside = limitOf{}, limitOf{}
	first := func(of limitOf, area string, g record.Given[unit.SurfaceDensity]) {
		if _, stands := of[area]; g.Known() && !stands {
			of[area] = g
		}
	}
	for i := range v.Job.Areas {
		first(limits.agreed, v.Job.Areas[i].Name.Val, v.Job.Areas[i].Limit)
	}
	for _, i := range limited(v) {
		first(limits.beside, v.Lines[i].Test.Area().Val, v.Lines[i].Test.Limit())
	}
	return limits
})

// chlorideLimit: the limit speaks of chloride, the tests of conductivity,
// which cannot tell one ion from another. It bounds chloride from above: of
// the usual salts sodium chloride holds the most chloride for its
// conductivity. Where even that bound is within the limit the test is
// decided; where it is above, another method has to be used (ISO 8502-5 or a
// laboratory).
var chlorideLimit = &assess.Check{
	Name:     "chloride-limit-by-conductivity",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.OwnersRepresentative,
	Run: func(v *assess.Review) {
		tests := among(v, unjudged(v), func(l *assess.Line) bool { return l.Because(assess.OnlyBounded) })
		if len(tests) == 0 {
			return
		}
		first := &v.Lines[tests[0]]
		k := slices.IndexFunc(first.Limits(), func(j assess.Judgement) bool { return j.Limit.Basis == salt.ChlorideIon })
		report(v, assess.Finding{
			Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Extract().Pos }),
			Args: map[string]any{"Test": Number(v.Lines, tests[0]), "Bound": first.ChlorideBound(), "Limit": first.Limits()[k].Limit.Exact, "Decimals": apart(first.ChlorideBound(), first.Limits()[k].Limit.Value)},
		})
	},
}
