package plot

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/frame"
	"saltline/internal/pdf"
)

func daysWords() DaysWords {
	return DaysWords{
		Apart: "gap: no work for more than a week", Broken: English().Broken, Panel: English().Panel, Number: English().Number,
	}
}

// densities is a job of n days about 20 mg/m² with its maxima, without work on
// Sundays.
func densities(n int) Days {
	d := Days{
		YLabel: "surface density of salts, mg/m²", Words: daysWords(), Levels: []Level{{Value: 50, Label: "limit 50 mg/m², total salts, ≤"}},
	}
	median := Series{Label: "median of first tests", Mark: frame.Disc, Joined: true}
	most := Series{Label: "highest", Mark: frame.Delta, OutMark: frame.SolidDiamond, OutLabel: "highest, above the limit"}
	date := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	for i := range n {
		if date.Weekday() == time.Sunday {
			date = date.AddDate(0, 0, 1)
		}
		d.Stops = append(d.Stops, Stop{Label: date.Format("2 Jan 2006")})
		v := 20 + 8*math.Sin(float64(i)/3)
		m := v + 14 + 9*math.Cos(float64(i)*1.7)
		if i%11 == 4 {
			m += 22
		}
		median.Values, most.Values, most.Out = append(median.Values, v), append(most.Values, m), append(most.Out, m > 50)
		date = date.AddDate(0, 0, 1)
	}
	d.Series = []Series{median, most}
	return d
}

// deviations is n checks of a meter, three a day, two of them outside.
func deviations(n int) Days {
	d := Days{
		Title: "Meter K-0417", YLabel: "deviation in check solution, %", Words: daysWords(),
		Levels: []Level{{Value: -0.1, Label: "centre −0.1 %", Solid: true}, {Value: 1.1, Label: "upper limit 1.1 %"}, {Value: -1.3, Label: "lower limit −1.3 %"}},
	}
	s := Series{Label: "check, as found", Mark: frame.Disc, Joined: true, OutMark: frame.SolidDiamond, OutLabel: "outside the limits of the chart"}
	for i := range n {
		label := ""
		if i%3 == 0 {
			label = time.Date(2026, 3, 2+i/3, 0, 0, 0, 0, time.UTC).Format("2 Jan 2006")
		}
		v := -0.1 + 0.6*math.Sin(float64(i)*2.3)
		if i == 13 || i == 40 {
			v = -2.2 + float64(i)/10
		}
		d.Stops = append(d.Stops, Stop{Label: label})
		s.Values, s.Out = append(s.Values, v), append(s.Out, v > 1.1 || v < -1.3)
	}
	d.Series = []Series{s}
	return d
}

func daysCharts() map[string]Days {
	gap := densities(12)
	gap.Stops[5].Apart = true
	gap.Series[0].Values[7], gap.Series[1].Values[7] = math.NaN(), math.NaN() // a day without tests
	huge := densities(8)
	huge.Series[1].Values[3], huge.Series[1].Out[3] = 1040, true
	blanks := densities(20)
	blanks.YLabel, blanks.Levels = "conductivity of the water, µS/cm", []Level{{Value: 5, Label: "water limit 5 µS/cm"}}
	for i := range 20 {
		blanks.Series[0].Values[i], blanks.Series[1].Values[i] = 1.4+float64(i)*0.15, 1.5+float64(i)*0.2
		blanks.Series[1].Out[i] = blanks.Series[1].Values[i] > 5
	}
	blanks.Series[0].Label, blanks.Series[1].Label = "median blank", "highest reading of the bottles"
	equal := deviations(6)
	for i := range equal.Series[0].Values {
		equal.Series[0].Values[i] = 0
		equal.Series[0].Out[i] = false
	}
	equal.Levels = []Level{{0, "centre 0.0 %", true}, {0, "upper limit 0.0 %", false}, {0, "lower limit 0.0 %", false}}
	bare := densities(2)
	bare.Levels, bare.YLabel = nil, ""
	return map[string]Days{
		"days-three": densities(3), "days-one": densities(1), "days-sixty": densities(60), "days-many": densities(120), "days-panels": densities(150),
		"days-gap": gap, "days-huge": huge, "days-blanks": blanks, "days-checks": deviations(60), "days-equal": equal, "days-bare": bare,
	}
}

