package frame

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
)

// An Image is a picture in JPEG or PNG. Its place is its top left corner.
type Image struct {
	Data []byte
	W, H float64
	Alt  string // what it shows, for a reader that cannot see it
}

// NewImage is the picture in data, as large as w and h allow without
// distorting it. It fails on anything but JPEG and PNG.
func NewImage(data []byte, w, h float64, alt string) (Image, error) {
	var cfg image.Config
	var err error
	switch im := (Image{Data: data}); {
	case im.IsPNG():
		cfg, err = png.DecodeConfig(bytes.NewReader(data))
	case im.IsJPEG():
		cfg, err = jpeg.DecodeConfig(bytes.NewReader(data))
	default:
		err = errors.New("neither JPEG nor PNG")
	}
	if err != nil {
		return Image{}, err
	}
	if cfg.Width < 1 || cfg.Height < 1 {
		return Image{}, errors.New("picture without pixels")
	}
	scale := min(w/float64(cfg.Width), h/float64(cfg.Height))
	return Image{data, scale * float64(cfg.Width), scale * float64(cfg.Height), alt}, nil
}

// IsPNG reports whether the picture begins as a PNG does.
func (im Image) IsPNG() bool { return bytes.HasPrefix(im.Data, []byte("\x89PNG\r\n\x1a\n")) }

// IsJPEG reports whether the picture begins as a JPEG does.
func (im Image) IsJPEG() bool { return bytes.HasPrefix(im.Data, []byte("\xff\xd8\xff")) }
