package certificate

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/record"
)

// refuseTerms refuses where the record leaves open by which terms its tests are
// to be judged: where it writes one in a way that nobody can read, for then the
// term that was agreed was not applied; and where it says two different things
// of one, for then the certificate would state either. A value that the command
// line puts in the place of a recorded one is such a case too.
func (c *Certificate) refuseTerms(r *assess.Result, because func(ReasonKind, ...int) *Reason) {
	if names := c.unread(r.Job); len(names) > 0 {
		because(TermsUnread).Names = names
	}
	if names := c.disputed(r.Job); len(names) > 0 {
		because(TermsDiffer).Names = names
	}
}

// unread are the terms of the area that are written and not understood. A
// sampling rule of the job is not among them: without it there is none, which is
// a reason of its own.
func (c *Certificate) unread(job *record.Job) []string {
	var names []string
	add := func(name string, state record.State) {
		if state == record.Unreadable && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	t := &job.Terms
	add("decision rule", t.DecisionRule.State)
	add("expanded uncertainty", t.ExpandedUncertainty.State)
	for i := range t.Limits {
		add("limit comparison", t.Limits[i].Comparison.State)
		add("limit rounding", t.Limits[i].Rounding.State)
	}
	add("spot types required", t.SpotTypes.State)
	add("retest rule", t.Retest.State)
	add("hours to coating", t.HoursToCoating.State)
	add("contact time", t.ContactTime.State)
	add("water limit", t.WaterLimit.State)
	add("check tolerance", t.CheckTolerance.State)
	if a := c.Standing.Area; a != nil {
		add("limit", a.Limit.State)
		add("sampling rule", a.Sampling.State)
	}
	return names
}

// ruling are the terms that a certificate states or by which its tests are
// judged, but for those of limits. What may differ from sheet to sheet (volume,
// patch area, procedure) is with the tests that it holds for.
var ruling = []string{
	"job number", "specification", "specification revision", "decision rule", "expanded uncertainty", "constant", "sampling rule",
	"spot types required", "retest rule", "hours to coating", "contact time", "water limit", "check tolerance",
}

// ofArea are the columns of the areas table that rule an area.
var ofArea = []string{"size", "sampling rule", "limit"}

// disputed are the ruling terms of which the record says two different things.
func (c *Certificate) disputed(job *record.Job) []string {
	var names []string
	for i := range job.Conflicts {
		key := job.Conflicts[i].Key
		column, area, isOfArea := strings.Cut(key, " of ")
		switch {
		case isOfArea && slices.Contains(ofArea, column):
			if record.Folded(area) != record.Folded(c.Standing.Name) {
				continue
			}
		case !slices.Contains(ruling, key) && !strings.HasPrefix(key, "limit"):
			continue
		}
		if !slices.Contains(names, key) {
			names = append(names, key)
		}
	}
	return names
}

// writtenFails are the tests that the log calls fails and whose readings give a
// pass. The daily reports show both; a certificate beside them would say the
// opposite of what was signed. A value of total salts above a limit of something
// else calls nothing a fail by itself.
func (c *Certificate) writtenFails(r *assess.Result) []int {
	var tests []int
	for _, i := range c.Standing.Tests {
		l := &r.Lines[i]
		if l.Verdict != assess.Pass || l.AsWritten() != assess.Fail {
			continue
		}
		if l.Test.RecordedVerdict().Val == record.WrittenFail || l.Agreement == assess.DoesNotFollow {
			tests = append(tests, i)
		}
	}
	return tests
}

// shareNumbers refuses certificates that bear one number. It stands on what is
// issued and on what is not: either may be lying in a file already.
func shareNumbers(all []Certificate) {
	numbers := make([]string, len(all))
	bearers := make(map[string][]int, len(all))
	for i := range all {
		numbers[i] = record.Folded(all[i].Issue.Number)
		bearers[numbers[i]] = append(bearers[numbers[i]], i)
	}
	for i := range all {
		var others []string
		for _, k := range bearers[numbers[i]] {
			if k != i {
				others = append(others, all[k].Standing.Name)
			}
		}
		if len(others) > 0 {
			all[i].Reasons = append(all[i].Reasons, Reason{Kind: NumberTwice, Names: others})
		}
	}
}
