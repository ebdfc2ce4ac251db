// Package papers says which documents a record holds about itself: the reports
// of its days with their revisions, what they rest on, and who signed them.
package papers

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/crew"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Report is the daily report of one day, as the record speaks of it.
type Report struct {
	Date     unit.Date
	Diary    *record.Day   // its latest revision; nil where the diary says nothing of the day
	Earlier  []*record.Day // the revisions before it, in their order
	Number   string        // "" where none is recorded
	Revision string        // likewise
	Tests    []int         // of the day, on glass too, in the order of Result.Lines
	Digest   string        // SHA-256 of the rows that it rests on, hex
	Signed   []Signed      // one for each of Signers
	Gaps     []Gap         // what keeps others from relying on it
}

// A Signed is a place to sign and what the record holds of it.
type Signed struct {
	Signer     Signer
	Signature  *record.Signature // nil where nobody has signed
	Uncompared bool              // it names a digest that is neither of these rows nor of a file of the record as it is
}

// A Gap is one reason why others cannot rely on a report yet.
type Gap struct {
	Kind   GapKind
	Signer Signer // whom it concerns, where it concerns one
}

// A GapKind names a reason why a report cannot be relied on.
type GapKind int

const (
	NoDiary      GapKind = iota // the diary has no row for the day
	NoNumber                    // the report has no number
	NotSigned                   // Signer has not signed
	SignedEarly                 // Signer signed before the last test of the day
	ChangedSince                // Signer signed other rows than these
	NoReason                    // a later revision does not say what it changed
	SameNumber                  // another day has a report of the same number
	IssuedElse                  // the record lists this revision with the digest of other rows
	OneSigner                   // whoever signed for the owner signed for the contractor too
	Undated                     // the tests have no date, and no report can be of their day
)

// String is the gap in lower-case words with hyphens, under which its words
// stand.
func (k GapKind) String() string {
	return [...]string{"no-diary", "no-number", "not-signed", "signed-early", "changed-since", "no-reason", "same-number",
		"issued-else", "one-signer", "undated"}[k]
}

// Reports are those of all days on which the record holds tests, in order. The
// zero Date is the first where a test has none.
func Reports(r *assess.Result) []Report {
	byDay := map[unit.Date][]int{}
	var days []unit.Date
	for i := range r.Lines {
		d := r.Lines[i].Test.Date().Val
		if byDay[d] == nil {
			days = append(days, d)
		}
		byDay[d] = append(byDay[d], i)
	}
	slices.SortFunc(days, unit.Date.Compare)
	diary := map[unit.Date][]*record.Day{}
	for i := range r.Job.Days {
		if d := &r.Job.Days[i]; d.Date.Known() {
			diary[d.Date.Val] = append(diary[d.Date.Val], d)
		}
	}
	for i := range r.Job.Superseded {
		d := &r.Job.Superseded[i].Day
		if rows := diary[d.Date.Val]; !slices.ContainsFunc(rows, func(o *record.Day) bool { return o.Row == d.Row }) {
			diary[d.Date.Val] = append(rows, d)
		}
	}
	out := make([]Report, len(days))
	numbers := map[string][]unit.Date{}
	take := func(number string, day unit.Date) {
		if key := record.Folded(number); !slices.Contains(numbers[key], day) {
			numbers[key] = append(numbers[key], day)
		}
	}
	for day, rows := range diary {
		for _, d := range rows {
			take(d.ReportNumber.OrZero(), day)
		}
	}
	lowest := firstRevision(r.Job)
	signatures := underReports(r.Job)
	crew.Do(len(days), func(k int) { // the digests take their time
		day := days[k]
		p := Report{Date: day, Tests: byDay[day], Digest: r.Job.Digest(byDay[day])}
		p.tell(diary[day], lowest)
		p.listed(r.Job)
		p.sign(r, signatures[day])
		out[k] = p
	})
	for k := range out {
		if p := &out[k]; p.Number != "" && len(numbers[record.Folded(p.Number)]) > 1 {
			p.Gaps = append(p.Gaps, Gap{Kind: SameNumber})
		}
	}
	return out
}

// Latest is the row of the diary that holds the latest revision of a day: the
// later row where two have the same.
func Latest(rows []*record.Day) *record.Day {
	var latest *record.Day
	for _, d := range rows {
		if latest == nil || record.CompareRevisions(d.Revision.Val, latest.Revision.Val) >= 0 {
			latest = d
		}
	}
	return latest
}

// tell takes what the diary says of the report.
func (p *Report) tell(rows []*record.Day, lowest string) {
	if p.Date.IsZero() {
		p.Gaps = append(p.Gaps, Gap{Kind: Undated})
		return
	}
	p.Diary = Latest(rows)
	if p.Diary == nil {
		p.Gaps = append(p.Gaps, Gap{Kind: NoDiary})
		return
	}
	for _, d := range rows {
		if sameReport(d, p.Diary) && record.CompareRevisions(d.Revision.Val, p.Diary.Revision.Val) < 0 {
			p.Earlier = append(p.Earlier, d)
		}
	}
	slices.SortStableFunc(p.Earlier, func(a, b *record.Day) int { return record.CompareRevisions(a.Revision.Val, b.Revision.Val) })
	p.Number, p.Revision = p.Diary.ReportNumber.OrZero(), p.Diary.Revision.OrZero()
	if p.Number == "" {
		p.Gaps = append(p.Gaps, Gap{Kind: NoNumber})
	}
	if p.revised(lowest) && !p.Diary.WhatChanged.Known() {
		p.Gaps = append(p.Gaps, Gap{Kind: NoReason})
	}
}

