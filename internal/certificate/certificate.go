// Package certificate says whether an area may have a certificate, what it
// would state, and every reason why not.
package certificate

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/crew"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Certificate is what the record carries of a certificate of one area. It is
// issued only where there are no Reasons, and it says of the places and times
// tested alone.
type Certificate struct {
	Standing *assess.Standing // of the area, at the end of the record
	Issue    papers.Issue
	Digest   string           // SHA-256 of the rows that it rests on, hex
	Limits   []*assess.Limit  // those that its tests were judged by; none where none is in force
	differ   bool             // not all tests were judged by them
	repeats  map[string][]int // the repeats of the area by the number that they name, folded

	From, Until unit.Date // days of testing
	First       []int     // what the original tests found, or what established it in their place, before anything was done to their spots
	Above       []int     // of First, those above the limit
	Stated      []int     // the tests whose results describe the area as it is to be coated: those that the statement counts

	Reports     []papers.Report      // of the days of testing
	Meters      []Meter              // that measured, in the order of first use
	Concessions []*record.Concession // that speak of the area, of one of its tests, or of all areas
	Deviations  []*assess.Finding    // that weaken the evidence and change no verdict

	Reasons []Reason
}

// Refused reports whether the certificate is not issued.
func (c *Certificate) Refused() bool { return len(c.Reasons) > 0 }

// A Meter is a meter that measured in the area.
type Meter struct {
	Serial string        // as the tests name it; "" where they do not
	Row    *record.Meter // with the certificate in force on the last day of use, else the last one of the table
	Tests  []int
	Checks []*record.MeterCheck // of the days on which it measured here
}

// A Reason is one reason why a certificate is not issued.
type Reason struct {
	Kind    ReasonKind
	Tests   []int
	Count   int             // missing tests
	Names   []string        // missing spot types, terms, other areas
	Report  *papers.Report  // of ReportIncomplete
	Unread  *papers.Unread  // of DayUnread
	Finding *assess.Finding // of FailedControl and IntegrityOpen
}

// A ReasonKind names a reason why a certificate is not issued.
type ReasonKind int

const (
	NotTested           ReasonKind = iota // the area has no test
	OpenFail                              // Tests are fails that nothing has cleared
	NoLimit                               // no limit is in force, or it has no unit
	NoBasis                               // the record does not say what the limit speaks of
	LimitsDiffer                          // the tests were judged by different limits
	NoSamplingRule                        // none is recorded
	RequiredUnknown                       // the rule cannot be applied
	TooFewTests                           // Count are missing
	UnprovenTests                         // Tests are not established, and nothing replaced them
	SpotTypesMissing                      // Names
	FailedControl                         // Finding is against the area as a whole
	IntegrityOpen                         // Finding is of the record as a whole, and takes passes away
	ReportIncomplete                      // Report has gaps
	DayUnread                             // of the day of Unread no test was read, and its papers say that there were some
	TermsUnread                           // Names: terms that the record writes and nobody can read
	TermsDiffer                           // Names: terms of which the record says two different things
	WrittenFail                           // the log calls Tests fails, and their readings give passes
	NumberTwice                           // the certificate of Names has the same number
	IssuedOtherwise                       // this revision was issued with other rows
	IssuedTwice                           // one revision has two digests
	RevisionUnexplained                   // a later revision does not say what it changed
)

// Of draws up the certificates of all areas of a job: those of the area table,
// then by first test.
func Of(r *assess.Result) []Certificate { return On(papers.Reports(r), r) }

// On is Of on the reports of all days, where these are known already.
func On(reports []papers.Report, r *assess.Result) []Certificate {
	unread := papers.UnreadDays(r)
	standing := r.Standing(unit.Date{})
	out := make([]Certificate, len(standing))
	crew.Do(len(standing), func(i int) { // the digests take their time
		out[i] = draw(r, standing[i], reports)
		out[i].agreed(r, standing)
		out[i].refuse(r)
		for k := range unread {
			out[i].Reasons = append(out[i].Reasons, Reason{Kind: DayUnread, Unread: &unread[k]})
		}
	})
	shareNumbers(out)
	return out
}

// draw gathers what the certificate of an area states.
func draw(r *assess.Result, s *assess.Standing, reports []papers.Report) Certificate {
	c := Certificate{Standing: s, Digest: r.Job.Digest(s.Tests)}
	c.Issue = papers.IssueOf(r.Job, papers.Certificate, s.Name, c.Digest)
	c.limits(r)
	c.days(r, reports)
	c.count(r)
	c.meters(r)
	return c
}

// limits finds what the tests were judged by.
func (c *Certificate) limits(r *assess.Result) {
	for _, i := range c.Standing.Tests {
		of := r.Lines[i].Limits()
		if len(of) == 0 {
			continue
		}
		if c.Limits == nil {
			for _, j := range of {
				c.Limits = append(c.Limits, j.Limit)
			}
			continue
		}
		same := slices.EqualFunc(c.Limits, of, func(l *assess.Limit, j assess.Judgement) bool { return sameLimit(l, j.Limit) })
		c.differ = c.differ || !same
	}
}

func sameLimit(a, b *assess.Limit) bool {
	return a.Value == b.Value && a.Basis == b.Basis && a.Comparison == b.Comparison && a.Rounding == b.Rounding
}

// days finds the days of testing and their reports.
func (c *Certificate) days(r *assess.Result, reports []papers.Report) {
	tested := map[unit.Date]bool{}
	for _, i := range c.Standing.Tests {
		tested[r.Lines[i].Test.Date().Val] = true
	}
	for _, p := range reports {
		if !tested[p.Date] {
			continue
		}
		c.Reports = append(c.Reports, p)
		if c.From.IsZero() {
			c.From = p.Date
		}
		c.Until = p.Date
	}
}

// meters lists what measured, with its certificate and its checks.
func (c *Certificate) meters(r *assess.Result) {
	at := map[string]int{}
	for _, i := range c.Standing.Tests {
		serial := r.Lines[i].Test.Meter().Val
		n, known := at[record.Folded(serial)]
		if !known {
			n = len(c.Meters)
			at[record.Folded(serial)] = n
			c.Meters = append(c.Meters, Meter{Serial: serial})
		}
		c.Meters[n].Tests = append(c.Meters[n].Tests, i)
	}
	for n := range c.Meters {
		m := &c.Meters[n]
		days := map[unit.Date]bool{}
		var last unit.Date
		for _, i := range m.Tests {
			day := r.Lines[i].Test.Date().Val
			days[day] = true
			if day.Compare(last) > 0 {
				last = day
			}
		}
		m.Row, _ = papers.Calibration(r.Job, m.Serial, last)
		for k := range r.Job.Checks {
			if row := &r.Job.Checks[k]; m.Serial != "" && record.Folded(row.Meter.Val) == record.Folded(m.Serial) && days[row.Date.Val] {
				m.Checks = append(m.Checks, row)
			}
		}
	}
}

func contains(names []string, name string) bool {
	return slices.ContainsFunc(names, func(s string) bool { return record.Folded(s) == record.Folded(name) })
}
