package report_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/doc"
)

// columnsOf are the columns of the first table that has them.
func columnsOf(d *doc.Document, heads ...string) []int {
	for _, t := range tablesOf(d.Blocks) {
		if at := columns(t, heads...); at != nil {
			return at
		}
	}
	return nil
}

// summary compares the table of the areas.
func (r *reader) summary(d *doc.Document) {
	for _, t := range tablesOf(d.Blocks) {
		at := columns(t, "Area", "Verdict", "Tests", "Highest", "Fails", "Cleared", "Open")
		if at == nil {
			continue
		}
		r.hold("areas", len(t.Rows), len(r.Areas))
		for i, row := range t.Rows {
			cell := func(k int) string { return plain(row.Cells[at[k]].String()) }
			a, count, highest := &r.Areas[i], 0, math.Inf(-1)
			for _, o := range r.Tests {
				if o.Area == a.Area && o.Kind != blankKind {
					count++
					if v := o.Density; o.At25 != nil {
						highest = max(highest, *o.At25)
					} else if v != nil && o.Verdict != "VOID" {
						highest = max(highest, *v)
					}
				}
			}
			r.hold("area", cell(0), a.Area)
			r.hold("verdict of area "+a.Area, cell(1), a.Verdict)
			r.hold("tests of area "+a.Area, cell(2), count)
			r.near("highest of area "+a.Area, cell(3), &highest)
			r.hold("fails of area "+a.Area, cell(4), len(a.Open)+len(a.Cleared))
			r.hold("cleared of area "+a.Area, cell(5), len(a.Cleared))
			r.hold("open of area "+a.Area, cell(6), len(a.Open))
		}
	}
}

// groups compares the lines of the register that head the days.
func (r *reader) groups(d *doc.Document, perDay map[string][2]int) {
	var got []string
	for _, t := range tablesOf(d.Blocks) {
		for _, row := range t.Rows {
			if row.Group && columns(t, "Made as") != nil {
				_, rest, _ := strings.Cut(plain(row.Cells[0].String()), " · ")
				got = append(got, rest)
			}
		}
	}
	var want []string
	for _, p := range r.Dossier.Reports {
		want = append(want, "report "+p.Number+" · "+testsOf(perDay[p.Date]))
	}
	r.hold("days of the register", strings.Join(got, "; "), strings.Join(want, "; "))
}

func testsOf(n [2]int) string {
	s := fmt.Sprintf("%d tests", n[0])
	if n[0] == 1 {
		s = "1 test"
	}
	if n[1] > 0 {
		s += fmt.Sprintf(" and %d on glass", n[1])
	}
	return s
}

// perDay counts the tests of each day, on steel and on glass.
func (r *reader) perDay() map[string][2]int {
	days := map[string][2]int{}
	for _, o := range r.Tests {
		n := days[o.Date]
		if o.Kind == blankKind {
			n[1]++
		} else {
			n[0]++
		}
		days[o.Date] = n
	}
	return days
}

// calendar compares the days with tests.
func (r *reader) calendar(d *doc.Document, perDay map[string][2]int) {
	tested := 0
	for _, t := range tablesOf(d.Blocks) {
		at := columns(t, "Day", "What was done", "Report", "Digest of its rows")
		for _, row := range t.Rows {
			digest := row.Cells[at[3]].String()
			if digest == "" {
				continue
			}
			p := r.Dossier.Reports[tested]
			tested++
			r.hold("day "+p.Date, plain(row.Cells[at[1]].String()), testsOf(perDay[p.Date]))
			r.hold("report of "+p.Date, row.Cells[at[2]].String(), p.Number)
			r.hold("rows of "+p.Date, strings.HasPrefix(p.Rows, digest), true)
			r.hold("tests of "+p.Date, p.Tests, perDay[p.Date][0]+perDay[p.Date][1])
		}
	}
	r.hold("days with tests", tested, len(r.Dossier.Reports))
}

var whole = regexp.MustCompile(`\d+`)

// balances compares the reconciliation.
func (r *reader) balances(d *doc.Document) {
	for _, t := range tablesOf(d.Blocks) {
		at := columns(t, "What", "Counted", "Agrees")
		if at == nil {
			continue
		}
		r.hold("lines of the reconciliation", len(t.Rows), len(r.Dossier.Reconciliation))
		for i, row := range t.Rows {
			b := r.Dossier.Reconciliation[i]
			var got, want []int
			for _, s := range whole.FindAllString(row.Cells[at[1]].String(), -1) {
				n, _ := strconv.Atoi(s)
				got = append(got, n)
			}
			for _, n := range b.Counts {
				want = append(want, n)
			}
			slices.Sort(got)
			slices.Sort(want)
			if b.Agrees == nil {
				want = nil
			} else {
				r.hold("balance "+row.Cells[at[0]].String(), strings.HasPrefix(row.Cells[at[2]].String(), "✓"), *b.Agrees)
			}
			r.hold("counts of "+row.Cells[at[0]].String(), got, want)
		}
	}
}
