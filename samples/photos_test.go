package samples

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"saltline/fonts"
	"saltline/internal/photo"
)

// A view is an invented photograph of a test: blasted steel, the ring that the
// patch has left, what was chalked on, and a card with the number of the test.
type view struct {
	file, card, taken string
	turn              uint16 // as EXIF numbers it
	w, h              int    // as seen, upright
	ring              image.Point
	lifted            bool // the patch at one corner
	marked            bool // the extent, in chalk
	seed              uint64
}

// views are the photographs that the logs name, by the folders that they lie in.
var views = map[string][]view{lockFolder: lockViews, pierFolder: pierViews}

var pierViews = []view{
	{"op1-007.jpg", "PC 7", "2026:09:03 09:12:20", 1, 560, 420, image.Pt(260, 190), true, false, 107},
	{"op2-014.jpg", "GW 14", "2026:09:04 08:45:48", 1, 560, 420, image.Pt(270, 200), false, true, 114},
}

var lockViews = []view{
	{"q1-007.jpg", "UG 7", "2026:04:14 08:58:31", 1, 640, 480, image.Pt(300, 220), true, false, 7},
	{"q1-010.jpg", "UG 10", "2026:04:14 09:31:12", 6, 480, 640, image.Pt(230, 270), false, true, 10},
	{"q2-025.jpg", "LG 25", "2026:04:15 09:22:40", 1, 640, 480, image.Pt(330, 240), false, true, 25},
	{"q2-028.jpg", "LG 28", "2026:04:15 10:04:05", 1, 640, 480, image.Pt(280, 230), false, false, 28},
}

// A surface is the height of every pixel over steel, from random numbers on
// grids that are ever finer.
type surface struct {
	rng   *rand.Rand
	grids [][]float64
}

const surfaceCells = 96

func newSurface(seed uint64) *surface {
	s := &surface{rng: rand.New(rand.NewPCG(seed, 1))}
	for range 3 {
		g := make([]float64, surfaceCells*surfaceCells)
		for i := range g {
			g[i] = s.rng.Float64()
		}
		s.grids = append(s.grids, g)
	}
	return s
}

func (s *surface) at(x, y float64) float64 {
	v, weight := 0.0, 1.0
	for k, g := range s.grids {
		size := []float64{90, 22, 7}[k]
		gx, gy := x/size, y/size
		ix, iy := int(gx), int(gy)
		fx, fy := gx-float64(ix), gy-float64(iy)
		cell := func(i, j int) float64 { return g[(j%surfaceCells)*surfaceCells+i%surfaceCells] }
		top := cell(ix, iy)*(1-fx) + cell(ix+1, iy)*fx
		under := cell(ix, iy+1)*(1-fx) + cell(ix+1, iy+1)*fx
		v += weight * (top*(1-fy) + under*fy)
		weight *= 0.6
	}
	return v / (1 + 0.6 + 0.36)
}

// seen is the picture as seen, upright.
func (v view) seen(t *testing.T) *image.RGBA {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, v.w, v.h))
	steel := newSurface(v.seed)
	for y := range v.h {
		for x := range v.w {
			grey := 96 + 58*steel.at(float64(x), float64(y)) + 22*float64(x)/float64(v.w)
			d := math.Hypot(float64(x-v.ring.X), float64(y-v.ring.Y))
			switch {
			case d < 74:
				grey -= 26 // still damp
			case d < 88:
				grey += 34 * (1 - math.Abs(d-81)/7)
			}
			if run := float64(y - v.ring.Y - 40); v.lifted && run > 0 {
				across := math.Abs(float64(x-v.ring.X)-58-5*math.Sin(run/17)) / (12 + run/12)
				grey -= 26 * max(0, 1-across*across) * max(0, 1-run/150) // where the water ran
			}
			grey += 16 * (steel.rng.Float64() - 0.5) // the grain of the blasted steel
			c := func(off float64) uint8 { return uint8(max(0, min(255, grey+off))) }
			m.SetRGBA(x, y, color.RGBA{c(2), c(0), c(-6), 255})
		}
	}
	chalk := func(x0, y0, x1, y1 float64) {
		n := int(math.Hypot(x1-x0, y1-y0))
		for i := range n {
			f := float64(i) / float64(n)
			x, y := x0+(x1-x0)*f, y0+(y1-y0)*f+3*math.Sin(float64(i)/31)
			for dy := -3.0; dy <= 3; dy++ {
				for dx := -3.0; dx <= 3; dx++ {
					if math.Hypot(dx, dy) <= 3 && steel.at(4*(x+dx), 4*(y+dy)) > 0.42 {
						m.SetRGBA(int(x+dx), int(y+dy), color.RGBA{226, 228, 224, 255})
					}
				}
			}
		}
	}
	if v.marked {
		l, t, r, b := 34.0, 46.0, float64(v.w)-40, float64(v.h)-60
		chalk(l, t, r, t)
		chalk(r, t, r, b)
		chalk(r, b, l, b)
		chalk(l, b, l, t)
	} else {
		x, y := float64(v.ring.X), float64(v.ring.Y)
		chalk(x-130, y-96, x-96, y-130)
		chalk(x+96, y-130, x+130, y-96)
	}
	v.drawCard(t, m)
	return m
}

