package audit

import (
	"fmt"

	"saltline/internal/assess"
)

// An Entry is one line of a list of findings: a finding, or those of one check
// that are too many to be said one by one.
type Entry struct {
	Mark     string // "F3"; of a pattern of the record "P1"
	Like     string // mark of the first entry of the same check; "" where this is it
	Findings []int  // indexes into Findings
}

// mostAlike bounds how many findings of one check are said one by one. Those
// of a usual record all are; a record of a year has one for each of its days.
const mostAlike = 12

// enter makes the lists of what was found, and gives each finding its mark.
func (a *Report) enter() {
	a.Marks = make([]string, len(a.Findings))
	a.Entries = a.entries("F", func(f *assess.Finding) bool { return !IsPattern(f) })
	a.Patterns = a.entries("P", IsPattern)
}

// IsPattern reports whether a finding is of the record as a whole.
func IsPattern(f *assess.Finding) bool { return f.Check.Group == assess.Integrity }

func (a *Report) entries(prefix string, keep func(*assess.Finding) bool) []Entry {
	var list []Entry
	said := map[string][]int{} // by check: its entries
	for n := range a.Findings {
		f := &a.Findings[n]
		if !keep(f) {
			continue
		}
		of := said[f.Check.Name]
		if len(of) <= mostAlike {
			e := Entry{Mark: fmt.Sprintf("%s%d", prefix, len(list)+1)}
			if len(of) > 0 {
				e.Like = list[of[0]].Mark
			}
			of = append(of, len(list))
			said[f.Check.Name] = of
			list = append(list, e)
		}
		e := &list[of[len(of)-1]]
		e.Findings = append(e.Findings, n)
		a.Marks[n] = e.Mark
	}
	return list
}
