package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"
	"time"
)

// notes are the EXIF notes of a camera, laid out by hand: a directory with the
// orientation and the place of a second one, which holds the time; the text of
// the time behind both.
func notes(order binary.ByteOrder, turn uint16, taken string) []byte {
	var b bytes.Buffer
	put := func(vs ...any) {
		for _, v := range vs {
			if err := binary.Write(&b, order, v); err != nil {
				panic(err)
			}
		}
	}
	if order == binary.LittleEndian {
		b.WriteString("II")
	} else {
		b.WriteString("MM")
	}
	put(uint16(42), uint32(8))
	put(uint16(2))
	put(uint16(0x0112), uint16(3), uint32(1), turn, uint16(0))
	put(uint16(0x8769), uint16(4), uint32(1), uint32(38))
	put(uint32(0)) // no further directory; ends at 38
	put(uint16(1))
	put(uint16(0x9003), uint16(2), uint32(20), uint32(56))
	put(uint32(0)) // ends at 56
	b.WriteString(taken + "\x00")
	return b.Bytes()
}

// noted is a JPEG with notes behind its first two bytes.
func noted(jpg, notes []byte) []byte {
	body := append([]byte("Exif\x00\x00"), notes...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(out, body...), jpg[2:]...)
}

// notedPNG is a PNG with notes before its pixels.
func notedPNG(data, notes []byte) []byte {
	const head = 8 + 25 // the signature and the first chunk
	chunk := append([]byte("eXIf"), notes...)
	out := append(bytes.Clone(data[:head]), binary.BigEndian.AppendUint32(nil, uint32(len(notes)))...)
	out = append(out, chunk...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
	return append(out, data[head:]...)
}

var (
	red   = color.RGBA{220, 30, 30, 255}
	green = color.RGBA{20, 180, 40, 255}
	blue  = color.RGBA{30, 40, 210, 255}
	white = color.RGBA{250, 250, 250, 255}
)

// corners is a picture of four fields: the first row, then the second.
func corners(w, h int, fields [4]color.RGBA) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.Set(x, y, fields[2*(2*y/h)+2*x/w])
		}
	}
	return m
}

func near(a, b color.Color) bool {
	r, g, bl, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	off := func(p, q uint32) bool { return max(p, q)-min(p, q) > 24<<8 }
	return !off(r, r2) && !off(g, g2) && !off(bl, b2)
}

// The stored rows of each orientation are written down from the definition in
// EXIF, which says which side of what was seen the first row and the first
// column are. What was seen is red, green over blue, white, and wider than high.
func TestEachOrientationIsTurnedUpright(t *testing.T) {
	stored := map[uint16][4]color.RGBA{
		1: {red, green, blue, white}, // first row: top; first column: left
		2: {green, red, white, blue}, // top, right
		3: {white, blue, green, red}, // bottom, right
		4: {blue, white, red, green}, // bottom, left
		5: {red, blue, green, white}, // left, top
		6: {green, white, red, blue}, // right, top
		7: {white, green, blue, red}, // right, bottom
		8: {blue, red, white, green}, // left, bottom
	}
	for turn, fields := range stored {
		w, h := 96, 64
		if turn >= 5 {
			w, h = h, w
		}
		picture := corners(w, h, fields)
		var asPNG bytes.Buffer
		if err := png.Encode(&asPNG, picture); err != nil {
			t.Fatal(err)
		}
		little := notes(binary.LittleEndian, turn, "2026:03:03 08:10:20")
		big := notes(binary.BigEndian, turn, "2026:03:03 08:10:20")
		for name, data := range map[string][]byte{
			"JPEG, little-endian": noted(encode(t, picture), little),
			"JPEG, big-endian":    noted(encode(t, picture), big),
			"PNG":                 notedPNG(asPNG.Bytes(), little),
		} {
			for _, size := range []float64{1000, 16} { // as it is, and reduced
				p, err := Open(data)
				if err != nil {
					t.Fatalf("%d, %s: %v", turn, name, err)
				}
				if want := time.Date(2026, 3, 3, 8, 10, 20, 0, time.UTC); !p.Taken.Equal(want) {
					t.Errorf("%d, %s: taken %v, want %v", turn, name, p.Taken, want)
				}
				out := printed(t, p, size, size)
				b := out.Bounds()
				wantW, wantH := 96, 64
				if size == 16 { // 16 points are 44 dots at 200 an inch
					wantW, wantH = 44, 29
				}
				if b.Dx() != wantW || b.Dy() != wantH {
					t.Errorf("%d, %s: printed in %d × %d dots, want %d × %d", turn, name, b.Dx(), b.Dy(), wantW, wantH)
				}
				for i, want := range []color.RGBA{red, green, blue, white} {
					x, y := b.Dx()/4+i%2*b.Dx()/2, b.Dy()/4+i/2*b.Dy()/2
					if got := out.At(x, y); !near(got, want) {
						t.Errorf("%d, %s, at most %g points: field %d is %v, want %v", turn, name, size, i, got, want)
					}
				}
			}
		}
	}
}

