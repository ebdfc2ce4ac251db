package plot

import (
	"fmt"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"

	"saltline/internal/frame"
)

func (s *sheet) draw() (*frame.Frame, error) {
	return drawLayers(s.fonts, s.width, s.height, s.margins, &s.x, &s.y,
		s.drawNet, s.drawJoins, s.drawLeaders, s.drawMarks, s.drawLabels, s.drawBar, s.drawHead)
}

// drawNet draws the axes and a faint net of squares. A number that would touch
// the one before it is left out.
func (s *sheet) drawNet(r chart.Renderer, at canvas) {
	under := at.bottom + steps(tickSize+plainHand.size+0.5)
	end := math.MinInt
	for _, v := range s.ticks(s.x) {
		x, text := at.x(v), s.spell(v)
		line(r, gridPen, x, at.top, x, at.bottom)
		line(r, axisPen, x, at.bottom, x, at.bottom+steps(tickSize))
		w := plainHand.width(s.fonts, text)
		if left := x - w/2; left > end && left+w <= s.width {
			write(r, plainHand, text, left, under)
			end = left + w + steps(space)
		}
	}
	for _, v := range s.ticks(s.y) {
		y, text := at.y(v), s.spell(v)
		line(r, gridPen, at.left, y, at.right, y)
		line(r, axisPen, at.left-steps(tickSize), y, at.left, y)
		write(r, plainHand, text, at.left-steps(tickSize+space)-plainHand.width(s.fonts, text), y+plainHand.cap(s.fonts)/2)
	}
	line(r, axisPen, at.left, at.top, at.left, at.bottom, at.right, at.bottom)
	line(r, gridPen, at.left, at.top, at.right, at.top, at.right, at.bottom)
	if text := plainHand.fit(s.fonts, s.plan.XLabel, (at.right-at.left)/2); text != "" {
		w, left := plainHand.width(s.fonts, text), s.barLeft(at)
		middle := (at.left + at.right - w) / 2
		write(r, plainHand, text, max(at.left, min(middle, left-steps(3*space)-w)), under+steps(plainHand.size+space))
	}
	if text := plainHand.fit(s.fonts, s.plan.YLabel, at.bottom-at.top); text != "" {
		writeUp(r, plainHand, text, steps(plainHand.size), (at.top+at.bottom+plainHand.width(s.fonts, text))/2)
	}
}

// mark is where the mark of spot i is drawn.
func (s *sheet) mark(at canvas, i int) (x, y int) {
	return at.left + s.placed[i].x, at.bottom - s.placed[i].y
}

// joins tells the lines between the fails and their retests.
func (s *sheet) joins(at canvas, tell func(x0, y0, x1, y1 int)) {
	for i := range s.plan.Spots {
		if j := s.fails[i]; j >= 0 && s.placed[i].drawn {
			x0, y0 := s.mark(at, j)
			x1, y1 := s.mark(at, i)
			tell(x0, y0, x1, y1)
		}
	}
}

func (s *sheet) drawJoins(r chart.Renderer, at canvas) {
	s.joins(at, func(x0, y0, x1, y1 int) { line(r, retestPen, x0, y0, x1, y1) })
}

// drawLeaders draws a line to its place from each mark that is set aside.
func (s *sheet) drawLeaders(r chart.Renderer, at canvas) {
	for i, p := range s.plan.Spots {
		if s.placed[i].moved {
			x, y := s.mark(at, i)
			line(r, leaderPen, at.x(p.X), at.y(p.Y), x, y)
		}
	}
}

// drawMarks draws the marks, the fails over the others.
func (s *sheet) drawMarks(r chart.Renderer, at canvas) {
	for _, of := range []Verdict{Pass, Void, NotEstablished, Fail} {
		for i, p := range s.plan.Spots {
			if x, y := s.mark(at, i); p.Verdict == of && s.placed[i].drawn {
				drawMark(r, marks[of], markSize, of.colour(), x, y)
			}
		}
	}
}

// obstacles are the squares of the canvas that marks and lines take.
func (s *sheet) obstacles(at canvas) *cells {
	taken := newCells(at.box)
	half := steps(markSize / 2)
	for i := range s.plan.Spots {
		if x, y := s.mark(at, i); s.placed[i].drawn {
			taken.take(box{x - half, y - half, x + half, y + half})
		}
	}
	s.joins(at, func(x0, y0, x1, y1 int) {
		n := max(1, x1-x0, x0-x1, y1-y0, y0-y1) / grid
		for i := range n + 1 {
			x, y := x0+(x1-x0)*i/max(n, 1), y0+(y1-y0)*i/max(n, 1)
			taken.take(box{x - 1, y - 1, x + 1, y + 1})
		}
	})
	return taken
}

