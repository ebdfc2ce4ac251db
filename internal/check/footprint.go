package check

import (
	"math"
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
// (house choice). Coordinates do say it: two tests with equal ones at one
// location stand on one print, whatever the others do and whatever type of
// spot is written beside them.
var sameFootprint = &assess.Check{
	Name:     "same-footprint",
	Group:    assess.ExtractionAndClock,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		located, haveX := locationSaid(v), xKnown(v)
		isPlaced := func(i int) bool { return haveX.At(i) && placed(v.Lines[i].Test) }
		steel := keep(where(steel(v), located, haveX), func(i int) bool { return located.At(i) || isPlaced(i) })
		type print struct { // the spot of a test as the log names it
			location, spot int32
			placed         bool
			x, y           float64
		}
		locations, spots := locationsNamed(v), spotTypesNamed(v)
		prints := map[print]int32{} // those that are more than a location
		for _, area := range groupsOf(areasNamed(v), steel) {
			somePlaced := false
			of, sizes := numbersOf(len(area), func(k int) int32 {
				i := area[k]
				p := print{location: locations.at(i), spot: spots.at(i)}
				if isPlaced(i) {
					t := v.Lines[i].Test
					p, somePlaced = print{location: p.location, placed: true, x: t.X().Val, y: t.Y().Val}, true
				}
				if !p.placed && p.spot == 0 {
					return p.location
				}
				n, seen := prints[p]
				if !seen {
					n = -1 - int32(len(prints))
					prints[p] = n
				}
				return n
			})
			namesSpots := 4*len(sizes) >= 3*len(area)
			if !namesSpots && !somePlaced {
				continue
			}
			for _, tests := range split(area, of, sizes) {
				first := v.Lines[tests[0]].Test
				if !namesSpots && !placed(first) {
					continue
				}
				for _, again := range byDay(v, extractedAgain(v, tests)) {
					report(v, assess.Finding{
						Tests: again, Places: places(v, again, locationAt), Direction: assess.UnsafeSide,
						Args: map[string]any{"First": Number(v.Lines, tests[0]), "Location": spotOf(first)},
					})
				}
			}
		}
	},
}

// placed reports whether a test has both coordinates.
func placed(t *record.Test) bool {
	return t.X().Known() && t.Y().Known() && !math.IsNaN(t.X().Val) && !math.IsNaN(t.Y().Val)
}

// spotOf is where a test stands as the log says it: its location, else its
// coordinates.
func spotOf(t *record.Test) string {
	if t.Location().Val == "" && placed(t) {
		return "x = " + t.X().Text + ", y = " + t.Y().Text
	}
	return t.Location().Text
}

// extractedAgain are the tests of one spot, but the first, that stand as
// tests of their own on a print that had been extracted.
func extractedAgain(v *assess.Review, tests []int) []int {
	var again []int
	for k, i := range tests {
		t := v.Lines[i].Test
		own := t.Kind().Val == record.Original || t.Kind().Val == record.Witness
		switch {
		case k == 0, !own, besideWords.in(t.Remark().Val), t.Treatment().Val != "":
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
			return slices.ContainsFunc(tests, func(i int) bool { return record.Folded(v.Lines[i].Test.Number().Val) == record.Folded(number) })
		})
	})
}

func locationAt(t *record.Test) diag.Pos { return t.Location().Pos }
