package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// What is decoded at a half or a quarter of its size is what another decoder
// makes of it. The planes of the colours are not compared where they are
// stored smaller: that decoder then decodes them at another size.
func TestShrunkenIsWhatAnotherDecoderMakes(t *testing.T) {
	for _, c := range []struct {
		file, want string
		colours    bool
	}{
		{"grey", "grey", false}, {"444", "444", true}, {"422", "422", false}, {"440", "440", false}, {"420", "420", false},
		{"420-restart", "420", false}, {"444-restart-optimised", "444", true},
	} {
		for suffix, by := range map[string]int{"-2.png": 2, "-4.png": 4} {
			got := shrunken(readFile(t, c.file+".jpg"), by)
			if got == nil {
				t.Errorf("%s is not decoded at 1/%d", c.file, by)
				continue
			}
			want, err := png.Decode(bytes.NewReader(readFile(t, c.want+suffix)))
			if err != nil {
				t.Fatal(err)
			}
			b := got.Bounds()
			if b.Dx() != 150/by || b.Dy() != 101/by {
				t.Errorf("%s at 1/%d: %v", c.file, by, b)
			}
			off := 0
			for y := range b.Dy() {
				for x := range b.Dx() {
					off = max(off, apart(got.At(x, y), want.At(x, y), c.colours))
				}
			}
			// A level for rounding, two more on the way to the colours and back.
			if most := map[bool]int{true: 1, false: 3}[c.file == "grey"]; off > most {
				t.Errorf("%s at 1/%d: a pixel is %d levels off, want at most %d", c.file, by, off, most)
			}
		}
	}
}

// apart is by how many levels two colours differ: in red, green and blue, or
// in how light they are.
func apart(a, b color.Color, colours bool) int {
	diff := func(x, y uint8) int { return max(int(x)-int(y), int(y)-int(x)) }
	if !colours {
		if g, ok := a.(color.YCbCr); ok {
			return diff(g.Y, color.GrayModel.Convert(b).(color.Gray).Y)
		}
		return diff(color.GrayModel.Convert(a).(color.Gray).Y, color.GrayModel.Convert(b).(color.Gray).Y)
	}
	p, q := color.RGBAModel.Convert(a).(color.RGBA), color.RGBAModel.Convert(b).(color.RGBA)
	return max(diff(p.R, q.R), diff(p.G, q.G), diff(p.B, q.B))
}

// What is not plain is left to the standard library, and printed all the same.
func TestWhatIsNotPlainIsLeft(t *testing.T) {
	for _, name := range []string{"progressive.jpg", "411.jpg", "rgb.jpg"} {
		data := readFile(t, name)
		if shrunken(data, 2) != nil {
			t.Errorf("%s is taken for a plain one", name)
		}
		p, err := Open(data)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		small := printed(t, p, 13, 9) // 36 × 24 dots
		for _, at := range []image.Point{{100, 50}, {20, 20}, {130, 90}} {
			x, y := at.X*small.Bounds().Dx()/150, at.Y*small.Bounds().Dy()/101
			if off := apart(small.At(x, y), whole.At(at.X, at.Y), true); off > 40 {
				t.Errorf("%s: printed %v at %v, want about %v", name, small.At(x, y), at, whole.At(at.X, at.Y))
			}
		}
	}
}

// A picture printed by way of a smaller one is that printed without.
func TestPrintByWayOfASmallerPicture(t *testing.T) {
	data := encode(t, blasted(1200, 900))
	p, err := Open(data)
	if err != nil {
		t.Fatal(err)
	}
	got := printed(t, p, 90, 90) // 250 dots, 1/4.8
	whole, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	want := p.ofPlanes(whole.(*image.YCbCr), got.Bounds().Dx(), got.Bounds().Dy())
	sum, n := 0, 0
	for y := range got.Bounds().Dy() {
		for x := range got.Bounds().Dx() {
			sum, n = sum+apart(got.At(x, y), want.At(x, y), true), n+1
		}
	}
	if mean := float64(sum) / float64(n); mean > 4 {
		t.Errorf("%.1f levels off in the mean, want at most 4 of a grain of 28", mean)
	}
}

// Whatever is decoded here the standard library decodes too, to the same size.
func FuzzShrunken(f *testing.F) {
	for _, name := range []string{"grey.jpg", "444.jpg", "422.jpg", "420-restart.jpg", "444-restart-optimised.jpg", "progressive.jpg"} {
		f.Add(readFile(f, name))
	}
	f.Add(encode(f, corners(24, 16, [4]color.RGBA{red, green, blue, white})))
	f.Fuzz(func(t *testing.T, data []byte) {
		if p, err := Open(data); err != nil || p.Kind != JPEG || p.W*p.H > 1<<18 {
			t.Skip()
		}
		for _, by := range []int{2, 4} {
			m := shrunken(data, by)
			if m == nil {
				continue
			}
			whole, err := jpeg.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatalf("decoded at 1/%d, and broken: %v", by, err)
			}
			b := whole.Bounds()
			if got := m.Bounds(); got.Dx() != max(1, b.Dx()/by) || got.Dy() != max(1, b.Dy()/by) {
				t.Fatalf("%v at 1/%d of %v", got, by, b)
			}
			m.At(m.Bounds().Dx()-1, m.Bounds().Dy()-1)
		}
	})
}
