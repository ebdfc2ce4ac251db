package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// retestChecks ask what came after a fail. What a fail still needs is asked of
// its chain, and how many tests of an area count of its standing.
func retestChecks() []*assess.Check {
	return []*assess.Check{numberNamesSeveral, retestedThreeTimes, retestByOtherMeans, failAveragedWithRetest}
}

// related lists the tests that were made because of others.
var related = listed(everyTest, asked(record.Columns.Kind, func(g record.Given[record.TestKind]) bool { return g.Val.Related() }))

// chains lists the chains of all fails, area by area; none where no test was made
// because of another.
var chains = assess.Shared(func(v *assess.Review) []*assess.Chain {
	if len(related(v)) == 0 {
		return nil
	}
	var all []*assess.Chain
	for _, s := range standing(v) {
		for _, of := range [][]assess.Chain{s.Open, s.Cleared} {
			for k := range of {
				all = append(all, &of[k])
			}
		}
	}
	return all
})

// numberNamesSeveral: a repeat, a retest or an adjacent test names a number
// that several tests of its area bear, as where the count begins anew on each
// day. Which of them is taken is said; where that cannot be told, nothing is
// cleared by it.
var numberNamesSeveral = &assess.Check{
	Name:     "number-names-several",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Housekeeping,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(related(v)) == 0 {
			return
		}
		areas := areasNamed(v)
		var named []assess.Reference
		for _, r := range course(v).References() {
			if slices.ContainsFunc(r.Others, func(n int) bool { return areas.at(n) == areas.at(r.Test) }) {
				named = append(named, r)
			}
		}
		type kind struct {
			day     unit.Date
			unclear bool
		}
		for _, of := range groups(named, func(r assess.Reference) kind { return kind{v.Lines[r.Test].Test.Date().Val, r.Unclear} }) {
			var tests []int
			var rows []meantRow
			for _, r := range of {
				t := v.Lines[r.Of].Test
				tests = append(tests, r.Test)
				rows = append(rows, meantRow{Number(v.Lines, r.Test), Number(v.Lines, r.Of), 1 + len(r.Others), t.Date().Known(), t.Date().Val, t.Location().Text})
			}
			tests = slices.Compact(tests)
			few, more := upTo(mostShown, rows)
			f := assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.OfTest().Pos }),
				Args: map[string]any{"Rows": few, "More": more, "Unclear": of[0].Unclear},
			}
			if of[0].Unclear {
				f.Severity = assess.Weakens
			}
			report(v, f)
		}
	},
}

// A meantRow is a test with the one that it was taken to name.
type meantRow struct {
	Test, Of string
	Bearers  int
	Dated    bool
	Day      unit.Date
	Location string
}

// retestedThreeTimes: a fail was tested again three times or more. All of it
// is printed: the last value alone does not tell what the steel was like.
var retestedThreeTimes = &assess.Check{
	Name:     "retested-three-times",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, c := range chains(v) {
			tests := slices.DeleteFunc(slices.Clone(c.Retests), func(i int) bool {
				return v.Lines[i].Verdict != assess.Pass && v.Lines[i].Verdict != assess.Fail
			})
			if len(tests) < 3 {
				continue
			}
			rows := []valueRow{valueOf(v, c.Fail)}
			for _, i := range tests {
				rows = append(rows, valueOf(v, i))
			}
			report(v, assess.Finding{
				Date: lastDay(v, tests), Tests: []int{c.Fail}, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.Row() }),
				Args: map[string]any{"Fail": Number(v.Lines, c.Fail), "Times": len(tests), "Rows": rows},
			})
		}
	},
}

// A valueRow is a test with its density, where that is known.
type valueRow struct {
	Test    string
	Known   bool
	Density unit.SurfaceDensity
}

func valueOf(v *assess.Review, i int) valueRow {
	d := v.Lines[i].Judged()
	return valueRow{Number(v.Lines, i), d.Known, d.Value}
}

