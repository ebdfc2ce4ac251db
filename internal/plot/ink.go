package plot

import (
	"math"
	"strings"

	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"

	"saltline/internal/frame"
)

// A pen draws lines; its width and dash are in points.
type pen struct {
	width  float64
	colour drawing.Color
	dash   []float64
}

// A hand writes text; its size is in points.
type hand struct {
	face   frame.Face
	size   float64
	colour drawing.Color
}

func grey(v uint8) drawing.Color { return drawing.Color{R: v, G: v, B: v, A: 255} }

// Colour only helps: every verdict is told by shape and words.
var (
	black   = grey(0)
	white   = grey(255)
	failRed = drawing.Color{R: 0xa0, G: 0x16, B: 0x16, A: 255}
)

// Pens, hands and measures of a plot, in points.
var (
	axisPen   = pen{width: 0.7, colour: black}
	gridPen   = pen{width: 0.4, colour: grey(0xd8)}
	limitPen  = pen{width: 0.9, colour: black, dash: []float64{5, 2.5}}
	barPen    = pen{width: 0.6, colour: black}
	retestPen = pen{width: 0.7, colour: grey(0x70)}
	leaderPen = pen{width: 0.35, colour: grey(0x70)}

	titleHand = hand{frame.SemiBold, 9, black}
	plainHand = hand{frame.Regular, 7, black}
	noteHand  = hand{frame.Italic, 7, black}
	labelHand = hand{frame.Condensed, 7, black}
	failHand  = hand{frame.CondensedSemiBold, 7, black}
)

const (
	markSize = 5.5
	tickSize = 3
	riseOf   = 14  // of the curve from a fail to its retest
	capHalf  = 1.6 // half the width of the end of a bar
	space    = 3   // between things that stand beside one another
)

// steps is a length of so many points, on the grid.
func steps(points float64) int { return int(math.Round(points * grid)) }

// line draws a line through places given as x, y, x, y …
func line(r chart.Renderer, p pen, xy ...int) {
	r.ResetStyle()
	r.SetStrokeColor(p.colour)
	r.SetStrokeWidth(p.width * grid)
	if p.dash != nil {
		dash := make([]float64, len(p.dash))
		for i, d := range p.dash {
			dash[i] = d * grid
		}
		r.SetStrokeDashArray(dash)
	}
	r.MoveTo(xy[0], xy[1])
	for i := 2; i+1 < len(xy); i += 2 {
		r.LineTo(xy[i], xy[i+1])
	}
	r.Stroke()
}

// arc draws a curve that rises over the straight line from x0, y0 to x1, y1 by
// half of rise at its middle.
func arc(r chart.Renderer, p pen, x0, y0, x1, y1, rise int) {
	r.ResetStyle()
	r.SetStrokeColor(p.colour)
	r.SetStrokeWidth(p.width * grid)
	r.MoveTo(x0, y0)
	r.QuadCurveTo((x0+x1)/2, (y0+y1)/2-rise, x1, y1)
	r.Stroke()
}

// blank covers b with paper.
func blank(r chart.Renderer, b box) {
	r.ResetStyle()
	r.SetFillColor(white)
	trace(r, b)
	r.Fill()
}

// trace makes the outline of b the path.
func trace(r chart.Renderer, b box) {
	r.MoveTo(b.left, b.top)
	r.LineTo(b.right, b.top)
	r.LineTo(b.right, b.bottom)
	r.LineTo(b.left, b.bottom)
	r.Close()
}

// write writes s with the start of its baseline at x, y.
func write(r chart.Renderer, h hand, s string, x, y int) {
	h.take(r)
	r.Text(s, x, y)
}

// writeUp writes s upwards, with the start of its baseline at x, y.
func writeUp(r chart.Renderer, h hand, s string, x, y int) {
	h.take(r)
	r.SetTextRotation(-math.Pi / 2)
	r.Text(s, x, y)
	r.ClearTextRotation()
}

func (h hand) take(r chart.Renderer) {
	r.ResetStyle()
	r.SetClassName(h.face.String())
	r.SetFontSize(h.size)
	r.SetFontColor(h.colour)
}

