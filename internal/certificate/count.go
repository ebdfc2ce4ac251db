package certificate

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// count sorts the tests into what was found first, and what describes the area
// as it is now. The standing of the area has both.
//
// First has one result for an original test: a repeat of a void one stands for
// it, a repeat of a fail is a retest and of another time, and a repeat of a pass
// adds nothing. A fail in words has no density and is one of them.
//
// Stated are the passes of all places of the area, those too of which only a
// bound is known ("<1"): they did not exceed the limit either. Left out are
// fails that were cleared, for the retest that cleared them speaks of their
// place; any other retest, which is a second extraction or an earlier state;
// voids and what is not established; and duplicates for a witness, which say
// nothing of another place.
func (c *Certificate) count(r *assess.Result) {
	c.repeats = c.repeatsByNumber(r)
	first := &c.Standing.First
	c.First, c.Above, c.Stated = slices.Concat(first.Tests, first.Above), first.Above, c.Standing.AsCoated.Tests
	slices.Sort(c.First)
	c.First = slices.Compact(c.First)
}

func established(l *assess.Line) bool { return l.Verdict == assess.Pass || l.Verdict == assess.Fail }

// repeatsOf are the repeats of a test, and the repeats of these.
func (c *Certificate) repeatsOf(r *assess.Result, test int) []int {
	all := []int{test}
	for k := 0; k < len(all); k++ {
		number := record.Folded(r.Lines[all[k]].Test.Number().Val)
		for _, i := range c.repeats[number] {
			if number != "" && !slices.Contains(all, i) {
				all = append(all, i)
			}
		}
	}
	slices.Sort(all[1:])
	return all[1:]
}

// repeatsByNumber are the repeats of the area by each number that they name.
func (c *Certificate) repeatsByNumber(r *assess.Result) map[string][]int {
	by := map[string][]int{}
	for _, i := range c.Standing.Tests {
		t := r.Lines[i].Test
		if t.Kind().Val != record.Repeat {
			continue
		}
		names := append([]string{t.OfTest().Val}, strings.FieldsFunc(t.OfTest().Val, func(c rune) bool { return strings.ContainsRune(" ,;/&", c) })...)
		for _, name := range names {
			if key := record.Folded(name); !slices.Contains(by[key], i) {
				by[key] = append(by[key], i)
			}
		}
	}
	return by
}
