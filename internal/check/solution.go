package check

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// farFromUse is how many times a check solution may be above or below the
// usual extract (common practice: a decade).
const farFromUse = 10

// weakestKept is the strength up to which a check solution is near enough to
// any extract below it, µS/cm: 84 and 147 are the weakest that are usually
// sold, since weaker ones change with the carbon dioxide of the air (common
// practice). What a meter adds at the lower end is in the blank as well, and
// the difference does not have it.
const weakestKept = 150

// checkFarFromUse: every check of a meter was made a decade or more from
// where it was used. A meter that is right at 1413 µS/cm can be off at 12.
// Below the weakest solutions that keep there is nothing nearer to check in.
var checkFarFromUse = &assess.Check{
	Name:     "check-far-from-use",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Checks) == 0 {
			return
		}
		inDoubt := unitInDoubt(v)
		for _, all := range groups(sessions(v), func(s session) string { return plate(s.meter) }) {
			var checks []*record.MeterCheck
			for _, s := range all {
				for _, c := range s.numbered() {
					if !slices.Contains(checks, c.what) {
						checks = append(checks, c.what)
					}
				}
			}
			if len(checks) == 0 {
				continue
			}
			var tests []int
			var extracts []float64
			for _, s := range all {
				for _, t := range s.tests {
					if g := v.Lines[t.what].Test.Extract(); g.Known() && g.Val > 0 {
						tests, extracts = append(tests, t.what), append(extracts, float64(g.Val))
					}
				}
			}
			if len(extracts) == 0 || !slices.ContainsFunc(tests, func(i int) bool { return !inDoubt[i] }) {
				continue // with the unit of the readings in doubt, nothing is near or far
			}
			median := stat.Median(extracts)
			away := func(c *record.MeterCheck) float64 {
				ratio := float64(c.Nominal.Val) / median
				return max(ratio, 1/ratio)
			}
			nearest := slices.MinFunc(checks, func(a, b *record.MeterCheck) int { return cmp.Compare(away(a), away(b)) })
			if away(nearest) <= farFromUse || nearest.Nominal.Val <= weakestKept && float64(nearest.Nominal.Val) > median {
				continue
			}
			var rows []diag.Pos
			for _, c := range checks {
				rows = append(rows, c.Row)
			}
			slices.Sort(tests)
			report(v, assess.Finding{
				Tests: tests, Places: rows,
				Args: map[string]any{"Meter": all[0].meter, "Nominal": nearest.Nominal.Val, "Median": unit.Conductivity(median), "Decimals": decimalsOf(unit.Conductivity(median))},
			})
		}
	},
}

// checkSolutionExpired: the meter was checked in a solution past its date.
// Such a check proves little; the tests of that day rest on it. One finding a
// lot and day.
var checkSolutionExpired = &assess.Check{
	Name:     "check-solution-expired",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		type use struct {
			check *record.MeterCheck
			tests []int
		}
		var uses []use
		seen := map[*record.MeterCheck]int{}
		for _, s := range checkedSessions(v) {
			for _, c := range s.checks {
				if !c.what.Expiry.Known() || !c.what.Date.Known() || c.what.Date.Val.Compare(c.what.Expiry.Val) <= 0 {
					continue
				}
				n, ok := seen[c.what]
				if !ok {
					n = len(uses)
					seen[c.what] = n
					uses = append(uses, use{check: c.what})
				}
				uses[n].tests = append(uses[n].tests, s.between(math.Inf(-1), math.Inf(1), true)...)
			}
		}
		type lotDay struct {
			lot         string
			expiry, day unit.Date
		}
		for _, day := range groups(uses, func(u use) lotDay { return lotDay{u.check.Lot.Val, u.check.Expiry.Val, u.check.Date.Val} }) {
			first := day[0].check
			f := assess.Finding{Date: first.Date.Val, Args: map[string]any{"Lot": first.Lot.Val, "Expiry": first.Expiry.Val, "Used": first.Date.Val}}
			for _, u := range day {
				f.Places = append(f.Places, u.check.Row)
				f.Tests = append(f.Tests, u.tests...)
			}
			slices.Sort(f.Tests)
			f.Tests = slices.Compact(f.Tests)
			report(v, f)
		}
	},
}

// checkWithoutCompensation: a meter that does not compensate reads the
// solution's value at 25 °C although the solution was at another temperature.
// At 18 °C 84 µS/cm read some 73 without compensation, so either it was on or
// the value was not read. One finding a meter and day.
var checkWithoutCompensation = &assess.Check{
	Name:     "check-without-compensation",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.NoCompensation, assess.CheckTolerance},
	Run: func(v *assess.Review) {
		for _, s := range checkedSessions(v) {
			odd := slices.DeleteFunc(s.numbered(), func(c timed[*record.MeterCheck]) bool { return !s.readsAsIfAt25(v, c.what) })
			if len(odd) == 0 {
				continue
			}
			c := odd[0].what
			expected, _ := s.uncompensated(v, c)
			reportByDay(v, s.day, assess.Finding{
				Tests: s.between(math.Inf(-1), math.Inf(1), true), Places: checkRows(odd),
				Args: map[string]any{
					"Meter": s.meter, "Checks": len(odd), "Reading": c.Reading.Dec, "Temperature": c.Temperature.Val,
					"Nominal": c.Nominal.Dec, "Expected": expected,
				},
			})
		}
	},
}

// readsAsIfAt25 reports whether a check by a meter that does not compensate
// reads what the solution has at 25 °C, and not what it has at its own
// temperature.
func (s *session) readsAsIfAt25(v *assess.Review, c *record.MeterCheck) bool {
	at, ok := s.uncompensated(v, c)
	limit := float64(tolerance(v, c))
	return ok && math.Abs(float64(percent(c.Reading.Val, c.Nominal.Val))) <= limit && math.Abs(float64(percent(c.Reading.Val, at))) > limit
}

// The number of checks from which it is worth asking, and the coarsest step
// of the display, as a share of the nominal value, that would show scatter
// (house figures: a good meter scatters by a few tenths of a per cent).
const (
	perfectChecks = 5
	perfectStep   = 0.005
)

// checksAllNominal: every check of a meter reads its nominal value to the
// last digit, on a display that would show a difference. A meter that is
// adjusted before every entry does that, and so does a copied entry.
var checksAllNominal = &assess.Check{
	Name:     "checks-all-nominal",
	Group:    assess.MeterAndCalibration,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		var checks []*record.MeterCheck
		for i := range v.Job.Checks {
			if hasNumber(&v.Job.Checks[i]) {
				checks = append(checks, &v.Job.Checks[i])
			}
		}
		for _, of := range groups(checks, func(c *record.MeterCheck) string { return plate(c.Meter.Val) }) {
			exact := !slices.ContainsFunc(of, func(c *record.MeterCheck) bool {
				return c.Reading.Dec.Cmp(c.Nominal.Dec) != 0 || c.Reading.Dec.Step().Float() > perfectStep*float64(c.Nominal.Val)
			})
			if !exact || len(of) < perfectChecks {
				continue
			}
			f := assess.Finding{Args: map[string]any{"Meter": of[0].Meter.Val, "Checks": len(of), "Nominal": of[0].Reading.Dec}}
			for _, c := range of {
				f.Places = append(f.Places, c.Reading.Pos)
			}
			v.Report(f)
		}
	},
}
