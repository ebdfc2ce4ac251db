package certificate

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/papers"
	"saltline/internal/record"
)

// agreed lists what was agreed for the area, and what weakens its evidence.
func (c *Certificate) agreed(r *assess.Result, standing []*assess.Standing) {
	for k := range r.Job.Concessions {
		if row := &r.Job.Concessions[k]; c.isFor(r, row, standing) {
			c.Concessions = append(c.Concessions, row)
		}
	}
	for k := range r.Findings {
		f := &r.Findings[k]
		if f.Severity == assess.Weakens && (c.touched(f) || ofNumbers(f) || ofTerms(f)) {
			c.Deviations = append(c.Deviations, f)
		}
	}
}

// isFor reports whether a concession speaks of the area: it names it, or it
// names no area and one of its tests, or nothing that the record knows. What
// cannot be told to be of another area is left out of no certificate.
func (c *Certificate) isFor(r *assess.Result, row *record.Concession, standing []*assess.Standing) bool {
	about := row.For.Val
	if papers.Names(about, c.Standing.Name) {
		return true
	}
	if slices.ContainsFunc(standing, func(s *assess.Standing) bool { return papers.Names(about, s.Name) }) {
		return false
	}
	words := map[string]bool{}
	for part := range strings.FieldsFuncSeq(record.Folded(about), func(r rune) bool { return strings.ContainsRune(" ,;/&:()", r) }) {
		words[part] = true
	}
	names := func(tests []int) bool {
		return slices.ContainsFunc(tests, func(i int) bool { return words[record.Folded(r.Lines[i].Test.Number().Val)] })
	}
	return names(c.Standing.Tests) || !slices.ContainsFunc(standing, func(s *assess.Standing) bool { return names(s.Tests) })
}

// ofNumbers reports whether a finding is that tests or reports of the record as a
// whole do not add up, as where a number is missing: what is not there may have
// been of any area. Readings of air and stocks name no test either, and are of
// their own day and place.
func ofNumbers(f *assess.Finding) bool {
	return len(f.Tests) == 0 && len(f.Areas) == 0 && (f.Check.Group == assess.SamplingAndRetests || f.Check.Group == assess.Integrity)
}

// ofTerms reports whether a finding is that two places of the record say
// different things of a term: it is of every area.
func ofTerms(f *assess.Finding) bool { return f.Check.Name == "sources-disagree" && len(f.Tests) == 0 }