// width of s, on the grid.
func (h hand) width(fonts *frame.Fonts, s string) int {
	return int(math.Ceil(fonts.Width(h.face, h.size, fonts.Shown(h.face, s)) * grid))
}

// cap is the height of a capital, on the grid.
func (h hand) cap(fonts *frame.Fonts) int { return steps(fonts.Metrics(h.face, h.size).Cap) }

// fit is s, cut with an ellipsis to width, on the grid.
func (h hand) fit(fonts *frame.Fonts, s string, width int) string {
	if h.width(fonts, s) <= width {
		return s
	}
	runes := []rune(s)
	for n := len(runes) - 1; n > 0; n-- {
		if t := strings.TrimRight(string(runes[:n]), " ") + "…"; h.width(fonts, t) <= width {
			return t
		}
	}
	return "…"
}

// fitEnds is s, cut in its middle to width, on the grid: what tells places of
// one structure apart often stands at the end of their names.
func (h hand) fitEnds(fonts *frame.Fonts, s string, width int) string {
	whole := h.width(fonts, s)
	if whole <= width {
		return s
	}
	runes := []rune(s)
	cut := func(n int) string { // to n characters, and no wider than to n+1
		head, tail := string(runes[:(n+1)/2]), string(runes[len(runes)-n/2:])
		return strings.TrimRight(head, " ,") + "…" + strings.TrimLeft(tail, " ,")
	}
	// It is sought from where letters of one width would have it.
	last := len(runes) - 1
	n := min(last, len(runes)*max(width, 0)/whole)
	for n < last && h.width(fonts, cut(n+1)) <= width {
		n++
	}
	for ; n > 1; n-- {
		if t := cut(n); h.width(fonts, t) <= width {
			return t
		}
	}
	return h.fit(fonts, s, width)
}

// wrap breaks s at spaces into lines of at most width, on the grid: as few as
// can be, and then as even as can be.
func (h hand) wrap(fonts *frame.Fonts, s string, width int) []string {
	lines := h.fill(fonts, s, width)
	for narrower := width - grid; narrower > 0; narrower -= grid {
		even := h.fill(fonts, s, narrower)
		if len(even) > len(lines) || strings.Join(even, " ") != strings.Join(lines, " ") {
			break
		}
		lines = even
	}
	return lines
}

// fill puts as many words of s as fit on each line. A word that is too long
// is cut.
func (h hand) fill(fonts *frame.Fonts, s string, width int) []string {
	var lines []string
	for _, word := range strings.Fields(s) {
		if n := len(lines) - 1; n >= 0 && h.width(fonts, lines[n]+" "+word) <= width {
			lines[n] += " " + word
		} else {
			lines = append(lines, h.fit(fonts, word, width))
		}
	}
	return lines
}

// drawMark draws m about x, y, its size in points. The inside of an open mark
// is paper, so that a bar does not fill it.
func drawMark(r chart.Renderer, m frame.Mark, size float64, c drawing.Color, x, y int) {
	p := m.Path(size, frame.Colour{R: c.R, G: c.G, B: c.B})
	r.ResetStyle()
	r.SetStrokeColor(c)
	r.SetStrokeWidth(p.Pen.Width * grid)
	switch {
	case p.Fill.On:
		r.SetFillColor(c)
	case m != frame.Cross && m != frame.Dash:
		r.SetFillColor(white)
	}
	if m == frame.Disc || m == frame.Ring {
		r.Circle(p.Segs[0].P[0].X*grid, x, y)
		r.FillStroke()
		return
	}
	for _, s := range p.Segs {
		at := func() (int, int) { return x + steps(s.P[0].X), y + steps(s.P[0].Y) }
		switch s.Op {
		case frame.Move:
			r.MoveTo(at())
		case frame.Line:
			r.LineTo(at())
		case frame.Close:
			r.Close()
		}
	}
	r.FillStroke()
}

// oneLine is s as a frame can carry it, with its line breaks as spaces.
func oneLine(s string) string {
	s, _ = frame.Clean(s)
	return strings.ReplaceAll(s, "\n", " ")
}
