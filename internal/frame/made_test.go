package frame

import (
	"bytes"
	"image"
	"image/jpeg"
	"testing"
)

// A picture fills its room one way and keeps its shape.
func TestMadeFitsItsRoom(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 20)), nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ w, h, wantW, wantH float64 }{{80, 80, 80, 40}, {80, 10, 20, 10}} {
		im, err := Made(b.Bytes(), c.w, c.h, "a spot")
		if err != nil || im.W != c.wantW || im.H != c.wantH || im.Alt != "a spot" || !bytes.Equal(im.Data, b.Bytes()) {
			t.Errorf("in %g × %g: %g × %g, %q, %v; want %g × %g", c.w, c.h, im.W, im.H, im.Alt, err, c.wantW, c.wantH)
		}
	}
	if _, err := Made([]byte("no picture"), 10, 10, ""); err == nil {
		t.Error("what is no picture was taken for one")
	}
}
