package check

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// recordPatterns ask about what the record says of people, days, photographs
// and signatures that does not go together.
func recordPatterns() []*assess.Check {
	return []*assess.Check{
		inspectorInTwoPlaces, workOnARestDay, signedBeforeLastTest, reviewedByTheInspector,
		photoUsedTwice, numberMissingBesideARetest, dayAndMonthSwapped, labelMadeADate,
		rowsNotSeen, revisionDiffers, testGoneInARevision,
	}
}

// rowsNotSeen: readings stand in rows that a reader of the sheet does not
// see, or that are struck through. They are counted as recorded. A row that is
// struck through and marked void says for itself what it is. Hidden columns
// with readings are named once for the whole job: columns are hidden to fit a
// page more often than not.
var rowsNotSeen = &assess.Check{
	Name:     "rows-not-seen",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		unseen := among(v, shownBySheet(v), func(l *assess.Line) bool { return unseenIn(l.Test) })
		for _, tests := range byDay(v, unseen) {
			args := map[string]any{"Columns": []string(nil)}
			for name, holds := range map[string]func(*record.Test) bool{"Hidden": isHidden, "Struck": isStruck, "Faint": isFaint} {
				of := keep(tests, func(i int) bool { return holds(v.Lines[i].Test) })
				args[name], args["More"+name] = upTo(mostShown, Numbers(v.Lines, of))
				args["Count"+name] = len(of)
			}
			report(v, assess.Finding{Tests: tests, Places: places(v, tests, (*record.Test).Row), Args: args})
		}
		if columns, heads := hiddenColumns(v.Job); len(columns) > 0 {
			report(v, assess.Finding{Severity: assess.Housekeeping, Places: heads, Args: map[string]any{"Columns": columns}})
		}
	},
}

func unseenIn(t *record.Test) bool { return isHidden(t) || isStruck(t) || isFaint(t) }
func isHidden(t *record.Test) bool { return t.Hidden() }
func isFaint(t *record.Test) bool  { return t.Faint() }
func isStruck(t *record.Test) bool {
	return t.Struck() && t.RecordedVerdict().Val != record.WrittenVoid
}

// hiddenColumn is how the reading note says that a column is hidden.
const hiddenColumn = "a hidden column, read"

// telling are the columns of which a verdict hangs.
var telling = []string{"blank", "extract", "volume", "patch area", "recorded", "recorded verdict"}

// hiddenColumns are the headings of the hidden columns that a verdict hangs
// on.
func hiddenColumns(job *record.Job) (names []string, heads []diag.Pos) {
	hidden := map[diag.Pos]bool{}
	for _, c := range job.Note.Changes {
		if c.What == hiddenColumn {
			hidden[c.Pos] = true
		}
	}
	if len(hidden) == 0 {
		return nil, nil
	}
	for _, h := range job.Note.Headings {
		if hidden[h.Pos] && slices.Contains(telling, h.Column) {
			heads = append(heads, h.Pos)
			if !slices.Contains(names, h.Text) {
				names = append(names, h.Text)
			}
		}
	}
	return names, heads
}

// revisionDiffers: one revision of one document stands in the record with two
// contents, so that nobody can tell which of the two was issued. Two rows of
// the diary of one day with one report number and one revision may repeat each
// other, and may not say different things. Two signatures under one revision
// of the report of a day may not stand under different digests. Two files of
// one job may not hold a test of a day with different contents.
var revisionDiffers = &assess.Check{
	Name:     "revision-differs",
	Group:    assess.Integrity,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		diaryDiffers(v)
		digestsDiffer(v)
		filesDiffer(v)
	},
}

// issue is one revision of a document of a day.
type issue struct {
	day                unit.Date
	document, revision string
}

