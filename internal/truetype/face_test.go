package truetype

import (
	"testing"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Glyphs, advances and measures are those that another reader finds.
func TestFaceIsThatOfAnotherReader(t *testing.T) {
	for _, name := range files {
		f, data := load(t, name)
		other, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		em := fixed.I(int(other.UnitsPerEm()))
		if got := f.UnitsPerEm; got != int(other.UnitsPerEm()) {
			t.Errorf("%s: %d units are its size, not %d", name, got, other.UnitsPerEm())
		}
		var b sfnt.Buffer
		for r := rune(0); r <= 0xFFFF; r++ {
			glyph, err := other.GlyphIndex(&b, r)
			if err != nil {
				t.Fatal(err)
			}
			advance, err := other.GlyphAdvance(&b, glyph, em, 0)
			if err != nil {
				t.Fatal(err)
			}
			if got := f.Glyph(r); got != int(glyph) || f.Advance(got) != advance.Round() {
				t.Fatalf("%s: %U is glyph %d of %d, not glyph %d of %d", name, r, got, f.Advance(got), glyph, advance.Round())
			}
		}
		m, err := other.Metrics(&b, em, 0)
		if err != nil {
			t.Fatal(err)
		}
		ours := f.Measures()
		for _, c := range []struct {
			of    string
			got   int
			wants fixed.Int26_6
		}{
			{"ascent", ours.Ascent, m.Ascent}, {"descent", -ours.Descent, m.Descent},
			{"height of capitals", ours.Cap, m.CapHeight},
		} {
			if c.got != c.wants.Round() {
				t.Errorf("%s: the %s is %d, not %d", name, c.of, c.got, c.wants.Round())
			}
		}
	}
}
