package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// blankTooLow: a blank below what water shows that stands in air (house
// figure; water in equilibrium with the carbon dioxide of the air has 1.0 to
// 1.1 µS/cm at 20 to 25 °C). The decimal point, the unit, or a meter that was
// set to zero on the water would explain it.
var blankTooLow = &assess.Check{
	Name:     "blank-too-low",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.BlankLeast},
	Run: func(v *assess.Review) {
		least := unit.Conductivity(v.Basis.Value(assess.BlankLeast))
		inDoubt := unitInDoubt(v) // readings-in-another-unit
		low := onSteel(v, func(l *assess.Line) bool {
			return l.Test.Blank.Known() && l.Test.Blank.Val >= 0 && l.Test.Blank.Val < least && !inDoubt[l.Index]
		})
		for _, tests := range byDay(v, low) {
			lowest := slices.MinFunc(tests, func(i, j int) int {
				return v.Lines[i].Test.Blank.Dec.Cmp(v.Lines[j].Test.Blank.Dec)
			})
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, blankAt),
				Args: map[string]any{"Lowest": v.Lines[lowest].Test.Blank.Dec, "Least": least, "House": house(v, assess.BlankLeast)},
			})
		}
	},
}

// blankNotRecorded: the extract was read and the blank was not. The density
// then lies between what a blank of nothing and one at the water limit give:
// above the limit even with the latter, it fails; a pass is not established.
var blankNotRecorded = &assess.Check{
	Name:     "blank-not-recorded",
	Group:    assess.WaterAndBlank,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.WaterLimit},
	Run: func(v *assess.Review) {
		without := onSteel(v, func(l *assess.Line) bool {
			g1, g2 := l.Test.Blank.State, l.Test.Extract.State
			return (g1 == record.Absent || g1 == record.NotDone) && (g2 == record.Known || g2 == record.Below)
		})
		for _, tests := range byDay(v, without) {
			first := &v.Lines[tests[0]]
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, blankAt),
				Args: map[string]any{
					"Test": Number(v.Lines, tests[0]), "Bounded": first.Density.Bounded, "Low": first.Density.Low, "High": first.Density.High,
					"Limit": unit.Conductivity(v.Basis.Value(assess.WaterLimit)),
				},
			})
		}
	},
}

// A blankRun is one reading of the blank as far as the log shows it: tests of
// one day and bottle that follow one another with the same blank, with no
// reading of the bottle in the water table in between. Tests with another
// bottle may stand between them where two people fill one log.
type blankRun struct {
	bottleDay
	tests []int
	value *record.Given[unit.Conductivity]
}

// blankRuns lists the runs in the order of the log.
var blankRuns = assess.Shared(func(v *assess.Review) []blankRun {
	tests := onSteel(v, func(l *assess.Line) bool { return l.Test.Blank.Known() })
	runs := make([]blankRun, 0, len(tests))
	bottles := readBottles(v)
	latest := map[bottleDay]int{} // the run of each bottle that may go on
	for _, i := range tests {
		t := v.Lines[i].Test
		key := bottleDayOf(t)
		if n, seen := latest[key]; seen && runs[n].goesOn(v, bottles.last(t), t) {
			runs[n].tests = append(runs[n].tests, i)
			continue
		}
		latest[key] = len(runs)
		runs = append(runs, blankRun{key, []int{i}, &t.Blank})
	}
	return runs
})

// goesOn reports whether a test may rest on the same reading as the run. last
// is the last reading of its bottle before it.
func (r *blankRun) goesOn(v *assess.Review, last *record.Water, t *record.Test) bool {
	if r.value.Dec != t.Blank.Dec {
		return false
	}
	first := begun(v.Lines[r.tests[0]].Test)
	return last == nil || !first.Known() || last.Time.Val <= first.Val
}

// tooMany reports whether a run has more tests than one blank should serve. A
// blank serves as many as could be made in its hour, the last of which was read
// a contact time later; where the times do not tell, they are only counted.
func (r *blankRun) tooMany(v *assess.Review, most int) bool {
	const anHour = 60 // min
	lasts := r.lasts(v)
	return len(r.tests) > most && (lasts == 0 || float64(lasts) > anHour+v.Basis.Value(assess.ContactTime))
}

// lasts is the time from the first test that rests on the run to the last, as
// their water went in or, where that is not written, as they were read; 0 where
// the times do not tell.
func (r *blankRun) lasts(v *assess.Review) unit.Minutes {
	first, last := begun(v.Lines[r.tests[0]].Test), begun(v.Lines[r.tests[len(r.tests)-1]].Test)
	if !first.Known() || !last.Known() {
		return 0
	}
	return max(0, last.Val.Since(first.Val))
}

// finestBlank is the step of a meter at which readings of one water differ
// from each other. In whole µS/cm every blank is 1 or 2.
const finestBlank = 0.1 // µS/cm

