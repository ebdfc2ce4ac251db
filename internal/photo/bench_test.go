package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"testing"
)

// blasted is a picture as a camera takes it of blasted steel: grain over slow
// shades, with as much in it as makes a megapixel some 400 kB.
func blasted(w, h int) *image.YCbCr {
	rng := rand.New(rand.NewPCG(1, 2))
	m := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for y := range h {
		for x := range w {
			m.Y[y*m.YStride+x] = byte(90 + 60*x/w + 30*y/h + rng.IntN(28))
		}
	}
	for i := range m.Cb {
		m.Cb[i], m.Cr[i] = byte(122+rng.IntN(6)), byte(130+rng.IntN(6))
	}
	return m
}

func encode(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func BenchmarkPrint(b *testing.B) {
	for _, size := range []image.Point{{1632, 1224}, {4000, 3000}} {
		data := encode(b, blasted(size.X, size.Y))
		mega := float64(size.X*size.Y) / 1e6
		b.Run(fmt.Sprintf("%.0fMpx", mega), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p, err := Open(data)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := p.Print(235, 180); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/mega, "ms/Mpx")
			b.ReportMetric(float64(len(data))/1e6/mega, "MB/Mpx")
		})
	}
}

// BenchmarkDecode is what of it the decoding of the standard library takes.
func BenchmarkDecode(b *testing.B) {
	data := encode(b, blasted(4000, 3000))
	for b.Loop() {
		if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/12, "ms/Mpx")
}
