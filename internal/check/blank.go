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
		low := where(steel(v), ask(v, record.Columns.Blank, func(g record.Given[unit.Conductivity]) bool {
			return g.Known() && g.Val >= 0 && g.Val < least
		}))
		low = keep(low, func(i int) bool { return !inDoubt[i] })
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
		silent := where(steel(v), ask(v, record.Columns.Blank, func(g record.Given[unit.Conductivity]) bool { return g.State.Silent() }))
		without := among(v, silent, func(l *assess.Line) bool {
			read := l.Test.Extract().State
			return read == record.Known || read == record.Below
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

// blankRuns are all runs in the order of the log. A log may have nearly as many
// as tests, so they stand in one list.
type blankRuns struct {
	tests []int   // run by run
	first []int   // the first test of each run, by its number
	ends  []int32 // where each ends in the list
}

// at is the run with a number.
func (r *blankRuns) at(n int) blankRun {
	from := int32(0)
	if n > 0 {
		from = r.ends[n-1]
	}
	return r.tests[from:r.ends[n]:r.ends[n]]
}

// blanksRead finds the runs.
var blanksRead = assess.Shared(func(v *assess.Review) *blankRuns {
	tests := where(steel(v), blankKnown(v))
	bottles := readBottles(v)
	kinds := map[unit.Decimal]int32{}
	kind := ask(v, record.Columns.Blank, func(g record.Given[unit.Conductivity]) int32 {
		n, seen := kinds[g.Dec]
		if !seen {
			n = int32(len(kinds))
			kinds[g.Dec] = n
		}
		return n
	})
	of := make([]int32, len(tests))       // the run of each test
	first := make([]int, 0, len(tests))   // the first test of each run
	sizes := make([]int32, 0, len(tests)) // and how many it has
	bottleDays, days := bottles.used.days(v, tests)
	latest := make([]int32, len(days)) // the run of each bottle that may go on; one more than its number
	for k, i := range tests {
		key := bottleDays.of(k)
		run := latest[key] - 1
		if run < 0 || kind.At(first[run]) != kind.At(i) || !goesOn(v, first[run], bottles.last(i)) {
			run = int32(len(first))
			latest[key] = run + 1
			first, sizes = append(first, i), append(sizes, 0)
		}
		of[k] = run
		sizes[run]++
	}
	runs := &blankRuns{tests: ordered(tests, of, sizes), ends: sizes, first: first}
	for n := range sizes[min(1, len(sizes)):] {
		sizes[n+1] += sizes[n]
	}
	return runs
})

// goesOn reports whether a test with the blank of a run may rest on the same
// reading as the first of the run. last is the last reading of its bottle before
// it.
func goesOn(v *assess.Review, first int, last *record.Water) bool {
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
	if len(r) == 1 {
		return 0
	}
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
		runs := blanksRead(v)
		for n := range runs.first {
			r := runs.at(n)
			if !r.tooMany(v, most) && r.lasts(v) <= longest || !r.isFine(v) {
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
		runs, bottles := blanksRead(v), bottlesUsed(v)
		of, sizes := metersUsed(v).days(v, runs.first)
		for _, day := range split(runs.first, of, sizes) {
			if risesSteadily(v, day) {
				runs.reportRise(v, day, "")
				continue
			}
			for _, bottle := range groupsOf(bottles, day) {
				if first := blankOf(v, bottle[0]); first >= 0 && blankOf(v, bottle[len(bottle)-1]) > risesTimes*first && beyondAir(v, bottle) {
					runs.reportRise(v, bottle, v.Lines[bottle[0]].Test.Water().Text)
				}
			}
		}
	},
}

func blankOf(v *assess.Review, test int) unit.Conductivity { return v.Lines[test].Test.Blank().Val }

// beyondAir reports whether the last blank of some runs, which are given by
// their first tests, is above the first by more than the air can add.
func beyondAir(v *assess.Review, runs []int) bool {
	const rounding = 1e-9 // of binary fractions
	return blankOf(v, runs[len(runs)-1])-blankOf(v, runs[0]) > risesBy+rounding
}

func risesSteadily(v *assess.Review, runs []int) bool {
	if len(runs) < riseAtLeast || !beyondAir(v, runs) {
		return false
	}
	xs := make([]float64, len(runs))
	for k, i := range runs {
		xs[k] = float64(blankOf(v, i))
	}
	trend, err := stat.MannKendall(xs)
	return err == nil && trend.Rising < riseByLuck
}

// reportRise reports runs, which are given by their first tests.
func (r *blankRuns) reportRise(v *assess.Review, runs []int, bottle string) {
	var tests []int
	for _, i := range runs {
		n, _ := slices.BinarySearch(r.first, i)
		tests = append(tests, r.at(n)...)
	}
	slices.Sort(tests)
	first, last := v.Lines[runs[0]].Test, v.Lines[runs[len(runs)-1]].Test
	report(v, assess.Finding{
		Tests: tests, Places: places(v, tests, blankAt),
		Args: map[string]any{
			"Bottle": bottle, "First": first.Blank().Dec, "Last": last.Blank().Dec, "Readings": len(runs),
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
		runs, bottles := blanksRead(v), readBottles(v)
		if !bottles.used.said {
			return
		}
		carriedOn := func(k int) bool {
			return 0 < k && k < len(runs.first) && runs.at(k).follows(v, bottles, runs.at(k-1)) && len(bottles.read[bottles.dayOf(runs.first[k])]) == 0
		}
		for k := range runs.first {
			if !carriedOn(k) || len(v.Job.Water) == 0 && !carriedOn(k-1) && !carriedOn(k+1) {
				continue
			}
			t, run := v.Lines[runs.first[k]].Test, runs.at(k)
			report(v, assess.Finding{
				Tests: run, Places: places(v, run, blankAt),
				Args: map[string]any{
					"Bottle": t.Water().Text, "Before": v.Lines[runs.first[k-1]].Test.Water().Text, "Blank": t.Blank().Dec,
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