func printed(t testing.TB, p Photo, w, h float64) image.Image {
	t.Helper()
	data, err := p.Print(w, h)
	if err != nil {
		t.Fatal(err)
	}
	m, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestKindsAreToldApart(t *testing.T) {
	for head, want := range map[string]Kind{
		"\xff\xd8\xff\xe0":                 JPEG,
		"\x89PNG\r\n\x1a\n":                PNG,
		"\x00\x00\x00\x18ftypheic\x00\x00": HEIF,
		"\x00\x00\x00\x18ftypavif\x00\x00": AVIF,
		"\x00\x00\x00\x18ftypisom\x00\x00": "",
		"RIFF\x10\x00\x00\x00WEBPVP8 ":     WebP,
		"RIFF\x10\x00\x00\x00WAVEfmt ":     "",
		"II*\x00":                          TIFF,
		"MM\x00*":                          TIFF,
		"GIF89a":                           GIF,
		"BM6\x00":                          BMP,
		"%PDF-1.4":                         PDF,
		"<svg":                             "",
		"":                                 "",
		"\xff\xd8":                         "",
	} {
		if got := KindOf([]byte(head)); got != want {
			t.Errorf("%q is %q, want %q", head, got, want)
		}
		if want != JPEG && want != PNG {
			if p, err := Open([]byte(head)); !errors.Is(err, ErrFormat) || p.Kind != want {
				t.Errorf("%q: %v of kind %q, want the error of another format and %q", head, err, p.Kind, want)
			}
		}
	}
}

// A file that is cut off anywhere is broken, and never more than that.
func TestCutFilesAreBroken(t *testing.T) {
	picture := corners(64, 48, [4]color.RGBA{red, green, blue, white})
	var asPNG bytes.Buffer
	if err := png.Encode(&asPNG, picture); err != nil {
		t.Fatal(err)
	}
	for name, whole := range map[string][]byte{
		"JPEG": noted(encode(t, picture), notes(binary.LittleEndian, 6, "2026:03:03 08:10:20")),
		"PNG":  asPNG.Bytes(),
	} {
		for n := 8; n < len(whole)-12; n++ { // what is missing at most: the mark of the end
			p, err := Open(whole[:n])
			if err == nil {
				_, err = p.Print(100, 100)
			}
			if !errors.Is(err, ErrBroken) {
				t.Errorf("%s cut to %d of %d bytes: %v, want it broken", name, n, len(whole), err)
			}
		}
	}
}

// sized is a JPEG that claims another size than it has.
func sized(jpg []byte, w, h uint16) []byte {
	out := bytes.Clone(jpg)
	at := bytes.Index(out, []byte{0xff, 0xc0})
	binary.BigEndian.PutUint16(out[at+5:], h)
	binary.BigEndian.PutUint16(out[at+7:], w)
	return out
}

func TestFilesThatLieAboutTheirSize(t *testing.T) {
	jpg := encode(t, corners(64, 48, [4]color.RGBA{red, green, blue, white}))
	pngOf := func(w, h uint32) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 8, 8))); err != nil {
			t.Fatal(err)
		}
		out := b.Bytes()
		binary.BigEndian.PutUint32(out[16:], w)
		binary.BigEndian.PutUint32(out[20:], h)
		binary.BigEndian.PutUint32(out[29:], crc32.ChecksumIEEE(out[12:29]))
		return out
	}
	for _, c := range []struct {
		name string
		data []byte
		want error
	}{
		{"JPEG of the most pixels there can be", sized(jpg, 65535, 65535), ErrSize},
		{"JPEG of 121 megapixels", sized(jpg, 11000, 11000), ErrSize},
		{"JPEG of 36 megapixels in a few hundred bytes", sized(jpg, 6000, 6000), ErrBroken},
		{"JPEG a little too large", sized(jpg, 128, 96), ErrBroken},
		{"JPEG without height", sized(jpg, 64, 0), ErrBroken},
		{"PNG of two thousand million columns", pngOf(1<<31-1, 1), ErrSize},
		{"PNG of 100 megapixels in a few hundred bytes", pngOf(10000, 10000), ErrBroken},
		{"PNG a little too large", pngOf(16, 16), ErrBroken},
		{"too many bytes", append(bytes.Clone(jpg), make([]byte, MostBytes)...), ErrSize},
	} {
		p, err := Open(c.data)
		if err == nil {
			_, err = p.Print(200, 200)
		}
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

// Notes that cannot be read are as if there were none.
func TestNotesThatLie(t *testing.T) {
	sound := notes(binary.LittleEndian, 6, "2026:03:03 08:10:20")
	with := func(at int, b ...byte) []byte {
		out := bytes.Clone(sound)
		copy(out[at:], b)
		return out
	}
	for _, c := range []struct {
		name  string
		data  []byte
		turn  Turn
		taken bool
	}{
		{"sound", sound, 6, true},
		{"no such order", with(0, 'X', 'X'), 0, false},
		{"directory behind the end", with(4, 0xff, 0xff, 0xff, 0xff), 0, false},
		{"directory of more entries than there are", with(8, 0xff, 0xff), 6, true},
		{"orientation 9", with(18, 9, 0), 0, true},
		{"orientation as text", with(12, 2, 0), 0, true},
		{"notes of the camera behind the end", with(30, 0xf0, 0xff, 0xff, 0xff), 6, false},
		{"notes of the camera are the first directory", with(30, 8, 0, 0, 0), 6, false},
		{"time behind the end", with(48, 0xf0, 0xff, 0xff, 0xff), 6, false},
		{"time of four thousand million letters", with(44, 0xff, 0xff, 0xff, 0xff), 6, false},
		{"a clock that was never set", notes(binary.LittleEndian, 6, "0000:00:00 00:00:00"), 6, false},
		{"a clock at its beginning", notes(binary.LittleEndian, 6, "1970:01:01 00:00:00"), 6, false},
		{"spaces for a time", notes(binary.LittleEndian, 6, "    :  :     :  :  "), 6, false},
		{"nothing", nil, 0, false},
	} {
		x := parseEXIF(c.data)
		if x.turn != c.turn || x.taken.IsZero() == c.taken {
			t.Errorf("%s: turn %d, taken %v; want turn %d, a time: %v", c.name, x.turn, x.taken, c.turn, c.taken)
		}
	}
	for n := range sound {
		parseEXIF(sound[:n])
	}
}

// What the camera noted beside the picture, such as where it was taken, is not
// in what is printed; and a small upright JPEG keeps its pixels bit for bit.
func TestNotesAreNotPrinted(t *testing.T) {
	plain := encode(t, blasted(200, 150))
	secret := notes(binary.LittleEndian, 1, "2026:03:03 08:10:20")
	data := noted(plain, append(secret, "50 deg 12 min north, camera of the inspector"...))
	comment := "\xff\xfe\x00\x11written by hand"
	data = append(append(bytes.Clone(data[:2]), comment...), data[2:]...)
	data = append(data, "a film behind the picture"...)
	p, err := Open(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []float64{1000, 20} {
		out, err := p.Print(width, width)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{"Exif", "2026:", "north", "inspector", "by hand", "film"} {
			if bytes.Contains(out, []byte(s)) {
				t.Errorf("printed in %g points, %q is in the output", width, s)
			}
		}
	}
	out, err := p.Print(1000, 1000)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out, plain) {
		t.Errorf("the pixels of a small upright JPEG were coded anew: %d bytes, want the %d of the file without its notes", len(out), len(plain))
	}
}

func TestPrintIsDeterministic(t *testing.T) {
	p, err := Open(encode(t, blasted(900, 700)))
	if err != nil {
		t.Fatal(err)
	}
	a, errA := p.Print(200, 150)
	b, errB := p.Print(200, 150)
	if errA != nil || errB != nil || !bytes.Equal(a, b) {
		t.Errorf("two prints of one photograph: %d and %d bytes, %v, %v", len(a), len(b), errA, errB)
	}
}

// The grey of what shows through is that of the paper, and a picture in grey
// stays one.
func TestWhatShowsThroughIsWhitePaper(t *testing.T) {
	m := image.NewNRGBA(image.Rect(0, 0, 400, 300)) // nothing of it can be seen
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	p, err := Open(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if got := printed(t, p, 50, 50).At(20, 20); !near(got, color.White) {
		t.Errorf("printed as %v, want white", got)
	}
	grey := image.NewGray(image.Rect(0, 0, 400, 300))
	for i := range grey.Pix {
		grey.Pix[i] = 77
	}
	if p, err = Open(encode(t, grey)); err != nil {
		t.Fatal(err)
	}
	if got, ok := printed(t, p, 50, 50).(*image.Gray); !ok || got.GrayAt(20, 20).Y != 77 {
		t.Errorf("a grey of 77 came out as %T %v", got, got)
	}
}

// A reduced picture is the mean of what it covers: that of a chequered one is
// grey, that of a slope the same slope, and its mean that of the whole.
func TestReductionIsTheMean(t *testing.T) {
	for _, size := range []struct{ w, h, toW, toH int }{
		{400, 300, 100, 75}, {401, 299, 97, 71}, {97, 71, 96, 70}, {1000, 3, 7, 1}, {3, 1000, 1, 7}, {5, 4, 5, 4}, {3, 2, 5, 4},
	} {
		pix := make([]byte, size.w*size.h)
		for y := range size.h {
			for x := range size.w {
				pix[y*size.w+x] = byte(255 * x / size.w)
			}
		}
		out := reduced(pix, size.w, size.w, size.h, size.toW, size.toH)
		for y := range size.toH {
			for x := range size.toW {
				from, to := float64(x)/float64(size.toW), float64(x+1)/float64(size.toW)
				want := 255 * (from + to) / 2
				if got := float64(out.pix[y*size.toW+x]); max(got, want)-min(got, want) > 255/float64(size.w)+1.5 {
					t.Errorf("%v: the slope is %g at %d, %d, want about %.1f", size, got, x, y, want)
				}
			}
		}
	}
	chequered := make([]byte, 400*300)
	for i := range chequered {
		chequered[i] = byte(200 * ((i%400 + i/400) % 2))
	}
	for i, v := range reduced(chequered, 400, 400, 300, 61, 47).pix {
		if v < 96 || v > 104 {
			t.Fatalf("a chequer of 0 and 200 came out as %d at %d, want 100", v, i)
		}
	}
}

// A JPEG of a variety that is not read is another format, not a broken file.
func TestRareVarietiesAreNamed(t *testing.T) {
	data := encode(t, blasted(64, 64))
	data[bytes.Index(data, []byte{0xff, 0xc0})+1] = 0xc9 // coded by arithmetic
	if _, err := Open(data); !errors.Is(err, ErrFormat) || !strings.Contains(err.Error(), "unsupported") {
		t.Errorf("found %v, want the error of another format", err)
	}
}
