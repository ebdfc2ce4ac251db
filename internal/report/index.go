package report

import (
	"encoding/binary"
	"slices"
	"sync"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/papers"
	"saltline/internal/unit"
)

// An index is what the reports of all days have in common and where the rest
// of a day is found, so that the cost of a report does not grow with the job.
// Documents made side by side may share it.
type index struct {
	course  *assess.Course
	lines   map[unit.Date][]*assess.Line    // by number
	found   map[unit.Date][]*assess.Finding // the weightiest first
	whole   []*assess.Finding               // of any other day: those of the whole job
	ambient map[unit.Date][]*assess.AmbientSet
	titles  map[*assess.Finding]string
	papers  map[unit.Date]*papers.Report
	alike   []int     // tests with the same number are not established for the same reasons
	traits  []trait   // by test
	heights []float64 // by test, see heightsOf
	note    []doc.Block
	repeats sync.Map // repeats, by the folded names of areas

	findings, steps sync.Map // what is said of findings: see once
}

// On is the report of a day, of an indexed record; nil where it holds none.
func (r Record) On(day unit.Date) *papers.Report { return r.index.papers[day] }

// Indexed is r with an index, for several documents of one job. The error is
// that of Compose.
func (r Record) Indexed() (Record, error) {
	r.index = &index{
		course:  r.Result.Course(),
		lines:   linesByDay(r.Result),
		ambient: ambientByDay(r.Result),
		titles:  make(map[*assess.Finding]string, len(r.Result.Findings)),
		papers:  make(map[unit.Date]*papers.Report),
		alike:   alike(r.Result.Lines),
		traits:  traitsOf(r.Result.Lines),
		heights: heightsOf(r.Result.Lines),
	}
	r.index.sortFindings(r.Result)
	if r.Reports == nil {
		r.Reports = papers.Reports(r.Result)
	}
	for i := range r.Reports {
		r.index.papers[r.Reports[i].Date] = &r.Reports[i]
	}
	c := &composer{Record: r, job: r.Result.Job}
	for i := range r.Result.Findings {
		f := &r.Result.Findings[i]
		r.index.titles[f] = c.say("checks/"+f.Check.Name+"/title", c.filling(f))
	}
	r.index.note = c.readingNote()
	return r, c.err
}

func linesByDay(r *assess.Result) map[unit.Date][]*assess.Line {
	byDay := make(map[unit.Date][]*assess.Line)
	for i := range r.Lines {
		l := &r.Lines[i]
		byDay[l.Test.Date().Val] = append(byDay[l.Test.Date().Val], l)
	}
	for _, lines := range byDay {
		slices.SortStableFunc(lines, func(a, b *assess.Line) int {
			return compareNumbers(a.Test.Number().Val, b.Test.Number().Val)
		})
	}
	return byDay
}

func ambientByDay(r *assess.Result) map[unit.Date][]*assess.AmbientSet {
	byDay := make(map[unit.Date][]*assess.AmbientSet)
	for i := range r.Ambient {
		switch a := &r.Ambient[i]; {
		case a.Set != nil:
			byDay[a.Set.Date.Val] = append(byDay[a.Set.Date.Val], a)
		case a.Test != nil:
			byDay[a.Test.Date().Val] = append(byDay[a.Test.Date().Val], a)
		}
	}
	return byDay
}

// sortFindings gives each day its findings: those of the day; and those of no
// day that are of the whole job or of a test of the day.
func (x *index) sortFindings(r *assess.Result) {
	x.found = make(map[unit.Date][]*assess.Finding)
	for day := range x.lines {
		x.found[day] = nil
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		switch {
		case !f.Date.IsZero():
			if _, known := x.found[f.Date]; !known {
				x.found[f.Date] = slices.Clone(x.whole)
			}
			x.found[f.Date] = append(x.found[f.Date], f)
		case len(f.Tests) == 0:
			x.whole = append(x.whole, f)
			for day := range x.found {
				x.found[day] = append(x.found[day], f)
			}
		default:
			for _, n := range f.Tests {
				day := r.Lines[n].Test.Date().Val
				if list := x.found[day]; len(list) == 0 || list[len(list)-1] != f {
					x.found[day] = append(list, f)
				}
			}
		}
	}
}

// foundOn are the findings of a day.
func (x *index) foundOn(day unit.Date) []*assess.Finding {
	if found, known := x.found[day]; known {
		return found
	}
	return x.whole
}

// alike numbers the tests by what stands against them.
func alike(lines []assess.Line) []int {
	numbers := make([]int, len(lines))
	seen := make(map[string]int)
	var key []byte
	for i := range lines {
		key = binary.AppendUvarint(key[:0], uint64(len(lines[i].Reasons())))
		for _, r := range lines[i].Reasons() {
			key = binary.AppendUvarint(key, uint64(r))
		}
		for _, n := range lines[i].Findings() {
			key = binary.AppendUvarint(key, uint64(n))
		}
		n, known := seen[string(key)]
		if !known {
			n = len(seen)
			seen[string(key)] = n
		}
		numbers[i] = n
	}
	return numbers
}
