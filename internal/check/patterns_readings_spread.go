package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// leastScatter is the coefficient of variation, in per cent, below which the
// densities of one area scatter too little, and leastSpots from how many spots
// on it is asked. House figures: site-blasted steel usually scatters several
// times that.
const (
	leastScatter = 10
	leastSpots   = 15
)

// stepsOfScatter is how many steps of the meter that scatter has to be for it
// to show at all (house figure).
const stepsOfScatter = 2

// tooLittleScatter: the densities of one area and round lie closer together
// than steel blasted on site lets them. The first tests of an area are a
// round, with their repeats and witnessed doubles, and so are the tests after
// its treatments. A round whose scatter the steps of the meter could hide is
// not asked.
var tooLittleScatter = &assess.Check{
	Name:     "too-little-scatter",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.OwnersRepresentative,
	Run: func(v *assess.Review) {
		type round struct {
			area    int32
			treated bool
		}
		areas := areasNamed(v)
		tests := onSteel(v, func(l *assess.Line) bool { return l.Density.Known && l.Verdict != assess.Void })
		for _, of := range groups(tests, func(i int) round {
			k := v.Lines[i].Kind()
			return round{areas.at(i), k == record.Retest || k == record.Adjacent}
		}) {
			if len(of) < leastSpots {
				continue
			}
			density := func(i int) float64 { return float64(v.Lines[i].Density.Value) }
			if scattersEnough(of, density) {
				continue
			}
			all := make([]float64, len(of))
			step := 0.0
			for k, i := range of {
				all[k] = density(i)
				step = max(step, stepAsDensity(&v.Lines[i]))
			}
			s, err := stat.Summarise(all)
			if err != nil || s.Mean <= 0 || 100*s.SD >= leastScatter*s.Mean || leastScatter*s.Mean < 100*stepsOfScatter*step {
				continue
			}
			t := v.Lines[of[0]].Test
			report(v, assess.Finding{
				Tests: of, Places: places(v, of, extractAt),
				Args: map[string]any{
					"Area": t.Area().Text, "Spots": len(of), "Scatter": 100 * s.SD / s.Mean, "Least": leastScatter,
					"Mean": unit.SurfaceDensity(s.Mean), "SD": unit.SurfaceDensity(s.SD), "Low": unit.SurfaceDensity(s.Min), "High": unit.SurfaceDensity(s.Max),
				},
			})
		}
	},
}

// scattersEnough reports whether values scatter by more than leastScatter for
// certain: by a tenth more in a sum without care for its rounding, which is far
// less than that.
func scattersEnough(tests []int, value func(int) float64) bool {
	sum, squares := 0.0, 0.0
	for _, i := range tests {
		x := value(i)
		sum += x
		squares += x * x
	}
	n := float64(len(tests))
	mean := sum / n
	sd := math.Sqrt(squares/n - mean*mean) // no number where rounding leaves less than nothing
	return mean > 0 && 100*sd > 1.1*leastScatter*mean && !math.IsInf(sd, 0)
}

// leastCrowd is how many densities just under the limit make a crowd, and
// crowdChance the probability below which chance no longer explains that none
// lies just above; stepsInBand is how many steps of the meter a tenth of the
// limit has to hold, as one that equals the limit counts as under it. House
// figures; the finding is for information only.
const (
	leastCrowd  = 3
	crowdChance = 0.05
	stepsInBand = 8
)

// crowdUnderTheLimit: densities lie in the last tenth below the limit, and
// none in the first tenth above it. The more there are, the less does chance
// explain that all of them are on one side. How it divides them comes from how
// they thin out upwards: from the tenth before to the last below the limit,
// and one to one where they do not.
var crowdUnderTheLimit = &assess.Check{
	Name:     "crowd-under-the-limit",
	Group:    assess.Integrity,
	Severity: assess.Housekeeping,
	Owner:    assess.OwnersRepresentative,
	Run: func(v *assess.Review) {
		limits := aboutLimits(v)
		for _, c := range limits {
			p := crowdedBy(len(c.under), c.before) * float64(len(limits))
			if c.tests < leastSpots || c.over > 0 || len(c.under) < leastCrowd || p >= crowdChance || 10*stepsInBand*c.step > float64(c.limit) {
				continue
			}
			report(v, assess.Finding{
				Tests: c.under, Places: places(v, c.under, extractAt),
				Args: chance(map[string]any{
					"Under": len(c.under), "Before": c.before, "Of": c.tests, "Limit": c.limit,
					"Eight": c.limit * 8 / 10, "Nine": c.limit * 9 / 10, "Eleven": c.limit * 11 / 10,
				}, p),
			})
		}
	},
}

// A crowd is how the tests that are judged by a limit lie about it.
type crowd struct {
	limit        unit.SurfaceDensity
	tests        int
	before, over int   // in the tenth before the last below the limit, and in the first above it
	under        []int // in the last below it
	step         float64
}

// aboutLimits tells it of each limit, in the order of the log.
func aboutLimits(v *assess.Review) []*crowd {
	var all []*crowd
	of := map[unit.SurfaceDensity]*crowd{}
	var last *crowd
	for _, i := range steel(v) {
		l := &v.Lines[i]
		first, limited := l.First()
		if !limited || len(first.Limit.Gaps) > 0 || math.IsNaN(float64(first.Value)) || l.Verdict == assess.Void {
			continue
		}
		limit := first.Limit.Value
		if last == nil || last.limit != limit {
			if last = of[limit]; last == nil {
				last = &crowd{limit: limit}
				of[limit], all = last, append(all, last)
			}
		}
		last.tests++
		last.step = max(last.step, stepAsDensity(l))
		switch x := 10 * first.Value; {
		case x <= 8*limit || x > 11*limit:
		case x <= 9*limit:
			last.before++
		case x <= 10*limit:
			last.under = append(last.under, i)
		default:
			last.over++
		}
	}
	return all
}

// stepAsDensity is what one step of the meter is worth, in mg/m².
func stepAsDensity(l *assess.Line) float64 { return l.Factor() * float64(l.Resolution()) }

// crowdedBy is the probability that of so many densities near the limit all
// are under it, where as many as before lie one tenth lower.
func crowdedBy(under, before int) float64 {
	if under == 0 {
		return 1
	}
	share := max(0.5, float64(before)/float64(before+under))
	return math.Pow(share, float64(under))
}
