package assess

import (
	"cmp"
	"slices"
	"sync"

	"saltline/internal/crew"
	"saltline/internal/diag"
	"saltline/internal/record"
)

// Run judges a job: it settles what is judged on, works out every test,
// puts the checks to the record and draws the verdicts.
//
// The checks see the lines with the verdicts that the numbers alone give
// (and those that the log itself calls void); what they take away is drawn
// after the last of them has run, so that their order does not matter.
func Run(job *record.Job, checks []*Check) *Result {
	b := newBench(job)
	r := &Result{Job: job, Lines: make([]Line, len(job.Tests))}
	b.work(r.Lines)
	r.Systematic = b.explain(r.Lines)
	r.Ambient = b.ambient()
	r.Basis, r.Assumptions = b.basis, b.assumptions
	r.drawWritten()
	r.Findings = r.ask(checks)
	b.touching = touched(r.Findings, len(r.Lines))
	r.draw()
	return r
}

// work works out every line. A line rests on nothing but its own test and the
// bench, so they are worked out side by side; what is assumed of them is then
// numbered in their order.
func (b *bench) work(lines []Line) {
	crew.Share(len(lines), func(from, to int) {
		h := hand{bench: b}
		for i := from; i < to; i++ {
			lines[i].Index = i
			h.line(&b.job.Tests[i], &lines[i])
		}
	})
	b.assumeOf(lines)
}

// ask puts every check to the record and returns what they found, the
// weightiest first, then by place. A check only reads the record, so they are
// asked side by side, and their answers are put in the order of the checks.
func (r *Result) ask(checks []*Check) []Finding {
	answers := make([][]Finding, len(checks))
	shared := new(sync.Map)
	crew.Do(len(checks), func(k int) {
		v := &Review{Result: r, check: checks[k], shared: shared}
		checks[k].Run(v)
		answers[k] = v.found
	})
	found := slices.Concat(answers...)
	slices.SortStableFunc(found, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(a.Severity, b.Severity),
			r.place(a).Compare(r.place(b)),
		)
	})
	return found
}

// place is where a finding is seen first: its first cell, else the row of
// its first test.
func (r *Result) place(f Finding) diag.Pos {
	switch {
	case len(f.Places) > 0:
		return slices.MinFunc(f.Places, diag.Pos.Compare)
	case len(f.Tests) > 0:
		return r.Lines[slices.Min(f.Tests)].Test.Row()
	}
	return diag.Pos{}
}
