package assess

import (
	"slices"
	"strings"
	"sync"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A district is areas of which a test or a treatment of one names tests of the
// others, so that they stand as they do together. Mostly it is one area.
//
// How it stands changes on its own days alone: those of its tests and
// treatments, and of findings against its areas. An archive has the reports of
// hundreds of days, and most of its areas are not worked on in most of them.
type district struct {
	areas []int // of the course
	days  []int // as ordinal has them, in order

	asking sync.Mutex
	day    int         // of days, the last that was asked for; never for none
	stands []*Standing // of areas, at its end; nil for one that was not begun
}

// at is how the areas of a district stand at the end of a day.
func (d *district) at(last int, history func() *history) []*Standing {
	day := always
	if n, _ := slices.BinarySearch(d.days, last+1); n > 0 {
		day = d.days[n-1]
	}
	d.asking.Lock()
	known, stands := d.day == day, d.stands
	d.asking.Unlock()
	if known {
		return stands
	}
	h := history()
	stands = make([]*Standing, len(d.areas))
	waiting := false
	for k, n := range d.areas {
		s := h.begun(n)
		if s == nil {
			continue
		}
		h.stand(s)
		h.describe(s)
		h.conclude(s)
		stands[k] = s
		waiting = waiting || slices.ContainsFunc(s.Open, func(c Chain) bool { return len(c.Treatments) > 0 })
	}
	if !waiting { // else a treatment without an end has ended when its day has
		d.asking.Lock()
		d.day, d.stands = day, stands
		d.asking.Unlock()
	}
	return stands
}

// divide parts the areas of a course into districts.
func (c *Course) divide() []*district {
	d := &division{Course: c, numbered: make(map[string]int, len(c.areas)), with: make([]int, len(c.areas))}
	for n := range c.areas {
		d.numbered[record.Folded(c.areas[n].name)], d.with[n] = n, n
	}
	for _, i := range c.related {
		named := c.Lines[i].Test.OfTest().Val
		d.join(i, named)
		for part := range strings.FieldsFuncSeq(named, IsBetween) {
			d.join(i, part)
		}
	}
	days := make([][]int, len(c.areas))
	for k := range c.Job.Treatments {
		d.treat(&c.Job.Treatments[k], days)
	}
	for _, f := range c.controls {
		for name := range f.areas {
			if n, known := d.numbered[name]; known {
				days[n] = append(days[n], f.day)
			}
		}
	}
	of := make([]*district, len(c.areas))
	var all []*district
	for n := range c.areas {
		first := d.first(n)
		if of[first] == nil {
			of[first] = &district{day: never}
			all = append(all, of[first])
		}
		in := of[first]
		in.areas = append(in.areas, n)
		in.days = append(in.days, days[n]...)
		last := never
		for _, i := range c.areas[n].tests {
			if day := c.dayOf(i); day != last {
				in.days = append(in.days, day)
				last = day
			}
		}
	}
	for _, in := range all {
		slices.Sort(in.days)
		in.days = slices.Compact(in.days)
	}
	return all
}

// A division is areas on their way into districts.
type division struct {
	*Course
	numbered map[string]int // the areas by their names, folded
	with     []int          // of each area another of its district, or itself
}

// first is the area by which the district of an area is known.
func (d *division) first(area int) int {
	for d.with[area] != area {
		d.with[area] = d.with[d.with[area]] // a log may name each test in the next
		area = d.with[area]
	}
	return area
}

// areaOf is the area of a test.
func (d *division) areaOf(test int) int {
	return d.numbered[d.area(test)]
}

// join puts what bears a number into the district of a test.
func (d *division) join(test int, number string) {
	for _, i := range d.numbers[record.Folded(number)] {
		d.with[d.first(d.areaOf(i))] = d.first(d.areaOf(test))
	}
}

// treat puts all tests that a treatment may have to do with into one district,
// and its day among the days of one of their areas.
func (d *division) treat(t *record.Treatment, days [][]int) {
	name := record.Folded(t.Name.Val)
	var tests []int
	for _, n := range d.treated {
		if n.treatment == name {
			tests = append(tests, n.test)
		}
	}
	for _, number := range t.OfTests.Val {
		tests = append(tests, d.numbers[record.Folded(number)]...)
	}
	if len(tests) == 0 {
		return
	}
	area := d.areaOf(tests[0])
	for _, i := range tests[1:] {
		d.with[d.first(d.areaOf(i))] = d.first(area)
	}
	if t.Date.Known() {
		days[area] = append(days[area], ordinal(t.Date.Val))
	}
}

// Standing returns how every area stands at the end of a day, the zero Date
// being the end of the job: in the order of the area table, then by first
// test. Tests without a date always count. The verdicts of the tests are
// those of the whole record: a check that is missing in the evening is
// missing for every day that it touches.
//
// What stands as it did on a day before is the same Standing.
func (c *Course) Standing(until unit.Date) []*Standing {
	history := sync.OnceValue(func() *history { return c.history(until) })
	last := lastOf(until)
	areas := make([]*Standing, len(c.areas))
	for _, d := range c.districts() {
		for k, s := range d.at(last, history) {
			areas[d.areas[k]] = s
		}
	}
	return c.listed(areas)
}
