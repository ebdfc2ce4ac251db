package papers

import (
	"slices"
	"strings"

	"saltline/internal/record"
)

// An Issue is the identity of a certificate or a dossier: its number, its
// revision, and what was issued before.
type Issue struct {
	Number   string
	Formed   bool // the number is not recorded; it is formed from the job and the area
	Revision string
	Changed  string             // what this revision changes
	Row      *record.Document   // that of this revision; nil where none is recorded
	Earlier  []*record.Document // the revisions before it, in their order
	Gaps     []IssueGap
}

// An IssueGap is one reason why the revision cannot be issued as it is.
type IssueGap int

const (
	// IssuedOtherwise: this revision was issued already, with other rows.
	IssuedOtherwise IssueGap = iota
	// Unexplained: a later revision does not say what it changed.
	Unexplained
	// IssuedTwice: two rows give one revision different digests.
	IssuedTwice
)

// IssueOf is the identity of the certificate of an area, or of the dossier,
// which has the area "". digests are what it may have been issued under: that of
// the rows that it rests on, and for a dossier that of the whole record.
func IssueOf(job *record.Job, k Kind, area string, digests ...string) Issue {
	var rows []*record.Document
	for i := range job.Documents {
		d := &job.Documents[i]
		if KindOf(d.Kind.Val) == k && (k == Dossier || record.Folded(d.Of.OrZero()) == record.Folded(area)) && d.Kind.Known() {
			rows = append(rows, d)
		}
	}
	slices.SortStableFunc(rows, func(a, b *record.Document) int {
		return record.CompareRevisions(a.Revision.OrZero(), b.Revision.OrZero())
	})
	is := Issue{}
	for _, d := range rows {
		if d.Number.OrZero() != "" {
			is.Number = d.Number.OrZero()
		}
	}
	if is.Number == "" {
		is.Number, is.Formed = formed(job, k, area), true
	}
	if len(rows) == 0 {
		return is
	}
	is.Row = rows[len(rows)-1]
	is.Revision, is.Changed = is.Row.Revision.OrZero(), is.Row.WhatChanged.OrZero()
	var same []string
	issued := "" // the digest of the last row with a day of issue: one below it without takes nothing back
	for _, d := range rows {
		if record.CompareRevisions(d.Revision.OrZero(), is.Revision) < 0 {
			is.Earlier = append(is.Earlier, d)
		} else if s := DigestOf(d.Digest); s != "" {
			same = append(same, s)
			if d.IssuedOn.Known() {
				issued = s
			}
		}
	}
	// One may be written short under the other.
	if slices.ContainsFunc(same, func(s string) bool { return !strings.HasPrefix(s, same[0]) && !strings.HasPrefix(same[0], s) }) {
		is.Gaps = append(is.Gaps, IssuedTwice)
	}
	if issued != "" && !slices.ContainsFunc(digests, func(digest string) bool { return begins(digest, issued) }) {
		is.Gaps = append(is.Gaps, IssuedOtherwise)
	}
	if is.Changed == "" && (len(is.Earlier) > 0 || is.Revision != "" && beginsLower(job, is.Revision)) {
		is.Gaps = append(is.Gaps, Unexplained)
	}
	return is
}

// formed is a number for a document that has none.
func formed(job *record.Job, k Kind, area string) string {
	number := job.Terms.JobNumber.OrZero()
	parts := []string{number, map[Kind]string{Certificate: "SC", Dossier: "SD"}[k], strings.Join(strings.Fields(area), "-")}
	parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
	return strings.Join(parts, "-")
}

// DigestOf is the digest that a row names, in lower case, without the word in
// front of it and the marks by which it may be shortened or grouped; "" where it
// names none.
func DigestOf(w record.Words) string {
	if s, ok := OfRows(w); ok {
		return s
	}
	return bare(strings.ToLower(strings.TrimSpace(w.OrZero())))
}

// beginsLower reports whether certificates and dossiers of the job begin with a
// lower revision than one of them, which then is a later one.
func beginsLower(job *record.Job, revision string) bool {
	return slices.ContainsFunc(job.Documents, func(d record.Document) bool {
		return d.Kind.Known() && KindOf(d.Kind.Val) != DailyReport && d.Revision.Known() && record.CompareRevisions(d.Revision.Val, revision) < 0
	})
}
