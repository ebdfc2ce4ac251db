package check_test

import (
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		numbers string // of the tests of the log; "-" for one without
		tests   []int
		want    string
	}{
		{"1 2 3 4 5 6", nil, ""},
		{"1 2 3 4 5 6", []int{2}, "3"},
		{"1 2 3 4 5 6", []int{2, 3}, "3, 4"},
		{"1 2 3 4 5 6", []int{2, 3, 4}, "3–5"},
		{"1 2 3 4 5 6", []int{0, 2, 3, 4}, "1, 3–5"},
		{"1 2 4 5 6 7", []int{0, 1, 2, 3}, "1, 2, 4, 5"},                     // 3 is not in the log
		{"8 9 10 11", []int{0, 1, 2, 3}, "8–11"},                             // digits carry
		{"1 3 2 4", []int{0, 1, 2, 3}, "1, 3, 2, 4"},                         // not in order
		{"UG-07 UG-08 UG-09", []int{0, 1, 2}, "UG-07–UG-09"},                 //
		{"A1 B2 C3", []int{0, 1, 2}, "A1, B2, C3"},                           //
		{"1 - 2 3", []int{0, 1, 2, 3}, "1, row 3, 2, 3"},                     //
		{"1 1a 2", []int{0, 1, 2}, "1, 1a, 2"},                               //
		{"1 2 3 4 5 6", []int{0, 1, 2, 4, 5}, "1–3, 5, 6"},                   // two are not a span
		{"1 2 3 4 5 6 7", []int{0, 1, 2, 4, 5, 6}, "1–3, 5–7"},               //
		{"99999999999999999999 2 3", []int{0, 1}, "99999999999999999999, 2"}, // no counting number
	} {
		var lines []assess.Line
		for i, n := range strings.Fields(c.numbers) {
			test := record.NewTest()
			test.Own().Row = diag.In("readings.csv", "").At(i+2, 0)
			if n != "-" {
				test.Own().Number = record.Words{Val: n, Text: n, State: record.Known}
			}
			lines = append(lines, assess.Line{Test: &test, Index: i})
		}
		if got := strings.Join(check.Numbers(lines, c.tests), ", "); got != c.want {
			t.Errorf("Numbers of %s at %v: got %s, want %s", c.numbers, c.tests, got, c.want)
		}
	}
}
