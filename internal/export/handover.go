package export

import (
	"saltline/internal/certificate"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/unit"
)

// An issued is the certificate of an area, or why there is none.
type issued struct {
	Area     string    `json:"area"`
	Number   string    `json:"number"`
	Formed   bool      `json:"number_formed"`
	Revision *string   `json:"revision"`
	Rows     string    `json:"rows_sha256"`
	Issued   bool      `json:"issued"`
	From     *string   `json:"from"`
	Until    *string   `json:"until"`
	Stated   later     `json:"stated"`
	Above    later     `json:"above_at_first_test"`
	Reports  []report  `json:"reports"`
	Reasons  []refusal `json:"reasons"`
}

// A report is a daily report that a document rests on.
type report struct {
	Date     *string  `json:"date"`
	Number   *string  `json:"number"`
	Revision *string  `json:"revision"`
	Rows     string   `json:"rows_sha256"`
	Tests    int      `json:"tests"`
	Gaps     []string `json:"gaps"`
}

// A refusal is one reason why a document is not issued.
type refusal struct {
	Reason string   `json:"reason"`
	Tests  later    `json:"tests"`
	Count  int      `json:"count"`
	Names  []string `json:"names"`
	Report *string  `json:"report"`
	Check  *string  `json:"check"`
}

// A handover is a dossier, or what it lacks.
type handover struct {
	Number   string    `json:"number"`
	Formed   bool      `json:"number_formed"`
	Revision *string   `json:"revision"`
	Rows     string    `json:"rows_sha256"`
	Issuable bool      `json:"issuable"`
	Open     int       `json:"open_points"`
	Missing  []refusal `json:"missing"`
	Balances []balance `json:"reconciliation"`
	Reports  []report  `json:"reports"`
}

type balance struct {
	What   string         `json:"what"`
	Name   *string        `json:"name"`
	Counts map[string]int `json:"counts"`
	Agrees *bool          `json:"agrees"`
}

func (x *exporter) certificates() []issued {
	if x.Certificates == nil {
		return nil
	}
	all := []issued{}
	for i := range x.Certificates {
		c := &x.Certificates[i]
		out := issued{
			Area: c.Standing.Name, Number: c.Issue.Number, Formed: c.Issue.Formed, Revision: some(c.Issue.Revision), Rows: c.Digest,
			Issued: !c.Refused(), From: day(c.From), Until: day(c.Until), Stated: x.numbers(c.Stated), Above: x.numbers(c.Above),
			Reports: reports(c.Reports), Reasons: []refusal{},
		}
		for k := range c.Reasons {
			out.Reasons = append(out.Reasons, x.reason(&c.Reasons[k]))
		}
		all = append(all, out)
	}
	return all
}

func (x *exporter) reason(r *certificate.Reason) refusal {
	out := refusal{Reason: r.Kind.String(), Tests: x.numbers(r.Tests), Count: r.Count, Names: r.Names}
	if out.Names == nil {
		out.Names = []string{}
	}
	if r.Report != nil {
		out.Report = day(r.Report.Date)
	}
	if r.Finding != nil {
		out.Check = &r.Finding.Check.Name
	}
	return out
}

func (x *exporter) handover() *handover {
	d := x.Dossier
	if d == nil {
		return nil
	}
	out := &handover{Number: d.Issue.Number, Formed: d.Issue.Formed, Revision: some(d.Issue.Revision), Rows: d.Digest, Issuable: d.Issuable(), Open: len(d.Open),
		Missing: []refusal{}, Balances: []balance{}, Reports: reports(d.Reports)}
	for i := range d.Missing {
		out.Missing = append(out.Missing, x.missing(&d.Missing[i]))
	}
	for i := range d.Balances {
		b := &d.Balances[i]
		line := balance{What: b.Kind.String(), Name: some(b.Name), Counts: map[string]int{}}
		if b.Known {
			line.Agrees = &b.Agrees
		}
		for _, n := range b.Counts {
			line.Counts[n.Of.String()] = n.N
		}
		out.Balances = append(out.Balances, line)
	}
	return out
}

func (x *exporter) missing(m *dossier.Missing) refusal {
	out := refusal{Reason: m.Kind.String(), Tests: x.numbers(nil), Names: []string{}, Count: len(m.Days)}
	switch {
	case m.Certificate != nil:
		out.Names = []string{m.Certificate.Standing.Name}
	case m.Report != nil:
		out.Report = day(m.Report.Date)
	case m.Finding != nil:
		out.Check = &m.Finding.Check.Name
	case m.Balance != nil:
		out.Names = []string{m.Balance.Kind.String()}
	case m.Name != "":
		out.Names = []string{m.Name}
	}
	return out
}

func reports(list []papers.Report) []report {
	out := []report{}
	for i := range list {
		p := &list[i]
		r := report{Date: day(p.Date), Number: some(p.Number), Revision: some(p.Revision), Rows: p.Digest, Tests: len(p.Tests), Gaps: []string{}}
		for _, g := range p.Gaps {
			name := g.Kind.String()
			if g.Signer.Key != "" {
				name += " " + g.Signer.Key
			}
			r.Gaps = append(r.Gaps, name)
		}
		out = append(out, r)
	}
	return out
}

// day is a date, or null.
func day(d unit.Date) *string {
	if d.IsZero() {
		return nil
	}
	s := d.ISO()
	return &s
}

// some is text, or null where there is none.
func some(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}
