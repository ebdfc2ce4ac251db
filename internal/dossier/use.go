package dossier

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A MeterUse is a meter with the days on which it measured.
type MeterUse struct {
	Serial    string        // as the tests name it
	Row       *record.Meter // nil where the meters table does not have it
	Days      []unit.Date
	Tests     int
	Uncovered []unit.Date // those that no certificate in the record covers
}

// Covered reports whether a certificate covers every day of use.
func (m *MeterUse) Covered() bool { return len(m.Uncovered) == 0 }

// meters lists the meters by first use.
func (d *Dossier) meters(r *assess.Result) {
	rows := map[string]*record.Meter{}
	for i := range r.Job.Meters {
		if m := &r.Job.Meters[i]; m.Serial.Known() {
			rows[fold(m.Serial.Val)] = m // a later row has the later certificate
		}
	}
	at := map[string]int{}
	for _, i := range d.Register {
		t := r.Lines[i].Test
		key := fold(t.Meter.Val)
		n, seen := at[key]
		if !seen {
			n = len(d.Meters)
			at[key] = n
			d.Meters = append(d.Meters, MeterUse{Serial: t.Meter.Val, Row: rows[key]})
		}
		m := &d.Meters[n]
		m.Tests++
		if day := t.Date.Val; !slices.Contains(m.Days, day) {
			m.Days = append(m.Days, day)
			if !covers(r.Job, key, day) {
				m.Uncovered = append(m.Uncovered, day)
			}
		}
	}
}

// covers reports whether a row of the meters table shows a certificate that was
// in force on a day. Where it was calibrated is asked only of a row that says.
func covers(job *record.Job, serial string, day unit.Date) bool {
	for i := range job.Meters {
		m := &job.Meters[i]
		if serial == "" || fold(m.Serial.Val) != serial || !m.Due.Known() || day.IsZero() {
			continue
		}
		if day.Compare(m.Due.Val) <= 0 && (!m.CalibratedOn.Known() || day.Compare(m.CalibratedOn.Val) >= 0) {
			return true
		}
	}
	return false
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
	rows := map[string]*record.Person{}
	for i := range r.Job.People {
		if p := &r.Job.People[i]; p.Name.Known() {
			rows[fold(p.Name.Val)] = p
		}
	}
	at := map[string]int{}
	on := func(name string, day unit.Date) *PersonUse {
		key := fold(name)
		n, seen := at[key]
		if !seen {
			n = len(d.People)
			at[key] = n
			d.People = append(d.People, PersonUse{Name: name, Row: rows[key]})
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
			if who := r.Lines[n].Test.Inspector; who.Known() {
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

// tests reports whether a person is one of those whose card must be listed: the
// inspector.
func (p *PersonUse) tests() bool { return p.Tests > 0 }
