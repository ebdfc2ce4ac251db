package dossier

import (
	"slices"
	"strconv"
	"strings"

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
)

// String is the state in lower-case words with hyphens, under which its words
// stand.
func (s DayState) String() string {
	return [...]string{"tested", "no-testing", "weekend", "silent"}[s]
}

// longestCalendar bounds the days that are listed, so that one date in a wrong
// century does not print a thousand years.
const longestCalendar = 20 * 366

// calendar goes through all days from the first to the last of which the record
// speaks.
func (d *Dossier) calendar(r *assess.Result) {
	reports := map[unit.Date]*papers.Report{}
	diary := map[unit.Date]*record.Day{}
	var first, last unit.Date
	take := func(day unit.Date) {
		if first.IsZero() || day.Compare(first) < 0 {
			first = day
		}
		if day.Compare(last) > 0 {
			last = day
		}
	}
	for i := range d.Reports {
		if p := &d.Reports[i]; !p.Date.IsZero() {
			reports[p.Date] = p
			take(p.Date)
		}
	}
	for i := range r.Job.Days {
		if day := &r.Job.Days[i]; day.Date.Known() {
			diary[day.Date.Val] = day
			take(day.Date.Val)
		}
	}
	if first.IsZero() || last.Since(first) > longestCalendar {
		return
	}
	for day := first; day.Compare(last) <= 0; day = day.Add(1) {
		line := Day{From: day, Until: day, Report: reports[day], Diary: diary[day], State: Silent}
		switch {
		case line.Report != nil:
			line.State, line.Tests = Tested, len(line.Report.Tests)
		case line.Diary != nil:
			line.State = NoTesting
		case day.Weekday() == 0 || day.Weekday() == 6:
			line.State = Weekend
		}
		if n := len(d.Calendar); n > 0 && line.State >= Weekend && d.Calendar[n-1].State == line.State {
			d.Calendar[n-1].Until = day
			continue
		}
		d.Calendar = append(d.Calendar, line)
	}
}

// missingNumbers are the numbers between those of the reports of which there is
// no report: "DR-02" between DR-01 and DR-03.
func missingNumbers(r *assess.Result, reports []papers.Report) []string {
	byPrefix := map[string]map[int]bool{}
	width := map[string]int{}
	var prefixes []string
	take := func(number string) {
		number = strings.TrimSpace(number)
		prefix := strings.TrimRight(number, "0123456789")
		n, err := strconv.Atoi(number[len(prefix):])
		if err != nil {
			return
		}
		if byPrefix[prefix] == nil {
			byPrefix[prefix] = map[int]bool{}
			prefixes = append(prefixes, prefix)
		}
		byPrefix[prefix][n] = true
		width[prefix] = max(width[prefix], len(number)-len(prefix))
	}
	for i := range reports {
		take(reports[i].Number)
	}
	for i := range r.Job.Days { // a day without tests has a report of its own
		take(known(r.Job.Days[i].ReportNumber))
	}
	var missing []string
	for _, prefix := range prefixes {
		have := byPrefix[prefix]
		low, high := 0, 0
		for n := range have {
			if low == 0 || n < low {
				low = n
			}
			high = max(high, n)
		}
		if high-low >= 2*len(have)+10 { // no series: dates, or numbers of many jobs
			continue
		}
		for n := low; n <= high; n++ {
			if !have[n] {
				digits := strconv.Itoa(n)
				missing = append(missing, prefix+strings.Repeat("0", max(0, width[prefix]-len(digits)))+digits)
			}
		}
	}
	slices.Sort(missing)
	return missing
}
