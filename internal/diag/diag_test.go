package diag

import (
	"math"
	"slices"
	"testing"
)

// The names are those that a spreadsheet program shows: its last column is XFD,
// its last row 1 048 576.
func TestPosIsNamedAsTheReadersProgramDoes(t *testing.T) {
	for _, c := range []struct {
		pos        Pos
		want, cell string
	}{
		{Pos{}, "", ""},
		{In("log.xlsx", "Bay 7"), "log.xlsx:Bay 7", ""},
		{In("log.xlsx", "Bay 7").At(14, 3), "log.xlsx:Bay 7!C14", "C14"},
		{In("log.xlsx", "Bay 7").At(1048576, 16384), "log.xlsx:Bay 7!XFD1048576", "XFD1048576"},
		{In("log.xlsx", "Bay 7").At(14, 0), "log.xlsx:Bay 7!row 14", "row 14"},
		{In("deck.csv", "").At(14, 3), "deck.csv:14:3", "14:3"},
		{In("deck.csv", "").At(14, 3).At(0, 0), "deck.csv", ""},
		{In("deck.csv", "").At(math.MaxInt32, 1), "deck.csv:2147483647:1", "2147483647:1"},
	} {
		if got := c.pos.String(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
		if got := c.pos.Cell(); got != c.cell {
			t.Errorf("%s: got the cell %q, want %q", c.want, got, c.cell)
		}
		if c.pos.IsZero() != (c.want == "") {
			t.Errorf("%s: IsZero is %v", c.want, c.pos.IsZero())
		}
	}
}

func TestPlacesInOrder(t *testing.T) {
	sorted := []Pos{
		{}, In("a.csv", ""), In("a.csv", "").At(2, 0), In("a.csv", "").At(2, 9), In("a.csv", "").At(10, 1),
		In("b.xlsx", "Bay 10").At(1, 1), In("b.xlsx", "Bay 9"),
	}
	shuffled := slices.Clone(sorted)
	slices.Reverse(shuffled)
	slices.SortFunc(shuffled, Pos.Compare)
	if !slices.Equal(shuffled, sorted) {
		t.Errorf("got %v, want %v", shuffled, sorted)
	}
}
