package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
)

// sameFootprint: a test stands where an earlier one stood, as a test of its
// own, and no treatment lies between them. The first extraction has lifted
// most of the soluble salt there, so the second reads lower by itself.
//
// Repeats and tests after a fail are left to the chain of that fail. A log
// whose locations name whole plates says nothing of spots: three in four of
// an area have to be different before two equal ones mean the same print
// (house choice).
var sameFootprint = &assess.Check{
	Name:     "same-footprint",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		steel := onSteel(v, func(l *assess.Line) bool { return l.Test.Location.Val != "" })
		type print struct { // the spot of a test as the log names it
			location, spot int32
			x, y           string
		}
		locations, spots := newRoll(folded), newRoll(folded)
		for _, area := range groups(steel, areasNamed(v).at) {
			of, sizes := numbersOf(len(area), func(k int) print {
				t := v.Lines[area[k]].Test
				return print{locations.of(t.Location.Val), spots.of(t.SpotType.Val), t.X.Text, t.Y.Text}
			})
			if 4*len(sizes) < 3*len(area) {
				continue
			}
			for _, tests := range split(area, of, sizes) {
				for _, again := range byDay(v, extractedAgain(v, tests)) {
					report(v, assess.Finding{
						Tests: again, Places: places(v, again, locationAt), Direction: assess.UnsafeSide,
						Args: map[string]any{"First": Number(v.Lines, tests[0]), "Location": v.Lines[tests[0]].Test.Location.Text},
					})
				}
			}
		}
	},
}

// extractedAgain are the tests of one spot, but the first, that stand as
// tests of their own on a print that had been extracted.
func extractedAgain(v *assess.Review, tests []int) []int {
	var again []int
	for k, i := range tests {
		t := v.Lines[i].Test
		own := t.Kind.Val == record.Original || t.Kind.Val == record.Witness
		switch {
		case k == 0, !own, besideWords.in(t.Remark.Val), t.Treatment.Val != "":
		case v.Lines[tests[k-1]].Verdict == assess.Void: // its repeat
		case treated(v, tests[:k]):
		default:
			again = append(again, i)
		}
	}
	return again
}

var besideWords = lexiconOf("beside", "next to", "alongside", "neben", "daneben", "al lado", "junto a", "à côté", "a cote", "ved siden av")

// treated reports whether the record holds a treatment of one of the tests.
func treated(v *assess.Review, tests []int) bool {
	return slices.ContainsFunc(v.Job.Treatments, func(t record.Treatment) bool {
		return slices.ContainsFunc(t.OfTests.Val, func(number string) bool {
			return slices.ContainsFunc(tests, func(i int) bool { return folded(v.Lines[i].Test.Number.Val) == folded(number) })
		})
	})
}

func locationAt(t *record.Test) diag.Pos { return t.Location.Pos }
