package photo

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"
)

const (
	dotsPerInch   = 200 // of a printed photograph, at most
	pointsPerInch = 72
	quality       = 85 // of the JPEG, of 100
)

// Print is the photograph as a JPEG to be printed within w × h points: turned
// upright, with at most 200 pixels an inch, and with nothing of what the
// camera noted. A JPEG that is so already keeps its pixels bit for bit. The
// error is ErrFormat or ErrBroken. The same photograph gives the same bytes.
func (p Photo) Print(w, h float64) ([]byte, error) {
	toW, toH := fitting(p.W, p.H, p.Turn, w, h)
	stored, err := p.decode(min(p.W/toW, p.H/toH))
	if err != nil {
		return nil, why(err)
	}
	_, fourColours := stored.(*image.CMYK)
	if p.Kind == JPEG && p.Turn == Upright && toW == p.W && toH == p.H && !fourColours {
		if data := bare(p.data); data != nil {
			return data, nil
		}
	}
	var out image.Image
	switch stored := stored.(type) {
	case *image.YCbCr:
		out = p.ofPlanes(stored, toW, toH)
	case *image.Gray:
		out = p.ofGrey(stored, toW, toH)
	default:
		out = p.ofColours(stored, toW, toH)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, out, &jpeg.Options{Quality: quality}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// decode is the picture, which is to be made smaller by a factor. What can be
// is made so while it is decoded.
func (p Photo) decode(by int) (image.Image, error) {
	if p.Kind == JPEG {
		for _, half := range []int{4, 2} {
			if by < half {
				continue
			}
			if m := shrunken(p.data, half); m != nil {
				return m, nil
			}
			break
		}
		return jpeg.Decode(bytes.NewReader(p.data))
	}
	return png.Decode(bytes.NewReader(p.data))
}

// fitting is the size in pixels, before it is turned, that a picture of
// w × h pixels is printed in.
func fitting(w, h int, t Turn, boxW, boxH float64) (int, int) {
	if t.sideways() {
		boxW, boxH = boxH, boxW
	}
	const perPoint = float64(dotsPerInch) / pointsPerInch
	scale := min(1, boxW*perPoint/float64(w), boxH*perPoint/float64(h))
	return max(1, int(scale*float64(w))), max(1, int(scale*float64(h)))
}

// ofPlanes reduces the planes in which a JPEG is stored, which is a good deal
// less work than its colours, and keeps those of the colours at half.
func (p Photo) ofPlanes(m *image.YCbCr, w, h int) image.Image {
	size := m.Rect.Size()
	cw, ch := size.X, size.Y
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio422:
		cw = (cw + 1) / 2
	case image.YCbCrSubsampleRatio420:
		cw, ch = (cw+1)/2, (ch+1)/2
	case image.YCbCrSubsampleRatio440:
		ch = (ch + 1) / 2
	case image.YCbCrSubsampleRatio411:
		cw = (cw + 3) / 4
	case image.YCbCrSubsampleRatio410:
		cw, ch = (cw+3)/4, (ch+1)/2
	}
	luma := p.Turn.turn(reduced(m.Y, m.YStride, size.X, size.Y, w, h))
	cb := p.Turn.turn(reduced(m.Cb, m.CStride, cw, ch, (w+1)/2, (h+1)/2))
	cr := p.Turn.turn(reduced(m.Cr, m.CStride, cw, ch, (w+1)/2, (h+1)/2))
	return &image.YCbCr{
		Y: luma.pix, Cb: cb.pix, Cr: cr.pix, YStride: luma.w, CStride: cb.w,
		SubsampleRatio: image.YCbCrSubsampleRatio420, Rect: image.Rect(0, 0, luma.w, luma.h),
	}
}

func (p Photo) ofGrey(m *image.Gray, w, h int) image.Image {
	size := m.Rect.Size()
	g := p.Turn.turn(reduced(m.Pix, m.Stride, size.X, size.Y, w, h))
	return &image.Gray{Pix: g.pix, Stride: g.w, Rect: image.Rect(0, 0, g.w, g.h)}
}

// reduced is a plane of w × h bytes, reduced.
func reduced(pix []byte, stride, w, h, toW, toH int) plane {
	r := newReducer(w, h, 1, toW, toH)
	for y := range h {
		r.add(pix[y*stride : y*stride+w])
	}
	return r.out
}

// ofColours reduces any other picture as it lies on white paper, a row at a
// time.
func (p Photo) ofColours(m image.Image, w, h int) image.Image {
	const n = 4
	b := m.Bounds()
	row := image.NewRGBA(image.Rect(0, 0, b.Dx(), 1))
	r := newReducer(b.Dx(), b.Dy(), n, w, h)
	for y := range b.Dy() {
		draw.Draw(row, row.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(row, row.Rect, m, image.Pt(b.Min.X, b.Min.Y+y), draw.Over)
		r.add(row.Pix)
	}
	out := p.Turn.turn(r.out)
	return &image.RGBA{Pix: out.pix, Stride: n * out.w, Rect: image.Rect(0, 0, out.w, out.h)}
}
