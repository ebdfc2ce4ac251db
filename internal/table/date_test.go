package table

import (
	"math"
	"strconv"
	"testing"
)

func TestDatePartsOf(t *testing.T) {
	const both = showsDate | showsTime
	for code, want := range map[string]dateParts{
		"yyyy-mm-dd":           showsDate,
		"dd/mm/yy":             showsDate,
		"mmm":                  showsDate,
		"d. mmmm yyyy":         showsDate,
		"[$-407]d. mmm. yy":    showsDate,
		"hh:mm":                showsTime,
		"h:mm:ss AM/PM":        showsTime,
		"mm:ss":                showsTime,
		"mm:ss.0":              showsTime,
		"[h]:mm":               showsTime | showsElapsed,
		"[mm]:ss":              showsTime | showsElapsed,
		"[m]":                  showsTime | showsElapsed,
		"dd.mm.yyyy hh:mm":     both,
		"m/d/yy h:mm":          both,
		"yyyy-mm-ddThh:mm":     both,
		"General":              0,
		"General d":            showsDate,
		"0.00":                 0,
		"#,##0":                0,
		`0.0" mm"`:             0,
		`0.0" µS/cm (std)"`:    0,
		`0\d`:                  0,
		`0_d`:                  0,
		"[Red]0.0":             0,
		"[<5]0.0;0":            0,
		"0;dd":                 0,
		`"open`:                0,
		"[open":                0,
		"":                     0,
		`yyyy"year"mm"month"`:  showsDate,
		"0.00E+00":             0,
		"[$-F800]dddd, mmmm d": showsDate,
	} {
		if got := datePartsOf(code); got != want {
			t.Errorf("%q: got %b, want %b", code, got, want)
		}
	}
}

// Serial numbers and their dates: 1, 59, 61, 45727 and 2958465 as any
// spreadsheet program shows them (common practice); ISO/IEC 29500-1 18.17.4.1
// defines both calendars.
func TestISOSerial(t *testing.T) {
	const both = showsDate | showsTime
	tests := []struct {
		v     float64
		shows dateParts
		d1904 bool
		want  string
	}{
		{0, showsDate, false, ""},
		{1, showsDate, false, "1900-01-01"},
		{59, showsDate, false, "1900-02-28"},
		{60, showsDate, false, ""},
		{61, showsDate, false, "1900-03-01"},
		{45727, showsDate, false, "2025-03-11"},
		{45727.9, showsDate, false, "2025-03-11"},
		{45727.5, both, false, "2025-03-11T12:00:00"},
		{45727.336805555555, both, false, "2025-03-11T08:05:00"},
		{45727.999999, both, false, "2025-03-12T00:00:00"}, // rounds to the second, and so into the next day
		{0.336805555555556, showsTime, false, "08:05:00"},
		{45727.336805555555, showsTime, false, "08:05:00"},
		{0.25, showsTime | showsElapsed, false, "06:00:00"},
		{1.25, showsTime | showsElapsed, false, ""},
		{0, showsTime, false, "00:00:00"},
		{0, showsDate, true, "1904-01-01"},
		{60, showsDate, true, "1904-03-01"},
		{44265, showsDate, true, "2025-03-11"},
		{2958465, showsDate, false, "9999-12-31"},
		{2958466, showsDate, false, ""},
		{2958465, showsDate, true, ""},
		{-1, showsDate, false, ""},
		{-0.5, showsTime, false, ""},
		{math.NaN(), showsDate, false, ""},
		{1e300, showsDate, false, ""},
	}
	for _, test := range tests {
		if got := isoSerial(test.v, test.shows, test.d1904); got != test.want {
			t.Errorf("%v as %b, 1904 %v: got %q, want %q", test.v, test.shows, test.d1904, got, test.want)
		}
	}
}

func TestISOText(t *testing.T) {
	for in, want := range map[string]string{
		"2025-03-11": "2025-03-11", "2025-03-11T08:05:00": "2025-03-11T08:05:00", "2025-03-11T08:05": "2025-03-11T08:05:00",
		"2025-03-11T08:05:00Z": "2025-03-11T08:05:00", "08:05:00": "08:05:00", "2025-02-30": "", "11.03.2025": "", "": "",
	} {
		if got := isoText(in); got != want {
			t.Errorf("%q: got %q, want %q", in, got, want)
		}
	}
}

