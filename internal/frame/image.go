package frame

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
)

// An Image is a picture in JPEG or PNG. Its place is its top left corner.
type Image struct {
	Data []byte
	W, H float64
	Alt  string // what it shows, for a reader that cannot see it
}

// mostPixels bounds the pictures that are taken: more than a page can show.
const mostPixels = 50_000_000

// NewImage is the picture in data, as large as w and h allow without
// distorting it. It fails on anything but a JPEG or PNG that can be read to
// its end and has at most 50 million pixels.
//
// A JPEG in grey or RGB is kept as it is. Anything else is written anew as an
// opaque PNG of 8 bits on white paper: not every writer of PDF knows
// interlacing, 16 bits, transparency or the four colours of print.
func NewImage(data []byte, w, h float64, alt string) (Image, error) {
	im := Image{Data: data, Alt: alt}
	if !im.IsPNG() && !im.IsJPEG() {
		return Image{}, errors.New("neither JPEG nor PNG")
	}
	cfg, _, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil:
		return Image{}, err
	case cfg.Width < 1 || cfg.Height < 1:
		return Image{}, errors.New("picture without pixels")
	case cfg.Width > mostPixels/cfg.Height:
		return Image{}, fmt.Errorf("picture of %d × %d pixels", cfg.Width, cfg.Height)
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return Image{}, err
	}
	if im.IsPNG() || cfg.ColorModel == color.CMYKModel {
		if im.Data, err = onPaper(picture); err != nil {
			return Image{}, err
		}
	}
	return im.within(cfg, w, h), nil
}

// onPaper is a picture as an opaque PNG on white.
func onPaper(picture image.Image) ([]byte, error) {
	paper := image.NewRGBA(image.Rectangle{Max: picture.Bounds().Size()})
	draw.Draw(paper, paper.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(paper, paper.Bounds(), picture, picture.Bounds().Min, draw.Over)
	var b bytes.Buffer
	err := png.Encode(&b, paper)
	return b.Bytes(), err
}

// IsPNG reports whether the picture begins as a PNG does.
func (im Image) IsPNG() bool { return bytes.HasPrefix(im.Data, []byte("\x89PNG\r\n\x1a\n")) }

// IsJPEG reports whether the picture begins as a JPEG does.
func (im Image) IsJPEG() bool { return bytes.HasPrefix(im.Data, []byte("\xff\xd8\xff")) }

// Made is the picture in a JPEG that this program has made itself, as large as
// w and h allow without distorting it. Its head is read and nothing more: a
// hundred photographs are not decoded twice.
func Made(data []byte, w, h float64, alt string) (Image, error) {
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return Image{}, err
	}
	return Image{Data: data, Alt: alt}.within(cfg, w, h), nil
}

// within is the picture as large as w and h allow.
func (im Image) within(cfg image.Config, w, h float64) Image {
	scale := min(w/float64(cfg.Width), h/float64(cfg.Height))
	im.W, im.H = scale*float64(cfg.Width), scale*float64(cfg.Height)
	return im
}
