package report

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
)

// A trait of a test is something that the reports of its day and of every later
// day ask. It is found once: of a job of 200,000 tests on 600 days each would be
// looked at 300 times, a third of all the time that its reports took.
type trait uint8

const (
	runsOn     trait = 1 << iota // the next test of the log has the next number
	onPaper                      // a better record establishes it
	ofAFail                      // it was made because of a fail
	heldByText                   // the log calls it a fail, and it is not established to be one
)

// traitsOf are those of all tests.
func traitsOf(lines []assess.Line) []trait {
	all := make([]trait, len(lines))
	for i := range lines {
		l := &lines[i]
		if check.Follows(lines, i) {
			all[i] |= runsOn
		}
		if slices.ContainsFunc(l.Reasons(), func(r assess.Reason) bool { return mendedBy[r] != "" }) {
			all[i] |= onPaper
		}
		if kind := l.Test.Kind().Val; kind == record.Retest || kind == record.Adjacent {
			all[i] |= ofAFail
		}
		if l.Verdict == assess.NotEstablished && l.AsWritten() == assess.Fail {
			all[i] |= heldByText
		}
	}
	return all
}

// heightsOf are the densities that tests are judged by, in mg/m²; NaN for that
// of a void, and for one that is not known.
func heightsOf(lines []assess.Line) []float64 {
	all := make([]float64, len(lines))
	for i := range lines {
		all[i] = math.NaN()
		if d := lines[i].Judged(); d.Known && lines[i].Verdict != assess.Void {
			all[i] = float64(d.Value)
		}
	}
	return all
}

// follows reports whether the test behind test i in the log has the next number.
func (c *composer) follows(i int) bool {
	if c.index == nil {
		return check.Follows(c.Result.Lines, i)
	}
	return c.index.traits[i]&runsOn != 0
}
