package dossier

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A MeterUse is a meter with the days on which it measured.
type MeterUse struct {
	Serial    string        // as the tests name it
	Row       *record.Meter // with the certificate in force on the last day, else the last one of the table; nil where that does not have it
	Days      []unit.Date
	Tests     int
	Uncovered []unit.Date // those that no certificate in the record covers
}

// Covered reports whether a certificate covers every day of use.
func (m *MeterUse) Covered() bool { return len(m.Uncovered) == 0 }

// meters lists the meters by first use.
func (d *Dossier) meters(r *assess.Result) {
	at := map[string]int{}
	for _, i := range d.Register {
		t := r.Lines[i].Test
		key := record.Folded(t.Meter().Val)
		n, seen := at[key]
		if !seen {
			n = len(d.Meters)
			at[key] = n
			d.Meters = append(d.Meters, MeterUse{Serial: t.Meter().Val})
		}
		m := &d.Meters[n]
		m.Tests++
		if day := t.Date().Val; !slices.Contains(m.Days, day) {
			m.Days = append(m.Days, day)
			row, inForce := papers.Calibration(r.Job, m.Serial, day)
			m.Row = row                    // the days come in their order
			if !inForce && !day.IsZero() { // what has no date is asked about as such
				m.Uncovered = append(m.Uncovered, day)
			}
		}
	}
	for n := range d.Meters {
		if m := &d.Meters[n]; len(m.Days) == 1 && m.Days[0].IsZero() {
			m.Uncovered = m.Days // no day of use is known
		}
	}
}

// A PersonUse is a person with the days on which the record names them.
type PersonUse struct {
	Name    string
	Row     *record.Person // nil where the people table does not have them
	Days    []unit.Date    // on which they tested or signed for a day
	Tests   int
	Signed  int         // daily reports
	Invalid []unit.Date // of Days, those after their card expired
}

// people lists those who tested and those who signed, by first mention.
func (d *Dossier) people(r *assess.Result) {
	rows := map[string][]*record.Person{}
	for i := range r.Job.People {
		if p := &r.Job.People[i]; p.Name.Known() {
			rows[record.Folded(p.Name.Val)] = append(rows[record.Folded(p.Name.Val)], p)
		}
	}
	at := map[string]int{}
	on := func(name string, day unit.Date) *PersonUse {
		key := record.Folded(name)
		n, seen := at[key]
		if !seen {
			n = len(d.People)
			at[key] = n
			d.People = append(d.People, PersonUse{Name: name, Row: longest(rows[key])})
		}
		p := &d.People[n]
		if !day.IsZero() && !slices.Contains(p.Days, day) {
			p.Days = append(p.Days, day)
			if p.Row != nil && p.Row.Expiry.Known() && day.Compare(p.Row.Expiry.Val) > 0 {
				p.Invalid = append(p.Invalid, day)
			}
		}
		return p
	}
	for i := range d.Reports {
		p := &d.Reports[i]
		for _, n := range p.Tests {
			if who := r.Lines[n].Test.Inspector(); who.Known() {
				on(who.Val, p.Date).Tests++
			}
		}
		for _, s := range p.Signed {
			if s.Signature != nil {
				on(s.Signature.Name.Val, s.Signature.SignedAt.Val.Date).Signed++
			}
		}
	}
}

// longest is the row of a person with the card that is valid longest: a renewed
// card has a row of its own.
func longest(rows []*record.Person) *record.Person {
	var row *record.Person
	for _, p := range rows {
		if row == nil || p.Expiry.Known() && (!row.Expiry.Known() || p.Expiry.Val.Compare(row.Expiry.Val) > 0) {
			row = p
		}
	}
	return row
}

// tests reports whether a person is one of those whose card must be listed: the
// inspector.
func (p *PersonUse) tests() bool { return p.Tests > 0 }
