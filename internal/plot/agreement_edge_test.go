package plot

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/frame"
)

func TestAgreementRefuses(t *testing.T) {
	tests := []struct {
		what string
		w, h float64
		with func(*Agreement)
	}{
		{"a written value that is no number", 482, 300, func(a *Agreement) { a.Pairs[1].Written = math.NaN() }},
		{"an infinite recomputed value", 482, 300, func(a *Agreement) { a.Pairs[1].Recomputed = math.Inf(-1) }},
		{"a value too large to draw", 482, 300, func(a *Agreement) { a.Pairs[1].Written = 1e12 }},
		{"an unknown standing", 482, 300, func(a *Agreement) { a.Pairs[0].Standing = 5 }},
		{"an unknown slip", 482, 300, func(a *Agreement) { a.Pairs[0].Standing, a.Pairs[0].Slip = OneSlip, 7 }},
		{"an infinite factor", 482, 300, func(a *Agreement) { a.Slips[0].Factor = math.Inf(1) }},
		{"a factor below 0", 482, 300, func(a *Agreement) { a.Slips[0].Factor = -1 }},
		{"a limit below 0", 482, 300, func(a *Agreement) { a.Limits[0].Value = -1 }},
		{"no words", 482, 300, func(a *Agreement) { a.Words = AgreementWords{} }},
		{"no width", 200, 300, func(*Agreement) {}},
		{"no height", 482, 90, func(*Agreement) {}},
		{"a width that is no number", math.NaN(), 300, func(*Agreement) {}},
		{"a legend longer than the frame", 482, 200, func(a *Agreement) { a.Limits[0].Label = strings.Repeat("many words ", 99) }},
	}
	for _, test := range tests {
		a := against(agreeing(3)...)
		a.add(20, 30, OneSlip, 0)
		drawAgreement(t, a)
		test.with(&a)
		if f, err := a.Draw(loadFonts(t), test.w, test.h); err == nil || f != nil {
			t.Errorf("%s: got %v, %v", test.what, f != nil, err)
		}
	}
}

// Where the legend has no room for five slips, the more frequent ones are named
// and all are counted.
func TestAgreementShortLegend(t *testing.T) {
	a := against(agreeing(5)...)
	for i := range a.Slips {
		a.Slips[i].Label = fmt.Sprintf("slip %d, %s", i, strings.Repeat("at some length ", 25))
		for range 9 - i {
			a.add(30, 40, OneSlip, i)
		}
	}
	f, err := a.Draw(loadFonts(t), 482, 210)
	if err != nil {
		t.Fatal(err)
	}
	says := f.String()
	if !strings.Contains(says, "slip 0,") || strings.Contains(says, "slip 4,") || !strings.Contains(says, a.Words.Standings[OneSlip]) {
		t.Errorf("the legend is\n%s", says)
	}
}

func TestAgreementOfNothing(t *testing.T) {
	if f, err := against().Draw(loadFonts(t), 482, 300); f != nil || err != nil {
		t.Errorf("got %v, %v", f, err)
	}
}

// The scales, and where on them a value stands: worked by hand.
func TestRuler(t *testing.T) {
	type place struct{ value, part float64 }
	limit := func(v float64) []Limit { return []Limit{{v, "limit"}} }
	tests := []struct {
		what      string
		pairs     [][2]float64
		limits    []Limit
		low, high float64
		log       bool
		places    []place
	}{
		{"from 0 to over the limit", [][2]float64{{20, 21}, {30, 30}}, limit(50), 0, 70, false, []place{{35, 0.5}, {-3, 0}, {70, 1}}},
		{"eight-fold apart is linear", [][2]float64{{10, 80}}, nil, 0, 100, false, []place{{80, 0.8}}},
		{"a little more is not", [][2]float64{{10, 80.1}}, nil, 5, 100, true, []place{{math.Sqrt(500), 0.5}, {5, 0}, {0, 0}, {-7, 0}, {100, 1}}},
		{"all far over the limit", [][2]float64{{800, 800}}, limit(50), 20, 1000, true, []place{{50, math.Log(2.5) / math.Log(50)}}},
		{"one far over the others", [][2]float64{{20, 20}, {22, 22}, {300, 300}}, nil, 10, 500, true, nil},
		{"ten-fold too low, everywhere", [][2]float64{{20, 2}, {50, 5}}, nil, 1, 100, true, []place{{10, 0.5}}},
		{"nothing above 0", [][2]float64{{0, 0}, {-3, -3}}, nil, 0, 1.2, false, nil},
	}
	for _, test := range tests {
		a := against(test.pairs...)
		a.Limits = test.limits
		r := newRuler(a)
		if r.low != test.low || math.Abs(r.high-test.high) > 1e-9 || r.logarithmic != test.log {
			t.Errorf("%s: from %v to %v, logarithmic %t", test.what, r.low, r.high, r.logarithmic)
		}
		for _, p := range test.places {
			if got := r.part(p.value); math.Abs(got-p.part) > 1e-9 {
				t.Errorf("%s: %v stands at %v, want %v", test.what, p.value, got, p.part)
			}
		}
	}
}

