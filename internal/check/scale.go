package check

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// enoughReadings is how many extracts of a sheet make its median one to go
// by (house choice).
const enoughReadings = 4

// readingsInAnotherUnit: half of the extracts of a sheet read less than water
// does that has stood in air (house blank least; such water has about 1 µS/cm
// from its carbon dioxide alone). No salt brings a reading below that of its
// water, so the numbers are probably in mS/cm or mS/m under a heading of
// µS/cm. Which unit it was is not for this reader to settle.
var readingsInAnotherUnit = &assess.Check{
	Name:     "readings-in-another-unit",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.BlankLeast},
	Run: func(v *assess.Review) {
		least := unit.Conductivity(v.Basis.Value(assess.BlankLeast))
		for _, sheet := range extractsOfSheets(v) {
			if !sheet.tooLowForWater(v) {
				continue
			}
			for _, day := range byDay(v, sheet.tests) {
				middle := v.Lines[nearestTo(v, day, extractsRead(v).median(day))].Test.Extract()
				report(v, assess.Finding{
					Tests: day, Places: places(v, day, extractAt), Direction: assess.UnsafeSide,
					Args: map[string]any{"Written": middle.Dec, "Others": otherReadings(middle.Val, least), "Least": least, "House": house(v, assess.BlankLeast)},
				})
			}
		}
	},
}

// An otherReading is what a reading would be if it was written in a unit.
type otherReading struct {
	Unit     string
	Value    unit.Conductivity
	Decimals int
}

// otherReadings are the units in which a reading would be one of water: those
// that meters show beside µS/cm.
func otherReadings(x, least unit.Conductivity) []otherReading {
	var all []otherReading
	for _, u := range []struct {
		symbol string
		is     unit.Conductivity // µS/cm
	}{{"mS/cm", 1000}, {"mS/m", 10}} {
		if value := u.is * x; value >= least {
			all = append(all, otherReading{u.symbol, value, decimalsOf(value)})
		}
	}
	return all
}

// decimalsOf is how many decimals, one or more, show a conductivity to three
// figures or so: 38.4 and 0.0384.
func decimalsOf(x unit.Conductivity) int {
	d := 1
	for limit := unit.Conductivity(1); x > 0 && x < limit && d < 6; limit /= 10 {
		d++
	}
	return d
}

// sheetExtracts are the tests on steel of a sheet whose extract is known, and
// the median of these.
type sheetExtracts struct {
	tests  []int
	median float64 // µS/cm
	high   []int   // those that are leastTenfold times the median
}

// extractsOfSheets lists them sheet by sheet, where they are enough for a
// median.
var extractsOfSheets = assess.Shared(func(v *assess.Review) []sheetExtracts {
	read := where(steel(v), ask(v, record.Columns.Extract, func(g record.Given[unit.Conductivity]) bool { return g.Known() && g.Val >= 0 }))
	extracts := extractsRead(v)
	var all []sheetExtracts
	for _, tests := range groups(read, sheets(v).At) {
		if len(tests) >= enoughReadings {
			median := extracts.median(tests)
			high := keep(tests, func(i int) bool { return extracts.values[extracts.at(i)] >= leastTenfold*median })
			all = append(all, sheetExtracts{tests, median, high})
		}
	}
	return all
})

// tooLowForWater reports whether the tests of the sheet read, as a whole, less
// than water does.
func (s *sheetExtracts) tooLowForWater(v *assess.Review) bool {
	return s.median < v.Basis.Value(assess.BlankLeast)
}

// unitInDoubt are the tests whose readings are probably in another unit: what
// else would be said of their size has that cause.
var unitInDoubt = assess.Shared(func(v *assess.Review) map[int]bool {
	doubt := map[int]bool{}
	for _, sheet := range extractsOfSheets(v) {
		if sheet.tooLowForWater(v) {
			for _, i := range sheet.tests {
				doubt[i] = true
			}
		}
	}
	return doubt
})

// nearestTo is the test whose extract is nearest to a value.
func nearestTo(v *assess.Review, tests []int, x float64) int {
	return slices.MinFunc(tests, func(i, j int) int {
		away := func(i int) unit.Conductivity {
			d := v.Lines[i].Test.Extract().Val - unit.Conductivity(x)
			return max(d, -d)
		}
		switch a, b := away(i), away(j); {
		case a < b:
			return -1
		case a > b:
			return 1
		}
		return 0
	})
}

func extractAt(t *record.Test) diag.Pos { return t.Extract().Pos }

// A decimal point that went astray leaves a reading ten times the others; from
// eight to twelve times the median is taken for that (house figures).
const (
	leastTenfold = 8
	mostTenfold  = 12
)

// readingTenTimesTheRest: one extract of a sheet, and no other, is about ten
// times the median, and its written value follows from it, so that nothing in
// the row speaks against it. A single salty spot looks the same, so it is
// asked about and no more.
var readingTenTimesTheRest = &assess.Check{
	Name:     "reading-ten-times-the-rest",
	Group:    assess.Arithmetic,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, sheet := range extractsOfSheets(v) {
			median, high := sheet.median, sheet.high
			if len(high) != 1 || median <= 0 {
				continue
			}
			l := &v.Lines[high[0]]
			follows := l.Agreement == assess.Agrees || l.Agreement == assess.AgreesThroughUnseenDigits
			if !follows || float64(l.Test.Extract().Val) > mostTenfold*median {
				continue
			}
			report(v, assess.Finding{
				Tests: high, Places: places(v, high, extractAt), Direction: assess.SafeSide,
				Args: map[string]any{
					"Extract": l.Test.Extract().Dec, "Median": unit.Conductivity(median), "Decimals": decimalsOf(unit.Conductivity(median)),
					"Times": float64(l.Test.Extract().Val) / median,
				},
			})
		}
	},
}