// How a wide column shows numbers that have no format (common practice of
// spreadsheet programs; from memory).
func TestGeneral(t *testing.T) {
	tests := []struct {
		v    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {14, "14"}, {14.2, "14.2"}, {14.199999999999999, "14.2"}, {-3.5, "-3.5"},
		{0.1 + 0.2, "0.3"}, {1.0 / 3, "0.333333333"}, {100.0 / 3, "33.33333333"}, {1250, "1250"},
		{12345678901, "12345678901"}, {99999999999, "99999999999"}, {123456789012, "1.23457E+11"}, {1e11, "1E+11"},
		{0.0001, "0.0001"}, {0.00005, "0.00005"}, {0.0000123456789, "1.23457E-05"}, {1e-20, "1E-20"}, {-123456789012, "-1.23457E+11"},
	}
	for _, test := range tests {
		if got := general(test.v); got != test.want {
			t.Errorf("%v: got %q, want %q", test.v, got, test.want)
		}
	}
}

// Halves go away from zero on the screen, and so in Text, although 0.125 is
// exact in binary and a printing routine might round it to even.
func TestDisplayedHalves(t *testing.T) {
	tests := []struct {
		v            float64
		format, want string
	}{
		{16.5, "0", "17"}, {2.5, "0", "3"}, {0.125, "0.00", "0.13"}, {-2.5, "0", "-3"}, {12.25, "0.0", "12.3"}, {9.75, "0.0", "9.8"},
		{12.24, "0.0", "12.2"}, {1.005, "0.00", "1.01"}, {14, "0.0", "14.0"},
	}
	var line Line
	for _, test := range tests {
		line.Cells = append(line.Cells, Num(test.v, test.format))
	}
	s := read(t, "x.xlsx", write(t, Page{Name: "log", Lines: []Line{line}})).Sheets[0]
	for i, test := range tests {
		if got := s.Rows[0].Cell(i + 1).Text; got != test.want {
			t.Errorf("%v under %s: got %q, want %q", test.v, test.format, got, test.want)
		}
	}
}

// The same rule as in TestDisplayedHalves, with carries and signs.
func TestFixed(t *testing.T) {
	tests := []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 1, "0.0"}, {0.04, 1, "0.0"}, {0.05, 1, "0.1"}, {0.5, 0, "1"}, {0.49, 0, "0"}, {9.995, 2, "10.00"}, {99.95, 1, "100.0"},
		{-0.25, 1, "-0.3"}, {1250, 0, "1250"}, {0.003, 1, "0.0"}, {0.0004, 1, "0.0"}, {1e15, 1, "1000000000000000.0"}, {2.675, 2, "2.68"},
		{14.199999999999999, 1, "14.2"}, {123456.75, 1, "123456.8"},
	}
	for _, test := range tests {
		if got := fixed(test.v, test.decimals); got != test.want {
			t.Errorf("%v to %d: got %q, want %q", test.v, test.decimals, got, test.want)
		}
	}
}

func TestFixedDecimals(t *testing.T) {
	for code, want := range map[string]int{"0": 0, "0.0": 1, "0.000": 3, "": -1, "0.": -1, "0.0 ": -1, "#0": -1, "0.0#": -1, "00": -1, "0;0": -1} {
		got, ok := fixedDecimals(code)
		if ok != (want >= 0) || ok && got != want {
			t.Errorf("%q: got %d %v, want %d", code, got, ok, want)
		}
	}
}

// TestSpelledAsStored holds the spellings that need no arithmetic against it.
func TestSpelledAsStored(t *testing.T) {
	r := seeded(t)
	short, kept := 0, 0
	for range 200_000 {
		digits := make([]byte, 1+r.IntN(13))
		for i := range digits {
			digits[i] = byte('0' + r.IntN(10)*r.IntN(2))
		}
		raw := string(digits)
		if at := r.IntN(2 * len(raw)); at <= len(raw) {
			raw = raw[:at] + "." + raw[at:]
		}
		v, err := strconv.ParseFloat(raw, 64)
		if err != nil {
			continue
		}
		if isShort(raw) {
			short++
			if want := general(v); raw != want {
				t.Fatalf("%q is kept, but General shows %q", raw, want)
			}
		}
		if decimals, ok := decimalsOf(raw); ok {
			kept++
			if want := fixed(v, decimals); raw != want {
				t.Fatalf("%q is kept, but with %d decimals it is %q", raw, decimals, want)
			}
		}
	}
	if short < 10_000 || kept < 10_000 {
		t.Errorf("%d and %d were kept, want thousands", short, kept)
	}
}