// retestByOtherMeans: a fail and a retest within the limit differ in the
// volume, the patch, the meter, or the time that the water was on the steel,
// shorter by more than a quarter (house choice).
var retestByOtherMeans = &assess.Check{
	Name:     "retest-by-other-means",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, c := range chains(v) {
			for _, i := range c.Retests {
				if v.Lines[i].Verdict != assess.Pass {
					continue
				}
				row := differences(v, c.Fail, i)
				if row == (otherMeans{}) {
					continue
				}
				row.Test, row.Fail = Number(v.Lines, i), Number(v.Lines, c.Fail)
				report(v, assess.Finding{
					Tests: []int{i}, Places: []diag.Pos{v.Lines[i].Test.Row()},
					Args: map[string]any{"Row": row},
				})
			}
		}
	},
}

// otherMeans are the means of a retest that are not those of the fail.
type otherMeans struct {
	Test, Fail          string
	Volume, WasVolume   unit.Volume // zero where they are alike, as all of these
	Patch, WasPatch     unit.PatchArea
	Meter, WasMeter     string
	Contact, WasContact unit.Minutes
}

func differences(v *assess.Review, fail, retest int) otherMeans {
	var d otherMeans
	was, is := &v.Lines[fail], &v.Lines[retest]
	if was.Volume().Known && is.Volume().Known && was.Volume().Val != is.Volume().Val {
		d.Volume, d.WasVolume = is.Volume().Val, was.Volume().Val
	}
	if was.PatchArea().Known && is.PatchArea().Known && was.PatchArea().Val != is.PatchArea().Val {
		d.Patch, d.WasPatch = is.PatchArea().Val, was.PatchArea().Val
	}
	if a, b := was.Test.Meter().Val, is.Test.Meter().Val; a != "" && b != "" && plate(a) != plate(b) {
		d.Meter, d.WasMeter = is.Test.Meter().Text, was.Test.Meter().Text
	}
	before, after := stayOf(v, fail), stayOf(v, retest)
	if before.both() && after.both() && 4*(after.to-after.from) < 3*(before.to-before.from) {
		d.Contact, d.WasContact = after.to-after.from, before.to-before.from
	}
	return d
}

// failAveragedWithRetest: what is written for a fail, or for its retest, does
// not follow from its row and is the mean of the two.
var failAveragedWithRetest = &assess.Check{
	Name:     "fail-averaged-with-retest",
	Group:    assess.SamplingAndRetests,
	Severity: assess.ChangesVerdict,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		for _, c := range chains(v) {
			for _, i := range c.Retests {
				for _, pair := range [][2]int{{c.Fail, i}, {i, c.Fail}} {
					at, other := pair[0], pair[1]
					l := &v.Lines[at]
					if l.Agreement != assess.DoesNotFollow || !isMean(v, at, other) {
						continue
					}
					report(v, assess.Finding{
						Tests: []int{at}, Places: []diag.Pos{l.Test.Recorded().Pos},
						Args: map[string]any{"Test": Number(v.Lines, at), "Written": l.Test.Recorded().Text,
							"Fail": valueOf(v, c.Fail), "Retest": valueOf(v, i)},
					})
				}
			}
		}
	},
}

// isMean reports whether the value written at a test is the mean of its own
// density and of that of another, as computed or as written there.
func isMean(v *assess.Review, at, other int) bool {
	a, b := &v.Lines[at], &v.Lines[other]
	if !a.Test.Recorded().Known() || !a.Density.Known {
		return false
	}
	own, with := a.Exact(), []unit.Ratio{}
	if b.Density.Known {
		with = append(with, b.Exact())
	}
	if b.Test.Recorded().Known() {
		with = append(with, b.Test.Recorded().Dec.Ratio())
	}
	return slices.ContainsFunc(with, func(x unit.Ratio) bool {
		return x.Cmp(own) != 0 && rounds(average([]unit.Ratio{own, x}), a.Test.Recorded().Dec)
	})
}
