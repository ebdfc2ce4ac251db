package dossier

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Missing is one reason why the dossier cannot be handed over.
type Missing struct {
	Kind        MissingKind
	Certificate *certificate.Certificate // of NotCertified
	Report      *papers.Report           // of ReportIncomplete
	Finding     *assess.Finding          // of OpenQuestion
	Balance     *Balance                 // of DoesNotBalance
	Unread      *papers.Unread           // of DayUnread
	Name        string                   // of a meter, a person, an area; the missing number of a report
	Days        []unit.Date
}

// A MissingKind names a reason why the dossier cannot be handed over.
type MissingKind int

const (
	NoTests             MissingKind = iota // the record holds no test on steel
	NotCertified                           // an area has no certificate
	ReportIncomplete                       // a daily report has gaps
	ReportMissing                          // Name is no report, and its neighbours are
	OpenQuestion                           // Finding: numbers missing or used twice, a revision that differs
	MeterNotCovered                        // Name measured on Days without a certificate in force
	PersonNotListed                        // Name tested, and the people table does not have them
	CardExpired                            // Name tested or signed on Days after their card expired
	DoesNotBalance                         // Balance
	DayUnread                              // of the day of Unread no test was read
	AreaGone                               // the record lists a certificate of Name, and holds no such area
	CardUnread                             // nobody can read until when the card of Name, who tested, is valid
	IssuedOtherwise                        // this revision of the dossier was issued with other rows
	IssuedTwice                            // one revision has two digests
	RevisionUnexplained                    // a later revision does not say what it changed
)

// String is the reason in lower-case words with hyphens, under which its words
// stand.
func (k MissingKind) String() string {
	return [...]string{"no-tests", "not-certified", "report-incomplete", "report-missing", "open-question", "meter-not-covered",
		"person-not-listed", "card-expired", "does-not-balance",
		"day-unread", "area-gone", "card-unread", "issued-otherwise", "issued-twice", "revision-unexplained"}[k]
}

// questions are the checks whose findings leave a hole in the registers, each
// with the lightest finding that does. A test that a later revision names and
// withdraws is explained: that is listed as open and signed for. A retest whose
// first test may stand in another log is a hole here, where the log is the whole
// job.
var questions = map[string]assess.Severity{
	"numbers-missing": assess.Weakens, "number-missing-beside-a-retest": assess.Housekeeping, "number-used-twice": assess.Weakens,
	"revision-differs": assess.Weakens, "test-gone-in-a-revision": assess.UnprovenPass, "test-in-two-areas": assess.Weakens,
}

func isQuestion(f *assess.Finding) bool {
	lightest, asked := questions[f.Check.Name]
	return asked && f.Severity <= lightest
}

// miss gathers everything that keeps the dossier from being handed over.
func (d *Dossier) miss(r *assess.Result) {
	add := func(m Missing) { d.Missing = append(d.Missing, m) }
	if !slices.ContainsFunc(r.Lines, func(l assess.Line) bool { return l.OfSteel() }) {
		add(Missing{Kind: NoTests})
	}
	for i := range d.Areas {
		// A log without areas and tests has none that could be certified.
		if a := &d.Areas[i]; a.Refused() && (a.Standing.Name != "" || len(a.Standing.Tests) > 0) {
			add(Missing{Kind: NotCertified, Certificate: a})
		}
	}
	for _, u := range papers.UnreadDays(r) {
		add(Missing{Kind: DayUnread, Unread: &u})
	}
	for i := range d.Reports {
		if p := &d.Reports[i]; !p.Complete() {
			add(Missing{Kind: ReportIncomplete, Report: p})
		}
	}
	for _, name := range d.areasGone(r.Job) {
		add(Missing{Kind: AreaGone, Name: name})
	}
	for _, number := range missingNumbers(r, d.Reports) {
		add(Missing{Kind: ReportMissing, Name: number})
	}
	for i := range r.Findings {
		if f := &r.Findings[i]; isQuestion(f) {
			add(Missing{Kind: OpenQuestion, Finding: f})
		}
	}
	for i := range d.Meters {
		if m := &d.Meters[i]; !m.Covered() {
			add(Missing{Kind: MeterNotCovered, Name: m.Serial, Days: m.Uncovered})
		}
	}
	for i := range d.People {
		switch p := &d.People[i]; {
		case p.Row == nil && p.tests():
			add(Missing{Kind: PersonNotListed, Name: p.Name, Days: p.Days})
		case len(p.Invalid) > 0:
			add(Missing{Kind: CardExpired, Name: p.Name, Days: p.Invalid})
		case p.Row != nil && p.tests() && p.Row.Expiry.State == record.Unreadable:
			add(Missing{Kind: CardUnread, Name: p.Name})
		}
	}
	for i := range d.Balances {
		// What areas and reports lack is said of each of them.
		if b := &d.Balances[i]; !b.Agrees && b.Known && b.Kind != AreasBalance && b.Kind != ReportsBalance {
			add(Missing{Kind: DoesNotBalance, Balance: b})
		}
	}
	for _, g := range d.Issue.Gaps {
		add(Missing{Kind: map[papers.IssueGap]MissingKind{papers.IssuedOtherwise: IssuedOtherwise, papers.IssuedTwice: IssuedTwice,
			papers.Unexplained: RevisionUnexplained}[g]})
	}
}

// areasGone are the areas of which the table of documents lists a certificate and
// the record holds nothing else: neither a row of the areas table nor a test.
func (d *Dossier) areasGone(job *record.Job) []string {
	var names []string
	for i := range job.Documents {
		row := &job.Documents[i]
		name := row.Of.OrZero()
		if !row.Kind.Known() || papers.KindOf(row.Kind.Val) != papers.Certificate || name == "" {
			continue
		}
		same := func(other string) bool { return record.Folded(other) == record.Folded(name) }
		if !slices.ContainsFunc(d.Areas, func(a certificate.Certificate) bool { return same(a.Standing.Name) }) && !slices.ContainsFunc(names, same) {
			names = append(names, name)
		}
	}
	return names
}

// A Point is something open that the dossier lists and that is signed for: a
// day of which nothing is recorded, a finding that took passes away or that
// weakens the evidence.
type Point struct {
	Finding *assess.Finding // nil for a day
	Day     *Day
}

// open lists the open points: findings by their weight, then silent days.
func (d *Dossier) open(r *assess.Result) {
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Severity < assess.Housekeeping && !isQuestion(f) {
			d.Open = append(d.Open, Point{Finding: f})
		}
	}
	for i := range d.Calendar {
		if day := &d.Calendar[i]; day.State == Silent {
			d.Open = append(d.Open, Point{Day: day})
		}
	}
}
