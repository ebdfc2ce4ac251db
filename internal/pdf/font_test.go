package pdf

import (
	"fmt"
	"strings"
	"testing"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

func TestAdvanceWidthsAreThoseOfTheFile(t *testing.T) {
	f := loadFonts(t)
	for face := frame.Regular; face <= frame.CondensedSemiBold; face++ {
		out := fpdf.New("P", "pt", "A4", "")
		out.AddUTF8FontFromBytes(face.String(), "", ttf(t, face))
		out.SetFont(face.String(), "", 10)
		n := 0
		for r := rune(' '); r < 0xFFFF; r++ {
			if r >= 0xD800 && r < 0xE000 || !f.Covers(face, r) {
				continue
			}
			n++
			want := float64(out.GetStringSymbolWidth(string(r)))
			if got := f.Width(face, 1000, string(r)); got != want {
				// The library takes a width of nothing for a character without one.
				if got == 0 && f.Width(face, 1000, string(r)+"a") == f.Width(face, 1000, "a") {
					continue
				}
				t.Errorf("%s %U: width %g, the file has %g", face, r, got, want)
			}
		}
		if n < 500 {
			t.Errorf("%s: only %d characters compared", face, n)
		}
	}
}

func TestOnlyFacesInUseAreEmbedded(t *testing.T) {
	one := write(t, page(text(1, 9, "a")))
	two := write(t, page(text(1, 9, "a"), at(1, 20, frame.Text{S: "b", Face: frame.Condensed, Size: 8})))
	for _, c := range []struct {
		f    file
		want int
	}{{one, 1}, {two, 2}} {
		if got := len(c.f.with("FontFile2")); got != c.want {
			t.Errorf("%d faces embedded, want %d", got, c.want)
		}
	}
}

// Every code is the character of its number, in ranges that strict readers
// accept: at most 100 in one list, none beyond the last byte of a code.
func TestCharactersOfCodes(t *testing.T) {
	f := write(t, page(text(1, 9, "µ ≤ Ω"), at(1, 20, frame.Text{S: "b", Face: frame.Condensed, Size: 8})))
	fonts := f.with("Subtype", objects.Name("Type0"))
	if len(fonts) != 2 {
		t.Fatalf("%d fonts", len(fonts))
	}
	for _, font := range fonts {
		table := string(f.unpacked(font["ToUnicode"]))
		known := map[int]bool{}
		for i, list := range strings.Split(table, "beginbfrange\n")[1:] {
			list, _, _ = strings.Cut(list, "endbfrange")
			lines := strings.Split(strings.TrimSpace(list), "\n")
			if len(lines) > 100 {
				t.Errorf("list %d has %d ranges", i+1, len(lines))
			}
			for _, line := range lines {
				var from, to, is int
				if _, err := fmt.Sscanf(line, "<%04X> <%04X> <%04X>", &from, &to, &is); err != nil {
					t.Fatalf("%q: %v", line, err)
				}
				if from != is || from>>8 != to>>8 || from > to {
					t.Errorf("range %s", line)
				}
				for code := from; code <= to; code++ {
					if known[code] {
						t.Errorf("code %04X is there twice", code)
					}
					known[code] = true
				}
			}
		}
		if len(known) != 1<<16 {
			t.Errorf("%d codes have characters", len(known))
		}
	}
}
