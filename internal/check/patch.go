package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/stock"
	"saltline/internal/unit"
)

// singleUsePatchAgain: a patch made for one use stands on a second test. Its
// adhesive no longer seals as it did, and salt of the first spot may be in it.
// The first use stands, every later one is void. Where the column names
// batches and not patches it is not asked.
var singleUsePatchAgain = &assess.Check{
	Name:     "single-use-patch-again",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		once := singleUse(v)
		single := keep(once, func(i int) bool {
			t, p := v.Lines[i].Test, supplyOf(v, i)
			aBatch := p != nil && record.Folded(p.Batch.Val) == record.Folded(t.Patch().Val) && p.OpeningStock.Known() && p.OpeningStock.Val > 1
			return t.Patch().Val != "" && !aBatch
		})
		if !marked(v, single) {
			single = nil
		}
		seen := map[int]bool{}
		for _, uses := range groupsOf(patchesNamed(v), single) {
			later := keep(uses[1:], func(i int) bool { return v.Lines[i].OfSteel() })
			for _, tests := range byDay(v, later) {
				usedAgain(v, tests, &v.Lines[uses[0]])
			}
			for _, i := range uses[1:] {
				seen[i] = true
			}
		}
		for _, i := range once { // a use that the log itself counts as a later one
			l := &v.Lines[i]
			if l.OfSteel() && !seen[i] && l.Test.PatchUse().Known() && l.Test.PatchUse().Val > 1 {
				usedAgain(v, []int{i}, nil)
			}
		}
	},
}

// usedAgain reports later uses of one patch; first is nil where only the
// count of the log tells.
func usedAgain(v *assess.Review, later []int, first *assess.Line) {
	t := v.Lines[later[0]].Test
	args := map[string]any{"Patch": t.Patch().Text, "Use": t.PatchUse().Val, "First": ""}
	cells := places(v, later, func(t *record.Test) diag.Pos {
		if first == nil {
			return t.PatchUse().Pos
		}
		return t.Patch().Pos
	})
	if first != nil {
		args["First"], args["Patch"] = Number(v.Lines, first.Index), first.Test.Patch().Text
		cells = append(cells, first.Test.Patch().Pos)
	}
	report(v, assess.Finding{Tests: later, Places: cells, Args: args})
}

// patchPastItsUses: a reusable patch has served more often than its maker or
// the record allows. One that serves once is asked about elsewhere.
var patchPastItsUses = &assess.Check{
	Name:     "patch-past-its-uses",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		past := among(v, usesCounted(v), func(l *assess.Line) bool {
			n, ok := lifeOf(v, l.Index)
			return ok && n > 1 && l.Test.PatchUse().Val > n
		})
		patches := patchesNamed(v)
		type patchDay struct {
			patch int32
			day   unit.Date
		}
		for _, tests := range groups(past, func(i int) patchDay {
			return patchDay{patches.at(i), v.Lines[i].Test.Date().Val}
		}) {
			last := v.Lines[tests[len(tests)-1]].Test
			allowed, _ := lifeOf(v, tests[len(tests)-1])
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, useAt),
				Args: map[string]any{"Patch": last.Patch().Text, "Use": last.PatchUse().Val, "Allowed": allowed},
			})
		}
	},
}

func useAt(t *record.Test) diag.Pos { return t.PatchUse().Pos }

// patchCountBackwards: the number of a use is not above that of the use of
// the same patch before it.
var patchCountBackwards = &assess.Check{
	Name:     "patch-count-backwards",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		counted := keep(where(everyTest(v), usesKnown(v)), func(i int) bool {
			n, known := lifeOf(v, i)
			return v.Lines[i].Test.Patch().Val != "" && (!known || n != 1)
		})
		for _, uses := range groupsOf(patchesNamed(v), inTime(v, counted)) {
			var back []int
			for k := 1; k < len(uses); k++ {
				if v.Lines[uses[k]].OfSteel() && v.Lines[uses[k]].Test.PatchUse().Val <= v.Lines[uses[k-1]].Test.PatchUse().Val {
					back = append(back, uses[k])
				}
			}
			for _, tests := range byDay(v, back) {
				slices.Sort(tests)
				before := v.Lines[uses[slices.Index(uses, tests[0])-1]].Test
				report(v, assess.Finding{
					Tests: tests, Places: places(v, tests, useAt),
					Args: map[string]any{
						"Patch": before.Patch().Text, "Before": before.PatchUse().Val,
						"Test": Number(v.Lines, tests[0]), "Use": v.Lines[tests[0]].Test.PatchUse().Val,
					},
				})
			}
		}
	},
}

