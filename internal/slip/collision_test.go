package slip

import (
	"slices"
	"strings"
	"testing"

	"saltline/internal/wording"
	"saltline/templates"
)

// The figures are worked by hand, with K = 1.2, 4 and 6 at 3, 10 and 15 ml.
func TestCollisions(t *testing.T) {
	tests := []struct {
		what string
		row  string
		want string // name and explanations of each collision
	}{
		{"1.2·8.1 = 9.72, and the extract", "1.6 9.7 15 9.7",
			"copy-or-factor: other-volume, copied-conductivity; volume-or-factor: other-volume"},
		{"54.0 as µg/cm², or its decimal sign", "1.0 10.0 15 5.4", "unit-or-decimal: other-unit, decimal-moved"},
		{"16.8 at 3 ml is 20.2", "1.2 18.0 15 20.2", "volume-or-factor: other-volume"},
		{"6·15.0 = 90.0, doubled or over 625 mm²", "1.0 16.0 15 180.0", "patch-or-solids: other-patch-area, salinity-factor"},
		{"the blank over 100 is the blank left out", "0.6 40.5 3 48.6", "blank-or-nothing: blank-not-subtracted"},
		{"24.0 and 42.0 are 18.0 apart: the blank may be 1.5", "4.5 8.5 15 42.0", "swap-or-reading: digits-swapped, one-digit"},
		{"as above, but the extract may be 15.5 as well", "8.5 12.5 15 42.0", "swap-or-reading: digits-swapped"},
		{"one explanation that stands for itself", "1.8 4.9 15 29.4", ""},
		{"a right value", "1.8 4.9 15 18.6", ""},
	}
	for _, test := range tests {
		found := Explain([]Row{row(t, test.row)}, 0)
		if got := spellCollisions(found); got != test.want {
			t.Errorf("%s (%s): of %v\n got %q\nwant %q", test.what, test.row, says(found), got, test.want)
		}
	}
}

// At 28 °C a correction by 2 % per kelvin divides by 1.06: 84.0 becomes 79.2,
// to the digit of 78.96, which is what the constant 4.7 gives.
func TestCollisionOfConstantAndTemperature(t *testing.T) {
	r := row(t, "1.0 15.0 15 79")
	r.Temperature = dec(t, "28")
	const want = "constant-or-temperature: sodium-chloride-constant, temperature-corrected-twice"
	if got := spellCollisions(Explain([]Row{r}, 0)); !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// The blank of the first row is that of the row above in row 2 of any sheet:
// 6·(11.5 − 1.8) is 58.2.
func TestCollisionOfFirstAndNeighbour(t *testing.T) {
	sheet := []Row{row(t, "1.8 14.9 15 78.6"), row(t, "1.2 11.5 15 58.2")}
	const want = "first-or-neighbour: first-blank-for-all, neighbouring-row"
	if got := spellCollisions(Explain(sheet, 1)); !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func spellCollisions(found []Explanation) string {
	var out []string
	for _, c := range Collisions(found) {
		var names []string
		for _, i := range c.Of {
			names = append(names, found[i].Name)
		}
		out = append(out, c.Name+": "+strings.Join(names, ", "))
	}
	return strings.Join(out, "; ")
}

// Every collision has its words, every text is of a collision, and the slips
// that it is between exist.
func TestCollisionWords(t *testing.T) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	names := []string{sameDigits}
	for _, c := range collisions {
		names = append(names, c.name)
		for _, side := range c.sides {
			for _, of := range side {
				if !slices.ContainsFunc(All(), func(s Slip) bool { return s.Name == of.slip }) {
					t.Errorf("%s: no slip is called %q", c.name, of.slip)
				}
			}
		}
	}
	for _, name := range names {
		if says, err := words.Say("collisions/"+name, nil); err != nil || says == "" {
			t.Errorf("%s: no words: %v", name, err)
		}
	}
	for _, key := range words.Keys("collisions/") {
		if !slices.Contains(names, strings.TrimPrefix(key, "collisions/")) {
			t.Errorf("the text %s is of no collision", key)
		}
	}
}
