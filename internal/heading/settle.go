package heading

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// A settler decides what the headings of one block mean: first by their
// units, then by the values below, then by what the other headings have taken.
// What stays open is asked, never guessed.
type settler struct {
	es    []*entry
	ds    []diag.Diagnostic
	body  []table.Row
	temps []*entry // headings that say "temperature" and not of what
}

// settle decides the headings es of a table, whose records are among body.
func settle(name string, es []*entry, body []table.Row, titles []string) []diag.Diagnostic {
	s := &settler{es: es, body: body}
	for _, e := range s.es {
		e.ev = look(body, e.col)
		if !e.mapped {
			s.setTempAside(e)
			e.byUnit()
			e.byValues()
		}
	}
	s.eliminate()
	for s.claim() {
		s.eliminate()
	}
	s.left()
	if name == "readings" {
		s.temperature()
		s.volume()
		s.waters(titles)
		s.result()
	}
	return s.ds
}

// byUnit drops the candidates that cannot have the unit of e, and those of a
// lying heading that needs one and has none. A certain
// wording over a measured column keeps a unit of another quantity, such as
// "extract (ppm)": that the value cannot be used is found when it is read.
func (e *entry) byUnit() {
	if e.class == "" || e.class == "none" {
		e.cands = slices.DeleteFunc(e.cands, func(m meaning) bool {
			return m.doubt == lying && m.kind != conductivity
		})
		return
	}
	var right, kept []meaning
	for _, m := range e.cands {
		switch {
		case m.kind.takes(e.class):
			m.doubt = e.confirmed(m)
			right = append(right, m)
		case m.doubt == certain && m.kind.measured() && !elsewhere[e.class]:
			kept = append(kept, m)
		}
	}
	switch {
	case len(right) > 0:
		e.cands = right
	case e.spread:
		e.unit, e.class = "", "" // it belongs to another column
	default:
		e.cands = kept
	}
}

// elsewhere are the units that make a heading another column rather than a
// measured one with a slip in its unit.
var elsewhere = map[string]bool{"temperature": true, "humidity": true, "clock": true, "date": true}

// confirmed is what is left of a doubt when the unit is right. Before and
// after stay as doubtful as they were: a wash changes a conductivity too.
func (e *entry) confirmed(m meaning) doubt {
	if m.kind == conductivity || m.kind == temperature {
		return m.doubt
	}
	return certain
}

// byValues drops the candidates that the values speak against, where there is
// a choice or a doubt, and keeps one alone that they speak for.
func (e *entry) byValues() {
	if len(e.cands) == 1 && e.cands[0].doubt == certain || len(e.cands) == 0 {
		return
	}
	var speaking []meaning
	e.cands = slices.DeleteFunc(e.cands, func(m meaning) bool {
		switch e.ev.fits(m.kind) {
		case speaks:
			speaking = append(speaking, m)
		case against:
			// "8.05" is a time under "Uhrzeit"; under "start" it may be anything.
			if m.kind == clock && m.doubt == certain {
				return !e.ev.most(e.ev.dotted + e.ev.clocks)
			}
			// An elevation is a number, and a frame "3-4" turns into 3 April in a
			// spreadsheet.
			return m.column != "location" || e.ev.half(e.ev.clocks) || e.ev.most(e.ev.verdicts)
		}
		return false
	})
	if len(speaking) == 1 {
		e.cands = speaking
	}
}

// leader is the candidate of e that stands out: the only one, or the only
// certain one.
func (e *entry) leader() (meaning, bool) {
	if e.column != "" || e.mapped || e.asked || len(e.cands) == 0 {
		return meaning{}, false
	}
	if len(e.cands) == 1 {
		return e.cands[0], true
	}
	var lead []meaning
	for _, m := range e.cands {
		if m.doubt == certain {
			lead = append(lead, m)
		}
	}
	if len(lead) == 1 {
		return lead[0], true
	}
	// An empty column of a form is nothing to ask about.
	if e.ev.n == 0 {
		return e.cands[0], true
	}
	return meaning{}, false
}

