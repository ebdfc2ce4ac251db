package record

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A sheetIssue is what the titles of a day sheet say of themselves: of which
// report it is, and which revision.
type sheetIssue struct {
	day              unit.Date
	number, revision Words
}

// issueOf is what the titles of a part with the tests of one day say of its
// report; false where they say nothing of it, or there are several days.
func issueOf(p *Job) (sheetIssue, bool) {
	var s sheetIssue
	for i := range p.Tests {
		d := p.Tests[i].Date()
		if !d.Known() || !s.day.IsZero() && s.day != d.Val {
			return s, false
		}
		s.day = d.Val
	}
	for _, f := range p.Terms.Other {
		of := map[string]*Words{"report number": &s.number, "revision": &s.revision}[f.Key]
		switch {
		case of == nil || len(p.Tests) == 0 || f.Value.Pos.At(0, 0) != p.Tests[0].Row().At(0, 0):
			// said in a job table, which is of no day
		case of.Known() && !sameWords(of.Val, f.Value.Val):
			return s, false // two sheets, two reports
		default:
			*of = f.Value
		}
	}
	return s, !s.day.IsZero() && (s.number.Known() || s.revision.Known())
}

// placeDays gives a day sheet that says in its titles which revision it is the
// row of the days that speaks of it, where that stands in another file; a row of
// that day that stands with it and speaks of another revision goes there.
func placeDays(parts []*Job) {
	for _, p := range parts {
		is, ok := issueOf(p)
		if !ok || !is.revision.Known() {
			continue
		}
		speaks := func(d Day) bool {
			return d.Date.Known() && d.Date.Val == is.day && (!is.number.Known() || sameWords(d.ReportNumber.Val, is.number.Val))
		}
		var rows []Day // of this revision, in whichever file
		for _, q := range parts {
			for _, d := range q.Days {
				if speaks(d) && CompareRevisions(d.Revision.Val, is.revision.Val) == 0 {
					rows = append(rows, d)
				}
			}
		}
		if len(rows) == 0 && is.number.Known() {
			date := Given[unit.Date]{Val: is.day, State: Known, Text: p.Tests[0].Date().Text, Pos: p.Tests[0].Date().Pos}
			rows = append(rows, Day{Row: is.revision.Pos.At(is.revision.Pos.Row(), 0), Date: date, ReportNumber: is.number, Revision: is.revision})
		}
		if len(rows) == 0 {
			continue
		}
		own := slices.IndexFunc(p.Days, func(d Day) bool { return speaks(d) && CompareRevisions(d.Revision.Val, is.revision.Val) == 0 })
		if own < 0 {
			p.Days = append(p.Days, rows[0])
		}
		p.Days = slices.DeleteFunc(p.Days, func(d Day) bool {
			return speaks(d) && CompareRevisions(d.Revision.Val, is.revision.Val) != 0 && heldElsewhere(parts, p, &d)
		})
	}
}

// heldElsewhere reports whether another part has tests of a day and says in its
// titles that it is the revision that a row of the days names.
func heldElsewhere(parts []*Job, p *Job, d *Day) bool {
	return slices.ContainsFunc(parts, func(q *Job) bool {
		is, ok := issueOf(q)
		return q != p && ok && is.revision.Known() && is.day == d.Date.Val && CompareRevisions(is.revision.Val, d.Revision.Val) == 0
	})
}

// Astray finds the rows of the days that tell of a later revision of a report
// and stand apart from the files of that day, so that which of these is the
// later one cannot be told: two of them hold a test with different contents.
func Astray(parts []*Job) []diag.Diagnostic {
	var all []diag.Diagnostic
	for _, p := range parts {
		for i := range p.Days {
			d := &p.Days[i]
			earlier := func(o Day) bool {
				return o.Date.Known() && o.Date.Val == d.Date.Val && sameWords(o.ReportNumber.Val, d.ReportNumber.Val) && laterRevision(d.Revision.Val, o.Revision.Val)
			}
			if !d.Date.Known() || !d.ReportNumber.Known() || !slices.ContainsFunc(p.Days, earlier) {
				continue
			}
			if files := differing(parts, d.Date.Val); len(files) > 0 {
				all = append(all, diag.Diagnostic{
					Pos: d.Row, Level: diag.Problem, Check: "revision-astray",
					Msg: fmt.Sprintf("found revision %q of report %q of %s here, and tests of that day with different contents in %s, but wanted to know which of these it speaks of",
						d.Revision.Text, d.ReportNumber.Text, d.Date.Text, strings.Join(files, " and ")),
					Hint: "put the row of days into the file that it speaks of, or leave the earlier file out",
				})
			}
		}
	}
	return all
}

// differing are the files of two parts of which at least one does not tell which
// report of a day it is, and which hold a test of one number and area of that day
// with different contents.
func differing(parts []*Job, day unit.Date) []string {
	tells := func(p *Job) bool {
		is, ok := issueOf(p)
		revisions := 0
		for i := range p.Days {
			if p.Days[i].Date.Known() && p.Days[i].Date.Val == day {
				revisions++
			}
		}
		return revisions == 1 || ok && is.revision.Known()
	}
	for i, p := range parts {
		for _, q := range parts[i+1:] {
			if tells(p) && tells(q) {
				continue
			}
			for _, a := range testsOf(p, day) {
				for _, b := range testsOf(q, day) {
					one, two := &p.Tests[a], &q.Tests[b]
					if one.Number().Known() && sameWords(one.Number().Val, two.Number().Val) && sameWords(one.Area().Val, two.Area().Val) && !Alike(one, two) {
						return []string{one.Row().File(), two.Row().File()}
					}
				}
			}
		}
	}
	return nil
}
