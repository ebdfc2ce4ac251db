package audit

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/check"
)

// Fails of which the record leaves the same open are asked about together.
type fails struct {
	leaves
	tests    []int // that failed
	retests  []int // that name them
	washed   []int // of these, those whose remark names washing
	unplaced []int // of these, those that the record does not show beside the first print
}

// Leaves are what the record leaves open of a fail.
type leaves struct {
	inWords  bool // the log calls it a fail, and its value is not above the limit
	since    bool // something was done before it failed last
	unended  bool // a treatment is on record, and its end is not
	retested bool // a test made since names it
	washing  bool // the remark of one names washing
	timed    bool // and a time
	place    bool // one is not shown to stand beside the first print
	adjacent int  // how many adjacent tests are missing
}

// aboutFails asks what was done where a fail has no treatment on record. Where
// a retest says that something was, the question names it and what else is
// missing.
func (a *Report) aboutFails(areas []*assess.Standing) []Question {
	var all []*fails
	of := map[leaves]*fails{}
	for n := range areas {
		for k := range areas[n].Open {
			c := &areas[n].Open[k]
			if c.State != assess.Open {
				continue
			}
			one := a.fail(c)
			f := of[one.leaves]
			if f == nil {
				f = &fails{leaves: one.leaves}
				of[one.leaves], all = f, append(all, f)
			}
			f.tests = append(f.tests, one.tests...)
			f.retests = append(f.retests, one.retests...)
			f.washed = append(f.washed, one.washed...)
			f.unplaced = append(f.unplaced, one.unplaced...)
		}
	}
	var asked []Question
	for _, f := range all {
		asked = append(asked, a.askOf(f))
	}
	slices.SortStableFunc(asked, func(p, q Question) int { return p.Tests[0] - q.Tests[0] })
	return asked
}

// fail is one open fail, with what the record leaves open of it.
func (a *Report) fail(c *assess.Chain) fails {
	f := fails{tests: []int{c.Fail}}
	failed := &a.Lines[c.Fail]
	f.inWords = failed.ByNumber != assess.Fail && !slices.ContainsFunc(failed.Limits(), func(j assess.Judgement) bool { return j.Exceeds })
	f.since = c.FailedRetests > 0 || len(c.Treatments) > 0
	f.retests = c.SinceFail(a.Result)
	f.retested = len(f.retests) > 0
	for _, i := range f.retests {
		if named, timed := a.Lines[i].Test.Washing(); named {
			f.washing, f.timed = true, f.timed || timed
			f.washed = append(f.washed, i)
		}
	}
	for _, o := range c.Obstacles {
		switch o.Kind {
		case assess.TreatmentEndUnknown:
			f.unended = true
		case assess.SameFootprint, assess.LocationUnknown, assess.RetestFar:
			f.place, f.unplaced = true, append(f.unplaced, o.Test)
		case assess.TooFewAdjacent:
			f.adjacent = o.Count
		}
	}
	if !f.retested {
		f.adjacent = 0 // asked for with the retest
	}
	return f
}

// askOf is the question about fails.
func (a *Report) askOf(f *fails) Question {
	for _, tests := range []*[]int{&f.tests, &f.retests, &f.washed, &f.unplaced} {
		slices.Sort(*tests)
		*tests = slices.Compact(*tests) // a retest may name several fails
	}
	q := Question{Key: "audit/ask-fails", Finding: -1, Tests: f.tests}
	switch {
	case f.unended:
		q.Key = "audit/ask-fails-end"
	case f.retested:
		q.Key = "audit/ask-fails-retested"
	}
	rule, _ := a.Basis.Setting(assess.AdjacentTests)
	q.Fill = map[string]any{
		"InWords": f.inWords, "Since": f.since, "Timed": f.timed, "Adjacent": f.adjacent, "House": rule.House,
		"Retests": check.Numbers(a.Lines, f.retests), "RetestCount": len(f.retests),
		"Washed": check.Numbers(a.Lines, f.washed), "WashedCount": len(f.washed),
		"Unplaced": check.Numbers(a.Lines, f.unplaced), "UnplacedCount": len(f.unplaced),
	}
	return q
}
