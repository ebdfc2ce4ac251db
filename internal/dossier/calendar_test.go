package dossier_test

import (
	"fmt"
	"strings"
	"testing"

	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/dossier"
)

// calendar spells a calendar: T3 is a day with three tests, N one without, W and
// S are weekends and silent days.
func calendar(d *dossier.Dossier) string {
	var all []string
	for i := range d.Calendar {
		day := &d.Calendar[i]
		s := strings.TrimPrefix(day.From.ISO(), "2026-") + " " + map[dossier.DayState]string{
			dossier.Tested: fmt.Sprint("T", day.Tests), dossier.NoTesting: "N", dossier.Weekend: "W", dossier.Silent: "S"}[day.State]
		if n := day.Days(); n > 1 {
			s += fmt.Sprint("×", n)
		}
		if day.State == dossier.Tested && day.Report == nil || day.State == dossier.NoTesting && day.Diary == nil {
			s += "?"
		}
		all = append(all, s)
	}
	return strings.Join(all, "; ")
}

// Weekdays by any calendar: 3 March 2026 is a Tuesday.
func TestCalendar(t *testing.T) {
	for _, c := range []struct{ name, changes, want, open string }{
		{"two days", "", "03-03 T6; 03-04 T4", ""},
		{"over a weekend", "days: +2026-03-09,,,,no testing,DR-03,0,", "03-03 T6; 03-04 T4; 03-05 S×2; 03-07 W×2; 03-09 N", "03-05/03-06"},
		{"the diary says of the Saturday", "days: +2026-03-07,,,,no testing,,,", "03-03 T6; 03-04 T4; 03-05 S×2; 03-07 N", "03-05/03-06"},
		{"a weekend alone", "days: +2026-03-05,,,,rain,,,\ndays: +2026-03-06,,,,rain,,,\ndays: +2026-03-09,,,,rain,,,", "03-03 T6; 03-04 T4; 03-05 N; 03-06 N; 03-07 W×2; 03-09 N", ""},
		{"fourteen days of nothing", "days: +2026-03-19,,,,no testing,,,", "03-03 T6; 03-04 T4; 03-05 S×2; 03-07 W×2; 03-09 S×5; 03-14 W×2; 03-16 S×3; 03-19 N", "03-05/03-06; 03-09/03-13; 03-16/03-18"},
		{"fifteen are one line", "days: +2026-03-20,,,,no testing,,,", "03-03 T6; 03-04 T4; 03-05 S×15; 03-20 N", "03-05/03-19"},
		{"tests before the diary begins", "days: -2026-03-03", "03-03 T6; 03-04 T4", ""},
		{"a diary of two revisions", "days: +2026-03-04,,,,,DR-02,1,remarks", "03-03 T6; 03-04 T4", ""},
		{"a year that was mistyped", "days: +1926-03-02,,,,no testing,DR-00,0,", "1926-03-02 N; 1926-03-03 S×36525; 03-03 T6; 03-04 T4", "03-03/03-02"},
		{"a test without a date", "readings: 7 | date=", "03-03 T6; 03-04 T3", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := dossier.Of(complete.New(t, c.changes).Judge(t), digest)
			if got := calendar(d); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
			if got := open(d); got != c.open {
				t.Errorf("open %s, want %s", got, c.open)
			}
		})
	}
	if d := dossier.Of(complete.New(t, "days: +2026-03-04,,,,,DR-02,1,remarks").Judge(t), digest); d.Calendar[1].Diary.Revision.Val != "1" {
		t.Errorf("the calendar holds revision %q of the day", d.Calendar[1].Diary.Revision.Val)
	}
}

// Numbers of reports between which one is missing, by the diary of ten days from
// Tuesday 3 March on.
func TestReportNumbers(t *testing.T) {
	for _, c := range []struct{ numbers, missing string }{
		{"DR-01 DR-02", ""},
		{"DR-01 DR-03", "DR-02"},
		{"DR-3 DR-1", "DR-2"},
		{"DR-9 DR-11", "DR-10"},
		{"DR-09 DR-11", "DR-10"},
		{"DR-008 DR-011", "DR-009 DR-010"},
		{"7 9", "8"},
		{"A B", ""},
		{"DR-A DR-C", ""},
		{"DR-01 DR-02A DR-02B DR-03", ""},
		{"DR-01A DR-03A", "DR-02"},
		{"DR-01 rev. 0 DR-03", "DR-02"},
		{"2026-03-03 2026-03-04 2026-03-05 2026-03-06 2026-03-09", ""},
		{"SK-0303 SK-0304 SK-0305 SK-0306 SK-0309", ""},
		{"030326 040326 050326 060326 090326", ""},
		{"03.03.2026 04.03.2026 05.03.2026 06.03.2026 09.03.2026", ""},
		{"2026-117 2026-118 2026-120", "2026-119"},
		{"25-118 25-119 26-001 26-002 26-004", "26-003"},
		{"25118 25119 25121 26001 26002", "25120"},
		{"DR-1 DR-14", ""},
		{"DR-1 DR-13", "DR-2 DR-3 DR-4 DR-5 DR-6 DR-7 DR-8 DR-9 DR-10 DR-11 DR-12"},
		{"UG-01 LG-01 UG-03 LG-02", "UG-02"},
	} {
		changes := "days: 2026-03-03 | report number=\ndays: 2026-03-04 | report number="
		dates := []string{"2026-03-03", "2026-03-04", "2026-03-05", "2026-03-06", "2026-03-09"}
		fields := strings.Fields(strings.ReplaceAll(c.numbers, " rev. ", "_rev._"))
		for i, number := range fields {
			number = strings.ReplaceAll(number, "_", " ")
			if i < 2 {
				changes += "\ndays: " + dates[i] + " | report number=" + number
			} else {
				changes += "\ndays: +" + dates[i] + ",,,,,\"" + number + "\",0,"
			}
		}
		var got []string
		for _, m := range dossier.Of(complete.New(t, changes).Judge(t), digest).Missing {
			if m.Kind == dossier.ReportMissing {
				got = append(got, m.Name)
			}
		}
		if strings.Join(got, " ") != c.missing {
			t.Errorf("%s: missing %q, want %q", c.numbers, got, c.missing)
		}
	}
}

// A number that the documents list, or a remark of the diary speaks of, is not
// missing.
func TestReportNumbersAccountedFor(t *testing.T) {
	for _, change := range []string{
		"documents: document,area or day,number,revision,issued on,data digest,what changed\ndocuments: +daily report,2026-02-27,DR-02,0,2026-02-27,,",
		"days: add remarks\ndays: 2026-03-03 | remarks=The sheet DR-02 was spoilt.",
	} {
		d := dossier.Of(complete.New(t, "days: 2026-03-04 | report number=DR-03\n"+change).Judge(t), digest)
		if !d.Issuable() {
			t.Errorf("%s: %s", change, missing(d))
		}
	}
}
