package plot

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"saltline/internal/frame"
)

func TestRefuses(t *testing.T) {
	f := loadFonts(t)
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		what string
		w, h float64
		with func(*Chart)
	}{
		{"a value that is no number", 482, 220, func(c *Chart) { c.Points[1].Value = nan }},
		{"an infinite value", 482, 220, func(c *Chart) { c.Points[1].Value, c.Points[1].High = inf, inf }},
		{"a bar that has no end", 482, 220, func(c *Chart) { c.Points[0].Low = -inf }},
		{"a bar over its value", 482, 220, func(c *Chart) { c.Points[0].Low = 18.7 }},
		{"a bar under its value", 482, 220, func(c *Chart) { c.Points[0].High = 18.5 }},
		{"an unknown verdict", 482, 220, func(c *Chart) { c.Points[0].Verdict = 9 }},
		{"a limit that is no number", 482, 220, func(c *Chart) { c.Limits[0].Value = nan }},
		{"a limit below 0", 482, 220, func(c *Chart) { c.Limits[0].Value = -1 }},
		{"no words", 482, 220, func(c *Chart) { c.Words = Words{} }},
		{"no width", 100, 220, func(*Chart) {}},
		{"no height", 482, 40, func(*Chart) {}},
		{"a width that is no number", nan, 220, func(*Chart) {}},
		{"an endless height", 482, inf, func(*Chart) {}},
	}
	for _, test := range tests {
		c := salts(18.6, 24)
		if _, err := c.Draw(f, 482, 220); err != nil {
			t.Fatal(err)
		}
		test.with(&c)
		if frames, err := c.Draw(f, test.w, test.h); err == nil || frames != nil {
			t.Errorf("%s: got %d frames and error %v", test.what, len(frames), err)
		}
	}
}

func TestNoPoints(t *testing.T) {
	if frames, err := salts().Draw(loadFonts(t), 482, 220); frames != nil || err != nil {
		t.Errorf("got %v, %v", frames, err)
	}
	unknown := salts(0)
	unknown.Points[0] = Point{Label: "L1", Number: "1", NoValue: true, Value: math.NaN(), Verdict: Void}
	if frames := draw(t, unknown); len(frames) != 1 {
		t.Errorf("one test without a value: %d frames", len(frames))
	}
}

// At most 30 tests stand in a panel, and all panels have one scale.
func TestPanels(t *testing.T) {
	for _, test := range []struct{ points, panels int }{{1, 1}, {29, 1}, {30, 1}, {31, 2}, {60, 2}, {61, 3}, {300, 10}} {
		values := make([]float64, test.points)
		values[0] = 120 // only the first panel needs the height
		frames := draw(t, salts(values...))
		if len(frames) != test.panels {
			t.Errorf("%d tests: %d panels, want %d", test.points, len(frames), test.panels)
		}
		marked := 0
		for _, f := range frames {
			if got, want := heights(f), heights(frames[0]); got != want {
				t.Errorf("%d tests: axis %s, in the first panel %s", test.points, got, want)
			}
			for _, x := range texts(f) {
				if strings.HasPrefix(x.S, "L") { // L1, L2 …
					marked++
				}
			}
		}
		if marked != test.points {
			t.Errorf("%d tests, but %d locations are named", test.points, marked)
		}
	}
}

type placedText struct {
	frame.Text
	x, y float64
}

func texts(f *frame.Frame) []placedText {
	var out []placedText
	for _, p := range f.Items {
		if x, ok := p.Item.(frame.Text); ok {
			out = append(out, placedText{x, p.X, p.Y})
		}
	}
	return out
}

// heights spells the numbers of the axis with their places.
func heights(f *frame.Frame) string {
	var out []string
	for _, x := range texts(f) {
		if strings.Trim(x.S, "0123456789") == "" {
			out = append(out, fmt.Sprintf("%s at %.2f", x.S, x.y))
		}
	}
	return strings.Join(out, ", ")
}

// A value at the limit stands on its line, and its neighbours on their sides.
func TestAtTheLimit(t *testing.T) {
	var limit float64
	var marks []float64
	for _, p := range draw(t, salts(49.5, 50, 50.5))[0].Items {
		path, ok := p.Item.(frame.Path)
		switch {
		case !ok:
		case path.Pen.Dash != nil:
			limit = p.Y
		case path.Fill.On && path.Fill.Colour != frame.White && p.X > 100: // not those of the legend
			y := p.Y
			if path.Segs[1].Op == frame.Line { // a diamond begins at its top
				y += path.Segs[2].P[0].Y / 2
			}
			marks = append(marks, y)
		}
	}
	if len(marks) != 3 || !(marks[0] > limit) || marks[1] != limit || !(marks[2] < limit) {
		t.Errorf("limit at %v, marks at %v: want below, on and above", limit, marks)
	}
}

