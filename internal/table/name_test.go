package table

import (
	"slices"
	"strings"
	"testing"
)

func TestSheetRef(t *testing.T) {
	for _, c := range []struct {
		sheet    string
		row, col int
		want     string
	}{
		{"readings", 5, 6, "'readings'!$F$5"},
		{"Sheet name", 1, 1, "'Sheet name'!$A$1"},
		{"Bay's log", 12, 28, "'Bay''s log'!$AB$12"},
		{"Salzprüfung", 1048576, 16384, "'Salzprüfung'!$XFD$1048576"},
	} {
		if got := SheetRef(c.sheet, c.row, c.col); got != c.want {
			t.Errorf("%s, row %d, column %d: %s, want %s", c.sheet, c.row, c.col, got, c.want)
		}
	}
}

func TestFreeNames(t *testing.T) {
	original := written(t, Book{Pages: []Page{{Name: "Findings"}, {Name: "findings 2"}, {Name: strings.Repeat("x", 31)}}})
	wanted := []string{"recomputed", "findings", "findings", strings.Repeat("x", 31), strings.Repeat("ü", 40), "a/b", "", "'q'"}
	want := []string{"recomputed", "findings 3", "findings 4", strings.Repeat("x", 29) + " 2", strings.Repeat("ü", 31), "a_b", "sheet", "q"}
	got, err := FreeNames(original, wanted)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	alone, err := FreeNames(nil, []string{"findings", "Findings"})
	if err != nil || !slices.Equal(alone, []string{"findings", "Findings 2"}) {
		t.Errorf("without an original: %q, %v", alone, err)
	}
	if _, err := FreeNames([]byte("no workbook"), []string{"findings"}); err == nil {
		t.Error("names in what is no workbook")
	}
}

// A name counts in units of UTF-16, and no character is cut in two.
func TestLongNamesAreCutBetweenCharacters(t *testing.T) {
	if got := sheetName(strings.Repeat("x", 30) + "\U0001F600"); got != strings.Repeat("x", 30) {
		t.Errorf("%q", got)
	}
}
