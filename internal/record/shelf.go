package record

import "saltline/internal/diag"

// A shelf keeps what the tests of a sheaf say in one column: what is said, and
// of each test which of that.
type shelf[Q comparable] struct {
	which []uint16   // by the place of the test; nil where none says anything
	said  []Given[Q] // said[0] is nothing
	loose []string   // texts that hardly recur and say no more than as does beside them
	as    Given[Q]
}

// firstLoose is the number of the first of the loose texts.
const firstLoose = 1 << 15

// say is what a test says in one column: kept on the shelf s, or its own at at.
//
// A place without a row is that column of the row in which the test stands.
func say[Q comparable](t *Test, s *shelf[Q], at func(*Fields) *Given[Q]) Given[Q] {
	if t.own != nil {
		return *at(&t.own.Fields)
	}
	if s.which == nil {
		return Given[Q]{}
	}
	n := s.which[t.place]
	if n >= firstLoose {
		return s.looseAt(n, t)
	}
	g := s.said[n]
	if g.Pos.Row() == 0 && g.Pos.Col() > 0 {
		g.Pos = g.Pos.At(int(t.row), g.Pos.Col())
	}
	return g
}

func (s *shelf[Q]) looseAt(n uint16, t *Test) Given[Q] {
	g := s.as
	g.Text = s.loose[n-firstLoose]
	*any(&g.Val).(*string) = g.Text
	g.Pos = g.Pos.At(int(t.row), g.Pos.Col())
	return g
}

// inRow spells a place in the row of a test as say reads it.
func inRow(at, row diag.Pos) diag.Pos {
	if at.At(0, 0) == row.At(0, 0) && at.Row() == row.Row() {
		return at.At(0, at.Col())
	}
	return at
}

// let makes a test say g in the column.
func (c Column[Q]) let(t *Test, g Given[Q]) {
	kept := g
	kept.Pos = inRow(g.Pos, t.Row())
	if t.own != nil || t.in.tests == 0 || !c.on(t.in).put(int(t.place), t.in.tests, kept) {
		*c.at(t.Own()) = g
	}
}

// put lets a test say g, the place of which is spelled as say reads it; false
// where there is no more room. tests is how many the sheaf has.
func (s *shelf[Q]) put(place, tests int, g Given[Q]) bool {
	if s.which == nil {
		if g == (Given[Q]{}) {
			return true
		}
		s.which, s.said = make([]uint16, tests), make([]Given[Q], 1, 8)
	}
	n := len(s.said) - 1
	switch {
	case g == s.said[0]:
		n = 0
	case g == s.said[n]:
	case n+1 == firstLoose:
		return false
	default:
		n++
		s.said = append(s.said, g)
	}
	s.which[place] = uint16(n)
	return true
}

// putLoose lets a test say g as a loose text, where it is no more than that.
func (s *shelf[Q]) putLoose(place int, g *Given[Q]) bool {
	text, words := any(g.Val).(string)
	if !words || text != g.Text || g.State != Known || s.which == nil {
		return false
	}
	as := Given[Q]{State: Known, Unit: g.Unit, Pos: g.Pos}
	if s.loose == nil {
		s.as, s.loose = as, make([]string, 0, len(s.which)-place)
	}
	return as == s.as && as.Pos.Row() == 0 && s.addLoose(place, text)
}

// addLoose lets a test say a text like the loose ones before it; false where there
// is no more room.
func (s *shelf[Q]) addLoose(place int, text string) bool {
	if len(s.loose) == firstLoose {
		return false
	}
	s.which[place] = uint16(firstLoose + len(s.loose))
	s.loose = append(s.loose, text)
	return true
}
