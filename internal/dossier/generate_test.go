package dossier_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A log is a random job: the rows of its tables, those of a day apart.
type log struct {
	job, areas, documents []string
	days                  []logDay
}

type logDay struct{ readings, treatments, diary, signatures []string }

const (
	readingsHead   = "test,area,location,spot type,date,start,read,blank (µS/cm),extract (µS/cm),volume (ml),limit,recorded verdict,inspector,meter,kind,of test,treatment,remark"
	treatmentsHead = "treatment,of tests,what,date,started,ended"
	diaryHead      = "date,work done,report number,revision,what changed"
	signaturesHead = "document,revision,date,role,name,signed at"
	documentsHead  = "document,area or day,number,revision,issued on,data digest,what changed"
)

// Words of remarks by which remarked doubts a test, voids it, or doubts its
// whole area.
const doubted, leaked, uncontrolled, copied = "doubt", "leak", "control", "copied"

// remarked finds against tests what their remarks say, so that a log and its
// parts are found the same against.
var remarked = []*assess.Check{
	{Name: "doubted", Severity: assess.UnprovenPass, Run: func(v *assess.Review) { find(v, doubted, false) }},
	{Name: "leaked", Severity: assess.VoidsTest, Run: func(v *assess.Review) { find(v, leaked, false) }},
	{Name: "uncontrolled", Severity: assess.UnprovenPass, Run: func(v *assess.Review) { find(v, uncontrolled, true) }},
	{Name: "copied", Group: assess.Integrity, Severity: assess.UnprovenPass, Run: func(v *assess.Review) { find(v, copied, false) }},
}

func find(v *assess.Review, word string, area bool) {
	for i := range v.Lines {
		t := v.Lines[i].Test
		if !strings.Contains(t.Remark().Val, word) {
			continue
		}
		f := assess.Finding{Date: t.Date().Val, Tests: []int{i}}
		if area {
			f.Tests, f.Areas = nil, []string{t.Area().Val}
		}
		v.Report(f)
	}
}

// generate makes a job of one to four days and one to three areas. Most of what
// it holds is in order, so that some of its areas have a certificate.
func generate(rnd *rand.Rand) *log {
	l := &log{}
	seldom := func(n int) bool { return rnd.IntN(n) == 0 }
	one := func(of ...string) string { return of[rnd.IntN(len(of))] }
	for _, row := range []string{"limit,50 mg/m2", "limit basis,total salts", fmt.Sprintf("sampling rule,%d", 1+rnd.IntN(4))} {
		if !seldom(25) {
			l.job = append(l.job, row)
		}
	}
	l.job = append(l.job, "limit comparison,at most", "patch area,1250 mm2", fmt.Sprintf(`retest rule,"beside the old footprint, %d adjacent"`, rnd.IntN(3)))
	if seldom(12) {
		l.job = append(l.job, "spot types required,weld")
	}
	areas := []string{"A", "B", "D"}[:1+rnd.IntN(3)]
	if seldom(8) {
		areas = []string{""}
	} else if !seldom(6) {
		for _, a := range areas {
			l.areas = append(l.areas, a+",60")
		}
	}
	number := 0
	for k := range 1 + rnd.IntN(4) {
		l.days = append(l.days, l.generateDay(rnd, areas, fmt.Sprintf("2026-03-%02d", 2+k), fmt.Sprintf("DR-%02d", 1+k), &number))
	}
	if seldom(8) {
		l.documents = append(l.documents, fmt.Sprintf("certificate,%s,C-1,0,2026-03-20,%s,", areas[0], one("", "rows 0123456789abcdef")))
		if seldom(2) {
			l.documents = append(l.documents, fmt.Sprintf("certificate,%s,C-1,1,,,%s", areas[0], one("", "size corrected")))
		}
	}
	return l
}

