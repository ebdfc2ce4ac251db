package trend

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// A mean is taken of what comes.
type mean struct {
	sum float64
	n   int
}

func (m *mean) add(x float64) { m.sum, m.n = m.sum+x, m.n+1 }

// of is the mean; NaN of nothing.
func (m *mean) of() float64 { return m.sum / float64(m.n) }

// What the sums of a day are of.
const (
	ofSolution = iota
	ofSteel
	ofHumidity
)

// days lists the working days, and counts the tests that belong to none.
func (w *work) days() (days []Day, undated int) {
	at := map[unit.Date]int{}
	on := func(date unit.Date) *Day {
		n, known := at[date]
		if !known {
			n = len(days)
			at[date] = n
			nan := unit.Conductivity(math.NaN())
			days = append(days, Day{Date: date, Max: unit.SurfaceDensity(math.NaN()), Abrasive: nan, Wash: nan})
		}
		return &days[n]
	}
	for i := range w.Lines {
		l := &w.Lines[i]
		switch {
		case !l.Test.Date().Known():
			if l.OfSteel() {
				undated++
			}
		case l.OfSteel():
			w.addTest(on(l.Test.Date().Val), l)
		default:
			on(l.Test.Date().Val)
		}
	}
	for i := range w.Job.Days {
		if d := &w.Job.Days[i].Date; d.Known() {
			on(d.Val).Diary = true
		}
	}
	// The rest stands beside the days of the work, and makes none.
	held := func(date record.Given[unit.Date]) *Day {
		if n, known := at[date.Val]; date.Known() && known {
			return &days[n]
		}
		return nil
	}
	w.addAmbient(held)
	w.addSupplies(held)
	for i := range days {
		days[i].close()
	}
	slices.SortFunc(days, func(a, b Day) int { return a.Date.Compare(b.Date) })
	return days, undated
}

// addTest adds a test on steel to its day.
func (w *work) addTest(d *Day, l *assess.Line) {
	d.Tests++
	switch l.Verdict {
	case assess.Fail:
		d.Fails++
	case assess.Void:
		d.Voids++
	}
	if v := w.value(l); !math.IsNaN(v) {
		d.Valued++
		if !(unit.SurfaceDensity(v) <= d.Max) {
			d.Max = unit.SurfaceDensity(v)
		}
		if isFirst(l.Test) {
			d.first = append(d.first, v)
		}
	}
	if l.Test.Blank().Known() {
		d.blanks = append(d.blanks, float64(w.blankAt25(l)))
	}
	if t := l.Test.SolutionTemperature(); t.Known() {
		d.sums[ofSolution].add(float64(t.Val))
	}
}

// blankAt25 is the blank of a test at 25 °C, as far as the record lets it be
// referred to that.
func (w *work) blankAt25(l *assess.Line) unit.Conductivity {
	at := l.Test.BlankTemperature()
	if !at.Known() {
		at = l.Test.SolutionTemperature()
	}
	if l.Compensation == assess.NotCompensated && at.Known() {
		if at25, err := w.Basis.Correction.To25(l.Test.Blank().Val, at.Val); err == nil {
			return at25
		}
	}
	return l.Test.Blank().Val
}

// addAmbient adds the ambient sets, and the steel temperatures of the tests.
func (w *work) addAmbient(on func(record.Given[unit.Date]) *Day) {
	for i := range w.Ambient {
		a := &w.Ambient[i]
		var date record.Given[unit.Date]
		var steel record.Given[unit.Temperature]
		if a.Set != nil {
			date, steel = a.Set.Date, a.Set.Steel
		} else {
			date = a.Test.Date() // its steel comes with the test
		}
		d := on(date)
		if d == nil {
			continue
		}
		if steel.Known() {
			d.sums[ofSteel].add(float64(steel.Val))
		}
		if a.HumidityFrom != assess.NoHumidity {
			d.sums[ofHumidity].add(float64(a.Humidity))
		}
	}
	for i := range w.Lines {
		t := w.Lines[i].Test
		if d := on(t.Date()); d != nil && t.Steel().Known() {
			d.sums[ofSteel].add(float64(t.Steel().Val))
		}
	}
}

// addSupplies adds the readings of water, and the extracts.
func (w *work) addSupplies(on func(record.Given[unit.Date]) *Day) {
	for i := range w.Job.Water {
		r := &w.Job.Water[i]
		if d := on(r.Date); d != nil && r.Conductivity.Known() && !r.OnGlass() {
			d.Water = append(d.Water, r)
		}
	}
	most := func(of *unit.Conductivity, v unit.Conductivity) {
		if !(v <= *of) {
			*of = v
		}
	}
	for i := range w.Job.Extracts {
		e := &w.Job.Extracts[i]
		d := on(e.Date)
		switch {
		case d == nil || !e.Conductivity.Known():
		case e.OfWater():
			most(&d.Wash, e.Conductivity.Val)
		default:
			most(&d.Abrasive, e.Conductivity.Val)
		}
	}
	for i := range w.Job.Treatments {
		t := &w.Job.Treatments[i]
		if d := on(t.Date); d != nil && t.WaterConductivity.Known() {
			most(&d.Wash, t.WaterConductivity.Val)
		}
	}
}

// close works out what the day is described by.
func (d *Day) close() {
	d.First = len(d.first)
	d.Median = unit.SurfaceDensity(stat.Median(d.first))
	d.Blank = unit.Conductivity(stat.Median(d.blanks))
	d.Solution = unit.Temperature(d.sums[ofSolution].of())
	d.Steel = unit.Temperature(d.sums[ofSteel].of())
	d.Humidity = unit.Humidity(d.sums[ofHumidity].of())
	d.first, d.blanks = nil, nil
	slices.SortStableFunc(d.Water, func(a, b *record.Water) int { return cmp.Compare(a.Time.Val, b.Time.Val) })
}
