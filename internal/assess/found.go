package assess

import (
	"math"
	"slices"

	"saltline/internal/record"
	"saltline/internal/stat"
)

// A Found describes a group of established tests by their densities, the
// higher of that as read and that at 25 °C, in mg/m².
//
// A density that is only bounded, as where the extract is "<1", is in Order
// with its bounds. There is then neither a mean nor a deviation, and Min,
// Median and Max are NaN as far as Order does not know them.
type Found struct {
	stat.Summary
	Order   stat.Ordered
	Tests   []int // those that were counted
	MaxAt   int   // the test with the highest density; −1 for none
	Bounded int   // of Tests: their density is only bounded
	Above   []int // fails, also those of which no density is known and that are not in Tests
}

// describe works out what is said of tests that came out PASS or FAIL; the
// list becomes its own.
func (r *Result) describe(tests []int) Found {
	f := Found{MaxAt: -1}
	for _, i := range tests {
		if r.Lines[i].Verdict == Fail {
			f.Above = append(f.Above, i)
		}
	}
	f.Tests = slices.DeleteFunc(tests, func(i int) bool { _, known := r.Lines[i].bounds(); return !known })
	values := make([]float64, len(f.Tests)) // upper bounds, which most densities are themselves
	highest := math.Inf(-1)
	for k, i := range f.Tests {
		b, _ := r.Lines[i].bounds()
		if !b.Exact() {
			f.Bounded++
		}
		if b.High > highest {
			highest, f.MaxAt = b.High, i
		}
		values[k] = b.High
	}
	s, err := stat.Summarise(values)
	if err != nil {
		return f
	}
	f.Summary = s
	f.Order = stat.Ordered{Min: stat.Exactly(s.Min), Median: stat.Exactly(s.Median), Max: stat.Exactly(s.Max)}
	if f.Bounded > 0 {
		r.order(&f)
	}
	return f
}

// order says of tests with densities that are only bounded what their order
// tells.
func (r *Result) order(f *Found) {
	all := make([]stat.Bounds, len(f.Tests))
	for k, i := range f.Tests {
		all[k], _ = r.Lines[i].bounds()
	}
	f.Order, _ = stat.Order(all) // there is one at least, and all are finite
	f.Summary = stat.Summary{N: len(all), Min: f.Order.Min.Value(), Median: f.Order.Median.Value(), Max: f.Order.Max.Value(),
		Mean: math.NaN(), SD: math.NaN()}
}

// bounds are those of the density that is judged; false where nothing is known.
func (l *Line) bounds() (stat.Bounds, bool) {
	switch d := l.Judged(); {
	case d.Known:
		return stat.Exactly(float64(d.Value)), true
	case d.Bounded:
		low, high := l.JudgedSpan()
		return stat.Bounds{Low: float64(low), High: float64(high)}, true
	}
	return stat.Bounds{}, false
}

// first is what was found at first test: the originals, or what established
// them in their place, before anything was done to their spots.
func (h *history) first(s *Standing) []int {
	tests := make([]int, 0, s.Valid)
	for _, i := range s.Tests {
		if h.Lines[i].Kind() != record.Original {
			continue
		}
		if k, ok := h.establishing(i); ok && !h.treatedBefore(i, k) {
			tests = append(tests, k)
		}
	}
	return tests
}

// establishing is the test that came out PASS or FAIL for test i: itself, or
// the first of its repeats that did.
func (h *history) establishing(i int) (int, bool) {
	for range h.related { // tests may repeat each other in a ring
		if v := h.Lines[i].Verdict; v == Pass || v == Fail {
			return i, true
		}
		next := -1
		for _, r := range h.repeats[i] {
			if h.follows(r, i) && h.established(r) && (next < 0 || h.follows(next, r)) {
				next = r
			}
		}
		if next < 0 {
			return 0, false
		}
		i = next
	}
	v := h.Lines[i].Verdict
	return i, v == Pass || v == Fail
}

// treatedBefore reports whether the record shows that a spot was treated
// before the test that established it: a treatment that the test names, or one
// that names the spot's first test and lies between the two.
func (h *history) treatedBefore(i, established int) bool {
	if name := record.Folded(h.Lines[established].Test.Treatment().Val); name != "" {
		if slices.ContainsFunc(h.washes.byName[name], func(t *record.Treatment) bool { return h.ended(t, established) }) {
			return true
		}
	}
	if i == established {
		return false
	}
	return slices.ContainsFunc(h.washes.byTest[record.Folded(h.Lines[i].Test.Number().Val)], func(t *record.Treatment) bool {
		return !h.ended(t, i) && h.ended(t, established)
	})
}

// ended reports whether a treatment is known to have ended before a test began.
func (h *history) ended(t *record.Treatment, test int) bool {
	gap, known := treatmentEnded(t).until(begun(h.Lines[test].Test))
	return known && gap >= 0
}
