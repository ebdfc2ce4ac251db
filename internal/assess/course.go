package assess

import (
	"math"
	"slices"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Course is a judged job that can tell how its areas stood at the end of
// each of its days. What no day changes is worked out once, so that a day
// costs little more than a look at the tests made until then. It is
// read-only and may be shared.
type Course struct {
	*Result
	days     []int            // when a test was made, as ordinal has it; always and never for those that every day and no day counts
	areas    []grounds        // those of the area table first, then by first test
	numbers  map[string][]int // the tests on steel by their number
	related  []int            // repeats, retests and adjacent tests
	fails    []int
	treated  []treated // the tests that name a treatment
	spots    []string  // types of spot, folded; nil where no type is asked for
	controls []control
	adjacent int          // adjacent tests that a fail needs
	drying   unit.Minutes // from the end of a treatment to a retest
}

// Grounds are an area of steel and all tests made on it.
type grounds struct {
	name  string
	area  *record.Area // nil where the area table does not have it
	tests []int
}

// A treated test names the treatment that its spot got.
type treated struct {
	test      int
	treatment string // folded
}

// A control is a finding that keeps areas as a whole from being accepted.
type control struct {
	finding int
	day     int             // the day that it belongs to; always for the whole job
	areas   map[string]bool // folded
}

// Days that every end of a day comes after, and none.
const (
	always = 0
	never  = math.MaxInt
)

// ordinal is a number that grows with the day.
func ordinal(d unit.Date) int { return (d.Year*12+d.Month)*31 + d.Day }

// Course makes r ready to tell how its areas stood at the end of a day.
func (r *Result) Course() *Course {
	c := &Course{
		Result:   r,
		days:     make([]int, len(r.Lines)),
		numbers:  make(map[string][]int),
		adjacent: int(r.Basis.Value(AdjacentTests)),
		drying:   unit.Minutes(r.Basis.Value(DryingTime)),
	}
	if len(r.Job.Terms.SpotTypes.Val) > 0 {
		c.spots = make([]string, len(r.Lines))
	}
	for i := range r.Lines {
		c.days[i] = never
		if r.Lines[i].OfSteel() {
			c.add(i)
		}
	}
	c.areas = r.grounds()
	for n := range r.Findings {
		if f := &r.Findings[n]; f.Severity == UnprovenPass && len(f.Areas) > 0 {
			c.controls = append(c.controls, control{n, ordinal(f.Date), folded(f.Areas)})
		}
	}
	return c
}

// add sorts in test i.
func (c *Course) add(i int) {
	l := &c.Lines[i]
	c.days[i] = always
	if l.Test.Date.Known() {
		c.days[i] = ordinal(l.Test.Date.Val)
	}
	if key := fold(l.Test.Number.Val); key != "" {
		c.numbers[key] = append(c.numbers[key], i)
	}
	if isRelated(l.Test) {
		c.related = append(c.related, i)
	}
	if l.Verdict == Fail {
		c.fails = append(c.fails, i)
	}
	if key := fold(l.Test.Treatment.Val); key != "" {
		c.treated = append(c.treated, treated{i, key})
	}
	if c.spots != nil {
		c.spots[i] = fold(l.Test.SpotType.Val)
	}
}

// isRelated reports whether a test was made because of another.
func isRelated(t *record.Test) bool {
	k := t.Kind.Val
	return k == record.Repeat || k == record.Retest || k == record.Adjacent
}

// grounds lists the areas with all of their tests on steel.
func (r *Result) grounds() []grounds {
	var areas []grounds
	at := make(map[string]int)
	in := func(name string, area *record.Area) *grounds {
		key := fold(name)
		n, known := at[key]
		if !known {
			n = len(areas)
			at[key] = n
			areas = append(areas, grounds{name: name, area: area})
		}
		return &areas[n]
	}
	for i := range r.Job.Areas {
		in(r.Job.Areas[i].Name.Val, &r.Job.Areas[i])
	}
	for i := range r.Lines {
		if r.Lines[i].OfSteel() {
			g := in(r.Lines[i].Test.Area.Val, nil)
			g.tests = append(g.tests, i)
		}
	}
	return areas
}

func folded(names []string) map[string]bool {
	set := make(map[string]bool, len(names))
	for _, name := range names {
		set[fold(name)] = true
	}
	return set
}

// Standing returns how every area stands at the end of a day, the zero Date
// being the end of the job: in the order of the area table, then by first
// test. Tests without a date always count. The verdicts of the tests are
// those of the whole record: a check that is missing in the evening is
// missing for every day that it touches.
func (c *Course) Standing(until unit.Date) []Standing {
	h := c.history(until)
	areas := h.begun()
	for i := range areas {
		h.stand(&areas[i])
	}
	return areas
}

// Standing is that of r's Course, for one day alone.
func (r *Result) Standing(until unit.Date) []Standing { return r.Course().Standing(until) }

// begun lists the areas with their tests until then: all of the area table,
// and of the others those that have been tested.
func (h *history) begun() []Standing {
	var areas []Standing
	listed := 0
	for _, g := range h.areas {
		s := Standing{Name: g.name, Area: g.area}
		for _, i := range g.tests {
			if h.counts(i) {
				s.Tests = append(s.Tests, i)
			}
		}
		switch {
		case g.area != nil:
			listed++
		case len(s.Tests) == 0:
			continue
		default:
			s.Name = h.Lines[s.Tests[0]].Test.Area.Val
		}
		areas = append(areas, s)
	}
	slices.SortFunc(areas[listed:], func(a, b Standing) int { return a.Tests[0] - b.Tests[0] })
	return areas
}
