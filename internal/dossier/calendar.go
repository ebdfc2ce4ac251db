package dossier

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Day is a line of the calendar: a day, or several alike in a row.
type Day struct {
	From, Until unit.Date
	State       DayState
	Tests       int // made on it, on glass too
	Report      *papers.Report
	Diary       *record.Day
}

// Days is how many days the line stands for.
func (d *Day) Days() int { return d.Until.Since(d.From) + 1 }

// A DayState says what the record has of a day.
type DayState int

const (
	Tested    DayState = iota // tests were made
	NoTesting                 // the diary has the day, and no test was made
	Weekend                   // Saturday or Sunday, and nothing is recorded
	Silent                    // a working day of which nothing is recorded
	NotRead                   // its papers speak of tests, and none was read
)

// String is the state in lower-case words with hyphens, under which its words
// stand.
func (s DayState) String() string {
	return [...]string{"tested", "no-testing", "weekend", "silent", "not-read"}[s]
}

// longestStretch is how many days with nothing recorded are told apart into
// working days and weekends (house choice). Beyond it work stood still, or one
// date is in a wrong year: that is one line.
const longestStretch = 14

// calendar goes through all days from the first to the last of which the record
// speaks.
func (d *Dossier) calendar(r *assess.Result) {
	reports := map[unit.Date]*papers.Report{}
	diary := map[unit.Date][]*record.Day{}
	var days []unit.Date // those of which the record speaks
	for i := range d.Reports {
		if p := &d.Reports[i]; !p.Date.IsZero() {
			reports[p.Date] = p
			days = append(days, p.Date)
		}
	}
	for i := range r.Job.Days {
		if day := &r.Job.Days[i]; day.Date.Known() {
			diary[day.Date.Val] = append(diary[day.Date.Val], day)
			days = append(days, day.Date.Val)
		}
	}
	unread := map[unit.Date]bool{}
	for _, u := range papers.UnreadDays(r) {
		unread[u.Date] = true
		days = append(days, u.Date)
	}
	slices.SortFunc(days, unit.Date.Compare)
	for k, day := range slices.Compact(days) {
		if k > 0 {
			d.pass(d.Calendar[len(d.Calendar)-1].Until.Add(1), day)
		}
		line := Day{From: day, Until: day, State: NoTesting, Report: reports[day], Diary: papers.Latest(diary[day])}
		if line.Report != nil {
			line.State, line.Tests = Tested, len(line.Report.Tests)
		}
		if unread[day] {
			line.State = NotRead
		}
		d.Calendar = append(d.Calendar, line)
	}
}

// pass adds the days before another of which nothing is recorded.
func (d *Dossier) pass(from, before unit.Date) {
	if n := before.Since(from); n > longestStretch {
		d.Calendar = append(d.Calendar, Day{From: from, Until: before.Add(-1), State: Silent})
		return
	}
	for day := from; day.Compare(before) < 0; day = day.Add(1) {
		state := Silent
		if day.Weekday() == 0 || day.Weekday() == 6 {
			state = Weekend
		}
		if last := &d.Calendar[len(d.Calendar)-1]; last.State == state {
			last.Until = day
			continue
		}
		d.Calendar = append(d.Calendar, Day{From: day, Until: day, State: state})
	}
}
