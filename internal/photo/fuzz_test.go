package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

func FuzzEXIF(f *testing.F) {
	f.Add(notes(binary.LittleEndian, 6, "2026:03:03 08:10:20"))
	f.Add(notes(binary.BigEndian, 1, "0000:00:00 00:00:00"))
	f.Add([]byte("II*\x00\x08\x00\x00\x00\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		x := parseEXIF(data)
		if x.turn != 0 && !x.turn.known() {
			t.Errorf("turn %d", x.turn)
		}
		if !x.taken.IsZero() && (x.taken.Year() < 1990 || x.taken.Year() > 9999) {
			t.Errorf("taken in %d", x.taken.Year())
		}
	})
}

// Whatever the bytes are, a photograph opens or fails with one of the three
// errors; and what is printed is a JPEG that decodes, of a size that fits.
func FuzzPhoto(f *testing.F) {
	picture := corners(24, 16, [4]color.RGBA{red, green, blue, white})
	jpg := encode(f, picture)
	var asPNG bytes.Buffer
	if err := png.Encode(&asPNG, picture); err != nil {
		f.Fatal(err)
	}
	f.Add(jpg)
	f.Add(noted(jpg, notes(binary.LittleEndian, 6, "2026:03:03 08:10:20")))
	f.Add(asPNG.Bytes())
	f.Add(notedPNG(asPNG.Bytes(), notes(binary.BigEndian, 8, "2026:03:03 08:10:20")))
	f.Add(sized(jpg, 600, 600))
	f.Add(jpg[:len(jpg)/2])
	f.Add([]byte("GIF89a"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Open(data)
		if err == nil && p.W*p.H > 1<<18 {
			t.Skip() // only time
		}
		var out []byte
		if err == nil {
			out, err = p.Print(20, 20)
		}
		if err != nil {
			if !errors.Is(err, ErrFormat) && !errors.Is(err, ErrSize) && !errors.Is(err, ErrBroken) {
				t.Errorf("another error: %v", err)
			}
			return
		}
		m, err := jpeg.Decode(bytes.NewReader(out))
		if err != nil {
			t.Fatalf("what is printed does not decode: %v", err)
		}
		if b := m.Bounds(); b.Dx() > 55 || b.Dy() > 55 {
			t.Errorf("printed in %v dots, want at most 55", b)
		}
		if bytes.Contains(out, []byte(exifHead)) {
			t.Error("notes of the camera are printed")
		}
	})
}

// A JPEG without its notes shows the same pixels.
func FuzzBare(f *testing.F) {
	jpg := encode(f, corners(24, 16, [4]color.RGBA{red, green, blue, white}))
	f.Add(jpg)
	f.Add(noted(jpg, notes(binary.LittleEndian, 6, "2026:03:03 08:10:20")))
	f.Add(append(bytes.Clone(jpg), "more"...))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 4 || KindOf(data) != JPEG {
			t.Skip()
		}
		if p, err := Open(data); err != nil || p.W*p.H > 1<<18 {
			t.Skip()
		}
		want, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Skip()
		}
		out := bare(data)
		if out == nil {
			return // it is coded anew
		}
		got, err := jpeg.Decode(bytes.NewReader(out))
		if err != nil {
			t.Fatalf("it decodes with its notes and not without: %v", err)
		}
		if got.Bounds() != want.Bounds() {
			t.Fatalf("%v without notes, %v with them", got.Bounds(), want.Bounds())
		}
		for y := range want.Bounds().Dy() {
			for x := range want.Bounds().Dx() {
				if got.At(x, y) != want.At(x, y) {
					t.Fatalf("the pixel at %d, %d differs", x, y)
				}
			}
		}
	})
}