// patchExpired: the date up to which the maker stands for the adhesive had
// passed on the day of the test.
var patchExpired = &assess.Check{
	Name:     "patch-expired",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Patches) == 0 {
			return
		}
		late := onSteel(v, func(l *assess.Line) bool {
			p := supplyOf(v, l.Index)
			return p != nil && p.Expiry.Known() && l.Test.Date().Known() && p.Expiry.Val.Compare(l.Test.Date().Val) < 0
		})
		type batchDay struct {
			batch *record.Patch
			day   unit.Date
		}
		for _, tests := range groups(late, func(i int) batchDay {
			return batchDay{supplyOf(v, i), v.Lines[i].Test.Date().Val}
		}) {
			t := v.Lines[tests[0]].Test
			p := supplyOf(v, tests[0])
			report(v, assess.Finding{
				Tests: tests, Places: []diag.Pos{p.Expiry.Pos},
				Args: map[string]any{"Batch": p.Batch.Text, "Expiry": p.Expiry.Val, "Days": t.Date().Val.Since(p.Expiry.Val)},
			})
		}
	},
}

// patchSizeNotIssued: the area in the formula is none of those of the patches
// in stock, or not that of the patch that the test names. Every density of
// these tests is wrong by the ratio if the stock list is right.
var patchSizeNotIssued = &assess.Check{
	Name:     "patch-size-not-issued",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Patches) == 0 {
			return
		}
		type sizes struct{ used, issued unit.PatchArea }
		odd := onSteel(v, func(l *assess.Line) bool {
			_, differs := issuedInstead(v, l)
			return differs
		})
		for _, tests := range groups(odd, func(i int) sizes {
			issued, _ := issuedInstead(v, &v.Lines[i])
			return sizes{v.Lines[i].PatchArea().Val, issued}
		}) {
			l := &v.Lines[tests[0]]
			issued, _ := issuedInstead(v, l)
			direction := assess.SafeSide
			if issued < l.PatchArea().Val {
				direction = assess.UnsafeSide
			}
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos { return t.PatchArea().Pos }), Direction: direction,
				Args: map[string]any{
					"Used": l.PatchArea().Val, "Assumed": l.PatchArea().Assumed > 0, "Issued": issued, "Test": Number(v.Lines, tests[0]),
					"Value": l.Judged().Value, "Known": l.Judged().Known,
					"Otherwise": l.Judged().Value * unit.SurfaceDensity(l.PatchArea().Val/issued),
				},
			})
		}
	},
}

// issuedInstead is the size that the stock has in place of that in the
// formula of a test: that of its own patch, else the nearest of the list.
func issuedInstead(v *assess.Review, l *assess.Line) (unit.PatchArea, bool) {
	used := l.PatchArea().Val
	if !l.PatchArea().Known {
		return 0, false
	}
	if p := supplyOf(v, l.Index); p != nil && p.Area.Known() {
		return p.Area.Val, p.Area.Val != used
	}
	var nearest unit.PatchArea
	for i := range v.Job.Patches {
		a := v.Job.Patches[i].Area
		switch {
		case !a.Known() || a.Val <= 0:
			return 0, false // a size that is not listed may be the one
		case a.Val == used:
			return 0, false
		case nearest == 0 || max(a.Val/used, used/a.Val) < max(nearest/used, used/nearest):
			nearest = a.Val
		}
	}
	return nearest, nearest > 0
}

// patchStockDiffers: of a batch more or fewer patches left the stock than the
// record has tests for, voids and blanks included. The closing stock was
// counted after the last of them, so the finding belongs to that day.
var patchStockDiffers = &assess.Check{
	Name:     "patch-stock-differs",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if len(v.Job.Patches) == 0 {
			return
		}
		for _, b := range stock.Batches(v.Result) {
			off, known := b.Difference()
			if !known || off == 0 || b.Recorded() == 0 {
				continue
			}
			drawn, _ := b.Drawn()
			report(v, assess.Finding{
				Date: b.Last, Places: []diag.Pos{b.Row.ClosingStock.Pos, b.Row.OpeningStock.Pos},
				Args: map[string]any{
					"Batch": b.Name, "Opening": b.Row.OpeningStock.Val, "Closing": b.Row.ClosingStock.Val,
					"Used": drawn, "Recorded": b.Recorded(), "Missing": off > 0,
				},
			})
		}
	},
}
