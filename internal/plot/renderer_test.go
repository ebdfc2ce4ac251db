package plot

import (
	"math"
	"testing"

	"github.com/wcharczuk/go-chart/v2/drawing"

	"saltline/internal/frame"
)

func drawn(t *testing.T) *renderer {
	return newRenderer(loadFonts(t), &frame.Frame{W: 100, H: 100})
}

// only returns the single item that was put.
func only(t *testing.T, r *renderer) frame.Placed {
	t.Helper()
	if len(r.out.Items) != 1 {
		t.Fatalf("%d items: %v", len(r.out.Items), r.out)
	}
	return r.out.Items[0]
}

func TestRendererPath(t *testing.T) {
	r := drawn(t)
	r.SetStrokeColor(black)
	r.SetStrokeWidth(1 * grid)
	r.SetStrokeDashArray([]float64{2 * grid, 1 * grid})
	r.MoveTo(10*grid, 20*grid)
	r.LineTo(30*grid, 25*grid)
	r.Close()
	r.Stroke()
	const want = "frame 100×100\n  path 10,20 pen 1 #000000 dash 2-1 M 0,0 L 20,5 Z\n"
	if got := r.out.String(); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// What has no colour or no width is not put.
func TestRendererUnseen(t *testing.T) {
	r := drawn(t)
	r.SetStrokeColor(drawing.ColorTransparent)
	r.SetStrokeWidth(1)
	r.SetFillColor(drawing.ColorTransparent)
	r.MoveTo(0, 0)
	r.LineTo(10, 10)
	r.FillStroke()
	r.FillStroke()
	r.Text("", 0, 0)
	if len(r.out.Items) != 0 {
		t.Errorf("got %v", r.out)
	}
}

// A parabola from 0,0 by 10,20 to 20,0 has its middle at 10,10; so has the
// cubic curve that is put for it.
func TestRendererCurve(t *testing.T) {
	r := drawn(t)
	r.SetStrokeColor(black)
	r.SetStrokeWidth(1)
	r.MoveTo(0, 0)
	r.QuadCurveTo(10*grid, 20*grid, 20*grid, 0)
	r.Stroke()
	p := only(t, r).Item.(frame.Path).Segs[1].P
	x, y := (3*p[0].X+3*p[1].X+p[2].X)/8, (3*p[0].Y+3*p[1].Y+p[2].Y)/8
	if math.Abs(x-10) > 1e-9 || math.Abs(y-10) > 1e-9 {
		t.Errorf("middle at %v, %v", x, y)
	}
}

// A quarter of a circle of radius 10 about 50,50 runs from the right to the
// bottom, y being downwards, and keeps its distance.
func TestRendererArc(t *testing.T) {
	r := drawn(t)
	r.SetStrokeColor(black)
	r.SetStrokeWidth(1)
	r.ArcTo(50*grid, 50*grid, 10*grid, 10*grid, 0, math.Pi/2)
	r.Stroke()
	p := only(t, r)
	segs := p.Item.(frame.Path).Segs
	for _, s := range segs {
		if d := math.Hypot(p.X+s.P[0].X-50, p.Y+s.P[0].Y-50); math.Abs(d-10) > 1e-9 {
			t.Errorf("a corner at %v from the centre", d)
		}
	}
	end := segs[len(segs)-1].P[0]
	if math.Abs(p.X+end.X-50) > 1e-9 || math.Abs(p.Y+end.Y-60) > 1e-9 {
		t.Errorf("ends at %v, %v", p.X+end.X, p.Y+end.Y)
	}
}

// The chart turns text clockwise, a frame anticlockwise.
func TestRendererText(t *testing.T) {
	r := drawn(t)
	r.SetClassName("CondensedSemiBold")
	r.SetFontSize(7)
	r.SetFontColor(drawing.Color{A: 0x80})
	r.SetTextRotation(-math.Pi / 2)
	r.Text("no. 12", 5*grid, 6*grid)
	got := only(t, r)
	want := frame.Text{S: "no. 12", Face: frame.CondensedSemiBold, Size: 7, Colour: frame.Grey(0x7f), Rotate: 90}
	if got.Item != frame.Item(want) || got.X != 5 || got.Y != 6 {
		t.Errorf("got %+v, want %+v", got, want)
	}
	tall := r.MeasureText("no. 12")
	r.ClearTextRotation()
	flat := r.MeasureText("no. 12")
	if flat.Width() <= flat.Height() || tall.Height() <= tall.Width() {
		t.Errorf("flat %v, upright %v", flat, tall)
	}
	r.ResetStyle()
	r.Text("x", 0, 0)
	if x := r.out.Items[1].Item.(frame.Text); x.Face != frame.Regular || x.Rotate != 0 {
		t.Errorf("after a reset: %+v", x)
	}
}
