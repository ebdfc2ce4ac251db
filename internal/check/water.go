package check

import (
	"maps"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// waterChecks ask what was in the water before it touched the steel.
func waterChecks() []*assess.Check {
	return []*assess.Check{
		waterAboveLimit, blankTooLow, blankNotRecorded, zeroedOnTheWater,
		oneBlankForMany, blankRising, bottleWithoutBlank,
		waterOutOfDate, proceduralBlankHigh, glassCountedAsSteel,
	}
}

// waterAboveLimit: the water held more salt than the agreed limit allows, 5
// µS/cm at 25 °C where nothing was agreed (grade 3 of ISO 3696). What a blank
// of bad water takes off the extract is not well known. One finding a day and
// bottle; a reading of the bottle in the water table touches the tests up to
// its next reading.
var waterAboveLimit = &assess.Check{
	Name:     "water-above-limit",
	Group:    assess.WaterAndBlank,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.WaterLimit},
	Run: func(v *assess.Review) {
		limit := unit.Conductivity(v.Basis.Value(assess.WaterLimit))
		bottles := readBottles(v)
		water := func(i int) unit.Conductivity { // the worse of the two readings of a test
			blank := blankAt25(v, &v.Lines[i])
			if w := bottles.last(i); w != nil {
				blank = max(blank, w.Conductivity.Val)
			}
			return blank
		}
		may := steel(v)
		if len(bottles.read) == 0 && len(notCompensating(v)) == 0 { // the blank as it stands
			may = where(may, ask(v, record.Columns.Blank, func(g record.Given[unit.Conductivity]) bool { return g.OrZero() > limit }))
		}
		tests := keep(may, func(i int) bool { return water(i) > limit })
		for _, tests := range groups(tests, bottles.dayOf) {
			worst := unit.Conductivity(0)
			for _, i := range tests {
				worst = max(worst, water(i))
			}
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, blankAt),
				Args: map[string]any{
					"Bottle": v.Lines[tests[0]].Test.Water().Text, "Blank": worst, "Limit": limit, "Decimals": apart(worst, limit),
					"House": house(v, assess.WaterLimit),
				},
			})
		}
	},
}

// A bottleDay is a bottle on one day, by its number among those that were used;
// 0 is none.
type bottleDay struct {
	day    unit.Date
	bottle int32
}

// blankAt25 is the blank of a test at 25 °C, as far as the record lets it be
// referred to that; 0 where none is known.
func blankAt25(v *assess.Review, l *assess.Line) unit.Conductivity {
	t := l.Test
	if !t.Blank().Known() {
		return 0
	}
	at := t.BlankTemperature()
	if !at.Known() {
		at = t.SolutionTemperature()
	}
	if l.Compensation == assess.NotCompensated && at.Known() {
		if at25, err := v.Basis.Correction.To25(t.Blank().Val, at.Val); err == nil {
			return at25
		}
	}
	return t.Blank().Val
}

// bottles are those that were used, with the readings of the water itself in
// the water table.
type bottles struct {
	lines []assess.Line
	used  *register
	read  map[bottleDay][]*record.Water
}

func readBottles(v *assess.Review) *bottles {
	b := &bottles{v.Lines, bottlesUsed(v), map[bottleDay][]*record.Water{}}
	for i := range v.Job.Water {
		w := &v.Job.Water[i]
		if key := (bottleDay{w.Date.Val, b.used.find(w.Bottle.Val)}); key.bottle > 0 && w.Conductivity.Known() && !w.OnGlass() {
			b.read[key] = append(b.read[key], w)
		}
	}
	return b
}

// dayOf is the bottle of a test and its day.
func (b *bottles) dayOf(test int) bottleDay {
	return bottleDay{b.lines[test].Test.Date().Val, b.used.at(test)}
}

// last is the last reading of the test's bottle that day before the test
// began; nil where there is none or the times do not tell.
func (b *bottles) last(test int) *record.Water {
	if len(b.read) == 0 {
		return nil
	}
	first := begun(b.lines[test].Test)
	var last *record.Water
	for _, w := range b.read[b.dayOf(test)] {
		if w.Time.Known() && first.Known() && w.Time.Val <= first.Val && (last == nil || w.Time.Val >= last.Time.Val) {
			last = w
		}
	}
	return last
}

// begun is when the water of a test went in, or else when its extract was
// read.
func begun(t *record.Test) record.Given[unit.Clock] {
	if t.Start().Known() {
		return t.Start()
	}
	return t.Read()
}

// waterOutOfDate: a bottle was used after its date, or longer after it was
// opened than the house takes for good (30 days). Open water takes up what is
// in the air. One finding for each day of such use.
var waterOutOfDate = &assess.Check{
	Name:     "water-out-of-date",
	Group:    assess.WaterAndBlank,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Settings: []string{assess.WaterDays},
	Run: func(v *assess.Review) {
		most := int(v.Basis.Value(assess.WaterDays))
		var rows []*record.Water
		for i := range v.Job.Water {
			if w := &v.Job.Water[i]; plate(w.Bottle.Val) != "" && (w.Opened.Known() || w.Expiry.Known()) {
				rows = append(rows, w)
			}
		}
		for _, of := range groups(rows, func(w *record.Water) string { return plate(w.Bottle.Val) }) {
			w := of[0]
			used := bottlesUsed(v)
			bottle := used.find(w.Bottle.Val)
			late := func(day unit.Date) bool {
				return !day.IsZero() && (w.Expiry.Known() && day.Compare(w.Expiry.Val) > 0 || w.Opened.Known() && day.Since(w.Opened.Val) > most)
			}
			with := map[unit.Date][]int{} // the tests of each day on which it was used too late
			for _, w := range of {
				if late(w.Date.Val) {
					with[w.Date.Val] = nil
				}
			}
			for _, i := range onSteel(v, func(l *assess.Line) bool {
				return used.at(l.Index) == bottle && late(l.Test.Date().Val)
			}) {
				day := v.Lines[i].Test.Date().Val
				with[day] = append(with[day], i)
			}
			for _, day := range slices.SortedFunc(maps.Keys(with), unit.Date.Compare) {
				f := assess.Finding{
					Date: day, Tests: with[day], Places: []diag.Pos{w.Row},
					Args: map[string]any{
						"Bottle": w.Bottle.Text, "Used": day, "Expired": w.Expiry.Known() && day.Compare(w.Expiry.Val) > 0,
						"Expiry": w.Expiry.Val, "Days": 0, "Most": most, "House": house(v, assess.WaterDays),
					},
				}
				if w.Opened.Known() {
					f.Args["Days"] = day.Since(w.Opened.Val)
				}
				report(v, f)
			}
		}
	},
}

func blankAt(t *record.Test) diag.Pos { return t.Blank().Pos }
