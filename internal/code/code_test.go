package code_test

import (
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"saltline/internal/code"
	"saltline/internal/frame"
)

// The code is read back by a reader that is not ours.
func TestDraw(t *testing.T) {
	for _, text := range []string{
		"certificate QL-26-03-SC-UG, revision 0, rows " + strings.Repeat("9c41b2e0", 8),
		"Bescheinigung Fähre-7, Änderung B, µS/cm",
		strings.Repeat("x", 600),
	} {
		f, err := code.Draw(text, 200)
		if err != nil {
			t.Fatal(err)
		}
		if f.W != 200 || f.H != 200 {
			t.Errorf("%.1f × %.1f", f.W, f.H)
		}
		bits, err := gozxing.NewBinaryBitmapFromImage(paint(t, f, 5))
		if err != nil {
			t.Fatal(err)
		}
		read, err := qrcode.NewQRCodeReader().Decode(bits, nil)
		if err != nil {
			t.Fatalf("%.40q: %v", text, err)
		}
		if read.GetText() != text {
			t.Errorf("read %q, want %q", read.GetText(), text)
		}
	}
}

func TestDrawTooLong(t *testing.T) {
	if _, err := code.Draw(strings.Repeat("x", 3000), 100); err == nil {
		t.Error("no error for a text that no code can hold")
	}
}

// paint fills the rectangles of f, each point being so many pixels wide.
func paint(t *testing.T, f *frame.Frame, scale float64) image.Image {
	t.Helper()
	out := image.NewGray(image.Rect(0, 0, int(f.W*scale), int(f.H*scale)))
	for i := range out.Pix {
		out.Pix[i] = 0xff
	}
	for _, placed := range f.Items {
		path, ok := placed.Item.(frame.Path)
		if !ok {
			t.Fatalf("%T in a code", placed.Item)
		}
		for i := 0; i+4 < len(path.Segs); i += 5 {
			a, b := path.Segs[i].P[0], path.Segs[i+2].P[0]
			for y := (placed.Y + a.Y) * scale; y < (placed.Y+b.Y)*scale; y++ {
				for x := (placed.X + a.X) * scale; x < (placed.X+b.X)*scale; x++ {
					out.Set(int(x), int(y), color.Black)
				}
			}
		}
	}
	return out
}
