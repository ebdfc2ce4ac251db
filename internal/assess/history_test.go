package assess

import (
	"fmt"
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A history is written one event a line, the fields apart by "|":
//
//	number kind of | [day/]start | [area:] location | mg/m² | remark | treatment
//	T[:name] of | [day/]start-end
//
// A number that ends in "?" is not established and one in "!" void, by a
// finding. Days count from the first, and day 0 is a date that is missing;
// readings take ten minutes. The limit is 50, the rule asks for two adjacent
// tests, drying takes 15 minutes (the house setting).
func parseHistory(t *testing.T, text string) *Result {
	t.Helper()
	job := newJob(t)
	job.Terms.Retest = given(record.RetestRule{Beside: true, Adjacent: 2})
	kinds := map[string]record.TestKind{"original": record.Original, "repeat": record.Repeat, "retest": record.Retest,
		"adjacent": record.Adjacent, "witness": record.Witness}
	var unproven, void []int
	for line := range strings.Lines(strings.TrimSpace(text)) {
		fields := strings.Split(line, "|")
		for i := range fields {
			fields[i] = strings.TrimSpace(fields[i])
		}
		head := strings.Fields(fields[0])
		when := fields[1]
		date := given(firstDay)
		if day, rest, ok := strings.Cut(when, "/"); ok {
			date.Val = firstDay.Add(int(day[0]-'0') - 1)
			if day == "0" {
				date = record.Given[unit.Date]{}
			}
			when = rest
		}
		if name, is := strings.CutPrefix(head[0], "T"); is {
			from, to, _ := strings.Cut(when, "-")
			what := "fresh-water wash"
			if len(fields) > 2 {
				what = fields[2]
			}
			job.Treatments = append(job.Treatments, record.Treatment{
				Name: words(strings.TrimPrefix(name, ":")),
				Date: date, Started: clock(t, from), Ended: clock(t, to), OfTests: given(head[1:]), What: words(what),
			})
			continue
		}
		test := reading(t, "2.0", "")
		test.Own().Number = words(strings.TrimRight(head[0], "?!"))
		switch {
		case strings.HasSuffix(head[0], "?"):
			unproven = append(unproven, len(job.Tests))
		case strings.HasSuffix(head[0], "!"):
			void = append(void, len(job.Tests))
		}
		kind, ok := kinds[head[1]]
		if !ok {
			t.Fatalf("%q is no kind of test", head[1])
		}
		f := test.Own()
		f.Kind, f.OfTest = given(kind), words(strings.Join(head[2:], ","))
		f.Date, f.Start = date, clock(t, when)
		if when != "" {
			f.Read = given(unit.Clock((int(test.Start().Val) + 600) % (24 * 3600)))
		}
		area, location, ok := strings.Cut(fields[2], ": ")
		if !ok {
			area, location = "", fields[2]
		}
		f.Area, f.Location = words(area), words(location)
		d := number[unit.SurfaceDensity](t, fields[3])
		f.Extract = given(unit.Conductivity(2 + d.Val/4)) // K = 4
		f.Extract.Dec, _ = unit.FromFloat(float64(test.Extract().Val))
		if len(fields) > 4 {
			f.Remark = words(fields[4])
		}
		if len(fields) > 5 {
			f.Treatment = words(fields[5])
		}
		if len(fields) > 6 {
			at := append(strings.Fields(fields[6]), "") // x, y and the unit, if any
			f.X, f.Y = number[float64](t, at[0]), number[float64](t, at[1])
			f.X.Unit, f.Y.Unit = at[2], at[2]
		}
		job.Tests = append(job.Tests, test)
	}
	return Run(job, []*Check{finds(UnprovenPass, unproven...), finds(VoidsTest, void...)})
}

// spell writes the chains of a job one a line: the fail, its state, what
// cleared it or what stands against it. A number that several tests bear has
// its area and location beside it.
func spell(r *Result, until unit.Date) string {
	var lines []string
	number := func(i int) string {
		t := r.Lines[i].Test
		for j := range r.Lines {
			if o := r.Lines[j].Test; i != j && o.Number().Val == t.Number().Val {
				return t.Number().Val + "(" + strings.TrimSpace(t.Area().Val+" "+t.Location().Val) + ")"
			}
		}
		return t.Number().Val
	}
	for _, s := range r.Standing(until) {
		for _, c := range append(s.Open, s.Cleared...) {
			line := fmt.Sprintf("%s %v", number(c.Fail), c.State)
			if c.ClearedBy >= 0 {
				line += " by " + number(c.ClearedBy)
			}
			for i, o := range c.Obstacles {
				line += []string{": ", ", "}[min(i, 1)] + o.Kind.String()
				if o.Test >= 0 {
					line += " " + number(o.Test)
				}
				if o.Count > 0 {
					line += fmt.Sprintf(" %d", o.Count)
				}
			}
			if c.CauseReview() {
				line += "; cause"
			}
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// spellDays is spell at the end of each day of a job, every line after its
// day.
func spellDays(r *Result) string {
	var lines []string
	last := firstDay
	for i := range r.Lines {
		if d := r.Lines[i].Test.Date(); d.Known() && d.Val.Compare(last) > 0 {
			last = d.Val
		}
	}
	for day := 1; firstDay.Add(day-1).Compare(last) <= 0; day++ {
		for line := range strings.Lines(spell(r, firstDay.Add(day-1))) {
			lines = append(lines, fmt.Sprintf("day %d: %s", day, strings.TrimSpace(line)))
		}
	}
	return strings.Join(lines, "\n")
}
