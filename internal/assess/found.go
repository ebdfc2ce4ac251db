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

// describe works out what is said of tests that came out PASS or FAIL.
func (r *Result) describe(tests []int) Found {
	f := Found{MaxAt: -1, Tests: make([]int, 0, len(tests))}
	bounds := make([]stat.Bounds, 0, len(tests))
	highest := math.Inf(-1)
	for _, i := range tests {
		l := &r.Lines[i]
		if l.Verdict == Fail {
			f.Above = append(f.Above, i)
		}
		b, ok := l.bounds()
		if !ok {
			continue
		}
		if !b.Exact() {
			f.Bounded++
		}
		if b.High > highest {
			highest, f.MaxAt = b.High, i
		}
		f.Tests, bounds = append(f.Tests, i), append(bounds, b)
	}
	var err error
	if f.Order, err = stat.Order(bounds); err != nil {
		return f
	}
	if f.Bounded == 0 {
		f.Summary, _ = stat.Summarise(upper(bounds))
		return f
	}
	f.Summary = stat.Summary{N: len(bounds), Min: f.Order.Min.Value(), Median: f.Order.Median.Value(), Max: f.Order.Max.Value(),
		Mean: math.NaN(), SD: math.NaN()}
	return f
}

// bounds are those of the density that is judged; false where nothing is known.
func (l *Line) bounds() (stat.Bounds, bool) {
	switch d := l.Judged(); {
	case d.Known:
		return stat.Exactly(float64(d.Value)), true
	case d.Bounded:
		return stat.Bounds{Low: float64(d.Low), High: float64(d.High)}, true
	}
	return stat.Bounds{}, false
}

func upper(bounds []stat.Bounds) []float64 {
	values := make([]float64, len(bounds))
	for i, b := range bounds {
		values[i] = b.High
	}
	return values
}

// first is what was found at first test: the originals, or what established
// them in their place, before anything was done to their spots.
func (h *history) first(s *Standing) []int {
	var tests []int
	for _, i := range s.Tests {
		if h.Lines[i].Test.Kind.Val != record.Original {
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
	name := fold(h.Lines[established].Test.Treatment.Val)
	number := fold(h.Lines[i].Test.Number.Val)
	return slices.ContainsFunc(h.Job.Treatments, func(t record.Treatment) bool {
		between := i != established && slices.ContainsFunc(t.OfTests.Val, func(of string) bool { return fold(of) == number }) && !h.ended(&t, i)
		return (between || name != "" && fold(t.Name.Val) == name) && h.ended(&t, established)
	})
}

// ended reports whether a treatment is known to have ended before a test began.
func (h *history) ended(t *record.Treatment, test int) bool {
	gap, known := treatmentEnded(t).until(begun(h.Lines[test].Test))
	return known && gap >= 0
}
