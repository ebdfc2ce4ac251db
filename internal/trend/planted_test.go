package trend_test

import (
	"fmt"
	"testing"

	"saltline/internal/trend"
)

// TestPlanted plants each pattern into honest jobs and looks for it. Salt
// scatters, so that one job in ten may hide it; none of the patterns is faint.
func TestPlanted(t *testing.T) {
	const seed, jobs = 20261129, 20
	t.Logf("seed %d", seed)
	for _, c := range []struct {
		kind  trend.Kind
		plant func(p *plan)
	}{
		{trend.BlanksRising, func(p *plan) { p.blank = func(day int) float64 { return 0.12 * float64(day) } }},
		{trend.ChecksInARow, func(p *plan) {
			p.check = func(check int) float64 { return 1.8 * float64(min(max(check-30, 0), 8)) }
		}},
		{trend.ChecksDrifting, func(p *plan) { p.check = func(check int) float64 { return -0.04 * float64(check) } }},
		{trend.ChecksOutside, func(p *plan) {
			p.check = func(check int) float64 {
				if check == 41 {
					return -6
				}
				return 0
			}
		}},
		{trend.MedianAfterAbrasive, func(p *plan) {
			p.areas, p.batches = 12, 2
			p.times = func(batch, _ int) float64 { return 1 + 2*float64(batch) }
		}},
		{trend.MedianAfterWash, func(p *plan) {
			p.sources = 2
			p.times = func(int, int) float64 { return 2 } // for enough fails
			p.washed = func(source int) float64 { return 1 + 1.5*float64(source) }
		}},
		{trend.VoidsMany, func(p *plan) { p.voids = func(int) float64 { return 0.16 } }},
		{trend.InspectorMedian, func(p *plan) {
			p.inspectors = 2
			p.times = func(_, inspector int) float64 { return 1 + 0.8*float64(inspector) }
		}},
		{trend.InspectorMedian, func(p *plan) {
			p.inspectors, p.apart, p.areas = 2, true, 4
			p.times = func(_, inspector int) float64 { return 1 + 1.2*float64(inspector) }
		}},
		{trend.InspectorMedian, func(p *plan) {
			p.inspectors = 3
			p.times = func(_, inspector int) float64 { return 1 - 0.5*float64(inspector/2) }
		}},
		{trend.InspectorVoids, func(p *plan) {
			p.inspectors = 2
			p.voids = func(inspector int) float64 { return 0.02 + 0.2*float64(inspector) }
		}},
		{trend.InspectorVoids, func(p *plan) {
			p.inspectors, p.apart = 2, true
			p.voids = func(inspector int) float64 { return 0.25 - 0.23*float64(inspector) }
		}},
	} {
		found := 0
		for n := range jobs {
			p := plan{seed: seed, job: uint64(n), days: 20}
			c.plant(&p)
			for _, f := range trend.Of(judged(p.make())).Flags {
				if f.Kind == c.kind {
					found++
					if found == 1 {
						t.Logf("%s: %+v", c.kind, f)
					}
					break
				}
			}
		}
		t.Logf("%s: found in %d of %d jobs", c.kind, found, jobs)
		if 10*found < 9*jobs {
			t.Errorf("%s: found in %d of %d jobs", c.kind, found, jobs)
		}
	}
}

// TestFewDays sees that a job of three days raises nothing and says what it is
// too short for.
func TestFewDays(t *testing.T) {
	few := trend.Of(judged(plan{seed: 1, job: 1, days: 3, areas: 2, batches: 2, inspectors: 1, meters: 1}.make()))
	if len(few.Flags) > 0 {
		t.Errorf("three days raise %+v", few.Flags)
	}
	said := map[string]bool{}
	for _, s := range few.TooFew {
		said[fmt.Sprint(s.Kind, " ", s.N, " of ", s.Need, ", ", s.Before, " before")] = true
	}
	for _, want := range []string{
		"blanks-rising 3 of 5, 0 before", "checks-drifting 3 of 5, 0 before", "checks-outside 9 of 10, 0 before",
		"median-after-abrasive 1 of 0, 1 before", "inspector-median 0 of 0, 1 before", "inspector-voids 0 of 0, 1 before",
	} {
		if !said[want] {
			t.Errorf("not said: %s; said: %v", want, said)
		}
	}
}