func drawDays(t *testing.T, d Days) []*frame.Frame {
	t.Helper()
	frames, err := d.Draw(loadFonts(t), 482, 180)
	if err != nil {
		t.Fatal(err)
	}
	return frames
}

var showDays = flag.String("show-days", "", "write all plots of days to this PDF, to be looked at")

func TestDaysGolden(t *testing.T) {
	var pages []*frame.Frame
	all := daysCharts()
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		var b strings.Builder
		for _, f := range drawDays(t, all[name]) {
			b.WriteString(f.String())
			page := &frame.Frame{W: f.W + 60, H: f.H + 60}
			page.Put(30, 30, f)
			pages = append(pages, page)
		}
		file := filepath.Join("testdata", name+".txt")
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
			t.Errorf("%s differs from %s; look at it with -show-days and write it with -update", name, file)
		}
	}
	if *showDays != "" {
		var b bytes.Buffer
		if err := pdf.Write(&b, frame.Print{Pages: pages}, loadFonts(t), pdf.Meta{Title: "days", Lang: "en", Created: time.Date(2026, 3, 11, 0, 0, 0, 0, time.UTC)}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(*showDays, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestDates sees that dates under the axis never touch, from one stop to
// three panels full, and that the first is always written.
func TestDates(t *testing.T) {
	fonts := loadFonts(t)
	for n := 1; n <= 3*StopsPerPanel; n = n*5/4 + 1 {
		d := densities(n)
		for _, w := range []float64{300, 482} {
			frames, err := d.Draw(fonts, w, 180)
			if err != nil {
				t.Fatal(err)
			}
			if want := (n + StopsPerPanel - 1) / StopsPerPanel; len(frames) != want {
				t.Errorf("%d stops: %d panels, want %d", n, len(frames), want)
			}
			for k, f := range frames {
				right, count := math.Inf(-1), 0
				for _, p := range f.Items {
					text, is := p.Item.(frame.Text)
					if !is || !strings.Contains(text.S, " 2026") {
						continue
					}
					count++
					if p.X < right+1 || p.X < 0 || p.X+fonts.Width(text.Face, text.Size, text.S) > w {
						t.Errorf("%d stops, width %v, panel %d: %s stands from %v, the one before to %v", n, w, k, text.S, p.X, right)
					}
					right = p.X + fonts.Width(text.Face, text.Size, text.S)
				}
				if count == 0 {
					t.Errorf("%d stops, width %v, panel %d: no date is written", n, w, k)
				}
			}
		}
	}
}

func TestDaysRefused(t *testing.T) {
	fonts := loadFonts(t)
	change := func(f func(*Days)) Days { d := densities(3); f(&d); return d }
	for name, d := range map[string]Days{
		"no words":        change(func(d *Days) { d.Words.Number = nil }),
		"an infinite one": change(func(d *Days) { d.Series[0].Values[1] = math.Inf(1) }),
		"too few values":  change(func(d *Days) { d.Series[0].Values = d.Series[0].Values[:2] }),
		"too few marks":   change(func(d *Days) { d.Series[1].Out = d.Series[1].Out[:1] }),
		"an odd level":    change(func(d *Days) { d.Levels[0].Value = math.NaN() }),
	} {
		if _, err := d.Draw(fonts, 482, 180); err == nil {
			t.Errorf("%s: drawn", name)
		}
	}
	for _, size := range [][2]float64{{60, 180}, {482, 40}, {math.NaN(), 180}} {
		if _, err := densities(3).Draw(fonts, size[0], size[1]); err == nil {
			t.Errorf("%v × %v points: drawn", size[0], size[1])
		}
	}
	none := change(func(d *Days) {
		for _, s := range d.Series {
			for i := range s.Values {
				s.Values[i] = math.NaN()
			}
		}
	})
	if frames, err := none.Draw(fonts, 482, 180); err != nil || frames != nil {
		t.Errorf("without a value: %d frames, %v", len(frames), err)
	}
}