// taken returns the entry that has been settled for column.
func (s *settler) taken(column string) *entry {
	for _, e := range s.es {
		if e.column == column && column != "" {
			return e
		}
	}
	return nil
}

// claim settles the headings that stand out, the certain ones first, and
// reports whether it settled any.
func (s *settler) claim() bool {
	for d := certain; d <= lying; d++ {
		claims := map[string][]*entry{}
		var order []string
		for _, e := range s.es {
			m, ok := e.leader()
			if !ok || m.doubt != d {
				continue
			}
			if claims[m.column] == nil {
				order = append(order, m.column)
			}
			claims[m.column] = append(claims[m.column], e)
		}
		for _, column := range order {
			s.give(column, claims[column])
		}
		if len(order) > 0 {
			return true
		}
	}
	return false
}

// give settles column for the one of its claimants that has no other choice,
// or asks.
func (s *settler) give(column string, es []*entry) {
	if filled := slices.DeleteFunc(slices.Clone(es), func(e *entry) bool { return e.ev.n == 0 }); len(filled) > 0 {
		for _, e := range es {
			if e.ev.n == 0 {
				e.cands = nil // an empty second column is none
			}
		}
		es = filled
	}
	if bound := slices.DeleteFunc(slices.Clone(es), func(e *entry) bool { return s.choice(e, column) }); len(bound) == 1 && len(es) > 1 {
		es = bound
	}
	if len(es) == 1 || es[0].ev.n == 0 {
		m, _ := es[0].leader()
		es[0].column, es[0].kind, es[0].doubt = m.column, m.kind, m.doubt
		return
	}
	s.ds = append(s.ds, twice(s.es, column, es))
	for _, e := range es {
		e.column, e.asked = column, true
	}
}

// choice reports whether e may be something else than column.
func (s *settler) choice(e *entry, column string) bool {
	return slices.ContainsFunc(e.cands, func(m meaning) bool {
		return m.column != column && s.taken(m.column) == nil
	})
}

// eliminate takes the columns that are settled from the candidates of the
// others. A measured column that is left with nothing is asked about: two
// columns of readings match one of ours.
func (s *settler) eliminate() {
	for _, e := range s.es {
		if e.column != "" || e.mapped || e.asked || len(e.cands) == 0 {
			continue
		}
		was := e.cands
		var free []meaning
		for _, m := range e.cands {
			if s.taken(m.column) == nil {
				free = append(free, m)
			}
		}
		e.cands = free
		if len(free) > 0 {
			continue
		}
		for _, m := range was {
			owner := s.taken(m.column)
			if m.kind.measured() && e.ev.half(e.ev.numbers) && e.ev.n > 0 && !owner.mapped {
				s.ds = append(s.ds, twice(s.es, m.column, []*entry{owner, e}))
				e.asked, owner.asked = true, true
				break
			}
		}
	}
}

// left asks about the headings that still may be several columns, if any of
// those enters the result or tells one test from another.
func (s *settler) left() {
	for _, e := range s.es {
		if e.column != "" || e.mapped || e.asked || len(e.cands) < 2 {
			continue
		}
		if s.numbersOrPlaces(e) {
			continue
		}
		if slices.ContainsFunc(e.cands, func(m meaning) bool {
			return m.kind.measured() || m.kind == identity || m.kind == name || m.kind == clock
		}) {
			e.asked = true
			s.ds = append(s.ds, unclear(s.es, e, e.cands))
		}
	}
}

// numbersOrPlaces settles a heading such as "ref." that is either the test or
// its location: with a text of its own in each row it tells the tests apart.
// Either way it is kept and printed as it stands.
func (s *settler) numbersOrPlaces(e *entry) bool {
	if e.ev.distinct < e.ev.n || s.taken("test") != nil {
		return false
	}
	for _, m := range e.cands {
		if m.column != "test" && m.column != "location" {
			return false
		}
	}
	e.column, e.kind, e.doubt = "test", identity, doubtful
	return true
}
