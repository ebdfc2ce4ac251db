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
			return l.Test.Blank().Known() && l.Test.Blank().Val >= 0 && l.Test.Blank().Val < least && !inDoubt[l.Index]
		})
		for _, tests := range byDay(v, low) {
			lowest := slices.MinFunc(tests, func(i, j int) int {
				return v.Lines[i].Test.Blank().Dec.Cmp(v.Lines[j].Test.Blank().Dec)
			})
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, blankAt),
				Args: map[string]any{"Lowest": v.Lines[lowest].Test.Blank().Dec, "Least": least, "House": house(v, assess.BlankLeast)},
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
			g1, g2 := l.Test.Blank().State, l.Test.Extract().State
			return g1.Silent() && (g2 == record.Known || g2 == record.Below)
		})
		for _, tests := range byDay(v, without) {
			first := &v.Lines[tests[0]]
			low, high := first.Span()
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, blankAt),
				Args: map[string]any{
					"Test": Number(v.Lines, tests[0]), "Bounded": first.Density.Bounded, "Low": low, "High": high,
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
type blankRun []int

// blank is the blank of the run.
func (r blankRun) blank(v *assess.Review) record.Given[unit.Conductivity] {
	return v.Lines[r[0]].Test.Blank()
}

// blankRuns lists the runs in the order of the log.
var blankRuns = assess.Shared(func(v *assess.Review) []blankRun {
	tests := onSteel(v, func(l *assess.Line) bool { return l.Test.Blank().Known() })
	bottles := readBottles(v)
	of := make([]int32, len(tests))       // the run of each test
	first := make([]int32, 0, len(tests)) // the first test of each run
	sizes := make([]int32, 0, len(tests)) // and how many it has
	bottleDays, days := bottles.days(v, tests)
	latest := make([]int32, len(days)) // the run of each bottle that may go on; one more than its number
	for k, i := range tests {
		key := bottleDays[k]
		run := latest[key] - 1
		if run < 0 || !goesOn(v, int(first[run]), i, bottles.last(i)) {
			run = int32(len(first))
			latest[key] = run + 1
			first, sizes = append(first, int32(i)), append(sizes, 0)
		}
		of[k] = run
		sizes[run]++
	}
	return split(blankRun(tests), of, sizes)
})

// goesOn reports whether a test may rest on the same reading as the first of a
// run. last is the last reading of its bottle before it.
func goesOn(v *assess.Review, first, test int, last *record.Water) bool {
	if v.Lines[first].Test.Blank().Dec != v.Lines[test].Test.Blank().Dec {
		return false
	}
	if last == nil {
		return true
	}
	began := begun(v.Lines[first].Test)
	return !began.Known() || last.Time.Val <= began.Val
}

// tooMany reports whether a run has more tests than one blank should serve. A
// blank serves as many as could be made in its hour, the last of which was read
// a contact time later; where the times do not tell, they are only counted.
func (r blankRun) tooMany(v *assess.Review, most int) bool {
	const anHour = 60 // min
	lasts := r.lasts(v)
	return len(r) > most && (lasts == 0 || float64(lasts) > anHour+v.Basis.Value(assess.ContactTime))
}

// lasts is the time from the first test that rests on the run to the last, as
// their water went in or, where that is not written, as they were read; 0 where
// the times do not tell.
func (r blankRun) lasts(v *assess.Review) unit.Minutes {
	first, last := begun(v.Lines[r[0]].Test), begun(v.Lines[r[len(r)-1]].Test)
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
			if !r.isFine(v) || !r.tooMany(v, most) && r.lasts(v) <= longest {
				continue
			}
			report(v, assess.Finding{
				Tests: r, Places: places(v, r, blankAt),
				Args: map[string]any{
					"Blank": r.blank(v).Dec, "Lasts": r.lasts(v), "Most": most, "Longest": longest,
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
			meter int32
			day   unit.Date
		}
		meters, bottles := metersUsed(v), bottlesUsed(v)
		of := func(r blankRun) meterDay { return meterDay{meters.at(r[0]), v.Lines[r[0]].Test.Date().Val} }
		for _, day := range groups(runs, of) {
			if risesSteadily(v, day) {
				reportRise(v, day, "")
				continue
			}
			for _, bottle := range groups(day, func(r blankRun) int32 { return bottles.at(r[0]) }) {
				first, last := bottle[0].blank(v).Val, bottle[len(bottle)-1].blank(v).Val
				if first >= 0 && last > risesTimes*first && beyondAir(v, bottle) {
					reportRise(v, bottle, v.Lines[bottle[0][0]].Test.Water().Text)
				}
			}
		}
	},
}

// beyondAir reports whether the last blank is above the first by more than
// the air can add.
func beyondAir(v *assess.Review, runs []blankRun) bool {
	const rounding = 1e-9 // of binary fractions
	return runs[len(runs)-1].blank(v).Val-runs[0].blank(v).Val > risesBy+rounding
}

func risesSteadily(v *assess.Review, runs []blankRun) bool {
	if len(runs) < riseAtLeast || !beyondAir(v, runs) {
		return false
	}
	xs := make([]float64, len(runs))
	for k, r := range runs {
		xs[k] = float64(r.blank(v).Val)
	}
	trend, err := stat.MannKendall(xs)
	return err == nil && trend.Rising < riseByLuck
}

func reportRise(v *assess.Review, runs []blankRun, bottle string) {
	tests := slices.Concat(runs...)
	slices.Sort(tests)
	report(v, assess.Finding{
		Tests: tests, Places: places(v, tests, blankAt),
		Args: map[string]any{
			"Bottle": bottle, "First": runs[0].blank(v).Dec, "Last": runs[len(runs)-1].blank(v).Dec, "Readings": len(runs),
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
		if bottles.used.of == nil { // none is named
			return
		}
		carriedOn := func(k int) bool {
			return 0 < k && k < len(runs) && runs[k].follows(v, bottles, runs[k-1]) && len(bottles.read[bottles.dayOf(runs[k][0])]) == 0
		}
		for k := range runs {
			if !carriedOn(k) || len(v.Job.Water) == 0 && !carriedOn(k-1) && !carriedOn(k+1) {
				continue
			}
			t := v.Lines[runs[k][0]].Test
			report(v, assess.Finding{
				Tests: runs[k], Places: places(v, runs[k], blankAt),
				Args: map[string]any{
					"Bottle": t.Water().Text, "Before": v.Lines[runs[k-1][0]].Test.Water().Text, "Blank": t.Blank().Dec,
				},
			})
		}
	},
}

// follows reports whether the run is of another bottle than the one before,
// with the same blank.
func (r blankRun) follows(v *assess.Review, bottles *bottles, before blankRun) bool {
	own, other := bottles.dayOf(r[0]), bottles.dayOf(before[0])
	return own.day == other.day && own.bottle != 0 && other.bottle != 0 && own.bottle != other.bottle &&
		before.blank(v).Dec == r.blank(v).Dec && r.isFine(v)
}

// isFine reports whether readings of one water would differ from each other.
func (r blankRun) isFine(v *assess.Review) bool {
	return r.blank(v).Dec.Step().Float() <= finestBlank+1e-9
}
