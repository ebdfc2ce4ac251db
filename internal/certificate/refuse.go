package certificate

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/papers"
)

// refuse gathers every reason why the certificate is not issued: whatever stays
// unsaid would be taken for said.
func (c *Certificate) refuse(r *assess.Result) {
	s := &c.Standing
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
			because(TooFewTests).Count = s.Short
		case assess.NoSamplingRule:
			because(NoSamplingRule)
		case assess.RequiredUnknown:
			because(RequiredUnknown)
		case assess.UnprovenTests:
			because(UnprovenTests, reason.Tests...)
		case assess.SpotTypesMissing:
			because(SpotTypesMissing).Names = s.MissingSpotTypes
		case assess.FailedControl:
			because(FailedControl).Finding = &r.Findings[reason.Finding]
		}
	}
	c.refuseLimit(because)
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

// refuseLimit refuses where there is no limit, one with a gap, or not the same
// for all tests.
func (c *Certificate) refuseLimit(because func(ReasonKind, ...int) *Reason) {
	if len(c.Limits) == 0 && len(c.Standing.Tests) > 0 {
		because(NoLimit)
	}
	for _, l := range c.Limits {
		switch {
		case slices.Contains(l.Gaps, assess.NoLimit), slices.Contains(l.Gaps, assess.NoLimitUnit):
			because(NoLimit)
		case slices.Contains(l.Gaps, assess.NoLimitBasis):
			because(NoBasis)
		}
	}
	if c.differ {
		because(LimitsDiffer)
	}
}

// String is the reason in lower-case words with hyphens, under which its words
// stand.
func (k ReasonKind) String() string {
	return [...]string{"not-tested", "open-fail", "no-limit", "no-basis", "limits-differ", "no-sampling-rule", "required-unknown",
		"too-few-tests", "unproven-tests", "spot-types-missing", "failed-control", "integrity-open", "report-incomplete",
		"issued-otherwise", "issued-twice", "revision-unexplained"}[k]
}

// concerns reports whether a finding is of the area, or of the record as a
// whole.
func (c *Certificate) concerns(f *assess.Finding) bool {
	if len(f.Tests) == 0 && len(f.Areas) == 0 {
		return true
	}
	return contains(f.Areas, c.Standing.Name) ||
		slices.ContainsFunc(f.Tests, func(i int) bool { _, mine := slices.BinarySearch(c.Standing.Tests, i); return mine })
}
