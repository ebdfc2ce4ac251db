package heading

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"
)

// TestDecomposed holds the characters that are taken apart one by one against
// the whole algorithm: each that there is, alone, with a mark behind it and
// beside another.
func TestDecomposed(t *testing.T) {
	for r := rune(0); r < 0x3000; r++ {
		for _, s := range []string{string(r), string(r) + "\u0323", "é" + string(r), string(r) + "ǖ", "n" + string(r) + "\u0301\u0323x"} {
			sameAsWhole(t, s)
		}
	}
	for _, s := range []string{"", "\xff", "a\xc3", "é\x80ö", "한국", "ﬁ", "\U0001d400ä"} {
		sameAsWhole(t, s)
	}
}

func FuzzDecomposed(f *testing.F) {
	for _, s := range []string{"Prüfung n° 5 (mg/m²)", "a\u0323\u0301é", "\xe9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { sameAsWhole(t, s) })
}

func sameAsWhole(t *testing.T, s string) {
	t.Helper()
	if got, want := slices.Collect(decomposed(s)), []rune(norm.NFKD.String(s)); !slices.Equal(got, want) {
		t.Fatalf("%+q: got %+q, and the whole algorithm says %+q", s, got, want)
	}
}

// TestIsOneOf holds the search for an item against the plain one.
func TestIsOneOf(t *testing.T) {
	words := []string{"", "a", "b", "ab", "a b", ",", ", ", "a, ab", "aa", " a"}
	for _, one := range words {
		for _, two := range words {
			for _, list := range []string{one, one + ", " + two, one + two, one + ", " + two + ", " + one, one + "," + two} {
				for _, w := range words {
					if got, want := IsOneOf(list, w), strings.Contains(", "+list+", ", ", "+w+", "); got != want {
						t.Errorf("%q in %q: got %t", w, list, got)
					}
				}
			}
		}
	}
}
