package plot

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"saltline/internal/frame"
	"saltline/internal/pdf"
)

// spots makes a map of invented tests at the given places, in metres.
func spots(places ...[2]float64) Map {
	m := Map{XLabel: "x, m", YLabel: "y, m", Unit: "m", Words: EnglishMap()}
	for i, p := range places {
		m.Spots = append(m.Spots, Spot{Number: fmt.Sprint(i + 1), X: p[0], Y: p[1], Value: 20 + float64(i), Verdict: Pass})
	}
	return m
}

// gate is a lock gate with a fail, its retest a hand's breadth beside it, two
// adjacent tests, a void and a test that is not established.
func gate() Map {
	m := spots([2]float64{12.1, 1.2}, [2]float64{13.9, 3.4}, [2]float64{15.7, 7.2}, [2]float64{17.4, 4.1}, [2]float64{20, 2.6}, [2]float64{21.2, 4.5},
		[2]float64{21.28, 4.5}, [2]float64{9.9, 0.6}, [2]float64{8.1, 0.9}, [2]float64{6.3, 3.8}, [2]float64{4.5, 4.5}, [2]float64{8.03, 0.9}, [2]float64{7.6, 0.9}, [2]float64{8.6, 0.9})
	m.Title = "Upper gate: where the spots lie"
	m.Spots[5].Verdict, m.Spots[5].NoValue = Void, true
	m.Spots[8].Verdict, m.Spots[8].Value = Fail, 71.4
	m.Spots[11].RetestOf = "9"
	m.Spots[3].Verdict = NotEstablished
	return m
}

type namedMap struct {
	name string
	plan Map
}

// maps are the cases that are drawn, compared with golden files and, with
// -show, put into a PDF to be looked at.
func maps() []namedMap {
	one := spots([2]float64{3.2, 1.1})
	row := spots([2]float64{0, 2}, [2]float64{4, 2}, [2]float64{21, 2}, [2]float64{38, 2}, [2]float64{55, 2})
	row.Spots[2].Verdict, row.Spots[2].Value = Fail, 58.3
	column := spots([2]float64{1, 0}, [2]float64{1, 12}, [2]float64{1, 25.5})
	same := spots()
	for range 12 {
		same.Spots = append(same.Spots, Spot{Number: fmt.Sprint(len(same.Spots) + 1), X: 2, Y: 2, Value: 20, Verdict: Pass})
	}
	same.Spots[4].Verdict, same.Spots[9].Verdict = Fail, Fail
	huge := spots([2]float64{0, 0}, [2]float64{4e11, 3e11}, [2]float64{1e11, -2e11})
	survey := spots([2]float64{432120.4, 5678901.2}, [2]float64{432131.9, 5678904.8}, [2]float64{432125.5, 5678899})
	bare := spots([2]float64{120, 40}, [2]float64{-80, 90})
	bare.XLabel, bare.YLabel, bare.Unit = "x, as recorded", "y, as recorded", ""
	crowd := spots()
	rng := rand.New(rand.NewPCG(5, 5))
	for i := range 160 {
		p := Spot{Number: fmt.Sprint(i + 1), X: 10 * rng.Float64(), Y: 6 * rng.Float64(), Value: 20, Verdict: Pass}
		if i%9 == 0 {
			p.Verdict, p.Value = Fail, 50+rng.Float64()*40
		}
		crowd.Spots = append(crowd.Spots, p)
	}
	return []namedMap{{"gate", gate()}, {"one", one}, {"row", row}, {"column", column}, {"same", same}, {"huge", huge}, {"survey", survey}, {"bare", bare}, {"crowd", crowd}}
}

