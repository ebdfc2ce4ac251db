package slip

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// The table of the README stands between these two lines, and is that of
// tableSeed.
const (
	readme    = "../../README.md"
	tableHead = "<!-- go test ./internal/slip -update -->\n"
	tableEnd  = "<!-- end -->\n"
	tableSeed = 1
)

// TestTable holds the README's table of single explanations to what the
// sheets give. With -seed it prints the table of other sheets instead.
func TestTable(t *testing.T) {
	t.Parallel()
	if *seed != 0 {
		t.Logf("\n%s", table(plantAll(t, *seed), plantDigits(t, *seed)))
		return
	}
	want := table(plantAll(t, tableSeed), plantDigits(t, tableSeed))
	page, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(page), tableHead)
	got, after, ok2 := strings.Cut(rest, tableEnd)
	if !ok || !ok2 {
		t.Fatalf("%s has no lines %q and %q", readme, tableHead, tableEnd)
	}
	if *update {
		if err := os.WriteFile(readme, []byte(before+tableHead+want+tableEnd+after), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if got != want {
		t.Errorf("the table of %s is another one, write it with -update; it would be\n%s", readme, want)
	}
}

// plantDigits makes the slip of one digit, which is named only where no other
// change of a digit fits: that it is then named, TestOneDigit sees.
func plantDigits(t *testing.T, seed uint64) *[3]share {
	var shares [3]share
	for k, p := range oneDigitPlants {
		for digits := range 3 {
			for _, volume := range []string{"3", "10", "15"} {
				g := newGenerator(t, seed+uint64(k), digits, volume)
				for range sheetsEach {
					sheet, _, ok := plantOne(g, p)
					if !ok {
						t.Fatal("no digit can be changed")
					}
					found := explainSheet(t, sheet, volume)
					shares[digits].rows++
					if len(found) == 1 && p.is(found[0]) {
						shares[digits].single++
					}
				}
			}
		}
	}
	return &shares
}

// table spells the shares as rows of the README.
func table(shares map[string]*[3]share, oneDigit *[3]share) string {
	var b strings.Builder
	b.WriteString("| planted slip | 1 µS/cm | 0.1 µS/cm | 0.01 µS/cm |\n|---|---|---|---|\n")
	for _, s := range All() {
		of := shares[s.Name]
		if s.Name == "one-digit" {
			of = oneDigit
		}
		fmt.Fprintf(&b, "| `%s` |", s.Name)
		for _, x := range of {
			fmt.Fprintf(&b, " %.0f %% of %d |", 100*float64(x.single)/float64(x.rows), x.rows)
		}
		b.WriteString("\n")
	}
	return b.String()
}
