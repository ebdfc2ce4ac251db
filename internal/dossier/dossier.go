// Package dossier draws a job together for its handover: what its papers say,
// whether they agree with the record, and everything that is missing.
package dossier

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/stock"
	"saltline/internal/unit"
)

// A Dossier is a job, drawn together. It can be handed over only where nothing
// is Missing; what is Open is listed and signed for.
type Dossier struct {
	Issue     papers.Issue
	Digest    string                    // SHA-256 of the rows that it rests on, hex
	Areas     []certificate.Certificate // issued or not, in the order of the area table
	Reports   []papers.Report           // of the days of testing, in order
	Calendar  []Day                     // from the first day of the record to the last
	Register  []int                     // all tests, on glass too, by day, and within one as in the record
	Fails     []Fail                    // in the order in which they were found
	Meters    []MeterUse
	People    []PersonUse
	Stock     stock.Account
	Balances  []Balance
	Missing   []Missing
	Open      []Point
	Documents []*record.Document // earlier revisions of certificates and dossiers that the record lists
}

// Issuable reports whether the dossier may be handed over.
func (d *Dossier) Issuable() bool { return len(d.Missing) == 0 }

// A Fail is one fail with what became of it.
type Fail struct {
	Area  string
	Chain *assess.Chain
}

// Of draws up the dossier of a judged job. digest is that of the record.
func Of(r *assess.Result, digest string) *Dossier {
	d := &Dossier{Reports: papers.Reports(r), Stock: stock.Of(r)}
	d.Areas = certificate.On(d.Reports, r)
	all := make([]int, len(r.Lines))
	for i := range all {
		all[i] = i
	}
	// The record cannot name its own digest once its table of documents lists
	// the dossier: it is the digest of the rows that stays.
	d.Digest = r.Job.Digest(all)
	d.Issue = papers.IssueOf(r.Job, papers.Dossier, "", d.Digest, digest)
	d.calendar(r)
	d.register(r)
	d.fails(r)
	d.meters(r)
	d.people(r)
	d.balance(r)
	d.miss(r)
	d.open(r)
	for i := range r.Job.Documents {
		d.Documents = append(d.Documents, &r.Job.Documents[i])
	}
	return d
}

// register lists the tests by day, in the order of their rows within one.
func (d *Dossier) register(r *assess.Result) {
	for _, p := range d.Reports {
		d.Register = append(d.Register, p.Tests...)
	}
}

// fails lists the fails of all areas in the order in which they were found.
func (d *Dossier) fails(r *assess.Result) {
	for i := range d.Areas {
		s := d.Areas[i].Standing
		for _, chains := range [][]assess.Chain{s.Open, s.Cleared} {
			for k := range chains {
				d.Fails = append(d.Fails, Fail{s.Name, &chains[k]})
			}
		}
	}
	day := func(f Fail) unit.Date { return r.Lines[f.Chain.Fail].Test.Date().Val }
	slices.SortStableFunc(d.Fails, func(a, b Fail) int {
		if c := day(a).Compare(day(b)); c != 0 {
			return c
		}
		return a.Chain.Fail - b.Chain.Fail
	})
}
