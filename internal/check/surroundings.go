package check

import (
	"cmp"
	"math"
	"slices"

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
	return s.Test.Steel()
}

// setRow is where an ambient set stands.
func setRow(s *assess.AmbientSet) diag.Pos {
	if s.Set != nil {
		return s.Set.Row
	}
	return s.Test.Row()
}

// setDay is the day of an ambient set, setClock its time.
func setDay(s *assess.AmbientSet) unit.Date {
	if s.Set != nil {
		return s.Set.Date.Val
	}
	return s.Test.Date().Val
}

func setClock(s *assess.AmbientSet) record.Given[unit.Clock] {
	switch {
	case s.Set != nil:
		return s.Set.Time
	case s.Test.Read().Known():
		return s.Test.Read()
	}
	return s.Test.Start()
}

// A timedSet is an ambient set with its time.
type timedSet struct {
	at  unit.Minutes
	set int // in Result.Ambient
}

// setsInTime are the ambient sets as the tests look for them.
type setsInTime struct {
	beside  map[*record.Test]int // the set that stands on the row of a test
	timed   []timedSet           // those with a time, by time and then in their order
	untimed map[unit.Date]bool   // the days with sets; true where one has no time
}

var ambientSets = assess.Shared(func(v *assess.Review) *setsInTime {
	sets := &setsInTime{beside: map[*record.Test]int{}, untimed: map[unit.Date]bool{}}
	for k := range v.Ambient {
		s := &v.Ambient[k]
		if s.Test != nil {
			sets.beside[s.Test] = k
		}
		day := setDay(s)
		at, timed := instant(day, setClock(s))
		if timed {
			sets.timed = append(sets.timed, timedSet{at, k})
		}
		sets.untimed[day] = sets.untimed[day] || !timed
	}
	slices.SortStableFunc(sets.timed, func(a, b timedSet) int { return cmp.Compare(a.at, b.at) })
	return sets
})

// nearestSet is the set nearest in time to test i, and how far away it is;
// nil where the test or every set is without a time. Of two as near it is the
// one that stands first.
func nearestSet(v *assess.Review, i int) (*assess.AmbientSet, unit.Minutes) {
	if len(v.Ambient) == 0 {
		return nil, 0
	}
	sets := ambientSets(v)
	if k, beside := sets.beside[v.Lines[i].Test]; beside {
		return &v.Ambient[k], 0
	}
	at, ok := stayOf(v, i).end()
	if !ok || len(sets.timed) == 0 {
		return nil, 0
	}
	from := func(at unit.Minutes) int { // the first set that is not earlier
		k, _ := slices.BinarySearchFunc(sets.timed, at, func(s timedSet, at unit.Minutes) int { return cmp.Compare(s.at, at) })
		return k
	}
	after := from(at)
	if after == 0 {
		return &v.Ambient[sets.timed[0].set], sets.timed[0].at - at
	}
	nearest := sets.timed[from(sets.timed[after-1].at)]
	gap := at - nearest.at
	if after < len(sets.timed) {
		if next := sets.timed[after]; next.at-at < gap || next.at-at == gap && next.set < nearest.set {
			nearest, gap = next, next.at-at
		}
	}
	return &v.Ambient[nearest.set], gap
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
	if t.Steel().Known() && t.Steel().Val <= hottestSteel {
		s.steel, s.steelKnown, s.steelPos, s.own = t.Steel().Val, true, t.Steel().Pos, true
		if set != nil && set.DewKnown {
			s.margin, s.marginKnown = t.Steel().Val-set.Dew, true
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
			r = reading{day: t.Date().Val, air: t.Air().Text, dew: t.RecordedDew().Text, steel: t.Steel().Text, damp: t.Humidity().Text}
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
		x.Place = s.Test.Location().Text
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
