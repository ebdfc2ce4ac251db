package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// testInTwoAreas: one number with the same times and the same readings stands
// under two areas: one extraction counted twice. Numbers that begin anew in
// each area are no such thing.
var testInTwoAreas = &assess.Check{
	Name:     "test-in-two-areas",
	Group:    assess.SamplingAndRetests,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		alike := keep(sharedNumbers(v), func(i int) bool { return v.Lines[i].OfSteel() && v.Lines[i].Test.Extract().Known() })
		for _, tests := range groups(alike, func(i int) extraction { return extractionOf(v.Lines[i].Test) }) {
			areas := groupsOf(areasNamed(v), tests)
			if len(areas) < 2 {
				continue
			}
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, areaAt),
				Args: map[string]any{"Test": Number(v.Lines, tests[0])},
			})
		}
	},
}

func areaAt(t *record.Test) diag.Pos { return t.Area().Pos }

// An extraction is what tells one from another: its number, its times and what
// was read.
type extraction struct {
	number                      string
	day                         unit.Date
	start, read, blank, extract string
}

func extractionOf(t *record.Test) extraction {
	return extraction{record.Folded(t.Number().Val), t.Date().Val, t.Start().Text, t.Read().Text, t.Blank().Text, t.Extract().Text}
}

// areaNotListed: a test names an area that the areas table does not have. Its
// size, its limit and its sampling rule are then not known.
var areaNotListed = &assess.Check{
	Name:     "area-not-listed",
	Group:    assess.SamplingAndRetests,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Areas) == 0 {
			return
		}
		strange := onSteel(v, func(l *assess.Line) bool { return l.Test.Area().Val != "" && areaOf(v, l.Index) == nil })
		var listed []string
		for i := range v.Job.Areas {
			listed = append(listed, v.Job.Areas[i].Name.Text)
		}
		few, more := upTo(mostShown, listed)
		for _, tests := range groupsOf(areasNamed(v), strange) {
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, areaAt),
				Args: map[string]any{"Area": v.Lines[tests[0]].Test.Area().Text, "Listed": few, "More": more},
			})
		}
	},
}

// areaSizeMissing: the sampling rule counts by square metres, and the size of
// the area is not recorded, or is recorded twice and not alike. How many
// tests are required is then not known.
//
// The standing of the area says so as well and keeps it from being accepted;
// the finding adds what to do about it. It holds for the whole job.
var areaSizeMissing = &assess.Check{
	Name:     "area-size-missing",
	Group:    assess.SamplingAndRetests,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		if !bySize(v.Job.Terms.Sampling) && !slices.ContainsFunc(v.Job.Areas, func(a record.Area) bool { return bySize(a.Sampling) }) {
			return
		}
		given := sizesGiven(v)
		for _, s := range standing(v) {
			if len(s.Tests) == 0 || !bySize(s.Rule) {
				continue
			}
			if s.Area == nil && len(v.Job.Areas) > 0 {
				continue // not listed at all
			}
			sizes := given[record.Folded(s.Name)]
			switch {
			case s.Area == nil || !s.Area.Size.Known():
				report(v, assess.Finding{
					Places: []diag.Pos{rowOf(s.Area, v.Lines[s.Tests[0]].Test)},
					Args:   map[string]any{"Area": s.Name, "Sizes": []unit.SteelArea(nil), "Rule": s.Rule.Text},
				})
			case len(sizes) > 1:
				report(v, assess.Finding{
					Areas: []string{s.Name}, Places: []diag.Pos{s.Area.Size.Pos},
					Args: map[string]any{"Area": s.Name, "Sizes": sizes, "Rule": s.Rule.Text},
				})
			}
		}
	},
}

// bySize reports whether a rule asks for tests by the size of an area.
func bySize(rule record.Given[salt.SamplingRule]) bool {
	return rule.Known() && (rule.Val.Form == salt.PerArea || rule.Val.Form == salt.OnePer)
}