// oneBlankForMany: one blank stands beside more tests than it should serve,
// or over more hours (house figures: eight tests, four hours). Each bottle,
// and each hour, has its own: with three sets in use more than eight tests
// are made in an hour, and one blank is enough for them.
var oneBlankForMany = &assess.Check{
	Name:     "one-blank-for-many",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.BlankTests, assess.BlankAge},
	Run: func(v *assess.Review) {
		most, longest := int(v.Basis.Value(assess.BlankTests)), unit.Minutes(v.Basis.Value(assess.BlankAge))
		for _, r := range blankRuns(v) {
			if !r.isFine() || !r.tooMany(v, most) && r.lasts(v) <= longest {
				continue
			}
			report(v, assess.Finding{
				Tests: r.tests, Places: places(v, r.tests, blankAt),
				Args: map[string]any{
					"Blank": r.value.Dec, "Lasts": r.lasts(v), "Most": most, "Longest": longest,
					"House": house(v, assess.BlankTests) || house(v, assess.BlankAge),
				},
			})
		}
	},
}

// When blanks rise: by more than fresh water takes up from the air (about 1
// µS/cm), and either to more than twice the first or so steadily over the day
// that chance gives it less than once in a hundred (Mann–Kendall, from five
// readings on). A tenth or two an hour is steady as well, and no salt.
const (
	risesBy     = 1.0 // µS/cm
	risesTimes  = 2
	riseByLuck  = 0.01
	riseAtLeast = 5
)

// blankRising: the blanks of a bottle, or of a whole day by one meter, go up.
// The bottle or the syringe picks up salt.
var blankRising = &assess.Check{
	Name:     "blank-rising",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		runs := blankRuns(v)
		type meterDay struct {
			meter string
			day   unit.Date
		}
		of := func(r blankRun) meterDay { return meterDay{plate(v.Lines[r.tests[0]].Test.Meter.Val), r.day} }
		for _, day := range groups(runs, of) {
			if risesSteadily(day) {
				reportRise(v, day, "")
				continue
			}
			for _, bottle := range groups(day, func(r blankRun) string { return r.bottle }) {
				first, last := bottle[0].value.Val, bottle[len(bottle)-1].value.Val
				if first >= 0 && last > risesTimes*first && beyondAir(bottle) {
					reportRise(v, bottle, v.Lines[bottle[0].tests[0]].Test.Water.Text)
				}
			}
		}
	},
}

// beyondAir reports whether the last blank is above the first by more than
// the air can add.
func beyondAir(runs []blankRun) bool {
	const rounding = 1e-9 // of binary fractions
	return runs[len(runs)-1].value.Val-runs[0].value.Val > risesBy+rounding
}

func risesSteadily(runs []blankRun) bool {
	if len(runs) < riseAtLeast || !beyondAir(runs) {
		return false
	}
	var xs []float64
	for _, r := range runs {
		xs = append(xs, float64(r.value.Val))
	}
	trend, err := stat.MannKendall(xs)
	return err == nil && trend.Rising < riseByLuck
}

func reportRise(v *assess.Review, runs []blankRun, bottle string) {
	var tests []int
	for _, r := range runs {
		tests = append(tests, r.tests...)
	}
	slices.Sort(tests)
	report(v, assess.Finding{
		Tests: tests, Places: places(v, tests, blankAt),
		Args: map[string]any{
			"Bottle": bottle, "First": runs[0].value.Dec, "Last": runs[len(runs)-1].value.Dec, "Readings": len(runs),
		},
	})
}

// bottleWithoutBlank: another bottle was taken and the blank beside its tests
// is still that of the bottle before. Where the record keeps a water table,
// the new bottle is not in it for that day; where it keeps none, two changes of
// bottle in a row without a difference are needed, since two bottles of one
// batch may well read the same.
var bottleWithoutBlank = &assess.Check{
	Name:     "bottle-without-blank",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		runs, bottles := blankRuns(v), readBottles(v)
		carriedOn := func(k int) bool {
			return 0 < k && k < len(runs) && runs[k].follows(runs[k-1]) && len(bottles[runs[k].bottleDay]) == 0
		}
		for k := range runs {
			if !carriedOn(k) || len(v.Job.Water) == 0 && !carriedOn(k-1) && !carriedOn(k+1) {
				continue
			}
			t := v.Lines[runs[k].tests[0]].Test
			report(v, assess.Finding{
				Tests: runs[k].tests, Places: places(v, runs[k].tests, blankAt),
				Args: map[string]any{
					"Bottle": t.Water.Text, "Before": v.Lines[runs[k-1].tests[0]].Test.Water.Text, "Blank": t.Blank.Dec,
				},
			})
		}
	},
}

// follows reports whether the run is of another bottle than the one before,
// with the same blank.
func (r *blankRun) follows(before blankRun) bool {
	return before.day == r.day && before.bottle != "" && r.bottle != "" && before.bottle != r.bottle &&
		before.value.Dec == r.value.Dec && r.isFine()
}

// isFine reports whether readings of one water would differ from each other.
func (r *blankRun) isFine() bool { return r.value.Dec.Step().Float() <= finestBlank+1e-9 }