// drawLabels writes number and value of each fail, and the numbers of the
// other tests where there is room for them. A fail whose label finds none has
// its number alone.
func (s *sheet) drawLabels(r chart.Renderer, at canvas) {
	taken := s.obstacles(at)
	for i, p := range s.plan.Spots {
		if p.Verdict != Fail {
			continue
		}
		if p.NoValue || !s.label(r, at, taken, i, fmt.Sprintf(s.plan.Words.Failed, p.Number, s.plan.Words.Number(p.Value, 1)), failHand, highest) {
			s.label(r, at, taken, i, p.Number, failHand, highest)
		}
	}
	for i, p := range s.plan.Spots {
		if p.Verdict != Fail && s.placed[i].drawn {
			s.label(r, at, taken, i, p.Number, labelHand, 0)
		}
	}
}

// label writes text beside the mark of spot i where it covers nothing, or so
// many lines over or under it, with a line to the mark. It reports whether
// there was room.
func (s *sheet) label(r chart.Renderer, at canvas, taken *cells, i int, text string, h hand, lines int) bool {
	if text == "" {
		return true
	}
	x, y := s.mark(at, i)
	w, high, gap := h.width(s.fonts, text), h.cap(s.fonts)+steps(1.5), steps(markSize/2+1)
	right := box{x + gap, y - high/2, x + gap + w, y - high/2 + high}
	over := box{x - w/2, y - gap - high, x - w/2 + w, y - gap}
	put := func(b box) bool {
		if !taken.free(b) {
			return false
		}
		taken.take(b)
		write(r, h, text, b.left, b.bottom-steps(0.75))
		return true
	}
	for _, b := range []box{right, right.move(-2*gap-w, 0), over, over.move(0, 2*gap+high)} {
		if put(b) {
			return true
		}
	}
	for k := 1; k <= lines; k++ {
		for _, b := range []box{over.move(0, -k*high), over.move(0, 2*gap+(k+1)*high)} {
			for _, b := range []box{b, b.move(w/2, 0), b.move(-w/2, 0)} {
				if b = b.into(at.left+grid, at.right-grid); put(b) {
					end := b.bottom
					if b.top > y {
						end = b.top
					}
					line(r, leaderPen, x, y+map[bool]int{true: gap, false: -gap}[b.top > y], min(max(x, b.left), b.right), end)
					return true
				}
			}
		}
	}
	return false
}

// bar is the scale: a round length, in units of the map, and what it says.
func (s *sheet) bar() (length float64, says string) {
	room := min(longestBar, s.x.domain/3)
	length = niceStep(4 * float64(room) / s.x.scale) // which is a quarter of that at most
	says = s.plan.Words.Number(length, max(0, int(math.Ceil(-math.Log10(length)-1e-9))))
	if s.plan.Unit != "" {
		says += "\u00a0" + s.plan.Unit
	}
	return length, says
}

// barLeft is where the bar of the scale begins, at the right below the axis.
func (s *sheet) barLeft(at canvas) int {
	length, says := s.bar()
	return at.right - plainHand.width(s.fonts, says) - steps(space) - int(math.Round(length*s.x.scale))
}

func (s *sheet) drawBar(r chart.Renderer, at canvas) {
	length, says := s.bar()
	left := s.barLeft(at)
	right, up := left+int(math.Round(length*s.x.scale)), steps(2)
	y := at.bottom + steps(tickSize+2*plainHand.size+space)
	middle := y - plainHand.cap(s.fonts)/2
	line(r, axisPen, left, middle-up, left, middle+up)
	line(r, axisPen, left, middle, right, middle)
	line(r, axisPen, right, middle-up, right, middle+up)
	write(r, plainHand, says, right+steps(space), y)
}

func (s *sheet) drawHead(r chart.Renderer, _ canvas) {
	y := 0
	if s.plan.Title != "" {
		y = steps(titleHand.size)
		write(r, titleHand, titleHand.fit(s.fonts, s.plan.Title, s.width), 0, y)
		y += steps(1)
	}
	drawLegend(r, s.fonts, s.legend, 0, y)
}