func drawMap(t testing.TB, m Map) *frame.Frame {
	t.Helper()
	f, err := m.Draw(loadFonts(t), 482, 330)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestMapPDF(t *testing.T) {
	var pages []*frame.Frame
	for _, m := range maps() {
		f := drawMap(t, m.plan)
		page := &frame.Frame{W: f.W + 60, H: f.H + 60}
		page.Put(30, 30, f)
		pages = append(pages, page)
	}
	var b bytes.Buffer
	meta := pdf.Meta{Title: "maps", Lang: "en", Created: time.Date(2025, 3, 11, 0, 0, 0, 0, time.UTC)}
	if err := pdf.Write(&b, frame.Print{Pages: pages}, loadFonts(t), meta); err != nil {
		t.Fatal(err)
	}
	if *show != "" {
		if err := os.WriteFile(*show, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestMapGolden(t *testing.T) {
	for _, m := range maps() {
		got := drawMap(t, m.plan).String()
		file := filepath.Join("testdata", "map-"+m.name+".txt")
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from %s; look at it with -show and write it with -update", m.name, file)
		}
	}
}

func TestMapRefuses(t *testing.T) {
	f := loadFonts(t)
	for what, with := range map[string]func(m *Map, w, h *float64){
		"a place that is no number": func(m *Map, _, _ *float64) { m.Spots[0].X = math.NaN() },
		"a place without end":       func(m *Map, _, _ *float64) { m.Spots[1].Y = math.Inf(-1) },
		"a place too far away":      func(m *Map, _, _ *float64) { m.Spots[1].Y = 1e12 },
		"a value that is no number": func(m *Map, _, _ *float64) { m.Spots[1].Value = math.NaN() },
		"an unknown verdict":        func(m *Map, _, _ *float64) { m.Spots[1].Verdict = 9 },
		"no words":                  func(m *Map, _, _ *float64) { m.Words = MapWords{} },
		"no width":                  func(_ *Map, w, _ *float64) { *w = 80 },
		"no height":                 func(_ *Map, _, h *float64) { *h = 60 },
		"an endless height":         func(_ *Map, _, h *float64) { *h = math.Inf(1) },
	} {
		m, w, h := gate(), 482.0, 330.0
		with(&m, &w, &h)
		if got, err := m.Draw(f, w, h); err == nil || got != nil {
			t.Errorf("%s: got %v and error %v", what, got, err)
		}
	}
	if got, err := (Map{Words: EnglishMap()}).Draw(f, 482, 330); got != nil || err != nil {
		t.Errorf("without a spot: %v, %v", got, err)
	}
}

// marksOf are the places of the filled circles of a map, in points.
func marksOf(f *frame.Frame) (xs, ys []float64) {
	for _, p := range f.Items {
		if path, ok := p.Item.(frame.Path); ok && path.Fill.On && len(path.Segs) == 6 && path.Segs[1].Op == frame.Curve {
			xs, ys = append(xs, p.X), append(ys, p.Y)
		}
	}
	return xs, ys
}

// One scale holds in both directions: four tests at the corners of a rectangle
// lie at the corners of one of the same sides, and the bar is as long as it
// says.
func TestMapHasOneScale(t *testing.T) {
	for range 100 {
		seed := rand.Uint64()
		rng := rand.New(rand.NewPCG(seed, 3))
		size := math.Pow(10, 8*rng.Float64()-3)
		w, h := size*(0.2+rng.Float64()), size*(0.2+rng.Float64())
		x, y := size*(rng.Float64()-0.5)*100, size*(rng.Float64()-0.5)*100
		m := spots([2]float64{x, y}, [2]float64{x + w, y}, [2]float64{x, y + h}, [2]float64{x + w, y + h})
		xs, ys := marksOf(drawMap(t, m))
		xs, ys = xs[:4], ys[:4] // before that of the legend
		acrossX, acrossY := xs[1]-xs[0], ys[0]-ys[2]
		if got, want := acrossX/acrossY, w/h; math.Abs(got/want-1) > 0.01 || xs[0] != xs[2] || ys[0] != ys[1] {
			t.Errorf("seed %d: %g × %g points, want the sides as %g to %g", seed, acrossX, acrossY, w, h)
		}
	}
}

// Whatever the places are, everything lies in the frame, every fail is drawn,
// and no label covers another or a mark of another test.
func TestMapHoldsItsMarks(t *testing.T) {
	fonts := loadFonts(t)
	for range 60 {
		seed := rand.Uint64()
		rng := rand.New(rand.NewPCG(seed, 4))
		m := spots()
		spread := []float64{0, 1e-6, 0.1, 10, 1e5, 1e10}[rng.IntN(6)]
		fails := 0
		for i := range 1 + rng.IntN(60) {
			p := Spot{Number: fmt.Sprint(i + 1), X: spread * rng.NormFloat64(), Y: spread * rng.NormFloat64(), Value: 100 * rng.Float64(), Verdict: Verdict(rng.IntN(4))}
			if rng.IntN(3) == 0 && i > 0 {
				p.RetestOf = fmt.Sprint(1 + rng.IntN(i))
			}
			if p.Verdict == Fail {
				fails++
			}
			m.Spots = append(m.Spots, p)
		}
		f, err := m.Draw(fonts, 482, 330)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if f.H > 330 {
			t.Errorf("seed %d: %g points high", seed, f.H)
		}
		diamonds := 0
		for _, p := range f.Items {
			if p.X < -0.01 || p.X > f.W+0.01 || p.Y < -0.01 || p.Y > f.H+0.01 {
				t.Errorf("seed %d: an item at %g, %g of %g × %g", seed, p.X, p.Y, f.W, f.H)
			}
			if path, ok := p.Item.(frame.Path); ok && path.Fill.On && path.Fill.Colour == (frame.Colour{R: 0xa0, G: 0x16, B: 0x16}) {
				diamonds++
			}
			if text, ok := p.Item.(frame.Text); ok && text.Rotate == 0 && p.X+fonts.Width(text.Face, text.Size, text.S) > f.W+0.5 {
				t.Errorf("seed %d: %q reaches over the frame", seed, text.S)
			}
		}
		if fails > 0 {
			fails++ // that of the legend
		}
		if diamonds != fails {
			t.Errorf("seed %d: %d fails are drawn, want %d", seed, diamonds, fails)
		}
	}
}

func TestMapNamesEachFail(t *testing.T) {
	text := drawMap(t, gate()).String()
	for _, want := range []string{"no. 9 · 71.4", "joined: a fail and its retest", "2 m", "x, m", "thin line"} {
		if !strings.Contains(strings.ReplaceAll(text, `\u00a0`, " "), want) {
			t.Errorf("no %q on the map of the gate", want)
		}
	}
}
