// Package trend follows a job over its days.
//
// It describes, and where a pattern is more than chance gives it raises a flag
// with the numbers that the flag rests on. A flag asks for a look at the work;
// it changes no verdict. What there are too few values to say is said as well.
package trend

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// Trends are a job over its days.
type Trends struct {
	Days    []Day   // in order: those of the tests, and those of the diary
	Undated int     // tests on steel without a date: they stand in none
	Medians Line    // of the densities, mg/m² a day
	Blanks  Line    // of the median blanks, µS/cm a day
	Meters  []Meter // that were checked, in the order of their first check
	Flags   []Flag
	TooFew  []Silence // what was not asked, and why
}

// A Day is a working day.
type Day struct {
	Date  unit.Date
	Diary bool // the table of days has it

	Tests, Fails, Voids int // on steel
	First               int // first tests with a density, of which Median is
	Valued              int // tests with a density that are not void, of which Max is

	// What is compared with the limit: mg/m², by its basis. NaN where there is
	// none. The median is of the first tests, as the steel was found; retests
	// and adjacent tests would pull it down and up. The maximum is of all tests
	// that are not void.
	Median, Max unit.SurfaceDensity

	Blank unit.Conductivity // median of the blanks of the tests, at 25 °C as far as the record lets it be referred to that; NaN for none
	Water []*record.Water   // readings of the water itself, in order of time

	// Means of what was recorded; NaN where nothing was.
	Solution, Steel unit.Temperature
	Humidity        unit.Humidity

	// The highest of the day; NaN where none was tested.
	Abrasive, Wash unit.Conductivity

	blanks []float64
	first  []float64
	sums   [3]mean
}

// WaterMost is the highest reading of the water; NaN for none.
func (d *Day) WaterMost() unit.Conductivity {
	most := unit.Conductivity(math.NaN())
	for _, w := range d.Water {
		if !(w.Conductivity.Val <= most) {
			most = w.Conductivity.Val
		}
	}
	return most
}

// A Line says how a value goes over the days.
type Line struct {
	N               int     // days with a value
	Slope           float64 // median of the slopes of all pairs (Theil, Sen), a calendar day; NaN for fewer than two
	Rising, Falling float64 // chance of so much rise, and of so much fall, without a trend (Mann, Kendall); NaN for fewer than three
	Exact           bool    // the chances are exact, as up to 40 values
	Span            int     // calendar days from the first value to the last
}

// Change is the slope over the whole span.
func (l *Line) Change() float64 { return l.Slope * float64(l.Span) }

// lineOf fits a line to values of days; NaN is no value.
func lineOf(days []Day, of func(*Day) float64) Line {
	var xs, ys []float64
	for i := range days {
		if y := of(&days[i]); !math.IsNaN(y) {
			xs, ys = append(xs, float64(days[i].Date.Since(days[0].Date))), append(ys, y)
		}
	}
	l := Line{N: len(ys), Slope: math.NaN(), Rising: math.NaN(), Falling: math.NaN()}
	if l.N == 0 {
		return l
	}
	l.Span = int(xs[l.N-1] - xs[0])
	if slope, err := stat.TheilSen(xs, ys); err == nil {
		l.Slope = slope
	}
	if up, err := stat.MannKendall(ys); err == nil {
		l.Rising, l.Exact = up.Rising, up.Exact
	}
	negative := make([]float64, l.N)
	for i, y := range ys {
		negative[i] = -y
	}
	if down, err := stat.MannKendall(negative); err == nil {
		l.Falling = down.Rising
	}
	return l
}

// Of follows a judged job.
func Of(r *assess.Result) Trends {
	w := &work{Result: r, basis: basisOf(r), limit: math.NaN()}
	if len(r.Basis.Limits) > 0 && len(r.Basis.Limits[0].Gaps) == 0 {
		w.limit = float64(r.Basis.Limits[0].Value)
	}
	var t Trends
	t.Days, t.Undated = w.days()
	t.Medians = lineOf(t.Days, func(d *Day) float64 { return float64(d.Median) })
	t.Blanks = lineOf(t.Days, func(d *Day) float64 { return float64(d.Blank) })
	t.Meters = w.meters()
	w.askBlanks(&t)
	w.askMeters(&t)
	w.askVoids(&t)
	w.askAbrasive(&t)
	w.askWash(&t)
	w.askInspectors(&t)
	if w.weather() {
		t.TooFew = append(t.TooFew, Silence{Kind: MedianAfterWind})
	}
	return t
}

// A work is what the parts of a trend are worked out from.
type work struct {
	*assess.Result
	basis salt.Basis // of what is compared with the limit
	limit float64    // the first one, mg/m²; NaN where the record states none that can be judged by
}

// basisOf is the basis of the first limit that states one.
func basisOf(r *assess.Result) salt.Basis {
	for _, l := range r.Basis.Limits {
		if l.Basis != salt.BasisNotStated {
			return l.Basis
		}
	}
	return salt.TotalSalts
}

// value is what of a test is compared with the limit, mg/m²; NaN where it is
// not known, and for a void: no valid extraction happened.
func (w *work) value(l *assess.Line) float64 {
	switch {
	case l.Verdict == assess.Void || !l.Judged().Known:
		return math.NaN()
	case w.basis == salt.TotalSalts:
		return float64(l.Judged().Value)
	}
	if first, limited := l.First(); limited {
		return float64(first.Value)
	}
	return math.NaN()
}

// isFirst reports whether a test shows the steel as it was found: an original
// test, or the repeat of one.
func isFirst(t *record.Test) bool {
	return t.Kind().Val == record.Original || t.Kind().Val == record.Repeat
}

// weather reports whether the record speaks of the weather anywhere: of the
// wind there is no column with a direction that could be compared.
func (w *work) weather() bool {
	return slices.ContainsFunc(w.Job.Days, func(d record.Day) bool { return d.Weather.Known() }) ||
		slices.ContainsFunc(w.Job.Ambient, func(a record.Ambient) bool { return a.Weather.Known() })
}