func (l *log) generateDay(rnd *rand.Rand, areas []string, date, report string, number *int) logDay {
	var d logDay
	seldom := func(n int) bool { return rnd.IntN(n) == 0 }
	one := func(of ...string) string { return of[rnd.IntN(len(of))] }
	clock := 7*60 + rnd.IntN(30)
	kept := !seldom(20) // a diary of the day
	at := func(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }
	add := func(area, location, extract, verdict, kind, of, treatment, remark string) int {
		*number++
		day, start, read, blank, volume, limit := date, at(clock), at(clock+11), fmt.Sprintf("1.%d", rnd.IntN(5)), "3.0", ""
		clock += 14 + rnd.IntN(9)
		switch rnd.IntN(120) {
		case 0:
			if kept || len(d.readings) > 0 { // else nothing would say when the day was
				day = "-" // an empty one may be filled down, as the table of a day alone is read
			}
		case 1:
			start, read = "", ""
		case 2:
			blank = one("", "-", "1..2")
		case 3:
			volume = ""
		case 4:
			limit = one("5 µg/cm2", "30 mg/m2", "50")
		case 5:
			remark += " " + one(doubted, leaked, uncontrolled, copied)
		case 6:
			verdict = one("fail", "void", "hmm")
		case 7:
			extract = one("", "??", "-", "<20", "<60", "0.4")
		}
		name := fmt.Sprint(*number)
		// The first of a day keeps its own: one number all down a sheet is not
		// read as the numbers of tests, and a day alone would read otherwise.
		if *number > 2 && len(d.readings) > 0 && seldom(150) {
			name = one("", "1", "2")
		}
		d.readings = append(d.readings, fmt.Sprintf("%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s", name, area, location,
			one("plate", "weld", ""), day, start, read, blank, extract, volume, limit, verdict, "Inga", "K-1", kind, of, treatment, strings.TrimSpace(remark)))
		return *number
	}
	low := func() string { return fmt.Sprintf("%d.%d", 8+rnd.IntN(25), rnd.IntN(10)) }
	high := func() string { return fmt.Sprintf("%d.%d", 48+rnd.IntN(40), rnd.IntN(10)) }
	for range 2 + rnd.IntN(7) {
		area := areas[rnd.IntN(len(areas))]
		spot := fmt.Sprintf("f%d", *number)
		switch rnd.IntN(12) {
		case 0: // a fail, and mostly all that it takes to clear it
			fail := add(area, spot, high(), "", "", "", "", "")
			if seldom(4) {
				break
			}
			wash := fmt.Sprintf("T%d", fail)
			d.treatments = append(d.treatments, fmt.Sprintf("%s,%d,wash,%s,%s,%s", wash, fail, date, at(clock), at(clock+20)))
			clock += 60
			if seldom(5) {
				add(area, spot+" left", high(), "", "retest", fmt.Sprint(fail), wash, "beside the first footprint")
			}
			add(area, spot+" right", low(), "", "retest", fmt.Sprint(fail), wash, "beside the first footprint")
			for range rnd.IntN(4) {
				add(area, fmt.Sprintf("%s + %d", spot, *number), low(), "", "adjacent", fmt.Sprint(fail), "", "")
			}
		case 1: // a void one, and mostly its repeat
			void := add(area, spot, low(), "void", "", "", "", "lifted")
			if !seldom(4) {
				add(area, spot+" beside", low(), "", "repeat", fmt.Sprint(void), "", "")
			}
		case 2:
			add(area, spot, low(), "", "witness", fmt.Sprint(*number), "", "")
		case 3:
			add(area, "glass plate", "1.9", "", "procedural blank", "", "", "")
		default:
			add(area, spot, low(), "", "", "", "", "")
		}
	}
	if kept {
		d.diary = append(d.diary, fmt.Sprintf("%s,tests,%s,0,", date, one(report, report, report, report, report, report, report, report, "", "DR-01")))
		if seldom(15) {
			d.diary = append(d.diary, fmt.Sprintf("%s,tests,%s,1,%s", date, report, one("", "a remark")))
		}
	}
	for _, role := range []string{"inspector", "QC manager", "owner's representative"} {
		if !seldom(40) {
			d.signatures = append(d.signatures, fmt.Sprintf("daily report,%s,%s,%s,%s,%s", one("0", "0", "0", "0", "0", ""), date, role, role[:2], date+one(" 23:50", " 23:55", " 23:58", "", " 23:59", " 23:52", " 23:53")))
		}
	}
	return d
}

// bind reads some days of the log as one record.
func (l *log) bind(t *testing.T, folder string, days ...logDay) *record.Job {
	t.Helper()
	var files []*table.File
	add := func(name, head string, rows []string) {
		if len(rows) == 0 {
			return
		}
		f, err := table.Read(folder+"/"+name+".csv", []byte(head+"\n"+strings.Join(rows, "\n")+"\n"), table.Options{Delimiter: ','})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	var all logDay
	for _, d := range days {
		all.readings, all.treatments = append(all.readings, d.readings...), append(all.treatments, d.treatments...)
		all.diary, all.signatures = append(all.diary, d.diary...), append(all.signatures, d.signatures...)
	}
	add("job", "key,value", l.job)
	add("areas", "area,size (m²)", l.areas)
	add("documents", documentsHead, l.documents)
	add("readings", readingsHead, all.readings)
	add("treatments", treatmentsHead, all.treatments)
	add("days", diaryHead, all.diary)
	add("signatures", signaturesHead, all.signatures)
	job, list := record.Bind(files, record.Options{})
	for _, d := range list.Sorted() {
		if d.Level > diag.Problem {
			t.Fatalf("%s\n%s", d, l)
		}
	}
	return job
}

// String is the log as its tables stand, for whoever looks for the cause.
func (l *log) String() string {
	parts := slices.Concat([]string{"job"}, l.job, []string{"areas"}, l.areas, []string{"documents"}, l.documents)
	for _, d := range l.days {
		parts = slices.Concat(parts, []string{"day"}, d.readings, d.treatments, d.diary, d.signatures)
	}
	return strings.Join(parts, "\n")
}

// judge is the whole log, judged by the remarks.
func (l *log) judge(t *testing.T) *assess.Result {
	return assess.Run(l.bind(t, "whole", l.days...), remarked)
}

func dayOf(text string) unit.Date {
	var d unit.Date
	fmt.Sscanf(text, "%d-%d-%d", &d.Year, &d.Month, &d.Day)
	return d
}
