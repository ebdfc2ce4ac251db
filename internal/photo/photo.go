// Package photo makes photographs fit for print: upright, reduced to what
// paper shows, and without what the camera noted beside the picture.
//
// It works on bytes that come from strangers. What a file claims is measured
// against the file before anything is decoded.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"time"
)

// Most that is taken of one file.
const (
	MostBytes  = 64 << 20    // of the file
	MostPixels = 120_000_000 // of the picture
	mostMemory = 256 << 20   // bytes that decoding it may take
)

// A Kind is the format of an image file, told by its first bytes.
type Kind string

// JPEG and PNG can be shown. The others are only told apart, by the names
// that people know them by; "" is none of them.
const (
	JPEG Kind = "JPEG"
	PNG  Kind = "PNG"
	HEIF Kind = "HEIF"
	AVIF Kind = "AVIF"
	WebP Kind = "WebP"
	TIFF Kind = "TIFF"
	GIF  Kind = "GIF"
	BMP  Kind = "BMP"
	PDF  Kind = "PDF"
)

// KindOf is the format of data.
func KindOf(data []byte) Kind {
	begins := func(s string) bool { return bytes.HasPrefix(data, []byte(s)) }
	switch {
	case begins("\xff\xd8\xff"):
		return JPEG
	case begins("\x89PNG\r\n\x1a\n"):
		return PNG
	case begins("II*\x00"), begins("MM\x00*"):
		return TIFF
	case begins("GIF8"):
		return GIF
	case begins("BM"):
		return BMP
	case begins("%PDF-"):
		return PDF
	case begins("RIFF") && len(data) >= 12 && string(data[8:12]) == "WEBP":
		return WebP
	case len(data) >= 12 && string(data[4:8]) == "ftyp":
		switch string(data[8:12]) {
		case "heic", "heix", "hevc", "mif1", "msf1", "heim", "heis":
			return HEIF
		case "avif", "avis":
			return AVIF
		}
	}
	return ""
}

// What keeps a file from being shown.
var (
	ErrFormat = errors.New("not a format that can be shown") // neither JPEG nor PNG, or a variety of JPEG that is not read
	ErrSize   = errors.New("too large")                      // more bytes or pixels than are taken
	ErrBroken = errors.New("broken")                         // it cannot be read to its end
)

// A Photo is an image file of which the head was read.
type Photo struct {
	Kind  Kind
	W, H  int       // pixels as stored, before the picture is turned; 0 where not known
	Turn  Turn      // how it is to be turned to stand upright
	Taken time.Time // as the camera's clock showed it, in no time zone; zero where not noted

	data   []byte
	memory int // bytes that decoding takes, about
}

// Open reads the head of an image file. It fails with ErrFormat, ErrSize or
// ErrBroken; what could be told of the file is returned with the error. The
// data must not be changed afterwards.
func Open(data []byte) (Photo, error) {
	p := Photo{Kind: KindOf(data), Turn: Upright, data: data}
	if len(data) > MostBytes {
		return p, ErrSize
	}
	var cfg image.Config
	var err error
	switch p.Kind {
	case JPEG:
		p.note(exifOfJPEG(data))
		cfg, err = jpeg.DecodeConfig(bytes.NewReader(data))
	case PNG:
		p.note(exifOfPNG(data))
		cfg, err = png.DecodeConfig(bytes.NewReader(data))
	default:
		return p, ErrFormat
	}
	if err != nil {
		return p, why(err)
	}
	p.W, p.H = cfg.Width, cfg.Height
	switch {
	case p.W < 1 || p.H < 1:
		return p, ErrBroken
	case p.W > MostPixels/p.H:
		return p, ErrSize
	}
	p.memory = int(float64(p.W*p.H) * p.perPixel(cfg.ColorModel))
	switch {
	case p.memory > mostMemory:
		return p, ErrSize
	case p.W*p.H/mostPerByte[p.Kind] > len(data):
		return p, ErrBroken // no file is so short for so many pixels
	}
	return p, nil
}

// mostPerByte is how many pixels one byte of a file can stand for: a block of
// 64 in JPEG takes a bit at least, and the compression of PNG makes at most
// 1032 bytes of one, each of which holds at most 8 pixels.
var mostPerByte = map[Kind]int{JPEG: 8 * 64, PNG: 8 * 1032}

// perPixel is how many bytes of memory decoding takes for a pixel.
func (p Photo) perPixel(m color.Model) float64 {
	if p.Kind == JPEG {
		n, progressive := planesOf(p.data)
		if m == color.CMYKModel {
			n += 4 // the picture that is made of the planes
		}
		if progressive {
			n += 4 * n // the coefficients are kept until the last scan
		}
		return n
	}
	switch m {
	case color.GrayModel:
		return 1
	case color.Gray16Model:
		return 2
	case color.RGBA64Model, color.NRGBA64Model:
		return 8
	case color.RGBAModel, color.NRGBAModel:
		return 4
	}
	return 1 // a palette
}

// Memory is about how many bytes Print takes besides the file.
func (p Photo) Memory() int { return p.memory }

// note takes over what stands in EXIF.
func (p *Photo) note(x exif) {
	if x.turn.known() {
		p.Turn = x.turn
	}
	p.Taken = x.taken
}

// why tells a rare variety of a format from a broken file.
func why(err error) error {
	var rare jpeg.UnsupportedError
	var rarePNG png.UnsupportedError
	if errors.As(err, &rare) || errors.As(err, &rarePNG) {
		return fmt.Errorf("%w: %v", ErrFormat, err)
	}
	return fmt.Errorf("%w: %v", ErrBroken, err)
}
