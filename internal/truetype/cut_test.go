package truetype

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/go-pdf/fpdf"

	"saltline/fonts"
)

var files = []string{
	"IBMPlexSans-Regular.ttf", "IBMPlexSans-SemiBold.ttf", "IBMPlexSans-Italic.ttf",
	"IBMPlexSansCondensed-Regular.ttf", "IBMPlexSansCondensed-SemiBold.ttf",
}

func load(t testing.TB, name string) (*Face, []byte) {
	t.Helper()
	data, err := fonts.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Parse(data)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return f, data
}

// The library makes the same file of the same characters: of few and of many, with
// glyphs and without, made of others and plain.
func TestCutIsThatOfTheLibrary(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for _, name := range files {
		f, data := load(t, name)
		var has []rune
		for r := rune(0); r <= 0xFFFF; r++ {
			if f.Glyph(r) != 0 {
				has = append(has, r)
			}
		}
		if len(has) < 800 {
			t.Fatalf("%s has glyphs for %d characters", name, len(has))
		}
		sets := [][]rune{nil, {'a'}, {0, 'a'}, {0xFFFD}, {0xFFFF}, has}
		for range 60 {
			var set []rune
			for range 1 + random.IntN(1<<random.IntN(10)) {
				switch random.IntN(20) {
				case 0:
					if r := rune(1 + random.IntN(0xFFFF)); r < 0xD800 || r > 0xDFFF { // a text holds no halves
						set = append(set, r)
					}
				case 1, 2, 3, 4, 5, 6, 7:
					set = append(set, rune(' '+random.IntN('~'-' ')))
				default:
					set = append(set, has[random.IntN(len(has))])
				}
			}
			slices.Sort(set)
			sets = append(sets, slices.Compact(set))
		}
		for _, set := range sets {
			got, glyphs := f.Cut(set)
			if want := fpdf.UTF8CutFont(data, string(set)); !bytes.Equal(got, want) {
				t.Errorf("%s: of %q come %d bytes, of the library %d others", name, string(set), len(got), len(want))
			}
			// A reader finds in the file what was in the face.
			c, err := Parse(got)
			if err != nil {
				t.Fatalf("%s, %q: %v", name, string(set), err)
			}
			for i, r := range set {
				if r == 0 {
					continue
				}
				if g := c.Glyph(r); g != glyphs[i] || c.Advance(g) != f.Advance(f.Glyph(r)) {
					t.Fatalf("%s: %U is glyph %d in the file and said to be %d", name, r, g, glyphs[i])
				}
			}
		}
	}
}

// What is damaged is refused, or cut without a fault of the program.
func TestDamaged(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	_, data := load(t, files[0])
	if _, err := Parse(nil); err == nil {
		t.Error("nothing is taken for a face")
	}
	for range 300 {
		bad := bytes.Clone(data)
		for range 1 + random.IntN(8) {
			at := random.IntN(len(bad))
			if random.IntN(2) == 0 {
				at = random.IntN(400)
			}
			bad[at] = byte(random.IntN(256))
		}
		bad = bad[:len(bad)-random.IntN(2)*random.IntN(len(bad))]
		f, err := Parse(bad)
		if err != nil {
			continue
		}
		var all []rune
		for r := rune(1); r <= 0xFFFF; r += rune(1 + random.IntN(40)) {
			all = append(all, r)
		}
		f.Cut(all)
		f.Measures()
	}
}

func BenchmarkCut(b *testing.B) {
	f, _ := load(b, files[0])
	var set []rune
	for r := rune(' '); r <= '~'; r++ {
		set = append(set, r)
	}
	b.ReportAllocs()
	for b.Loop() {
		f.Cut(set)
	}
}
