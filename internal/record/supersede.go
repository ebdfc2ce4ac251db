package record

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/unit"
)

// supersede takes out of each part the days of which another holds a later
// revision.
func supersede(parts []*Job) {
	type key struct {
		day    unit.Date
		number string
	}
	latest := map[key]*Day{}
	for _, p := range parts {
		for i := range p.Days {
			d := &p.Days[i]
			if !d.Date.Known() || !d.ReportNumber.Known() {
				continue
			}
			k := key{d.Date.Val, Folded(d.ReportNumber.Val)}
			if was := latest[k]; was == nil || laterRevision(d.Revision.Val, was.Revision.Val) {
				latest[k] = d
			}
		}
	}
	for _, p := range parts {
		for _, d := range slices.Clone(p.Days) {
			by := latest[key{d.Date.Val, Folded(d.ReportNumber.Val)}]
			if by == nil || !laterRevision(by.Revision.Val, d.Revision.Val) || holdsRevision(p, by) {
				continue
			}
			old := Superseded{Day: d, By: by.Revision, Digest: p.Digest(testsOf(p, d.Date.Val))}
			p.Tests = slices.DeleteFunc(p.Tests, func(t Test) bool {
				gone := t.Date().Known() && t.Date().Val == d.Date.Val
				if gone {
					old.Tests = append(old.Tests, t)
					p.Note.Used--
					p.Note.Skipped = append(p.Note.Skipped, Skip{Row: t.Row(), Text: t.Number().Text, Reason: "superseded by a later revision of the report"})
				}
				return gone
			})
			p.Superseded = append(p.Superseded, old)
			dropDay(p, d.Date.Val)
		}
	}
}

// testsOf are the tests of a day, as indexes.
func testsOf(p *Job, day unit.Date) []int {
	var tests []int
	for i := range p.Tests {
		if d := p.Tests[i].Date(); d.Known() && d.Val == day {
			tests = append(tests, i)
		}
	}
	return tests
}

// dropDay takes out what else a superseded part holds of a day: what was read
// and done on it is what the later revision says. The stock of a part of which
// no test is left goes too.
func dropDay(p *Job, day unit.Date) {
	of := func(d Given[unit.Date]) bool { return d.Known() && d.Val == day }
	p.Ambient = slices.DeleteFunc(p.Ambient, func(a Ambient) bool { return of(a.Date) })
	p.Checks = slices.DeleteFunc(p.Checks, func(k MeterCheck) bool { return of(k.Date) })
	p.Water = slices.DeleteFunc(p.Water, func(w Water) bool { return of(w.Date) })
	p.Treatments = slices.DeleteFunc(p.Treatments, func(t Treatment) bool { return of(t.Date) })
	p.Extracts = slices.DeleteFunc(p.Extracts, func(e Extract) bool { return of(e.Date) })
	if len(p.Tests) == 0 {
		p.Patches = nil
	}
}

// holdsRevision reports whether a part holds the row of the later revision
// itself: then its tests are those of that revision.
func holdsRevision(p *Job, by *Day) bool {
	return slices.ContainsFunc(p.Days, func(d Day) bool {
		return d.Date.Val == by.Date.Val && Folded(d.ReportNumber.Val) == Folded(by.ReportNumber.Val) &&
			Folded(d.Revision.Val) == Folded(by.Revision.Val)
	})
}

// laterRevision reports whether revision a comes after b: 2 after 1, B after A,
// any after none.
func laterRevision(a, b string) bool { return CompareRevisions(a, b) > 0 }

// CompareRevisions orders revisions as they are counted: none, 0, 1 … 10, or A,
// B … Z, AA. A word in front of it, as in "rev. 2", does not count.
func CompareRevisions(a, b string) int {
	a, b = bareRevision(a), bareRevision(b)
	m, errM := strconv.Atoi(a)
	n, errN := strconv.Atoi(b)
	switch {
	case errM == nil && errN == nil:
		return cmp.Compare(m, n)
	case (a == "") != (b == ""):
		return cmp.Compare(len(a), len(b))
	}
	return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b))
}

func bareRevision(s string) string {
	fields := strings.Fields(strings.ToUpper(strings.ReplaceAll(s, ".", " ")))
	if len(fields) == 0 {
		return ""
	}
	return fields[len(fields)-1]
}