// The axis is broken above five times the limit, and says so.
func TestBreak(t *testing.T) {
	for _, test := range []struct {
		value float64
		want  bool
	}{{250, false}, {math.Nextafter(250, 300), true}, {1e9, true}} {
		c := salts(20, test.value)
		if s := newScale(c.Points, c.Limits); s.broken != test.want {
			t.Errorf("%v against 50: broken is %t", test.value, s.broken)
		}
		stated := slices.ContainsFunc(texts(draw(t, c)[0]), func(x placedText) bool { return strings.Contains(x.S, "broken") })
		if stated != test.want {
			t.Errorf("%v against 50: stated is %t", test.value, stated)
		}
	}
	c := salts(20, 1e6)
	c.Limits = nil
	if newScale(c.Points, c.Limits).broken {
		t.Error("broken without a limit")
	}
}

// What is higher never stands lower, whatever the scale; ticks are round; and
// the axis begins at 0 unless a density is negative.
func TestScale(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for range 2000 {
		values := make([]float64, 1+random.IntN(20))
		for i := range values {
			values[i] = math.Pow(10, random.Float64()*7-3)
		}
		c := salts(values...)
		for i := range c.Points {
			c.Points[i].Low, c.Points[i].High = values[i], values[i]
		}
		c.Limits[0].Value = math.Pow(10, random.Float64()*3-1)
		s := newScale(c.Points, c.Limits)
		s.SetDomain(2000)
		if s.low != 0 || s.Translate(0) != 0 {
			t.Fatalf("%v: the axis begins at %v", values, s.low)
		}
		slices.Sort(values)
		last := 0
		for _, v := range values {
			y := s.Translate(v)
			if y < last || y > 2000 {
				t.Fatalf("%v on %v stands at %d, after %d", v, s, y, last)
			}
			last = y
		}
		digits := strings.Trim(fmt.Sprintf("%.0e", s.step), "0e+-")
		if digits[:1] != "1" && digits[:1] != "2" && digits[:1] != "5" || s.high/s.step > 11 {
			t.Fatalf("steps of %v up to %v", s.step, s.high)
		}
	}
}

// No two texts overlap and none leaves the frame, whatever is drawn.
func TestTextsApart(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	f := loadFonts(t)
	for range 300 {
		c := randomChart(random)
		frames, err := c.Draw(f, 380+200*random.Float64(), 220+100*random.Float64())
		if err != nil {
			t.Fatal(err)
		}
		for _, fr := range frames {
			all := texts(fr)
			for i, a := range all {
				b := area(f, a)
				if b.left < 0 || b.top < 0 || b.right > steps(fr.W)+1 || b.bottom > steps(fr.H)+1 {
					t.Fatalf("%q leaves the frame:\n%v", a.S, fr)
				}
				for _, other := range all[:i] {
					if b.overlaps(area(f, other)) {
						t.Fatalf("%q overlaps %q:\n%v", a.S, other.S, fr)
					}
				}
			}
		}
	}
}

func randomChart(random *rand.Rand) Chart {
	values := make([]float64, 1+random.IntN(40))
	for i := range values {
		values[i] = 70 * random.Float64()
	}
	c := salts(values...)
	words := strings.Fields("frame 48 stringer deck underside of web 3-4 ballast tank")
	group := 0
	for i := range c.Points {
		p := &c.Points[i]
		if random.IntN(6) == 0 {
			group++
		}
		p.Group = fmt.Sprint("area ", group)
		if random.IntN(3) == 0 {
			p.Label = strings.Join(words[random.IntN(4):4+random.IntN(len(words)-4)], " ")
		}
		p.NoValue = random.IntN(15) == 0
		if i > 0 && random.IntN(8) == 0 {
			p.RetestOf = c.Points[random.IntN(i)].Number
		}
		if random.IntN(30) == 0 {
			p.Value, p.High, p.Verdict = 900, 900, Fail
		}
	}
	if random.IntN(3) == 0 {
		c.Limits = append(c.Limits, Limit{50 + 4*random.Float64(), "action level, house setting"})
	}
	return c
}

// area is where the ink of a text is, a little less: letters without a
// descender may touch what is under them.
func area(f *frame.Fonts, x placedText) box {
	w, h := steps(f.Width(x.Face, x.Size, x.S)), steps(f.Metrics(x.Face, x.Size).Cap)
	left, base := steps(x.x), steps(x.y)
	if x.Rotate != 0 {
		return box{left - h, base - w, left, base}
	}
	return box{left, base - h, left + w, base}
}

// A fail is never spelled as if it were at the limit.
func TestSpell(t *testing.T) {
	c := salts()
	for _, test := range []struct {
		value float64
		want  string
	}{{61, "61.0"}, {50, "50.0"}, {50.05, "50.05"}, {50.04, "50.04"}, {50.0004, "50.0004"}, {50.06, "50.1"}} {
		if got := c.spell(test.value); got != test.want {
			t.Errorf("%v: got %q, want %q", test.value, got, test.want)
		}
	}
}

func TestSameTwice(t *testing.T) {
	for _, c := range charts() {
		a, b := draw(t, c.chart), draw(t, c.chart)
		for i := range a {
			if a[i].String() != b[i].String() {
				t.Errorf("%s: two drawings differ", c.name)
			}
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	f := loadFonts(b)
	c := salts(many(30)...)
	for b.Loop() {
		if _, err := c.Draw(f, 482, 220); err != nil {
			b.Fatal(err)
		}
	}
}
