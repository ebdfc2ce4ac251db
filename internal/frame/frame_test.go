package frame_test

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io/fs"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"saltline/fonts"
	"saltline/internal/frame"
)

func loadFonts(t testing.TB) *frame.Fonts {
	t.Helper()
	f, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestGoldenForm(t *testing.T) {
	inner := &frame.Frame{W: 20, H: 10.126, Element: &frame.Element{Role: frame.Cell}}
	inner.Put(1, 2, frame.Text{S: "50.0 ± 5.0", Face: frame.Condensed, Size: 8})
	f := &frame.Frame{W: 595.28, H: 841.89}
	f.Put(10, 20, inner)
	f.Put(-0.001, 0.005, frame.Text{S: "a\"b", Face: frame.SemiBold, Size: 9.5, Colour: frame.Grey(0x50), Rotate: 90})
	f.Put(1, 2, frame.Rect(3, 4, frame.Pen{Width: 0.25, Dash: []float64{4, 2}}, frame.Solid(frame.White)))
	var curve frame.Path
	curve.MoveTo(0, 0)
	curve.CurveTo(frame.Point{X: 1, Y: 2}, frame.Point{X: 3, Y: 4}, frame.Point{X: 5, Y: 6})
	f.Put(0, 0, curve)
	f.Put(5, 6, frame.Image{Data: []byte("abc"), W: 7, H: 8, Alt: "a spot"})
	f.Put(1, 1, frame.Link{W: 2, H: 3, Dest: "test 3"})
	f.Put(1, 1, frame.Link{W: 2, H: 3, URI: "mailto:qc@example.org"})
	f.Put(0, 9, frame.Anchor{Name: "here", Title: "1  Basis", Level: 1})
	f.Put(0, 9, frame.Anchor{Name: "there"})
	f.Put(3, 4, frame.Field{Name: "qc", Says: "QC manager", W: 5, H: 6})
	// The digest of the picture is the beginning of the SHA-256 of "abc" in FIPS 180-4.
	const want = `frame 595.28×841.89
  frame 10,20 20×10.13 cell
    text 1,2 Condensed 8 "50.0 ± 5.0"
  text 0,0.01 SemiBold 9.5 #505050 rotate 90 "a\"b"
  path 1,2 pen 0.25 #000000 dash 4-2 fill #ffffff M 0,0 L 3,0 L 3,4 L 0,4 Z
  path 0,0 M 0,0 C 1,2 3,4 5,6
  image 5,6 7×8 ba7816bf "a spot"
  link 1,1 2×3 to test 3
  link 1,1 2×3 to <mailto:qc@example.org>
  anchor 0,9 here level 1 "1  Basis"
  anchor 0,9 there
  field 3,4 5×6 qc "QC manager"
`
	if got := f.String(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// What a face cannot show stands there as a substitute sign, and what it can as
// it is.
func TestShown(t *testing.T) {
	f := loadFonts(t)
	for _, c := range []struct{ in, want string }{
		{"50 mg/m2", "50 mg/m2"},
		{"≤ 50 µS/cm\nGrün", "≤ 50 µS/cm\nGrün"},
		{"船 bow", "\ufffd bow"},
		{"e\u0301\u202e", "é"},
	} {
		if got := f.Shown(frame.Condensed, c.in); got != c.want {
			t.Errorf("%q is shown as %q, want %q", c.in, got, c.want)
		}
	}
}

// Text that is shown as it is is what Clean and the substitute sign leave of it,
// whatever character stands in it, alone or before an accent.
func TestShownAsClean(t *testing.T) {
	f := loadFonts(t)
	for r := rune(0); r < 0x3000; r++ {
		for _, s := range []string{string(r), "a" + string(r) + "5", string(r) + "\u0301", "µ" + string(r)} {
			clean, _ := frame.Clean(s)
			want := strings.Map(func(r rune) rune {
				if r != '\n' && !f.Covers(frame.Italic, r) {
					return '\ufffd'
				}
				return r
			}, clean)
			if got := f.Shown(frame.Italic, s); got != want {
				t.Fatalf("%q is shown as %q, want %q", s, got, want)
			}
		}
	}
}

func TestEveryFaceHasTabularDigitsAndTheSignsOfTheTrade(t *testing.T) {
	f := loadFonts(t)
	for face := frame.Regular; face <= frame.CondensedSemiBold; face++ {
		zero := f.Width(face, 10, "0")
		for _, d := range "123456789" {
			if w := f.Width(face, 10, string(d)); w != zero {
				t.Errorf("%s: %q is %g wide, 0 is %g", face, d, w, zero)
			}
		}
		for _, r := range "µμΔΛρσΩ²³·°≤≥<>±×÷−–—…“”‘’→§№½éñłøåßжщ\u00a0\ufffd" {
			if !f.Covers(face, r) {
				t.Errorf("%s has no %q", face, r)
			}
		}
		for _, r := range "☐●■∅中\ue000" { // which is why there are marks
			if f.Covers(face, r) {
				t.Errorf("%s has %q; the test needs another character", face, r)
			}
		}
	}
}

func TestWidth(t *testing.T) {
	f := loadFonts(t)
	// Advance widths as listed by the font's own hmtx table: 600 units of 1000
	// for the digits of the upright faces.
	if got := f.Width(frame.Regular, 10, "0123456789"); math.Abs(got-60) > 1e-9 {
		t.Errorf("ten digits at 10 points are %g wide, want 60", got)
	}
	if got := f.Width(frame.Regular, 10, ""); got != 0 {
		t.Errorf("nothing is %g wide", got)
	}
	if a, b := f.Width(frame.Condensed, 10, "Location"), f.Width(frame.Regular, 10, "Location"); a >= b {
		t.Errorf("condensed %g, regular %g", a, b)
	}
	if a, b := f.Width(frame.Regular, 9, "AV"), f.Width(frame.Regular, 9, "A")+f.Width(frame.Regular, 9, "V"); math.Abs(a-b) > 1e-9 {
		t.Errorf("AV is %g wide, A and V are %g: kerning would move digits too", a, b)
	}
}

func TestFontsServeSeveralGoroutines(t *testing.T) {
	f := loadFonts(t)
	var wg sync.WaitGroup
	got := make([]float64, 8)
	for i := range got {
		wg.Go(func() { got[i] = f.Width(frame.Italic, 10, "Жµ ½ Ω 0–9") })
	}
	wg.Wait()
	for _, w := range got {
		if w != got[0] {
			t.Errorf("widths %g", got)
		}
	}
}

func TestMetrics(t *testing.T) {
	m := loadFonts(t).Metrics(frame.Regular, 1000)
	// From the OS/2 and hhea tables of the file: 698 and 516, 1025 and −275.
	if want := (frame.Metrics{Ascent: 1025, Descent: 275, Cap: 698}); m != want {
		t.Errorf("got %+v, want %+v", m, want)
	}
}

func TestUnshown(t *testing.T) {
	got := loadFonts(t).Unshown("a ☐ b\n☐ 中 😀 µ")
	if want := []rune{'☐', '中', '😀'}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestLoadFontsRefuses(t *testing.T) {
	if _, err := frame.LoadFonts(fstest.MapFS{}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no files: %v", err)
	}
	files := fstest.MapFS{}
	for name, data := range fonts.Files {
		if strings.HasSuffix(name, ".ttf") {
			files[name] = &fstest.MapFile{Data: data}
		}
	}
	if len(files) != 5 {
		t.Fatalf("%d fonts", len(files))
	}
	if _, err := frame.LoadFonts(files); err != nil {
		t.Errorf("all files: %v", err)
	}
	const one = "IBMPlexSans-Regular.ttf"
	files[one].Data = files[one].Data[:100]
	if _, err := frame.LoadFonts(files); err == nil {
		t.Error("a truncated font was taken")
	}
}

func TestMarksDifferAndStayInTheirSquare(t *testing.T) {
	seen := map[string]frame.Mark{}
	for m := frame.Disc; m <= frame.Dash; m++ {
		p := m.Path(10, frame.Black)
		if len(p.Segs) == 0 || p.Pen.Width <= 0 {
			t.Errorf("%s draws nothing", m)
		}
		for _, s := range p.Segs {
			for _, q := range s.P {
				if math.Abs(q.X) > 6 || math.Abs(q.Y) > 6 {
					t.Errorf("%s of size 10 reaches %g, %g", m, q.X, q.Y)
				}
			}
		}
		f := &frame.Frame{}
		f.Put(0, 0, p)
		if other, ok := seen[f.String()]; ok {
			t.Errorf("%s is drawn as %s", m, other)
		}
		seen[f.String()] = m
	}
	if p := frame.NoMark.Path(10, frame.Black); len(p.Segs) != 0 {
		t.Error("no mark draws something")
	}
}

func TestCircleIsRound(t *testing.T) {
	p := frame.Circle(10, frame.Pen{}, frame.Solid(frame.Black))
	from := p.Segs[0].P[0]
	for _, s := range p.Segs[1:5] {
		for i := range 21 {
			u := float64(i) / 20
			a, b, c, d := (1-u)*(1-u)*(1-u), 3*u*(1-u)*(1-u), 3*u*u*(1-u), u*u*u
			x := a*from.X + b*s.P[0].X + c*s.P[1].X + d*s.P[2].X
			y := a*from.Y + b*s.P[0].Y + c*s.P[1].Y + d*s.P[2].Y
			if r := math.Hypot(x, y); math.Abs(r-10) > 0.003 {
				t.Errorf("radius %g, want 10 within 0.03 %%", r)
			}
		}
		from = s.P[2]
	}
}

func TestNewImage(t *testing.T) {
	im := image.NewGray(image.Rect(0, 0, 40, 10))
	var p, j bytes.Buffer
	if err := errors.Join(png.Encode(&p, im), jpeg.Encode(&j, im, nil)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		data       []byte
		w, h       float64
		gotW, gotH float64 // 0 where it is refused
	}{
		{"limited by width", p.Bytes(), 80, 100, 80, 20},
		{"limited by height", p.Bytes(), 80, 5, 20, 5},
		{"JPEG", j.Bytes(), 80, 5, 20, 5},
		{"truncated", p.Bytes()[:20], 80, 5, 0, 0},
		{"GIF", []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), 80, 5, 0, 0},
		{"nothing", nil, 80, 5, 0, 0},
	} {
		got, err := frame.NewImage(c.data, c.w, c.h, "x")
		if got.W != c.gotW || got.H != c.gotH || (err != nil) != (c.gotW == 0) {
			t.Errorf("%s: %g × %g, %v, want %g × %g", c.name, got.W, got.H, err, c.gotW, c.gotH)
		}
	}
}

// What writers of PDF stumble over is written anew: 16 bits and transparency
// become 8 opaque bits on white. A plain JPEG stays byte for byte.
func TestNewImageOnPaper(t *testing.T) {
	deep := image.NewNRGBA64(image.Rect(0, 0, 2, 1))
	deep.Set(0, 0, color.NRGBA64{A: 0xffff})       // black
	deep.Set(1, 0, color.NRGBA64{R: 0xffff, A: 0}) // nothing
	var p, j bytes.Buffer
	if err := errors.Join(png.Encode(&p, deep), jpeg.Encode(&j, image.NewGray(image.Rect(0, 0, 8, 8)), nil)); err != nil {
		t.Fatal(err)
	}
	im, err := frame.NewImage(p.Bytes(), 10, 10, "")
	if err != nil {
		t.Fatal(err)
	}
	got, err := png.Decode(bytes.NewReader(im.Data))
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range []color.RGBA{{A: 255}, {255, 255, 255, 255}} {
		if c := color.RGBAModel.Convert(got.At(x, 0)); c != want {
			t.Errorf("pixel %d: got %v, want %v", x, c, want)
		}
	}
	if depth := im.Data[24]; depth != 8 { // IHDR, after signature, length, type, width and height
		t.Errorf("%d bits, want 8", depth)
	}
	if im, err := frame.NewImage(j.Bytes(), 10, 10, ""); err != nil || !bytes.Equal(im.Data, j.Bytes()) {
		t.Errorf("a plain JPEG was changed (%v)", err)
	}
	// cut short in its data, not in its head
	if _, err := frame.NewImage(p.Bytes()[:len(p.Bytes())-20], 10, 10, ""); err == nil {
		t.Error("a PNG that ends early was taken")
	}
}
