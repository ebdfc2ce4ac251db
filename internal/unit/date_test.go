package unit

import (
	"slices"
	"testing"
)

func TestParseDate(t *testing.T) {
	day := Date{2025, 3, 11}
	for text, want := range map[string][]DateReading{
		"2025-03-11":          {{day, OrderNotStated}},
		"2025/3/11":           {{day, OrderNotStated}},
		"20250311":            {{day, OrderNotStated}},
		"45 727":              {{day, OrderNotStated}},
		"45727":               {{day, OrderNotStated}}, // as a spreadsheet counts, 1 = 1900-01-01
		"11 Mar 2025":         {{day, OrderNotStated}},
		"Mar 11, 2025":        {{day, OrderNotStated}},
		"March 11th 2025":     {{day, OrderNotStated}},
		"11. März 2025":       {{day, OrderNotStated}},
		"11. Mrz 25":          {{day, OrderNotStated}},
		"11 de marzo de 2025": {{day, OrderNotStated}},
		"11 mars 2025":        {{day, OrderNotStated}}, // French, Norwegian
		"1er août 2025":       {{Date{2025, 8, 1}, OrderNotStated}},
		"17. mai 2025":        {{Date{2025, 5, 17}, OrderNotStated}},
		"3. des. 2025":        {{Date{2025, 12, 3}, OrderNotStated}},
		"5 ene 2025":          {{Date{2025, 1, 5}, OrderNotStated}},
		"11Mar2025":           {{day, OrderNotStated}},
		"11-MAR-25":           {{day, OrderNotStated}},
		"2025 Mar 11":         {{day, OrderNotStated}},
		"Tue 11 Mar 2025":     {{day, OrderNotStated}},
		"Di. 11.03.2025":      {{day, DMY}, {Date{2025, 11, 3}, MDY}},
		"11/03/2025":          {{day, DMY}, {Date{2025, 11, 3}, MDY}},
		"11.3.25":             {{day, DMY}, {Date{2025, 11, 3}, MDY}},
		"11-03-25":            {{day, DMY}, {Date{2025, 11, 3}, MDY}, {Date{2011, 3, 25}, YMD}},
		"25/3/25":             {{Date{2025, 3, 25}, DMY}},
		"31/03/2025":          {{Date{2025, 3, 31}, DMY}},
		"03/31/2025":          {{Date{2025, 3, 31}, MDY}},
		"03/03/2025":          {{Date{2025, 3, 3}, OrderNotStated}},
		"03.03.03":            {{Date{2003, 3, 3}, OrderNotStated}},
		"11.11.25":            {{Date{2025, 11, 11}, OrderNotStated}},
		"11-11-25":            {{Date{2025, 11, 11}, OrderNotStated}, {Date{2011, 11, 25}, YMD}},
		"31.12.99":            {{Date{1999, 12, 31}, DMY}},
		"4-Mar":               {{Date{0, 3, 4}, OrderNotStated}},
		"04. Mrz":             {{Date{0, 3, 4}, OrderNotStated}},
		"4/3":                 {{Date{0, 3, 4}, DMY}, {Date{0, 4, 3}, MDY}},
		"29.02.2024":          {{Date{2024, 2, 29}, DMY}},
		"29 Feb":              {{Date{0, 2, 29}, OrderNotStated}},
	} {
		got, err := ParseDate(text)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("ParseDate(%q) = %v %v, want %v", text, got, err, want)
		}
	}
}

func TestParseDateRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "today", "29.02.2025", "29 Feb 2025", "2025-02-29", "32/01/2025", "00/01/2025", "13/13/2025", "11 Ma 2025", "11 Foo 2025", "Mar 2025",
		"2025", "1.5.2.3", "-4", "08:05", "2025-13-01", "11/03/202", "0000-01-01", "T4", "99999", "1 Jux 2025", "11 mar mar 2025", "999999999",
	} {
		if got, err := ParseDate(text); err == nil {
			t.Errorf("ParseDate(%q) = %v, want an error", text, got)
		}
	}
}