// What agrees lies on the diagonal of a square, on either scale, and the count
// of marks in the legend is that of the tests.
func TestAgreementPlaces(t *testing.T) {
	for _, values := range [][][2]float64{agreeing(20), append(agreeing(20), [2]float64{700, 700})} {
		discs, diagonal := 0, math.NaN()
		for _, p := range drawAgreement(t, against(values...)).Items {
			path, ok := p.Item.(frame.Path)
			if !ok || !path.Fill.On || path.Pen.Width == 0 || len(path.Segs) < 5 || p.X > 285 { // beside the square is the legend
				continue
			}
			if discs++; math.IsNaN(diagonal) {
				diagonal = p.X + p.Y
			}
			if math.Abs(p.X+p.Y-diagonal) > 2.0/grid {
				t.Errorf("a mark stands %v off the diagonal", p.X+p.Y-diagonal)
			}
		}
		if discs < 10 {
			t.Errorf("only %d marks found", discs)
		}
	}
}

func TestAgreementCounts(t *testing.T) {
	for _, c := range agreements() {
		sum := 0
		for _, x := range texts(drawAgreement(t, c.plot)) {
			if i := strings.LastIndex(x.S, ", "); i > 0 {
				if n, err := strconv.Atoi(x.S[i+2:]); err == nil && x.Face == frame.Regular {
					sum += n
				}
			}
		}
		if sum != len(c.plot.Pairs) {
			t.Errorf("%s: the legend counts %d of %d tests", c.name, sum, len(c.plot.Pairs))
		}
	}
}

// No label covers a mark that is not its own, or another label; and none is
// left out where the plot is empty but for its mark.
func TestAgreementLabels(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	fonts := loadFonts(t)
	for _, n := range []int{1, 8, 60, 400} {
		a := against()
		for range n {
			a.add(90*random.Float64(), 90*random.Float64(), NoSlip, 0)
		}
		f := drawAgreement(t, a)
		var boxes, marks []box
		for _, p := range f.Items {
			if path, ok := p.Item.(frame.Path); ok && len(path.Segs) == 4 && path.Pen.Dash == nil && !path.Fill.On && p.X < 285 {
				// A cross begins at one of its ends, and its first stroke passes its middle.
				end := path.Segs[1].P[0]
				x, y, half := steps(p.X+end.X/2), steps(p.Y+end.Y/2), steps(crossReach)
				marks = append(marks, box{x - half, y - half, x + half, y + half})
			}
		}
		labels := 0
		for _, x := range texts(f) {
			if x.Face != frame.Condensed || x.Rotate != 0 || strings.Trim(x.S, "0123456789, …") != "" {
				continue
			}
			labels++
			left, base := steps(x.x), steps(x.y)
			b := box{left, base - labelHand.cap(fonts), left + labelHand.width(fonts, x.S), base}
			if b.overlapsAny(boxes) || b.overlapsAny(marks) {
				t.Errorf("%d tests: the label %q covers another or a mark", n, x.S)
			}
			boxes = append(boxes, b)
		}
		if len(marks) == 0 || labels == 0 || n == 1 && labels != 1 {
			t.Errorf("%d tests: %d marks, %d labels", n, len(marks), labels)
		}
	}
}

// crossReach is half of a cross of the size of a mark, without its pen.
const crossReach = 0.40 * markSize * 0.9

// Of a long log each test has its mark, or one of the same shape so near that
// the two would cover one another; the plot stays small and says so.
func TestAgreementLong(t *testing.T) {
	a := longLog(100_000)
	s, err := a.square(loadFonts(t), 482, 300)
	if err != nil {
		t.Fatal(err)
	}
	tests := 0
	near := map[string]bool{}
	for _, q := range s.spots {
		tests += q.tests
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				near[fmt.Sprint(q.sign, q.x/(2*grid)+dx, q.y/(2*grid)+dy)] = true
			}
		}
	}
	if tests != len(a.Pairs) {
		t.Errorf("the marks stand for %d of %d tests", tests, len(a.Pairs))
	}
	for _, p := range a.Pairs {
		x, y := s.ruler.Translate(p.Recomputed), s.ruler.Translate(p.Written)
		if !near[fmt.Sprint(s.signOf(p), x/(2*grid), y/(2*grid))] {
			t.Fatalf("no mark near test %s", p.Number)
		}
	}
	f := drawAgreement(t, a)
	if len(f.Items) > 9000 {
		t.Errorf("%d items", len(f.Items))
	}
	if !strings.Contains(f.String(), a.Words.Once) {
		t.Error("it does not say that marks are drawn once")
	}
	if f.String() != drawAgreement(t, a).String() {
		t.Error("drawn twice, it differs")
	}
}

// longLog has values that agree, shared slips and scattered ones.
func longLog(n int) Agreement {
	a := against()
	random := rand.New(rand.NewPCG(7, 7))
	for i := range n {
		v := 2 + 78*random.Float64()
		switch i % 10 {
		case 0:
			a.add(v, v+10*random.Float64(), OneSlip, 0)
		case 1:
			a.add(v, v/5, OneSlip, 1)
		case 2:
			a.add(v, 80*random.Float64(), NoSlip, 0)
		default:
			a.add(v, v, Agrees, 0)
		}
	}
	return a
}

func BenchmarkAgreement(b *testing.B) {
	a, fonts := longLog(100_000), loadFonts(b)
	for b.Loop() {
		if _, err := a.Draw(fonts, 482, 300); err != nil {
			b.Fatal(err)
		}
	}
}
