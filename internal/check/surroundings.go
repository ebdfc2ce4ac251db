package check

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A surrounding is the steel and the air of one test, as far as the record
// tells: of its own row, else of the ambient set nearest in time.
type surrounding struct {
	steel       unit.Temperature
	steelKnown  bool
	steelPos    diag.Pos
	margin      unit.Temperature // steel less dew point
	marginKnown bool
	own         bool // the steel was read for this test
}

// setSteel is the steel temperature of an ambient set.
func setSteel(s *assess.AmbientSet) record.Given[unit.Temperature] {
	if s.Set != nil {
		return s.Set.Steel
	}
	return s.Test.Steel
}

// setRow is where an ambient set stands.
func setRow(s *assess.AmbientSet) diag.Pos {
	if s.Set != nil {
		return s.Set.Row
	}
	return s.Test.Row
}

// setDay is the day of an ambient set, setClock its time.
func setDay(s *assess.AmbientSet) unit.Date {
	if s.Set != nil {
		return s.Set.Date.Val
	}
	return s.Test.Date.Val
}

func setClock(s *assess.AmbientSet) record.Given[unit.Clock] {
	switch {
	case s.Set != nil:
		return s.Set.Time
	case s.Test.Read.Known():
		return s.Test.Read
	}
	return s.Test.Start
}

// nearestSet is the set nearest in time to test i, and how far away it is;
// nil where the test or every set is without a time.
func nearestSet(v *assess.Review, i int) (*assess.AmbientSet, unit.Minutes) {
	for k := range v.Ambient {
		if s := &v.Ambient[k]; s.Test == v.Lines[i].Test {
			return s, 0
		}
	}
	var nearest *assess.AmbientSet
	var least unit.Minutes
	at, ok := stayOf(v, i).end()
	for k := range v.Ambient {
		s := &v.Ambient[k]
		when, timed := instant(setDay(s), setClock(s))
		if !ok || !timed {
			continue
		}
		if gap := max(at-when, when-at); nearest == nil || gap < least {
			nearest, least = s, gap
		}
	}
	return nearest, least
}

// surroundingOf is that of test i. A set further away than the ambient gap
// says nothing of it, nor does one that cannot be.
func surroundingOf(v *assess.Review, i int) surrounding {
	t := v.Lines[i].Test
	set, gap := nearestSet(v, i)
	if set != nil && (float64(gap) > v.Basis.Value(assess.AmbientGap) || len(impossible(set)) > 0) {
		set = nil
	}
	var s surrounding
	if set != nil {
		if g := setSteel(set); g.Known() {
			s.steel, s.steelKnown, s.steelPos = g.Val, true, g.Pos
		}
		s.margin, s.marginKnown = set.Margin, set.MarginKnown
	}
	if t.Steel.Known() && t.Steel.Val <= hottestSteel {
		s.steel, s.steelKnown, s.steelPos, s.own = t.Steel.Val, true, t.Steel.Pos, true
		if set != nil && set.DewKnown {
			s.margin, s.marginKnown = t.Steel.Val-set.Dew, true
		}
	}
	return s
}

// byTheHour lists the sets of which asked holds, those of a day together. A
// set that stands beside several tests with the same numbers is one.
func byTheHour(v *assess.Review, asked func(*assess.AmbientSet) bool) [][]*assess.AmbientSet {
	type reading struct {
		day                        unit.Date
		air, dew, steel, wet, damp string
		at                         unit.Clock
	}
	var all []*assess.AmbientSet
	seen := map[reading]bool{}
	for k := range v.Ambient {
		s := &v.Ambient[k]
		var r reading
		if s.Set != nil {
			a := s.Set
			r = reading{a.Date.Val, a.Air.Text, a.RecordedDew.Text, a.Steel.Text, a.WetBulb.Text, a.Humidity.Text, a.Time.Val}
		} else {
			t := s.Test
			r = reading{day: t.Date.Val, air: t.Air.Text, dew: t.RecordedDew.Text, steel: t.Steel.Text, damp: t.Humidity.Text}
		}
		if asked(s) && !seen[r] {
			seen[r] = true
			all = append(all, s)
		}
	}
	return groups(all, setDay)
}

// A setShown names an ambient set to the reader.
type setShown struct {
	Place string
	Timed bool
	At    unit.Clock
}

func shown(s *assess.AmbientSet) setShown {
	at := setClock(s)
	x := setShown{Timed: at.Known(), At: at.Val}
	if s.Set != nil {
		x.Place = s.Set.Place.Text
	} else {
		x.Place = s.Test.Location.Text
	}
	return x
}

// decimalsApart is how many decimals show that a value is not its bound: the
// usual number, or as many more as it takes.
func decimalsApart[Q ~float64](value Q, bound float64, usual int) int {
	n := usual
	for n < 4 && math.Round(float64(value)*math.Pow10(n)) == math.Round(bound*math.Pow10(n)) {
		n++
	}
	return n
}