// diaryDiffers finds rows of the diary that differ where they should not. What
// the diary says carries no verdict, so this only weakens the evidence.
func diaryDiffers(v *assess.Review) {
	var numbered []*record.Day
	for i := range v.Job.Days {
		if d := &v.Job.Days[i]; d.Date.Known() && d.ReportNumber.Known() {
			numbered = append(numbered, d)
		}
	}
	for _, rows := range groups(numbered, func(d *record.Day) issue {
		return issue{d.Date.Val, record.Folded(d.ReportNumber.Val), record.Folded(d.Revision.Val)}
	}) {
		first := rows[0]
		var fields []string
		var at []diag.Pos
		for _, d := range rows[1:] {
			for _, name := range differing(first, d) {
				if !slices.Contains(fields, name) {
					fields = append(fields, name)
				}
			}
			at = append(at, d.Row)
		}
		if len(fields) > 0 {
			reportByDay(v, first.Date.Val, assess.Finding{
				Severity: assess.Weakens, Places: append([]diag.Pos{first.Row}, at...),
				Args: map[string]any{
					"Document": first.ReportNumber.Text, "Revision": first.Revision.Text, "Day": first.Date.Val,
					"Fields": fields, "Rows": len(rows), "Signed": []signedRow(nil), "More": 0,
					"Files": []string(nil), "Numbers": []string(nil), "AllNumbers": 0,
				},
			})
		}
	}
}

// differing names the columns in which two rows of the diary both say
// something and do not say the same.
func differing(a, b *record.Day) []string {
	var names []string
	for _, f := range []struct {
		name string
		a, b record.Words
	}{
		{"weather", a.Weather, b.Weather}, {"work done", a.WorkDone, b.WorkDone}, {"delays", a.Delays, b.Delays},
		{"instructions received", a.Instructions, b.Instructions}, {"visitors", a.Visitors, b.Visitors},
		{"remarks", a.Remarks, b.Remarks}, {"what changed", a.WhatChanged, b.WhatChanged},
	} {
		if f.a.Known() && f.b.Known() && record.Folded(f.a.Val) != record.Folded(f.b.Val) {
			names = append(names, f.name)
		}
	}
	unequal := func(a, b record.Given[unit.Clock]) bool { return a.Known() && b.Known() && a.Val != b.Val }
	if unequal(a.ShiftStarted, b.ShiftStarted) || unequal(a.ShiftEnded, b.ShiftEnded) {
		names = append(names, "shift")
	}
	if a.Stops.Known() && b.Stops.Known() && !slices.Equal(a.Stops.Val, b.Stops.Val) {
		names = append(names, "stops")
	}
	return names
}

// A signedRow is a signature with the digest that it stands under.
type signedRow struct{ Role, Name, Digest string }

// digestsDiffer finds signatures under one revision with different digests.
// The passes of that day are then those of one of two sets of values.
func digestsDiffer(v *assess.Review) {
	var digested []*record.Signature
	for i := range v.Job.Signatures {
		if s := &v.Job.Signatures[i]; s.Digest.Known() && s.Document.Known() {
			digested = append(digested, s)
		}
	}
	for _, signed := range groups(digested, func(s *record.Signature) issue {
		return issue{s.Date.Val, record.Folded(s.Document.Val), record.Folded(s.Revision.Val)}
	}) {
		first := signed[0]
		if !slices.ContainsFunc(signed, func(s *record.Signature) bool { return !sameDigest(s, first) }) {
			continue
		}
		var rows []signedRow
		var at []diag.Pos
		for _, s := range signed {
			rows = append(rows, signedRow{s.Role.Text, s.Name.Text, s.Digest.Text})
			at = append(at, s.Digest.Pos)
		}
		few, more := upTo(mostShown, rows)
		f := assess.Finding{
			Places: at,
			Args: map[string]any{
				"Document": first.Document.Text, "Revision": first.Revision.Text, "Day": first.Date.Val,
				"Fields": []string(nil), "Rows": len(signed), "Signed": few, "More": more,
				"Files": []string(nil), "Numbers": []string(nil), "AllNumbers": 0,
			},
		}
		if day := first.Date; day.Known() {
			f.Tests = onSteel(v, func(l *assess.Line) bool { return l.Test.Date().Val == day.Val })
		}
		reportByDay(v, first.Date.Val, f)
	}
}

// sameDigest reports whether two signatures show one digest; it may be written
// short under the one, and either with the word that a document of its language
// puts before it.
func sameDigest(a, b *record.Signature) bool {
	short, long := plate(papers.DigestOf(a.Digest)), plate(papers.DigestOf(b.Digest))
	if len(short) > len(long) {
		short, long = long, short
	}
	return strings.HasPrefix(long, short)
}
