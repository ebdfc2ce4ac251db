// Package code draws a text as a two-dimensional code.
package code

import (
	"fmt"
	"image/color"

	"github.com/boombuler/barcode/qr"

	"saltline/internal/frame"
)

// quiet is the width of the empty margin around a code, in modules, that
// ISO/IEC 18004 asks for.
const quiet = 4

// Draw draws text as a QR code (ISO/IEC 18004), side points wide with its empty
// margin. A quarter of it may be soiled and it can still be read. It fails
// where the text is too long, some 1,600 bytes.
func Draw(text string, side float64) (*frame.Frame, error) {
	made, err := qr.Encode(text, qr.Q, qr.Unicode)
	if err != nil {
		return nil, fmt.Errorf("code: %w", err)
	}
	n := made.Bounds().Dx()
	module := side / float64(n+2*quiet)
	f := &frame.Frame{W: side, H: side}
	p := frame.Path{Fill: frame.Fill{On: true, Colour: frame.Black}}
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && dark(made.At(x, y)) {
				x++
			}
			if x > from { // the dark modules beside each other in one piece, so that no light shows between them
				left, right := float64(from)*module, float64(x)*module
				top, bottom := float64(y)*module, float64(y+1)*module
				p.MoveTo(left, top)
				p.LineTo(right, top)
				p.LineTo(right, bottom)
				p.LineTo(left, bottom)
				p.Close()
			}
		}
	}
	f.Put(quiet*module, quiet*module, p)
	return f, nil
}

func dark(c color.Color) bool {
	r, _, _, _ := c.RGBA()
	return r < 0x8000
}
