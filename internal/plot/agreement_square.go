package plot

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	chart "github.com/wcharczuk/go-chart/v2"

	"saltline/internal/frame"
)

// A square is an Agreement with its marks sorted and its frame divided.
// Lengths are on the grid.
type square struct {
	agreement Agreement
	fonts     *frame.Fonts
	ruler     ruler

	signs     []sign
	standings [len(standingMarks)]int // index of the sign of each standing
	named     map[int]int             // and of each slip with a mark of its own
	bySlip    []int                   // tests of each slip
	spots     []spot                  // in the order in which they are drawn

	width, height int
	margins       box
	legend        [][]entry
	legendLeft    int
}

// A spot is one drawn mark. It stands for several tests where their marks
// would cover one another.
type spot struct {
	sign    int
	x, y    int      // from the lower left corner of the canvas
	off     int      // how far from the line of agreement
	numbers []string // of the tests, the first few
	tests   int
}

const (
	leastLegendWidth = 105 * grid
	leastSide        = 110 * grid
	coverage         = 0.4 // part of its size that a mark may be away from another and not be drawn
	mostNumbers      = 3   // in one label
)

// divide chooses the scale and divides the frame.
func (s *square) divide(w, h float64) error {
	if !(w > 0 && w < 10_000 && h > 0 && h < 10_000) {
		return fmt.Errorf("a plot of %v × %v points cannot be drawn", w, h)
	}
	s.width, s.height = steps(w), steps(h)
	s.ruler = newRuler(s.agreement)
	side := s.side()
	if side >= leastSide && len(s.agreement.Limits) == 1 {
		if r := s.ruler.withRoom(s.agreement.Limits[0].Value, s.namedRoom(side)); r != s.ruler {
			s.ruler = r
			side = s.side()
		}
	}
	if side < leastSide {
		return errTooSmall
	}
	s.legendLeft = s.margins.left + side + s.margins.right
	s.margins.right = s.width - s.margins.left - side
	s.margins.bottom = s.height - s.margins.top - side
	s.ruler.domain = side
	s.place()
	s.legend = s.entries(s.width - s.legendLeft)
	if s.margins.top+len(s.legend)*legendLine > s.height {
		return errTooSmall
	}
	return nil
}

// side sets the margins that the ruler's numbers need, and gives the side of
// the square that is left.
func (s *square) side() int {
	line := steps(plainHand.size + space)
	ticks := 0
	for _, v := range s.ruler.ticks() {
		ticks = max(ticks, plainHand.width(s.fonts, s.spellTick(v)))
	}
	s.margins = box{left: ticks + steps(tickSize+2*space), right: steps(2 * space), top: steps(space), bottom: steps(tickSize+space) + line}
	if s.agreement.YLabel != "" {
		s.margins.left += line
	}
	if s.agreement.XLabel != "" {
		s.margins.bottom += line
	}
	if s.agreement.Title != "" {
		s.margins.top += steps(titleHand.size + space)
	}
	if len(s.agreement.Limits) > 0 { // they are named at the upper and the right edge
		s.margins.top += line + steps(1)
		s.margins.right += line
	}
	return min(s.height-s.margins.top-s.margins.bottom, s.width-s.margins.left-s.margins.right-leastLegendWidth)
}

// namedRoom is the part of a side of the square that the longest name of a
// side of the limit takes, with the gap before it.
func (s *square) namedRoom(side int) float64 {
	w := s.agreement.Words
	longest := 0
	for _, name := range []string{w.WrittenWithin, w.WrittenAbove, w.RecomputedWithin, w.RecomputedAbove} {
		longest = max(longest, labelHand.width(s.fonts, name))
	}
	return float64(longest+steps(space)) / float64(side)
}

func (s *square) spellTick(v float64) string {
	return s.agreement.Words.Number(v, s.ruler.decimals(v))
}

// place finds the spots. Of marks that would cover one another only the first
// is drawn, so that a long log stays legible and its plot small.
func (s *square) place() {
	type square struct{ sign, x, y int }
	taken := map[square]int{}
	for _, p := range s.agreement.Pairs {
		k := s.signOf(p)
		x, y := s.ruler.Translate(p.Recomputed), s.ruler.Translate(p.Written)
		cell := steps(coverage * s.signs[k].size)
		key := square{k, x / cell, y / cell}
		at, again := taken[key]
		if !again {
			at = len(s.spots)
			taken[key] = at
			s.spots = append(s.spots, spot{sign: k, x: x, y: y, off: max(x-y, y-x)})
		}
		q := &s.spots[at]
		q.tests++
		if len(q.numbers) <= mostNumbers && !slices.Contains(q.numbers, p.Number) {
			q.numbers = append(q.numbers, p.Number)
		}
	}
	slices.SortStableFunc(s.spots, func(a, b spot) int { return a.sign - b.sign })
}

