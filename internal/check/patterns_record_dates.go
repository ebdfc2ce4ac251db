package check

import (
	"cmp"
	"maps"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

const aWeek = 7 // days

// dayAndMonthSwapped: a date lies far from all others, and with its day and
// its month in the other order it lies among them, at its place in the log:
// dates that a spreadsheet read in the order of another country. Far is more
// than a week, and more than the others lie apart; among them is within a week
// of their first and last. The others are the dates of work that follow one
// another by two weeks or less. There are more of them than of all the rest,
// or the rest lies among them too once it is turned; a job of single days here
// and there is not asked.
var dayAndMonthSwapped = &assess.Check{
	Name:     "day-and-month-swapped",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		dates, rowsOf := datesOfWork(v)
		main, ok := mainStretch(dates, rowsOf)
		if !ok {
			return
		}
		turned := map[unit.Date]unit.Date{}
		for _, d := range dates {
			if t, is := main.turned(d); is {
				turned[d] = t
			}
		}
		if rest := len(dates) - main.dates; len(turned) == 0 || main.dates <= rest && len(turned) < rest {
			return
		}
		keepFitting(v, turned, rowsOf)
		tests := onSteel(v, func(l *assess.Line) bool {
			_, asked := turned[l.Test.Date().Val]
			return asked && l.Test.Date().Known()
		})
		if len(tests) == 0 {
			return
		}
		var rows []turnedRow
		for _, of := range byDay(v, tests) {
			day := v.Lines[of[0]].Test.Date().Val
			rows = append(rows, turnedRow{Day: day, Turned: turned[day]})
		}
		few, more := upTo(mostShown, rows)
		few[len(few)-1].Last = more == 0 && len(few) > 1
		report(v, assess.Finding{
			Tests: tests, Places: places(v, tests, dateAt),
			Args: map[string]any{"Rows": few, "More": more, "From": main.from, "To": main.to},
		})
	},
}

// keepFitting leaves of the turned dates those that fit where they stand in
// the log: within a week of the dates before and after them, or within three
// days of the one where there is no other, for a last visit months later has a
// date of its own. A date with no other beside it fits where another table has
// it turned (house figures).
func keepFitting(v *assess.Review, turned map[unit.Date]unit.Date, rows map[unit.Date]int) {
	var blocks []unit.Date // the dates of the log, each once as often as it changes
	for i := range v.Lines {
		if v.Lines[i].Day() == 0 || i > 0 && v.Lines[i].Day() == v.Lines[i-1].Day() {
			continue
		}
		if d := v.Lines[i].Test.Date(); len(blocks) == 0 || blocks[len(blocks)-1] != d.Val {
			blocks = append(blocks, d.Val)
		}
	}
	meant := func(d unit.Date) unit.Date { return cmp.Or(turned[d], d) }
	var strange []unit.Date
	for k, d := range blocks {
		t, asked := turned[d]
		if !asked {
			continue
		}
		beside, within := 0, aWeek
		if k == 0 || k == len(blocks)-1 {
			within = 3
		}
		fits := true
		for _, n := range []int{k - 1, k + 1} {
			if n >= 0 && n < len(blocks) {
				beside++
				apart := t.Since(meant(blocks[n]))
				fits = fits && -within <= apart && apart <= within
			}
		}
		if !fits || beside == 0 && rows[t] == 0 {
			strange = append(strange, d)
		}
	}
	for _, d := range strange {
		delete(turned, d)
	}
}

// A turnedRow is a date as it stands and with day and month in the other
// order; Last closes a list of several.
type turnedRow struct {
	Day, Turned unit.Date
	Last        bool
}

// datesOfWork are the dates on which something was done on site, each once, in
// order, with the number of rows that bear it. What is delivered or
// calibrated has dates of its own.
func datesOfWork(v *assess.Review) ([]unit.Date, map[unit.Date]int) {
	n := maps.Clone(datesTested(v))
	add := func(d record.Given[unit.Date]) {
		if d.Known() {
			n[d.Val]++
		}
	}
	j := v.Job
	for i := range j.Ambient {
		add(j.Ambient[i].Date)
	}
	for i := range j.Checks {
		add(j.Checks[i].Date)
	}
	for i := range j.Treatments {
		add(j.Treatments[i].Date)
	}
	for i := range j.Days {
		add(j.Days[i].Date)
	}
	var days []unit.Date
	for d := range n {
		days = append(days, d)
	}
	slices.SortFunc(days, unit.Date.Compare)
	return days, n
}

// A stretch of work is dates that follow one another by two weeks or less.
type stretch struct {
	from, to    unit.Date
	dates, rows int
}

// turned is a date with day and month in the other order, and whether that
// puts a date far from the stretch among its dates.
func (s stretch) turned(d unit.Date) (unit.Date, bool) {
	t := unit.Date{Year: d.Year, Month: d.Day, Day: d.Month}
	far := max(aWeek, s.to.Since(s.from))
	away := d.Since(s.to) > far || s.from.Since(d) > far
	return t, away && t.Valid() && t.Since(s.to) <= aWeek && s.from.Since(t) <= aWeek
}

// mainStretch is the stretch with the most dates; of two with as many the one
// with more rows, and none where these are as many too, nor where it is all.
func mainStretch(days []unit.Date, rows map[unit.Date]int) (main stretch, ok bool) {
	var all []stretch
	for k, d := range days {
		if k == 0 || d.Since(days[k-1]) > 2*aWeek {
			all = append(all, stretch{from: d})
		}
		s := &all[len(all)-1]
		s.to, s.dates, s.rows = d, s.dates+1, s.rows+rows[d]
	}
	slices.SortStableFunc(all, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(b.dates, a.dates), cmp.Compare(b.rows, a.rows))
	})
	if len(all) < 2 || all[0].dates == all[1].dates && all[0].rows == all[1].rows {
		return main, false
	}
	return all[0], true
}

// dateLabel is how the reading note says that a spot shows a date.
const dateLabel = "a date kept as the label it shows"

// labelMadeADate: the spreadsheet has made a date of a spot that was typed as
// two numbers, such as 4-3. It is read as the label that it shows.
var labelMadeADate = &assess.Check{
	Name:     "label-made-a-date",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		dated := map[diag.Pos]bool{}
		for _, c := range v.Job.Note.Changes {
			if c.What == dateLabel {
				dated[c.Pos] = true
			}
		}
		if len(dated) == 0 {
			return
		}
		tests := onSteel(v, func(l *assess.Line) bool { return dated[l.Test.Location().Pos] })
		for _, of := range byDay(v, tests) {
			var labels []string
			for _, i := range of {
				if text := v.Lines[i].Test.Location().Text; !slices.Contains(labels, text) {
					labels = append(labels, text)
				}
			}
			few, more := upTo(mostShown, labels)
			report(v, assess.Finding{
				Tests: of, Places: places(v, of, func(t *record.Test) diag.Pos { return t.Location().Pos }),
				Args: map[string]any{"Labels": few, "More": more, "All": len(labels)},
			})
		}
	},
}