func TestParseDateTime(t *testing.T) {
	for text, want := range map[string]Clock{
		"2025-03-11T08:05:30": ClockAt(8, 5) + 30, "2025-03-11 08:05": ClockAt(8, 5), "11 Mar 2025, 8.05": ClockAt(8, 5), "2025-03-11 kl. 8.05": ClockAt(8, 5), "11 Mar 2025 8:05 PM": ClockAt(20, 5),
	} {
		dates, clock, has, err := ParseDateTime(text)
		if err != nil || !has || clock != want || len(dates) != 1 || dates[0].Date != (Date{2025, 3, 11}) {
			t.Errorf("ParseDateTime(%q) = %v %v %v %v", text, dates, clock, has, err)
		}
	}
	if _, _, has, err := ParseDateTime("11 Mar 2025"); has || err != nil {
		t.Errorf("a date alone: clock %v, %v", has, err)
	}
	if _, _, _, err := ParseDateTime("11 Mar 2025 noonish"); err == nil {
		t.Error("noonish is taken as a time")
	}
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]Clock{
		"8:05": ClockAt(8, 5), "08:05": ClockAt(8, 5), "0805": ClockAt(8, 5), "805": ClockAt(8, 5), "8.05": ClockAt(8, 5), "8h05": ClockAt(8, 5), "8 h 05": ClockAt(8, 5), "8h": ClockAt(8, 0),
		"8:05 AM": ClockAt(8, 5), "8:05 p.m.": ClockAt(20, 5), "12:05 am": ClockAt(0, 5), "12:05PM": ClockAt(12, 5), "8 am": ClockAt(8, 0),
		"kl. 8.05": ClockAt(8, 5), "kl 08:05": ClockAt(8, 5), "8:05 Uhr": ClockAt(8, 5), "0805 hrs": ClockAt(8, 5),
		"08:05:30": ClockAt(8, 5) + 30, "23:59:59": 86399, "00:00": 0, "24:00": 86400, "0.336806": ClockAt(8, 5), "0,5000": ClockAt(12, 0),
	} {
		if got, err := ParseClock(text); err != nil || got != want {
			t.Errorf("ParseClock(%q) = %v %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "8", "8.5", "8:5", "24:01", "25:00", "8:60", "8:05:60", "13:05 pm", "0:05 am", "8:05x", "8::05", "12345", "1.5", "0.5", "-8:05", "8-05", "8:", "8.", "h05", ":05", "8h5h"} {
		if got, err := ParseClock(text); err == nil {
			t.Errorf("ParseClock(%q) = %v, want an error", text, got)
		}
	}
}

func TestCalendar(t *testing.T) {
	d := Date{2024, 2, 28}
	if got := d.Add(2); got != (Date{2024, 3, 1}) {
		t.Errorf("two days after %s is %s", d.ISO(), got.ISO())
	}
	if got := (Date{2025, 3, 1}).Since(Date{2025, 2, 28}); got != 1 {
		t.Errorf("from 28 February to 1 March 2025: %d days", got)
	}
	if got := (Date{2025, 3, 30}).Since(Date{2025, 4, 1}); got != -2 {
		t.Errorf("back from 1 April to 30 March: %d days", got)
	}
	if got := ClockAt(9, 30).Since(ClockAt(8, 0)); got != 90 {
		t.Errorf("8:00 to 9:30 is %v min", got)
	}
	for d, want := range map[Date]bool{{2024, 2, 29}: true, {2025, 2, 29}: false, {1900, 2, 29}: false, {2000, 2, 29}: true, {0, 2, 29}: true, {0, 2, 30}: false, {2025, 0, 1}: false, {-1, 1, 1}: false} {
		if d.Valid() != want {
			t.Errorf("%v valid: %v, want %v", d, !want, want)
		}
	}
}

func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2025-03-11", "11.3.25", "4-Mar", "11. März 2025", "45727", "11Mar2025", "1er août 2025", "Di. 11.03.2025", "2025-03-11T08:05"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		readings, err := ParseDate(s)
		if (err == nil) != (len(readings) > 0) {
			t.Errorf("%q: %v with %v", s, readings, err)
		}
		for _, r := range readings {
			if !r.Date.Valid() {
				t.Errorf("%q reads as %v, which no calendar has", s, r.Date)
			}
		}
		if c, err := ParseClock(s); err == nil && (c < 0 || c > 86400) {
			t.Errorf("%q reads as %d s", s, c)
		}
		ParseDateTime(s)
	})
}