// label is what stands beside a spot: the numbers of its tests.
func (q spot) label() string {
	if len(q.numbers) > mostNumbers {
		return strings.Join(q.numbers[:mostNumbers-1], ", ") + " …"
	}
	return strings.Join(q.numbers, ", ")
}

// entries are the lines of the legend, of a width.
func (s *square) entries(width int) [][]entry {
	var lines [][]entry
	none := func(chart.Renderer, int, int) {}
	put := func(draw func(r chart.Renderer, x, y int), says string) {
		for i, part := range plainHand.wrap(s.fonts, says, width-signWidth) {
			if i > 0 {
				draw = none
			}
			lines = append(lines, []entry{{draw, part, plainHand}})
		}
	}
	w := s.agreement.Words
	for _, g := range s.signs {
		if g.count > 0 {
			put(func(r chart.Renderer, x, y int) { drawMark(r, g.mark, g.size, black, x, y) },
				fmt.Sprintf(w.Counted, g.label, s.count(g.count)))
		}
	}
	put(func(r chart.Renderer, x, y int) {
		line(r, agreementPen, x-steps(3), y+steps(3), x+steps(3), y-steps(3))
	}, w.Line)
	if len(s.guides()) > 0 {
		put(func(r chart.Renderer, x, y int) { line(r, guidePen, x-steps(3), y+steps(3), x+steps(3), y-steps(3)) }, w.Factor)
	}
	for _, l := range s.agreement.Limits {
		put(func(r chart.Renderer, x, y int) {
			line(r, limitSignPen, x-steps(markSize/2), y, x+steps(markSize/2+0.5), y)
		}, l.Label)
	}
	if len(s.agreement.Limits) == 1 {
		put(func(r chart.Renderer, x, y int) {
			shade(r, box{x - steps(3), y - steps(3), x + steps(3), y + steps(3)})
		}, w.Apart)
	}
	note := func(says string) {
		for _, part := range noteHand.wrap(s.fonts, says, width) {
			lines = append(lines, []entry{{nil, part, noteHand}})
		}
	}
	if s.ruler.logarithmic {
		note(w.Logarithmic)
	}
	if slices.ContainsFunc(s.agreement.Pairs, func(p Pair) bool { return min(p.Recomputed, p.Written) < s.ruler.low }) {
		note(fmt.Sprintf(w.Below, s.spellTick(s.ruler.low)))
	}
	if slices.ContainsFunc(s.spots, func(q spot) bool { return q.tests > 1 }) {
		note(w.Once)
	}
	return lines
}

// count spells how many tests there are, as plots spell numbers.
func (s *square) count(n int) string { return s.agreement.Words.Number(float64(n), 0) }

// guideTests is how many tests must share a factor to be given a line.
const guideTests = 4

// guides are the factors with a line of their own.
func (s *square) guides() []float64 {
	var factors []float64
	for i, slip := range s.agreement.Slips {
		if slip.Factor > 0 && s.bySlip[i] >= guideTests && !slices.Contains(factors, slip.Factor) {
			factors = append(factors, slip.Factor)
		}
	}
	return factors
}

func (s *square) draw() (*frame.Frame, error) {
	x, y := *s.ruler.scale, *s.ruler.scale
	return drawLayers(s.fonts, s.width, s.height, s.margins,
		ruler{&x, s.ruler.logarithmic}, ruler{&y, s.ruler.logarithmic},
		s.drawQuarters, s.drawAxes, s.drawLimits, s.drawLines, s.drawMarks, s.drawLabels, s.drawHead)
}

// spellFactor spells a factor with the decimals it needs, three at most.
func (s *square) spellFactor(f float64) string {
	_, part, _ := strings.Cut(strconv.FormatFloat(f, 'f', 3, 64), ".")
	return fmt.Sprintf(s.agreement.Words.Times, s.agreement.Words.Number(f, len(strings.TrimRight(part, "0"))))
}
