package certificate

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/papers"
	"saltline/internal/record"
)

// refuse gathers every reason why the certificate is not issued: whatever stays
// unsaid would be taken for said.
func (c *Certificate) refuse(r *assess.Result) {
	s := c.Standing
	because := func(k ReasonKind, tests ...int) *Reason {
		c.Reasons = append(c.Reasons, Reason{Kind: k, Tests: tests})
		return &c.Reasons[len(c.Reasons)-1]
	}
	if len(s.Tests) == 0 {
		because(NotTested)
	}
	for _, reason := range s.Reasons {
		switch reason.Kind {
		case assess.OpenFails:
			because(OpenFail, reason.Tests...)
		case assess.TooFewTests:
			if short := s.Short - c.waiting(r); short > 0 && len(s.Tests) > 0 {
				because(TooFewTests).Count = short
			}
		case assess.NoSamplingRule:
			because(NoSamplingRule)
		case assess.RequiredUnknown:
			because(RequiredUnknown)
		case assess.UnprovenTests:
			proof := slices.DeleteFunc(slices.Clone(reason.Tests), func(i int) bool { return waits(r, i) })
			if len(proof) > 0 {
				because(UnprovenTests, proof...)
			}
		case assess.SpotTypesMissing:
			if len(s.Tests) > 0 {
				because(SpotTypesMissing).Names = s.MissingSpotTypes
			}
		case assess.FailedControl:
			// What puts the record itself in question is said below, once.
			if f := &r.Findings[reason.Finding]; f.Check.Group != assess.Integrity {
				because(FailedControl).Finding = f
			}
		}
	}
	c.refuseLimit(r, because)
	c.refuseTerms(r, because)
	if tests := c.writtenFails(r); len(tests) > 0 {
		because(WrittenFail, tests...)
	}
	for k := range r.Findings {
		f := &r.Findings[k]
		if f.Check.Group == assess.Integrity && f.Severity <= assess.UnprovenPass && c.concerns(f) {
			because(IntegrityOpen, f.Tests...).Finding = f
		}
	}
	for k := range c.Reports {
		if p := &c.Reports[k]; !p.Complete() {
			because(ReportIncomplete).Report = p
		}
	}
	for _, g := range c.Issue.Gaps {
		because(map[papers.IssueGap]ReasonKind{
			papers.IssuedOtherwise: IssuedOtherwise, papers.IssuedTwice: IssuedTwice, papers.Unexplained: RevisionUnexplained,
		}[g])
	}
}

// refuseLimit refuses where a test has no limit, one with a gap, or not the same
// as the others.
func (c *Certificate) refuseLimit(r *assess.Result, because func(ReasonKind, ...int) *Reason) {
	lacks := func(gaps ...assess.Reason) bool {
		return slices.ContainsFunc(c.Standing.Tests, func(i int) bool {
			return slices.ContainsFunc(gaps, r.Lines[i].Because)
		})
	}
	if lacks(assess.NoLimit, assess.NoLimitUnit) {
		because(NoLimit)
	}
	if lacks(assess.NoLimitBasis) {
		because(NoBasis)
	}
	if c.differ {
		because(LimitsDiffer)
	}
}

// waits reports whether nothing stands against a test but that its limit is
// missing or has a gap, or a question about the record: it is as good as any
// once that is settled, and to repeat it would help nothing. Both are reasons of
// their own.
func waits(r *assess.Result, i int) bool {
	l := &r.Lines[i]
	if l.Verdict != assess.NotEstablished || l.ByNumber != assess.Pass && !l.Open() {
		return false
	}
	for _, reason := range l.Reasons() {
		if reason != assess.NoLimit && reason != assess.NoLimitUnit && reason != assess.NoLimitBasis {
			return false
		}
	}
	return !slices.ContainsFunc(l.Findings(), func(n int) bool {
		f := &r.Findings[n]
		return (f.Severity == assess.UnprovenPass || f.Severity == assess.VoidsTest) && f.Check.Group != assess.Integrity
	})
}

// waiting counts the original tests that would be valid, by themselves or by a
// repeat, once what they wait for is settled.
func (c *Certificate) waiting(r *assess.Result) int {
	n := 0
	for _, i := range c.Standing.Tests {
		l := &r.Lines[i]
		if _, replaced := slices.BinarySearch(c.Standing.Superseded, i); replaced || l.Test.Kind().Val != record.Original || established(l) {
			continue
		}
		if waits(r, i) || slices.ContainsFunc(c.repeatsOf(r, i), func(i int) bool { return waits(r, i) }) {
			n++
		}
	}
	return n
}

// String is the reason in lower-case words with hyphens, under which its words
// stand.
func (k ReasonKind) String() string {
	return [...]string{"not-tested", "open-fail", "no-limit", "no-basis", "limits-differ", "no-sampling-rule", "required-unknown",
		"too-few-tests", "unproven-tests", "spot-types-missing", "failed-control", "integrity-open", "report-incomplete", "day-unread",
		"terms-unread", "terms-differ", "written-fail", "number-twice", "issued-otherwise", "issued-twice", "revision-unexplained"}[k]
}

// concerns reports whether a finding is of the area, or of the record as a
// whole.
func (c *Certificate) concerns(f *assess.Finding) bool {
	if len(f.Tests) == 0 && len(f.Areas) == 0 {
		return true
	}
	return c.touched(f)
}

// touched reports whether a finding names the area or one of its tests.
func (c *Certificate) touched(f *assess.Finding) bool {
	return contains(f.Areas, c.Standing.Name) ||
		slices.ContainsFunc(f.Tests, func(i int) bool { _, mine := slices.BinarySearch(c.Standing.Tests, i); return mine })
}
