package slip

import (
	"slices"
	"testing"
)

func TestSystematic(t *testing.T) {
	const (
		right  = "1.8 4.9 15 18.6"
		slip   = "1.8 4.9 15 29.4" // the blank not subtracted
		other  = "1.8 14.9 15 33.3"
		blind  = "0.0 4.9 15 29.4" // agrees, and would with that slip too
		absent = "1.8 4.9 15 -"
	)
	times := func(text string, n int) []string { return slices.Repeat([]string{text}, n) }
	tests := []struct {
		what string
		rows [][]string
		want []Pattern
	}{
		{"four of four", [][]string{times(slip, 4)}, []Pattern{{blankNotSubtracted, "", 4, 4}}},
		{"three of three are too few", [][]string{times(slip, 3)}, nil},
		{"four of five", [][]string{times(slip, 4), {right}}, []Pattern{{blankNotSubtracted, "", 4, 5}}},
		{"seven of nine", [][]string{times(slip, 7), {right, other}}, nil},
		{"eight of ten", [][]string{times(slip, 8), {right, other}}, []Pattern{{blankNotSubtracted, "", 8, 10}}},
		{"rows where it would not show", [][]string{times(slip, 4), times(blind, 20)}, []Pattern{{blankNotSubtracted, "", 4, 4}}},
		{"rows without a value", [][]string{times(slip, 4), times(absent, 20)}, []Pattern{{blankNotSubtracted, "", 4, 4}}},
		{"one locked blank", [][]string{times(right, 6), times("2.4 20.1 15 109.8", 4)}, []Pattern{{"first-blank-for-all", "", 4, 4}}},
		{"two factors are no pattern", [][]string{times("1.0 11.0 15 12.0", 4), times("1.0 11.0 15 40.0", 4)}, nil},
		{"a key slips in one row only", [][]string{times("1.0 11.2 15 16.2", 6)}, nil},
	}
	for _, test := range tests {
		var rows []Row
		for _, text := range slices.Concat(test.rows...) {
			rows = append(rows, row(t, text))
		}
		_, got := Sheet(List(rows))
		if !slices.Equal(got, test.want) {
			t.Errorf("%s: got %v, want %v", test.what, got, test.want)
		}
	}
}

// A value that two slips explain is put down to the one that the sheet
// shares: 9.7 is the extract and the factor for 3 ml, and the other rows
// repeat their extracts.
func TestSheetRanksPatternFirst(t *testing.T) {
	rows := []Row{row(t, "1.6 9.7 15 9.7")}
	for _, text := range []string{"1.6 12.5 15 12.5", "1.2 14.0 15 14.0", "1.4 15.1 15 15.1"} {
		rows = append(rows, row(t, text))
	}
	found, _ := Sheet(List(rows))
	first := found[0].By
	if len(first) != 2 || first[0].Name != "copied-conductivity" || first[1].Name != "other-volume" {
		t.Errorf("got %v", says(first))
	}
}
