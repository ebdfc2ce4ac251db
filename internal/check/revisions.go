package check

import (
	"cmp"
	"path"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// filesDiffer finds tests of one number, area and day that two files hold with
// different contents, though neither file gives the day a report of its own.
// A day that is split over two files has other numbers in each.
func filesDiffer(v *assess.Review) {
	if !inSeveralFiles(v) {
		return
	}
	type borne struct {
		number, area int32
		day          unit.Date
	}
	numbers, areas := numbersBorne(v), areasNamed(v)
	var questioned []int
	for _, tests := range groups(keep(sharedNumbers(v), func(i int) bool { return v.Lines[i].Test.Date().Known() }), func(i int) borne {
		return borne{numbers.at(i), areas.at(i), v.Lines[i].Test.Date().Val}
	}) {
		questioned = append(questioned, keep(tests, func(i int) bool {
			return slices.ContainsFunc(tests, func(j int) bool { return otherwiseIn(v, i, j) })
		})...)
	}
	slices.Sort(questioned)
	for _, tests := range byDay(v, questioned) {
		day := v.Lines[tests[0]].Test.Date().Val
		var files, names []string
		for _, i := range tests {
			t := v.Lines[i].Test
			if !slices.Contains(files, t.Row().File()) {
				files = append(files, t.Row().File())
			}
			if !slices.Contains(names, t.Number().Text) {
				names = append(names, t.Number().Text)
			}
		}
		few, more := upTo(mostShown, names)
		args := map[string]any{
			"Document": "", "Revision": "", "Day": day, "Fields": []string(nil), "Rows": len(tests), "Signed": []signedRow(nil), "More": more,
			"Files": files, "Numbers": few, "AllNumbers": len(names),
		}
		if d := diaryOf(v, tests[0]); d != nil {
			args["Document"], args["Revision"] = d.ReportNumber.Text, d.Revision.Text
		}
		report(v, assess.Finding{
			Date: day, Tests: slices.DeleteFunc(slices.Clone(tests), func(i int) bool { return !v.Lines[i].OfSteel() }),
			Places: places(v, tests, (*record.Test).Row), Args: args,
		})
	}
}

// inSeveralFiles reports whether the tests stand in more than one file.
func inSeveralFiles(v *assess.Review) bool {
	for i := range v.Lines {
		if v.Lines[i].Test.Row().File() != v.Lines[0].Test.Row().File() {
			return true
		}
	}
	return false
}

// otherwiseIn reports whether two rows of one number stand in two files, say
// different things, and belong to one report as far as the files tell.
func otherwiseIn(v *assess.Review, i, j int) bool {
	a, b := v.Lines[i].Test, v.Lines[j].Test
	if a.Row().File() == b.Row().File() || record.Alike(a, b) {
		return false
	}
	one, two := diaryOf(v, i), diaryOf(v, j)
	return one == nil || two == nil || !one.ReportNumber.Known() || !two.ReportNumber.Known() ||
		record.Folded(one.ReportNumber.Val) == record.Folded(two.ReportNumber.Val)
}

// diaryOf is the row of the diary that the file of a test, or the folder that
// it lies in, has of its day; nil where it has none of its own.
func diaryOf(v *assess.Review, test int) *record.Day {
	t := v.Lines[test].Test
	for i := range v.Job.Days {
		if d := &v.Job.Days[i]; d.Date.Known() && d.Date.Val == t.Date().Val && ofOneRecord(d.Row, t.Row()) {
			return d
		}
	}
	return nil
}

// ofOneRecord reports whether two rows stand in one workbook, or in tables of
// one folder.
func ofOneRecord(a, b diag.Pos) bool {
	return a.File() == b.File() || path.Dir(a.File()) == path.Dir(b.File()) && path.Dir(a.File()) != "."
}

// testGoneInARevision: an earlier revision of the report of a day holds a test
// that the later one does not, or holds one above the limit that is not above
// it now. What was written first is listed. Until it is settled the area is not
// accepted; where the later revision names the test among its changes, that only
// weakens the evidence. But a test that was above the limit and stands nowhere
// any more stays a question whatever is said of it: only a proper test clears a
// fail.
var testGoneInARevision = &assess.Check{
	Name:     "test-gone-in-a-revision",
	Group:    assess.Integrity,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		latestFirst := make([]*record.Superseded, len(v.Job.Superseded))
		for i := range v.Job.Superseded {
			latestFirst[i] = &v.Job.Superseded[i]
		}
		slices.SortStableFunc(latestFirst, func(a, b *record.Superseded) int {
			return cmp.Or(a.Day.Date.Val.Compare(b.Day.Date.Val), -record.CompareRevisions(a.Day.Revision.Val, b.Day.Revision.Val))
		})
		for _, old := range groups(latestFirst, func(s *record.Superseded) issue {
			return issue{day: s.Day.Date.Val, document: record.Folded(s.Day.ReportNumber.Val)}
		}) {
			reportGone(v, old)
		}
	},
}

// An earlierRow is what an earlier revision says of a test.
type earlierRow struct {
	Test, Area, Revision string
	Value, Verdict       string // as written; "" where nothing is
	Now                  string // the value of today, of a test that is there
}

// A revisionGap is what a later revision lacks of earlier ones.
type revisionGap struct {
	gone, changed []earlierRow
	tests         []int
	areas         []string
	places        []diag.Pos
}