func rowOf(a *record.Area, t *record.Test) diag.Pos {
	if a == nil {
		return t.Row()
	}
	return a.Row
}

// sizesGiven are the different sizes that the areas table gives, by the folded
// names of the areas.
func sizesGiven(v *assess.Review) map[string][]unit.SteelArea {
	given := make(map[string][]unit.SteelArea, len(v.Job.Areas))
	for i := range v.Job.Areas {
		a := &v.Job.Areas[i]
		name := record.Folded(a.Name.Val)
		if a.Size.Known() && !slices.Contains(given[name], a.Size.Val) {
			given[name] = append(given[name], a.Size.Val)
		}
	}
	return given
}

// lastDay is the last day on which one of the tests was made.
func lastDay(v *assess.Review, tests []int) unit.Date {
	var last unit.Date
	for _, i := range tests {
		if d := v.Lines[i].Test.Date(); d.Known() && last.Compare(d.Val) < 0 {
			last = d.Val
		}
	}
	return last
}

// spotTypeMissing: the contract asks for tests of certain types of spot, and
// none of the tests of an area bears one of them. Areas that are not yet
// tested are not asked about. The standing of the area says so as well. The
// finding belongs to the last day of its tests: until then one could follow.
var spotTypeMissing = &assess.Check{
	Name:     "spot-type-missing",
	Group:    assess.SamplingAndRetests,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Terms.SpotTypes.Val) == 0 {
			return
		}
		for _, s := range standing(v) {
			if len(s.Tests) == 0 || len(s.MissingSpotTypes) == 0 {
				continue
			}
			report(v, assess.Finding{
				Date: lastDay(v, s.Tests), Places: []diag.Pos{rowOf(s.Area, v.Lines[s.Tests[0]].Test)},
				Args: map[string]any{"Area": s.Name, "Missing": s.MissingSpotTypes},
			})
		}
	},
}

// retestTooSoon: a retest began before the treatment had ended, or before the
// steel can have dried (15 min, house setting). The chain of the fail says
// that it does not clear it; as a test it proves no pass either.
var retestTooSoon = &assess.Check{
	Name:     "retest-too-soon",
	Group:    assess.SamplingAndRetests,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.DryingTime},
	Run: func(v *assess.Review) {
		for _, c := range chains(v) {
			reportTooSoon(v, c)
		}
	},
}

// reportTooSoon reports the retests of a fail that were made too soon.
func reportTooSoon(v *assess.Review, c *assess.Chain) {
	for _, o := range c.Obstacles {
		if o.Kind != assess.RetestBeforeEnd && o.Kind != assess.RetestTooSoon {
			continue
		}
		treatment, gap := lastTreatment(v, c, o.Test)
		report(v, assess.Finding{
			Tests: []int{o.Test}, Places: []diag.Pos{startAt(v.Lines[o.Test].Test), treatment.Ended.Pos}, Direction: assess.UnsafeSide,
			Args: map[string]any{
				"Fail": Number(v.Lines, c.Fail), "Treatment": treatment.Name.Text, "What": treatment.What.Text,
				"Before": o.Kind == assess.RetestBeforeEnd, "Gap": max(gap, -gap), "Drying": unit.Minutes(v.Basis.Value(assess.DryingTime)),
			},
		})
	}
}

// lastTreatment is the treatment of a fail that ended nearest to a retest, and
// the time from its end to the beginning of the retest.
func lastTreatment(v *assess.Review, c *assess.Chain, retest int) (*record.Treatment, unit.Minutes) {
	best, least := &record.Treatment{}, unit.Minutes(0)
	begin, _ := stayOf(v, retest).begin()
	for _, t := range c.Treatments {
		end, ok := instant(t.Date.Val, t.Ended)
		if started, has := instant(t.Date.Val, t.Started); has && end < started {
			end += minutesADay
		}
		gap := begin - end
		if ok && (best.Row.IsZero() || max(gap, -gap) < max(least, -least)) {
			best, least = t, gap
		}
	}
	return best, least
}
