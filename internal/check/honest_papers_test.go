package check_test

import (
	"fmt"
	"math/rand/v2"
	"time"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// papers is a job as a careful office keeps it, whatever was read: who tested
// when and where, with which photos, and who signed.
type papers struct {
	*rand.Rand
	job    *record.Job
	number int
	photo  int
	photos int // how they are named
	diary  bool
	night  bool
}

func (p *papers) upTo(low, high int) int { return low + p.IntN(high-low+1) }
func (p *papers) oneIn(n int) bool       { return p.IntN(n) == 0 }

func givenOf[Q any](q Q, text string) record.Given[Q] {
	return record.Given[Q]{Val: q, Text: text, State: record.Known}
}

func wordsOf(s string) record.Words {
	if s == "" {
		return record.Words{}
	}
	return givenOf(s, s)
}

// honestPapers makes the job of a seed: one stretch of days, several with
// breaks between them, or single visits.
func honestPapers(seed, k uint64) *record.Job {
	p := &papers{Rand: rand.New(rand.NewPCG(seed, k)), job: &record.Job{}}
	p.diary, p.night, p.photos = !p.oneIn(4), p.oneIn(8), p.IntN(5)
	day := unit.Date{Year: 2025, Month: 1, Day: 1}.Add(p.IntN(730))
	stretches, longest, longestBreak := 1, 40, 0
	switch p.IntN(4) {
	case 0:
		stretches, longest, longestBreak = p.upTo(2, 5), 15, 60
	case 1:
		stretches, longest, longestBreak = p.upTo(2, 12), 1, 40
	case 2:
		longest = 3
	}
	for range stretches {
		for range p.upTo(1, longest) {
			p.day(day)
			day = day.Add(1)
		}
		day = day.Add(p.upTo(0, longestBreak))
	}
	if len(p.job.Tests) == 0 { // only Sundays and holidays
		return honestPapers(seed, k+1_000_000)
	}
	return p.job
}

// day adds what a day leaves in the record. Sundays are off as a rule, and
// worked on with a row in the diary; now and then a day is a holiday or is
// blasted on alone.
func (p *papers) day(day unit.Date) {
	row := record.Day{Row: p.row("days", len(p.job.Days)), Date: givenOf(day, day.ISO()), ReportNumber: wordsOf("DR-" + day.ISO()), Revision: wordsOf("0")}
	switch {
	case day.Weekday() == time.Sunday && !p.oneIn(6):
		return
	case p.oneIn(12):
		row.WorkDone = wordsOf([]string{"public holiday", "blasting; no testing", "no work, gale"}[p.IntN(3)])
		row.ReportNumber = record.Words{}
	default:
		row.WorkDone = wordsOf([]string{"salt tests", "salt tests on T2, no testing after 14:00", "", "closed valves of T1, then tests"}[p.IntN(4)])
		if p.night {
			row.ShiftStarted, row.ShiftEnded = givenOf(unit.ClockAt(19, 0), "19:00"), givenOf(unit.ClockAt(5, 0), "05:00")
		}
		p.sign(day, p.tests(day))
	}
	if p.diary {
		p.job.Days = append(p.job.Days, row)
	}
}

func (p *papers) row(sheet string, n int) diag.Pos {
	return diag.In("job.xlsx", sheet).At(n+2, 0)
}

// tests adds the tests of a day and returns when the last one was read, in
// minutes after the midnight that begins it. Two inspectors have areas of
// their own; one with several sets goes from area to area.
func (p *papers) tests(day unit.Date) (last int) {
	if p.photos == 2 {
		p.photo = 0 // the camera begins anew
	}
	inspectors := p.upTo(1, 2)
	for who := range inspectors {
		at, read := 7*60+p.upTo(0, 20), 0
		if p.night {
			at += 12 * 60
		}
		sets, first := p.upTo(1, 3), len(p.job.Tests)
		free := make([]int, sets)
		for n := range p.upTo(3, 12) {
			set := n % sets
			at = max(at+p.upTo(2, 5), free[set])
			read = max(at+p.upTo(10, 13), read+p.upTo(2, 3))
			free[set] = read + p.upTo(2, 4)
			p.test(day, who, fmt.Sprintf("T%d", 1+who*2+p.IntN(2)), at, read)
		}
		last = max(last, read)
		if p.oneIn(3) { // one of them is repeated
			i := p.upTo(first, len(p.job.Tests)-1)
			of := p.job.Tests[i]
			at = max(at+p.upTo(2, 5), read+3)
			read = at + p.upTo(10, 13)
			p.test(day, who, of.Area().Val, at, read)
			t := &p.job.Tests[len(p.job.Tests)-1]
			f := t.Own()
			f.Kind, f.OfTest = givenOf(record.Repeat, "repeat"), wordsOf([]string{"%s", "no. %s", "%s (seam)"}[p.IntN(3)])
			f.OfTest.Val = fmt.Sprintf(t.OfTest().Val, of.Number().Val)
			last = max(last, read)
		}
	}
	return last
}

func (p *papers) test(day unit.Date, who int, area string, at, read int) {
	p.number++
	n := len(p.job.Tests)
	clock := func(minutes, col int) record.Given[unit.Clock] {
		g := givenOf(unit.ClockAt(0, minutes%(24*60)), "")
		row := p.row("readings", n)
		g.Pos = row.At(row.Row(), col)
		return g
	}
	if at >= 24*60 && p.night { // its own date, since the water went in after midnight
		day, at, read = day.Add(1), at-24*60, read-24*60
	}
	t := record.NewTest()
	f := t.Own()
	f.Row, f.Number, f.Area, f.Location = p.row("readings", n), wordsOf(fmt.Sprint(p.number)), wordsOf(area), wordsOf(fmt.Sprintf("panel %d", p.number))
	f.Date, f.Start, f.Read = givenOf(day, day.ISO()), clock(at, 6), clock(read, 7)
	f.Inspector, f.Meter = wordsOf([]string{"Ilse Korvan", "Tomas Rell"}[who]), wordsOf([]string{"K-0417", "K-0418"}[who])
	p.photo++
	switch p.photos {
	case 1, 2:
		f := t.Own()
		f.Photo = wordsOf(fmt.Sprintf("IMG_%04d.JPG", p.photo))
		if p.oneIn(4) {
			p.photo++
			f.Photo.Val += fmt.Sprintf("; IMG_%04d.JPG", p.photo)
		}
	case 3:
		t.Own().Photo = wordsOf("yes")
	case 4:
		t.Own().Photo = wordsOf(fmt.Sprint(p.upTo(1, 2)))
	}
	p.job.Tests = append(p.job.Tests, t)
}

// sign adds the signatures under the report of a day whose last test was read
// at a minute of it. Now and then a report is signed at noon for the part that
// is done, and again as its next revision.
func (p *papers) sign(day unit.Date, last int) {
	add := func(revision, role, name string, at int, clock bool) {
		when := record.Moment{Date: day.Add(at / (24 * 60)), HasClock: clock}
		if clock {
			when.Clock = unit.ClockAt(0, at%(24*60))
		}
		p.job.Signatures = append(p.job.Signatures, record.Signature{
			Row: p.row("signatures", len(p.job.Signatures)), Document: wordsOf("daily report"), Revision: wordsOf(revision), Date: givenOf(day, day.ISO()),
			Role: wordsOf(role), Name: wordsOf(name), SignedAt: givenOf(when, ""), Digest: wordsOf("d" + revision + day.ISO()),
		})
	}
	final := "0"
	if p.oneIn(10) {
		final = "1"
		add("0", "inspector", "Ilse Korvan", last-60, true)
	}
	clock := !p.oneIn(6)
	add(final, "inspector", "Ilse Korvan", last+p.upTo(0, 40), clock)
	if !p.oneIn(5) {
		add(final, "QC manager", "Maud Essery", last+p.upTo(45, 900), clock)
	}
	if p.oneIn(2) {
		add(final, "owner's representative", "Rowan Ansbrook", last+p.upTo(900, 4000), clock)
	}
}