// drawCard lays a card with the number of the test on the steel.
func (v view) drawCard(t *testing.T, m *image.RGBA) {
	t.Helper()
	data, err := fonts.Files.ReadFile("IBMPlexSans-SemiBold.ttf")
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := opentype.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: 44, DPI: 72})
	if err != nil {
		t.Fatal(err)
	}
	card := image.Rect(v.w-204, v.h-116, v.w-56, v.h-44)
	draw.Draw(m, card.Add(image.Pt(4, 4)), image.NewUniform(color.RGBA{52, 50, 46, 255}), image.Point{}, draw.Src)
	draw.Draw(m, card, image.NewUniform(color.RGBA{240, 238, 228, 255}), image.Point{}, draw.Src)
	pen := font.Drawer{Dst: m, Src: image.NewUniform(color.RGBA{24, 26, 34, 255}), Face: face}
	pen.Dot = fixed.P(card.Min.X+(card.Dx()-pen.MeasureString(v.card).Round())/2, card.Max.Y-21)
	pen.DrawString(v.card)
}

// stored is the picture as the camera keeps it: one that was held on its side
// has its first row where the right side was.
func (v view) stored(t *testing.T) image.Image {
	t.Helper()
	seen := v.seen(t)
	if v.turn == 1 {
		return seen
	}
	out := image.NewRGBA(image.Rect(0, 0, v.h, v.w))
	for y := range v.w {
		for x := range v.h {
			out.SetRGBA(x, y, seen.RGBAAt(v.w-1-y, x))
		}
	}
	return out
}

// encode is the file, with the notes of the camera that matter here.
func (v view) encode(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, v.stored(t), &jpeg.Options{Quality: 80}); err != nil {
		t.Fatal(err)
	}
	le := binary.LittleEndian
	notes := []byte("Exif\x00\x00II*\x00\x08\x00\x00\x00")
	entry := func(tag, kind uint16, count, value uint32) {
		notes = le.AppendUint16(le.AppendUint16(notes, tag), kind)
		notes = le.AppendUint32(le.AppendUint32(notes, count), value)
	}
	notes = le.AppendUint16(notes, 2)
	entry(0x0112, 3, 1, uint32(v.turn)) // orientation
	entry(0x8769, 4, 1, 38)             // where the notes of the camera stand
	notes = le.AppendUint16(le.AppendUint32(notes, 0), 1)
	entry(0x9003, 2, 20, 56) // when it was taken
	notes = append(le.AppendUint32(notes, 0), v.taken+"\x00"...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(notes)+2))
	return append(append(head, notes...), b.Bytes()[2:]...)
}

// The photographs show what is drawn here. Another version of the encoder may
// make other bytes of it, so the pictures are compared.
func TestPhotos(t *testing.T) {
	for folder, list := range views {
		for _, v := range list {
			holdPhoto(t, folder, v)
		}
	}
}

func holdPhoto(t *testing.T, folder string, v view) {
	t.Helper()
	file := filepath.Join(folder, "photos", v.file)
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, v.encode(t), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Error(err)
		return
	}
	if len(data) > 60_000 {
		t.Errorf("%s has %d bytes, want at most 60,000", v.file, len(data))
	}
	p, err := photo.Open(data)
	if err != nil || p.Turn != photo.Turn(v.turn) || p.Taken.Format("2006:01:02 15:04:05") != v.taken {
		t.Errorf("%s: turn %d, taken %v, %v; want turn %d, taken %s", v.file, p.Turn, p.Taken, err, v.turn, v.taken)
		return
	}
	got, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Error(err)
		return
	}
	want := v.stored(t)
	if got.Bounds() != want.Bounds() {
		t.Errorf("%s has %v, want %v: run go test ./samples -update", v.file, got.Bounds(), want.Bounds())
		return
	}
	off, n := 0, 0
	for y := 0; y < want.Bounds().Dy(); y += 3 {
		for x := 0; x < want.Bounds().Dx(); x += 3 {
			a, _, _, _ := got.At(x, y).RGBA()
			b, _, _, _ := want.At(x, y).RGBA()
			off, n = off+int(max(a, b)-min(a, b))>>8, n+1
		}
	}
	if off > 8*n {
		t.Errorf("%s is not what is drawn: run go test ./samples -update", v.file)
	}
}