// reportGone asks about the tests of the earlier revisions of one report, the
// latest of them first.
func reportGone(v *assess.Review, earlier []*record.Superseded) {
	day := earlier[0].Day.Date.Val
	var open, named revisionGap
	seen := map[[2]string]bool{}
	today := keep(everyTest(v), func(i int) bool { return v.Lines[i].Test.Date().Val == day })
	for _, old := range earlier {
		as := *v.Job
		as.Tests = old.Tests
		judged := assess.Run(&as, nil)
		for k := range judged.Lines {
			l := &judged.Lines[k]
			t := l.Test
			above := l.OfSteel() && (l.Verdict == assess.Fail || l.AsWritten() == assess.Fail)
			is := keep(today, func(i int) bool { return sameTest(t, v.Lines[i].Test) })
			stillAbove := slices.ContainsFunc(is, func(i int) bool { return v.Lines[i].Verdict == assess.Fail })
			key := [2]string{record.Folded(cmp.Or(t.Number().Val, t.Location().Val)), record.Folded(t.Area().Val)}
			if len(is) > 0 && (!above || stillAbove) || seen[key] && key[0] != "" {
				continue
			}
			seen[key] = true
			into := &open
			elsewhere := slices.ContainsFunc(today, func(i int) bool { return sameNumber(t, v.Lines[i].Test) })
			if isNamed(v, &old.Day, t.Number().Val) && (!above || elsewhere) {
				into = &named
			}
			into.add(v, t, old.Day.Revision.Text, is)
		}
	}
	for _, g := range []*revisionGap{&open, &named} {
		if len(g.places) == 0 {
			continue
		}
		f := assess.Finding{Tests: g.tests, Areas: g.areas, Places: g.places}
		if g == &named {
			f.Severity = assess.Weakens
		}
		gone, moreGone := upTo(mostShown, g.gone)
		changed, moreChanged := upTo(mostShown, g.changed)
		f.Args = map[string]any{
			"Document": earlier[0].Day.ReportNumber.Text, "Revision": earlier[0].By.Text, "Day": day, "Says": whatChanged(v, earlier),
			"Gone": gone, "MoreGone": moreGone, "AllGone": len(g.gone),
			"Changed": changed, "MoreChanged": moreChanged, "AllChanged": len(g.changed),
		}
		reportByDay(v, day, f)
	}
}

// add adds a test of an earlier revision; is are the rows of today under its
// number, none where it is gone.
func (g *revisionGap) add(v *assess.Review, t *record.Test, revision string, is []int) {
	row := earlierRow{Test: cmp.Or(t.Number().Text, t.Row().Cell()), Area: t.Area().Text, Revision: revision, Value: written(t), Verdict: t.RecordedVerdict().Text}
	g.places = append(g.places, t.Row())
	if len(is) == 0 {
		g.gone = append(g.gone, row)
		if !slices.Contains(g.areas, t.Area().Val) {
			g.areas = append(g.areas, t.Area().Val)
		}
		return
	}
	row.Now = written(v.Lines[is[0]].Test)
	g.changed = append(g.changed, row)
	for _, i := range is {
		if v.Lines[i].OfSteel() && !slices.Contains(g.tests, i) {
			g.tests = append(g.tests, i)
		}
	}
}

// written is the result of a test as its row has it, else its extract.
func written(t *record.Test) string {
	if t.Recorded().Text != "" {
		return asWritten(t.Recorded())
	}
	return asWritten(t.Extract())
}

// sameTest reports whether a row of a later revision is that of an earlier one:
// by number and area, without a number by location and area.
func sameTest(old, now *record.Test) bool {
	switch {
	case record.Folded(old.Area().Val) != record.Folded(now.Area().Val):
		return false
	case old.Number().Val != "":
		return sameNumber(old, now)
	case old.Location().Val != "":
		return record.Folded(old.Location().Val) == record.Folded(now.Location().Val)
	}
	return record.Alike(old, now)
}

func sameNumber(old, now *record.Test) bool {
	return old.Number().Val != "" && record.Folded(old.Number().Val) == record.Folded(now.Number().Val)
}

// isNamed reports whether a later revision of a day names a test among what it
// changed.
func isNamed(v *assess.Review, old *record.Day, number string) bool {
	return number != "" && slices.ContainsFunc(laterRows(v, old), func(d *record.Day) bool {
		return strings.Contains(inWords(d.WhatChanged.Val), inWords(number))
	})
}

// inWords is a text, folded, with one space before, between and after its words.
func inWords(text string) string {
	return " " + record.Folded(strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;.:()–", r) }), " ")) + " "
}

// whatChanged is what the revisions after an earlier one say they changed.
func whatChanged(v *assess.Review, earlier []*record.Superseded) []string {
	var says []string
	for _, d := range laterRows(v, &earlier[len(earlier)-1].Day) {
		if text := d.WhatChanged.Text; text != "" && !slices.Contains(says, text) {
			says = append(says, text)
		}
	}
	return says
}

// laterRows are the rows of the diary that hold the later revisions of a report.
func laterRows(v *assess.Review, old *record.Day) []*record.Day {
	var later []*record.Day
	for i := range v.Job.Days {
		d := &v.Job.Days[i]
		if d.Date.Known() && d.Date.Val == old.Date.Val && record.Folded(d.ReportNumber.Val) == record.Folded(old.ReportNumber.Val) &&
			record.CompareRevisions(d.Revision.Val, old.Revision.Val) > 0 {
			later = append(later, d)
		}
	}
	return later
}
