package assess

import (
	"math"
	"slices"
	"strings"
	"sync"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Course is a judged job that can tell how its areas stood at the end of
// each of its days. What no day changes is worked out once, and an area that
// stands as it did the day before is not looked at again. It may be shared.
type Course struct {
	*Result
	areas    []grounds        // those of the area table first, then by first test
	numbers  map[string][]int // the tests on steel by their number, folded, as far as others name them
	related  []int            // repeats, retests and adjacent tests
	fails    []int            // tests above the limit, in order
	treated  []treated        // the tests that name a treatment
	washes   treatmentIndex
	spots    []string // types of spot, folded; nil where no type is asked for
	controls []control
	adjacent int          // adjacent tests that a fail needs
	drying   unit.Minutes // from the end of a treatment to a retest

	districts func() []*district
}

// Grounds are an area of steel and all tests made on it.
type grounds struct {
	name  string
	area  *record.Area // nil where the area table does not have it
	tests []int
	fails []int // those of them above the limit
}

// A treated test names the treatment that its spot got.
type treated struct {
	test      int
	treatment string // folded
}

// A treatmentIndex holds the treatments by their folded names, and by the
// folded numbers of the tests that they name.
type treatmentIndex struct {
	byName, byTest map[string][]*record.Treatment
}

// A control is a finding that keeps areas as a whole from being accepted.
type control struct {
	finding int
	day     int             // the day that it belongs to; always for the whole job
	areas   map[string]bool // folded
}

// Days that every end of a day comes after, that the end of the job is, and that
// none comes after.
const (
	always   = 0
	endOfJob = never - 1
	never    = math.MaxInt
)

// ordinal is a number that grows with the day.
func ordinal(d unit.Date) int { return (d.Year*12+d.Month)*31 + d.Day }

// lastOf is the last day that counts at the end of a day, the zero Date being the
// end of the job.
func lastOf(until unit.Date) int {
	if until.IsZero() {
		return endOfJob
	}
	return ordinal(until)
}

// Course makes r ready to tell how its areas stood at the end of a day.
func (r *Result) Course() *Course {
	c := &Course{
		Result:   r,
		adjacent: int(r.Basis.Value(AdjacentTests)),
		drying:   unit.Minutes(r.Basis.Value(DryingTime)),
	}
	if len(r.Job.Terms.SpotTypes.Val) > 0 {
		c.spots = make([]string, len(r.Lines))
	}
	for i := range r.Lines {
		if r.Lines[i].OfSteel() {
			c.add(i)
		}
	}
	c.areas = r.grounds()
	c.number()
	for n := range r.Findings {
		if f := &r.Findings[n]; f.Severity == UnprovenPass && len(f.Areas) > 0 {
			c.controls = append(c.controls, control{n, ordinal(f.Date), folded(f.Areas)})
		}
	}
	c.districts = sync.OnceValue(c.divide)
	return c
}

// add sorts in test i.
func (c *Course) add(i int) {
	l := &c.Lines[i]
	if l.Kind().Related() {
		c.related = append(c.related, i)
	}
	if l.Verdict == Fail {
		c.fails = append(c.fails, i)
	}
	if len(c.Job.Treatments) > 0 { // else it names none of them
		if key := record.Folded(l.Test.Treatment().Val); key != "" {
			c.treated = append(c.treated, treated{i, key})
		}
	}
	if c.spots != nil {
		c.spots[i] = record.Folded(l.Test.SpotType().Val)
	}
}

// number finds the tests that repeats, retests, adjacent tests and treatments
// name by their numbers.
func (c *Course) number() {
	c.numbers = make(map[string][]int)
	ask := func(number string) {
		if key := record.Folded(number); key != "" {
			c.numbers[key] = nil
		}
	}
	for _, i := range c.related {
		named := c.Lines[i].Test.OfTest().Val
		ask(named)
		for part := range strings.FieldsFuncSeq(named, IsBetween) {
			ask(part)
		}
	}
	c.washes = treatmentIndex{make(map[string][]*record.Treatment), make(map[string][]*record.Treatment)}
	for i := range c.Job.Treatments {
		t := &c.Job.Treatments[i]
		if key := record.Folded(t.Name.Val); key != "" {
			c.washes.byName[key] = append(c.washes.byName[key], t)
		}
		for _, number := range t.OfTests.Val {
			ask(number)
			c.washes.byTest[record.Folded(number)] = append(c.washes.byTest[record.Folded(number)], t)
		}
	}
	if len(c.numbers) == 0 {
		return
	}
	for i := range c.Lines {
		if !c.Lines[i].OfSteel() {
			continue
		}
		key := record.Folded(c.Lines[i].Test.Number().Val)
		if tests, asked := c.numbers[key]; asked {
			c.numbers[key] = append(tests, i)
		}
	}
}

// IsBetween reports whether a rune stands between the numbers of two tests, where
// one names several.
func IsBetween(r rune) bool { return strings.ContainsRune(",;/&+", r) }

// dayOf is when a test was made, as ordinal has it; always and never for those
// that every day and no day counts.
func (c *Course) dayOf(test int) int {
	l := &c.Lines[test]
	if !l.OfSteel() {
		return never
	}
	return int(l.day)
}

// grounds lists the areas with all of their tests on steel.
func (r *Result) grounds() []grounds {
	var areas []grounds
	at := make(map[string]int)
	in := func(name string, area *record.Area) int {
		key := record.Folded(name)
		n, known := at[key]
		if !known {
			n = len(areas)
			at[key] = n
			areas = append(areas, grounds{name: name, area: area})
		}
		return n
	}
	for i := range r.Job.Areas {
		in(r.Job.Areas[i].Name.Val, &r.Job.Areas[i])
	}
	of := make([]int, len(r.Lines))
	count := make([]int, len(areas))
	last := -1 // line; its neighbours are mostly of the same area
	for i := range r.Lines {
		if !r.Lines[i].OfSteel() {
			of[i] = -1
			continue
		}
		name := r.Lines[i].Test.Area().Val
		if last >= 0 && name == r.Lines[last].Test.Area().Val {
			of[i] = of[last]
		} else if of[i] = in(name, nil); of[i] == len(count) {
			count = append(count, 0)
		}
		count[of[i]]++
		last = i
	}
	for n := range areas {
		areas[n].tests = make([]int, 0, count[n])
	}
	for i, n := range of {
		if n >= 0 {
			areas[n].tests = append(areas[n].tests, i)
			if r.Lines[i].Verdict == Fail {
				areas[n].fails = append(areas[n].fails, i)
			}
		}
	}
	return areas
}

func folded(names []string) map[string]bool {
	set := make(map[string]bool, len(names))
	for _, name := range names {
		set[record.Folded(name)] = true
	}
	return set
}

// Outcome is Standing at the end of the job without what describes an area in
// figures: First, AsCoated, Coverage and Touched, which cost as much as all the
// rest.
func (c *Course) Outcome() []*Standing {
	h := c.history(unit.Date{})
	areas := make([]*Standing, len(c.areas))
	for n := range areas {
		if areas[n] = h.begun(n); areas[n] != nil {
			h.stand(areas[n])
			h.conclude(areas[n])
		}
	}
	return c.listed(areas)
}

// Standing is that of r's Course, for one day alone.
func (r *Result) Standing(until unit.Date) []*Standing { return r.Course().Standing(until) }

// counted are those of the tests that count: mostly all, and then the same
// list.
func (h *history) counted(tests []int) []int {
	n := 0
	for _, i := range tests {
		if h.counts(i) {
			n++
		}
	}
	if n == len(tests) {
		return slices.Clip(tests)
	}
	counted := make([]int, 0, n)
	for _, i := range tests {
		if h.counts(i) {
			counted = append(counted, i)
		}
	}
	return counted
}

// begun is an area with its tests until then; nil for one that is not in the
// area table and that has not been tested.
func (h *history) begun(n int) *Standing {
	g := &h.areas[n]
	s := &Standing{Name: g.name, Area: g.area, Tests: h.counted(g.tests)}
	s.Open, s.Cleared = parted(h.opened[n])
	if g.area == nil {
		if len(s.Tests) == 0 {
			return nil
		}
		s.Name = h.Lines[s.Tests[0]].Test.Area().Val
	}
	return s
}

// listed are those of the areas that were begun, in the order of the area table,
// then by first test.
func (c *Course) listed(areas []*Standing) []*Standing {
	areas = slices.DeleteFunc(areas, func(s *Standing) bool { return s == nil })
	n := 0
	for n < len(areas) && areas[n].Area != nil {
		n++
	}
	slices.SortFunc(areas[n:], func(a, b *Standing) int { return a.Tests[0] - b.Tests[0] })
	return areas
}
