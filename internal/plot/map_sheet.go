package plot

import (
	"fmt"
	"math"
	"slices"

	chart "github.com/wcharczuk/go-chart/v2"

	"saltline/internal/frame"
)

// A sheet is a Map with its frame divided and its marks placed. Lengths are on
// the grid.
type sheet struct {
	plan  Map
	fonts *frame.Fonts
	fails []int // by spot: the index of the failed test that it repeats; -1 where the map has none

	width, height int
	margins       box
	x, y          stretch
	step          float64 // between two lines of the net, the same in both directions
	legend        [][]entry

	placed []placed // one a spot
	left   int      // marks without room
}

// placed is where the mark of a spot is drawn.
type placed struct {
	x, y  int // from the lower left corner of the canvas
	moved bool
	drawn bool
}

const (
	edge           = 13 * grid  // between the outermost marks and the edge of the canvas
	leastMapWidth  = 160 * grid // of the canvas
	leastMapHeight = 52 * grid
	longestBar     = 90 * grid // of the scale
)

// divide chooses the scale and divides the frame.
func (s *sheet) divide(w, most float64) error {
	if !(w > 0 && w < 10_000 && most > 0 && most < 10_000) {
		return fmt.Errorf("a map of %v × %v points cannot be drawn", w, most)
	}
	line := steps(plainHand.size + space)
	s.width = steps(w)
	s.margins = box{left: steps(tickSize + 3*space), right: steps(space), top: steps(2 * space), bottom: steps(tickSize+space) + 2*line}
	if s.plan.YLabel != "" {
		s.margins.left += line
	}
	if s.plan.Title != "" {
		s.margins.top += line + steps(2)
	}
	// The legend depends on the marks that are moved, the marks on the height
	// and the height on the legend: it is given room for all it may say.
	room := s.margins
	room.top += len(legendLines(s.fonts, s.entries(true, true), s.width)) * legendLine
	for range 2 { // the numbers beside the axis need the scale, and it the room beside them
		s.rule(room, steps(most))
		room.left = s.margins.left + s.widestTick()
	}
	if s.rule(room, steps(most)) < leastMapHeight || s.x.domain < leastMapWidth {
		return errTooSmall
	}
	room.right = s.width - room.left - s.x.domain
	s.place()
	moved := slices.ContainsFunc(s.placed, func(p placed) bool { return p.moved })
	s.legend = legendLines(s.fonts, s.entries(moved, s.left > 0), s.width)
	s.margins = box{room.left, s.margins.top + len(s.legend)*legendLine, room.right, room.bottom}
	s.height = s.margins.top + s.y.domain + s.margins.bottom
	return nil
}

// rule sets the scale and both axes within margins and a height, and gives the
// height that the canvas would have.
func (s *sheet) rule(margins box, most int) int {
	middleX, reachX := extent(s.plan.Spots, func(p Spot) float64 { return p.X })
	middleY, reachY := extent(s.plan.Spots, func(p Spot) float64 { return p.Y })
	reach := reachOf(s.plan.Spots, max(reachX, reachY))
	if reach > reachX && reach > reachY {
		reachX = reach // all in one place
	}
	wide, high := s.width-margins.left-margins.right, most-margins.top-margins.bottom
	scale := min(float64(max(1, wide-2*edge))/reachX, float64(max(1, high-2*edge))/reachY)
	// The canvas is no larger than what there is to see on it, with the numbers
	// of the outermost tests.
	wide = min(wide, max(leastMapWidth, int(reachX*scale)+6*edge))
	high = min(high, max(leastMapHeight, int(reachY*scale)+2*edge))
	around := func(middle float64, length int) stretch {
		return stretch{from: middle - float64(length)/2/scale, scale: scale, domain: length}
	}
	s.x, s.y = around(middleX, wide), around(middleY, high)
	s.step = niceStep(float64(max(wide, high)) / scale)
	for tries := 0; len(s.ticks(s.x)) == 0 || len(s.ticks(s.y)) == 0; tries++ {
		if s.step = niceStep(3.9 * s.step); tries == 3 { // the next smaller one
			break
		}
	}
	return high
}

// ticks are the lines of the net along an axis.
func (s *sheet) ticks(axis stretch) []float64 {
	const most = 100
	first := math.Ceil(axis.from / s.step)
	var ticks []float64
	for n := range most {
		v := (first + float64(n)) * s.step
		if v > axis.to() {
			break
		}
		ticks = append(ticks, v)
	}
	return ticks
}

func (s *sheet) spell(v float64) string {
	return s.plan.Words.Number(v, max(0, int(math.Ceil(-math.Log10(s.step)-1e-9))))
}

func (s *sheet) widestTick() int {
	widest := 0
	for _, v := range s.ticks(s.y) {
		widest = max(widest, plainHand.width(s.fonts, s.spell(v)))
	}
	return widest
}

// entries are the legend.
func (s *sheet) entries(moved, left bool) []entry {
	occurs := func(f func(Spot) bool) bool { return slices.ContainsFunc(s.plan.Spots, f) }
	var all []entry
	for _, v := range []Verdict{Pass, Fail, NotEstablished, Void} {
		if occurs(func(p Spot) bool { return p.Verdict == v }) {
			sign := func(r chart.Renderer, x, y int) { drawMark(r, marks[v], markSize, v.colour(), x, y) }
			all = append(all, entry{sign, s.plan.Words.Verdicts[v], plainHand})
		}
	}
	if slices.ContainsFunc(s.fails, func(fail int) bool { return fail >= 0 }) {
		all = append(all, entry{joinSign, s.plan.Words.Joined, plainHand})
	}
	if moved {
		all = append(all, entry{nil, s.plan.Words.Moved, noteHand})
	}
	if left {
		all = append(all, entry{nil, fmt.Sprintf(s.plan.Words.Left, s.plan.Words.Number(float64(s.left), 0)), noteHand})
	}
	return all
}

func joinSign(r chart.Renderer, x, y int) {
	line(r, retestPen, x-steps(3.5), y, x+steps(3.5), y)
}

// place finds a place for each mark: its own, or where another lies there
// already, the nearest that is free. Fails come first and are always drawn.
func (s *sheet) place() {
	s.placed = make([]placed, len(s.plan.Spots))
	taken := newCells(box{0, 0, s.x.domain, s.y.domain})
	half := steps(markSize/2 - 1) // marks may touch
	at := func(x, y int) box { return box{x - half, y - half, x + half, y + half} }
	const rings, apart = 4, markSize + 0.5
	for _, of := range []Verdict{Fail, NotEstablished, Void, Pass} {
		for i, p := range s.plan.Spots {
			if p.Verdict != of {
				continue
			}
			x, y := s.x.Translate(p.X), s.y.Translate(p.Y)
			q := placed{x: x, y: y, drawn: taken.free(at(x, y))}
			for ring := 1; ring <= rings && !q.drawn; ring++ {
				for _, d := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {0.8, 0.8}, {-0.8, 0.8}, {0.8, -0.8}, {-0.8, -0.8}} {
					far := float64(ring) * apart
					if b := at(x+steps(d[0]*far), y+steps(d[1]*far)); taken.free(b) {
						q = placed{x + steps(d[0]*far), y + steps(d[1]*far), true, true}
						break
					}
				}
			}
			if !q.drawn && of == Fail {
				q.drawn = true
			}
			if !q.drawn {
				s.left++
			}
			taken.take(at(q.x, q.y))
			s.placed[i] = q
		}
	}
}