// sameReport reports whether two rows of a day are of one report: a day may have
// two, one a shift, under numbers of their own.
func sameReport(a, b *record.Day) bool {
	return !a.ReportNumber.Known() || !b.ReportNumber.Known() || record.Folded(a.ReportNumber.Val) == record.Folded(b.ReportNumber.Val)
}

// sign finds who has signed, and when. What has no date cannot be signed.
func (p *Report) sign(r *assess.Result, signatures []*record.Signature) {
	for _, s := range Signers {
		g := p.signature(signatures, s)
		p.Signed = append(p.Signed, Signed{Signer: s, Signature: g, Uncompared: g != nil && p.uncompared(r.Job, g)})
		switch {
		case g == nil && p.Date.IsZero():
			continue
		case g == nil:
			p.Gaps = append(p.Gaps, Gap{NotSigned, s})
			continue
		case p.signedEarly(r, g.SignedAt.Val):
			p.Gaps = append(p.Gaps, Gap{SignedEarly, s})
		}
		if rows, of := OfRows(g.Digest); of && !begins(p.Digest, rows) {
			p.Gaps = append(p.Gaps, Gap{ChangedSince, s})
		}
	}
	if p.oneSigner() {
		p.Gaps = append(p.Gaps, Gap{OneSigner, Owner})
	}
}

// uncompared reports whether the digest that a signature names says nothing of
// the present rows: one without the word for rows may be of the whole record as
// it stood then.
func (p *Report) uncompared(job *record.Job, g *record.Signature) bool {
	if _, rows := OfRows(g.Digest); rows || !g.Digest.Known() {
		return false
	}
	digest := DigestOf(g.Digest)
	if len(digest) < 8 || strings.Trim(digest, "0123456789abcdef") != "" {
		return true
	}
	return !strings.HasPrefix(p.Digest, digest) &&
		!slices.ContainsFunc(job.Sources, func(s record.Source) bool { return strings.HasPrefix(s.SHA256, digest) })
}

// Has reports whether a report has a gap of a kind; with the Signer of a key, one
// that concerns them.
func (p *Report) Has(k GapKind, signer string) bool {
	return slices.ContainsFunc(p.Gaps, func(g Gap) bool { return g.Kind == k && (signer == "" || g.Signer.Key == signer) })
}

// underReports are the signatures under daily reports by their day.
func underReports(job *record.Job) map[unit.Date][]*record.Signature {
	of := map[unit.Date][]*record.Signature{}
	for i := range job.Signatures {
		if g := &job.Signatures[i]; g.Date.Known() && KindOf(g.Document.Val) == DailyReport {
			of[g.Date.Val] = append(of[g.Date.Val], g)
		}
	}
	return of
}

// signature is that of a role under the report among those of its day: the last
// one, since a later one is of a later revision. One that names no revision is of
// the first: where there are earlier ones it does not show that the latest was
// signed.
func (p *Report) signature(ofDay []*record.Signature, s Signer) *record.Signature {
	var last *record.Signature
	for _, g := range ofDay {
		if valid(g, s) && ofRevision(g, p.Revision, len(p.Earlier) > 0) {
			last = g
		}
	}
	return last
}

// ofRevision reports whether a signature is under a revision. "0" and none are
// one: both are the first.
func ofRevision(g *record.Signature, revision string, revised bool) bool {
	if !g.Revision.Known() {
		return !revised
	}
	return record.CompareRevisions(first(g.Revision.Val), first(revision)) == 0
}

func first(revision string) string {
	if record.CompareRevisions(revision, "0") == 0 {
		return ""
	}
	return revision
}

// valid reports whether a signature is one of that role: it has a name and a
// time.
func valid(g *record.Signature, s Signer) bool {
	return s.Is(g.Role) && g.SignedAt.Known() && g.Name.Known()
}

// signedEarly reports whether a signature was surely given before the last test
// of the day was read. A test that was read earlier on the clock than it was
// begun was read after midnight.
func (p *Report) signedEarly(r *assess.Result, at record.Moment) bool {
	return slices.ContainsFunc(p.Tests, func(i int) bool {
		t := r.Lines[i].Test
		read, day := t.Read(), p.Date
		if !read.Known() {
			read = t.Start()
		}
		if t.Read().Known() && t.Start().Known() && t.Read().Val < t.Start().Val {
			day = day.Add(1)
		}
		c := at.Date.Compare(day)
		return c < 0 || c == 0 && at.HasClock && read.Known() && read.Val > at.Clock
	})
}

// Complete reports whether nothing stands against relying on the report.
func (p *Report) Complete() bool { return len(p.Gaps) == 0 }

// SignedAll reports whether all have signed.
func (p *Report) SignedAll() bool {
	return !slices.ContainsFunc(p.Signed, func(s Signed) bool { return s.Signature == nil })
}

// OfRows is the digest that a signature names, where it says that it is one of
// the rows ("rows 9c41b2e07a55d310"): only such a one can be compared, for that
// of a whole record changes with every day that is added.
func OfRows(g record.Words) (digest string, ok bool) {
	if !g.Known() {
		return "", false
	}
	word, rest, _ := strings.Cut(strings.ToLower(strings.TrimSpace(g.Val)), " ")
	digest = bare(rest)
	if !slices.Contains(rowsWords, strings.TrimSuffix(word, ":")) || digest == "" {
		return "", false
	}
	return digest, true
}

// rowsWords are the words that the documents put before a digest of rows, each
// language its own.
var rowsWords = []string{"rows", "zeilen", "filas", "lignes", "rader"}

// bare is a digest without the marks by which it may be shortened or grouped.
func bare(digest string) string {
	return strings.Join(strings.FieldsFunc(digest, func(c rune) bool { return c == ' ' || c == '…' || c == '.' || c == ':' }), "")
}
