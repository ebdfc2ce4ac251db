package plot

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/fonts"
	"saltline/internal/frame"
	"saltline/internal/pdf"
)

var update = flag.Bool("update", false, "write the golden files anew")

func loadFonts(t testing.TB) *frame.Fonts {
	t.Helper()
	f, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// salts makes a chart of invented tests with the given densities against a
// limit of 50; what lies above it is a fail.
func salts(values ...float64) Chart {
	c := Chart{
		Title:  "Salt on the steel",
		YLabel: "surface density of salts, mg/m²",
		Bars:   "bars: what the written digits allow",
		Limits: []Limit{{50, "limit 50 mg/m², total salts, ≤"}},
		Words:  English(),
	}
	for i, v := range values {
		p := Point{Label: fmt.Sprintf("L%d", i+1), Group: "T4", Number: fmt.Sprint(i + 1), Value: v, Low: v - 1.2, High: v + 1.2, Verdict: Pass}
		if v > 50 {
			p.Verdict = Fail
		}
		c.Points = append(c.Points, p)
	}
	return c
}

// day is a whole working day: two areas, fails, retests, a void without a
// value and a doubtful test.
func day() Chart {
	c := salts(18.6, 71.3, 61, 24.1, 46.8, 12, 30.4, 22.8, 15.6)
	for i, label := range []string{"bottom plate", "longitudinal 3", "longitudinal 4", "web", "web, weld toe", "flange", "longitudinal 3, beside", "longitudinal 4, beside", "hatch coaming"} {
		c.Points[i].Label = label
	}
	for i := range c.Points[6:] {
		c.Points[6+i].Group = "T5 and its ladder"
	}
	c.Points[6].RetestOf, c.Points[7].RetestOf = "2", "3"
	c.Points[6].Group, c.Points[7].Group = "T4", "T4"
	c.Points[5].Verdict = NotEstablished
	c.Points[8].Verdict = Void
	c.Points = append(c.Points, Point{Label: "ladder", Group: "T5 and its ladder", Number: "10", NoValue: true, Verdict: Void})
	return c
}

// many is n densities about 30 with every seventh a fail.
func many(n int) []float64 {
	var v []float64
	for i := range n {
		v = append(v, 30+15*math.Sin(float64(i)))
		if i%7 == 3 {
			v[i] += 40
		}
	}
	return v
}

// charts are the cases that are drawn, compared with golden files and, with
// -show, put into a PDF to be looked at.
func charts() []namedChart {
	huge := salts(18.6, 22.1, 1040, 35.3, 61, 380)
	close2 := salts(49.95, 50.05, 50, 30)
	close2.Limits = append(close2.Limits, Limit{52, "action level 52 mg/m², house"})
	long := salts(12, 66.2, 81, 30, 31, 32, 33)
	for i := range long.Points {
		long.Points[i].Label = fmt.Sprintf("starboard ballast tank no. 3, stringer deck, underside, frame %d", 48+i)
		long.Points[i].Group = "a hold with a very long name indeed, after refit"
	}
	areas := salts(many(24)...)
	for i := range areas.Points {
		areas.Points[i].Group = fmt.Sprintf("panel %d", i/2)
	}
	apart := salts(many(31)...)
	apart.Points[20].RetestOf = "4" // in the other panel
	dense := salts(many(30)...)
	for i := range dense.Points {
		dense.Points[i].Value = 60 + float64(i%2)
		dense.Points[i].Low, dense.Points[i].High = dense.Points[i].Value-6, dense.Points[i].Value+6
		dense.Points[i].Verdict = Fail
	}
	negative := salts(-1.2, 3, 0, 2)
	noLimit := salts(3.1, 4.4)
	noLimit.Limits, noLimit.Title, noLimit.YLabel, noLimit.Bars = nil, "", "", ""
	return []namedChart{
		{"day", day()}, {"one", salts(18.6)}, {"equal", salts(20, 20, 20, 20)}, {"huge", huge},
		{"close", close2}, {"long", long}, {"areas", areas}, {"panels", apart}, {"dense", dense},
		{"negative", negative}, {"no-limit", noLimit}, {"zeros", salts(0, 0)},
	}
}

type namedChart struct {
	name  string
	chart Chart
}

func draw(t *testing.T, c Chart) []*frame.Frame {
	t.Helper()
	frames, err := c.Draw(loadFonts(t), 482, 220)
	if err != nil {
		t.Fatal(err)
	}
	return frames
}

var show = flag.String("show", "", "write all charts to this PDF, to be looked at")

// TestPDF spells all charts as a PDF, each on a page.
func TestPDF(t *testing.T) {
	var pages []*frame.Frame
	for _, c := range charts() {
		for _, f := range draw(t, c.chart) {
			page := &frame.Frame{W: f.W + 60, H: f.H + 60}
			page.Put(30, 30, f)
			pages = append(pages, page)
		}
	}
	var b bytes.Buffer
	meta := pdf.Meta{Title: "charts", Lang: "en", Created: time.Date(2025, 3, 11, 0, 0, 0, 0, time.UTC)}
	if err := pdf.Write(&b, frame.Print{Pages: pages}, loadFonts(t), meta); err != nil {
		t.Fatal(err)
	}
	if *show != "" {
		if err := os.WriteFile(*show, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestGolden(t *testing.T) {
	for _, c := range charts() {
		var b strings.Builder
		for _, f := range draw(t, c.chart) {
			b.WriteString(f.String())
		}
		file := filepath.Join("testdata", c.name+".txt")
		if *update {
			if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got := b.String(); got != string(want) {
			t.Errorf("%s differs from %s; look at it with -show and write it with -update", c.name, file)
		}
	}
}

// Where tests are told apart by more than their numbers, a retest is joined to
// its own fail, and not to another test of that number.
func TestJoinedByTest(t *testing.T) {
	p := panel{points: []Point{
		{Number: "3", Verdict: Fail, Test: 1},
		{Number: "3", Verdict: Pass, Test: 2},
		{Number: "9", Verdict: Pass, Test: 3, RetestOf: "3", Fail: 1},
		{Number: "10", Verdict: Pass, Test: 4, RetestOf: "3"},
	}}
	for i, want := range []int{-1, -1, 0, -1} {
		if got := p.failOf(i); got != want {
			t.Errorf("point %d is joined to %d, want %d", i, got, want)
		}
	}
}

// What each test repeats is what a look at all of them finds: the fail that it
// names or, where tests have nothing but numbers, the last of that number before
// it.
func TestFails(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	for range 2000 {
		all := make([]named, rnd.IntN(8))
		for i := range all {
			all[i] = named{number: string(rune('a' + rnd.IntN(3)))}
			if rnd.IntN(2) > 0 {
				all[i].retestOf = string(rune('a' + rnd.IntN(3)))
			}
			if rnd.IntN(2) > 0 {
				all[i].test, all[i].fail = 1+rnd.IntN(4), rnd.IntN(5)
			}
		}
		got := fails(len(all), func(i int) named { return all[i] })
		for i, q := range all {
			want := slices.IndexFunc(all, func(o named) bool { return q.fail != 0 && o.test == q.fail })
			for j := i - 1; j >= 0 && want < 0 && q.test == 0 && q.retestOf != ""; j-- {
				if all[j].number == q.retestOf {
					want = j
				}
			}
			if got[i] != want {
				t.Fatalf("of %v test %d repeats %d, want %d", all, i, got[i], want)
			}
		}
	}
}

// A name is cut in its middle as little as can be.
func TestFitEnds(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	fonts := loadFonts(t)
	signs := []rune("iWm1, .µé–ü")
	for range 3000 {
		runes := make([]rune, rnd.IntN(30))
		for i := range runes {
			runes[i] = signs[rnd.IntN(len(signs))]
		}
		s, width := string(runes), rnd.IntN(80*grid)
		want := labelHand.fit(fonts, s, width)
		for n := 2; n <= len(runes); n++ {
			cut := s
			if n < len(runes) {
				cut = strings.TrimRight(string(runes[:(n+1)/2]), " ,") + "…" + strings.TrimLeft(string(runes[len(runes)-n/2:]), " ,")
			}
			if labelHand.width(fonts, cut) <= width {
				want = cut
			}
		}
		if got := labelHand.fitEnds(fonts, s, width); got != want {
			t.Fatalf("%q in %d steps: got %q, want %q", s, width, got, want)
		}
	}
}
