package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/go-pdf/fpdf"

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

var meta = Meta{
	Title: "Density in mg/m² (draft)", Author: "M. Orrey", Subject: "tank 3", Lang: "en-GB", Producer: "saltline 0.1.0",
	Created: time.Date(2025, 3, 12, 16, 15, 0, 0, time.UTC),
}

func write(t testing.TB, pages ...*frame.Frame) file {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, pages, loadFonts(t), meta); err != nil {
		t.Fatal(err)
	}
	return parse(t, b.Bytes())
}

// A file is a PDF file, taken apart as far as these tests need it.
type file struct {
	raw     []byte
	objects map[string]string // by number, without their streams
	streams map[string]string // by number, inflated
	order   []string
}

var (
	object = regexp.MustCompile(`(?s)(\d+) 0 obj\n(.*?)\nendobj`)
	stream = regexp.MustCompile(`(?s)stream\n(.*)\nendstream`)
)

func parse(t testing.TB, raw []byte) file {
	t.Helper()
	f := file{raw, map[string]string{}, map[string]string{}, nil}
	for _, m := range object.FindAllSubmatch(raw, -1) {
		n, body := string(m[1]), m[2]
		if s := stream.FindSubmatch(body); s != nil {
			body = body[:len(body)-len(s[0])]
			if bytes.Contains(body, []byte("/FlateDecode")) {
				r, err := zlib.NewReader(bytes.NewReader(s[1]))
				if err != nil {
					t.Fatalf("object %s: %v", n, err)
				}
				plain, err := io.ReadAll(r)
				if err != nil {
					t.Fatalf("object %s: %v", n, err)
				}
				f.streams[n] = string(plain)
			}
		}
		f.objects[n] = string(body)
		f.order = append(f.order, n)
	}
	return f
}

// find lists the objects that contain s, in the order of the file.
func (f file) find(s string) []string {
	var out []string
	for _, n := range f.order {
		if strings.Contains(f.objects[n], s) {
			out = append(out, f.objects[n])
		}
	}
	return out
}

var contents = regexp.MustCompile(`/Contents (\d+) 0 R`)

// page is the content of page n, from 1.
func (f file) page(n int) string {
	m := contents.FindStringSubmatch(f.find("/Type /Page\n")[n-1])
	return f.streams[m[1]]
}

var shown = regexp.MustCompile(`(?s)\(((?:[^\\()]|\\.)*)\) Tj`)

// said lists the texts that page n shows.
func (f file) said(n int) []string {
	var out []string
	for _, m := range shown.FindAllStringSubmatch(f.page(n), -1) {
		out = append(out, fromUTF16(unescaped.Replace(m[1])))
	}
	return out
}

// unescaped undoes the escapes of a string in a PDF.
var unescaped = strings.NewReplacer(`\\`, `\`, `\(`, `(`, `\)`, `)`, `\r`, "\r")

func fromUTF16(s string) string {
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return strings.TrimPrefix(string(utf16.Decode(units)), "\ufeff")
}

func page(items ...frame.Placed) *frame.Frame {
	return &frame.Frame{W: 300, H: 400, Items: items}
}

func text(x, y float64, s string) frame.Placed {
	return frame.Placed{X: x, Y: y, Item: frame.Text{S: s, Size: 10}}
}

func at(x, y float64, it frame.Item) frame.Placed { return frame.Placed{X: x, Y: y, Item: it} }

func TestAdvanceWidthsAreThoseOfTheFile(t *testing.T) {
	f := loadFonts(t)
	for face := frame.Regular; face <= frame.CondensedSemiBold; face++ {
		out := fpdf.New("P", "pt", "A4", "")
		out.AddUTF8FontFromBytes(face.String(), "", f.TTF(face))
		out.SetFont(face.String(), "", 10)
		n := 0
		for r := rune(' '); r < 0xFFFF; r++ {
			if r >= 0xD800 && r < 0xE000 || !f.Covers(face, r) {
				continue
			}
			n++
			want := float64(out.GetStringSymbolWidth(string(r)))
			if got := f.Width(face, 1000, string(r)); got != want {
				// The library takes a width of nothing for a character without one.
				if got == 0 && f.Width(face, 1000, string(r)+"a") == f.Width(face, 1000, "a") {
					continue
				}
				t.Errorf("%s %U: width %g, the file has %g", face, r, got, want)
			}
		}
		if n < 500 {
			t.Errorf("%s: only %d characters compared", face, n)
		}
	}
}

func TestTextExtractedIsTextPlaced(t *testing.T) {
	lines := []string{
		"plain", `brackets ( ) ((, a backslash \ and both \( \)`, "50 mg/m² ≤ 4.8 µg/cm² ± 0.3", "Ωмега Тест č ø",
		"a\u00a0b", "carriage \u0d0d", "\u015c\u5c28\ufffd",
	}
	var items []frame.Placed
	for i, s := range lines {
		items = append(items, text(20, 20+20*float64(i), s))
	}
	inner := page(text(1, 1, "inner"))
	items = append(items, at(100, 200, inner), at(50, 300, frame.Text{S: "turned", Size: 10, Rotate: 90}))
	want := append(slices.Clone(lines), "inner", "turned")
	if got := write(t, page(items...)).said(1); !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
}

func TestPlaces(t *testing.T) {
	f := write(t, page(
		text(20, 30, "a"),
		at(100, 200, &frame.Frame{Items: []frame.Placed{text(5, 7, "b"), at(1, 2, frame.HLine(10, frame.Pen{Width: 0.25}))}}),
		at(50, 60, frame.Text{S: "c", Size: 10, Rotate: 90}),
		at(10, 10, frame.Rect(30, 20, frame.Pen{}, frame.Solid(frame.Colour{R: 255}))),
	))
	got := f.page(1)
	for _, want := range []string{ // PDF counts y from the bottom of 400 points
		"BT 20.00 370.00 Td",
		"BT 105.00 193.00 Td",
		"0.250 w\n101.00 198.00 m 111.00 198.00 l S\n",
		"q 0.00000 1.00000 -1.00000 0.00000 50.00 340.00 cm\nBT 0.00 0.00 Td",
		"1.000 0.000 0.000 rg\n10.00 390.00 m 40.00 390.00 l 40.00 370.00 l 10.00 370.00 l h f\n",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%q", want, got)
		}
	}
}

func TestStateIsWrittenOnlyOnChangeAndAnewOnEachPage(t *testing.T) {
	grey := frame.Pen{Width: 0.5, Colour: frame.Grey(0x80), Dash: []float64{4, 2}}
	solid := frame.Pen{Width: 0.5, Colour: frame.Grey(0x80)}
	p := page(at(1, 1, frame.HLine(9, grey)), at(1, 2, frame.HLine(9, grey)), at(1, 3, frame.HLine(9, solid)),
		text(1, 4, "a"), text(1, 5, "b"), at(1, 6, frame.Text{S: "c", Size: 10, Colour: frame.Grey(0x80)}), text(1, 7, "d"))
	f := write(t, p, p)
	for n := 1; n <= 2; n++ {
		for want, times := range map[string]int{
			"0.500 w": 1, "0.502 0.502 0.502 RG": 1, "[4.000 2.000 ] 0 d": 1, "[] 0 d": 1,
			"0.502 0.502 0.502 rg": 1, "0.000 0.000 0.000 rg": 1,
		} {
			if got := strings.Count(f.page(n), want); got != times {
				t.Errorf("page %d: %q %d times, want %d", n, want, got, times)
			}
		}
	}
	if strings.Count(f.page(1), " Tf ") != 1 {
		t.Errorf("the face was selected again though it did not change:\n%q", f.page(1))
	}
}

func TestOnlyFacesInUseAreEmbedded(t *testing.T) {
	one := write(t, page(text(1, 9, "a")))
	two := write(t, page(text(1, 9, "a"), at(1, 20, frame.Text{S: "b", Face: frame.Condensed, Size: 8})))
	for _, c := range []struct {
		f    file
		want int
	}{{one, 1}, {two, 2}} {
		if got := len(c.f.find("/FontFile2")); got != c.want {
			t.Errorf("%d faces embedded, want %d", got, c.want)
		}
	}
}

func TestLinksAndBookmarks(t *testing.T) {
	f := write(t,
		page(at(0, 0, frame.Anchor{Name: "top", Title: "Eins µ (1)", Level: 0}), text(9, 9, "a"),
			at(10, 20, frame.Link{W: 50, H: 12, Dest: "far"}), at(10, 50, frame.Link{W: 50, H: 12, URI: "mailto:qc@example.org"})),
		page(at(0, 120, &frame.Frame{Items: []frame.Placed{at(0, 30, frame.Anchor{Name: "far", Title: "Second µ", Level: 1})}}), at(0, 0, frame.Link{W: 5, H: 5, Dest: "top"})),
	)
	pages := f.find("/Type /Page\n")
	if len(pages) != 2 {
		t.Fatalf("%d pages", len(pages))
	}
	kids := regexp.MustCompile(`/Kids \[(\d+) 0 R (\d+) 0 R`).FindStringSubmatch(f.find("/Type /Pages")[0])
	for _, want := range []string{
		fmt.Sprintf("/Rect [10.00 380.00 60.00 368.00] /Border [0 0 0] /Dest [%s 0 R /XYZ 0 250.00 null]", kids[2]),
		"/Rect [10.00 350.00 60.00 338.00] /Border [0 0 0] /A <</S /URI /URI (mailto:qc@example.org)>>",
	} {
		if !strings.Contains(pages[0], want) {
			t.Errorf("no %q in\n%s", want, pages[0])
		}
	}
	if want := fmt.Sprintf("/Dest [%s 0 R /XYZ 0 400.00 null]", kids[1]); !strings.Contains(pages[1], want) {
		t.Errorf("no %q in\n%s", want, pages[1])
	}
	marks := f.find("/Title ")
	marks = slices.DeleteFunc(marks, func(s string) bool { return !strings.Contains(s, "/Parent") })
	if len(marks) != 2 {
		t.Fatalf("%d bookmarks, want 2: %q", len(marks), marks)
	}
	if !strings.Contains(marks[0], "/First") || strings.Contains(marks[1], "/First") {
		t.Errorf("the second bookmark is not below the first: %q", marks)
	}
	if !strings.Contains(marks[1], fmt.Sprintf("/Dest [%s 0 R /XYZ 0 250.00 null]", kids[2])) {
		t.Errorf("the second bookmark leads elsewhere: %q", marks[1])
	}
	for i, want := range []string{"Eins µ (1)", "Second µ"} {
		title := regexp.MustCompile(`(?s)/Title \((.*)\)\n/Parent`).FindStringSubmatch(marks[i])
		if title == nil || fromUTF16(unescaped.Replace(title[1])) != want {
			t.Errorf("bookmark %d: %q, want the title %q", i+1, marks[i], want)
		}
	}
}

func TestMeta(t *testing.T) {
	f := write(t, page(text(1, 9, "a")))
	info := f.find("/Producer")[0]
	if !strings.Contains(info, "/CreationDate (D:20250312161500)") || !strings.Contains(info, "/ModDate (D:20250312161500)") {
		t.Errorf("dates in %q", info)
	}
	title := regexp.MustCompile(`(?s)/Title \((.*?)\)\n`).FindStringSubmatch(info)
	if title == nil || fromUTF16(unescaped.Replace(title[1])) != meta.Title {
		t.Errorf("title in %q", info)
	}
	if len(f.find("/Lang (en-GB)")) != 1 {
		t.Error("the catalog names no language")
	}
	if n := len(f.find("/MediaBox [0 0 300.00 400.00]")); n < 1 {
		t.Error("no media box of the size of the page")
	}
}

func picture(t *testing.T, encode func(io.Writer, image.Image) error, w, h int) []byte {
	t.Helper()
	im := image.NewGray(image.Rect(0, 0, w, h))
	im.Set(1, 1, color.White)
	var b bytes.Buffer
	if err := encode(&b, im); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPicturesAreStoredOnce(t *testing.T) {
	a := frame.Image{Data: picture(t, png.Encode, 8, 4), W: 80, H: 40}
	b := frame.Image{Data: picture(t, func(w io.Writer, im image.Image) error { return jpeg.Encode(w, im, nil) }, 9, 4), W: 90, H: 40}
	f := write(t, page(at(10, 20, a), at(10, 100, b)), page(at(10, 20, a)))
	if n := len(f.find("/Subtype /Image")); n != 2 {
		t.Errorf("%d pictures stored, want 2", n)
	}
	if n := len(f.find("/Width 8\n")); n != 1 {
		t.Errorf("%d pictures of 8 pixels, want 1", n)
	}
	if want := "80.00000 0 0 40.00000 10.00000 340.00000 cm"; !strings.Contains(f.page(2), want) {
		t.Errorf("no %q in\n%q", want, f.page(2))
	}
}

func TestSameInputSameBytes(t *testing.T) {
	// Pictures of one width are the hard case: see setOrder.
	same := page()
	for h := range 8 {
		same.Put(9, 80+5*float64(h), frame.Image{Data: picture(t, png.Encode, 7, 4+h), W: 7, H: 4})
	}
	p := page(at(0, 0, frame.Anchor{Name: "x", Title: "X"}), text(9, 9, "a µ"), at(1, 20, frame.Text{S: "b", Face: frame.Condensed, Size: 8}),
		at(9, 40, frame.Text{S: "c", Face: frame.Italic, Size: 8}), at(9, 60, frame.Image{Data: picture(t, png.Encode, 8, 4), W: 8, H: 4}), at(0, 0, frame.Link{W: 9, H: 9, Dest: "x"}))
	first := write(t, p, p2(p), same).raw
	for range 10 {
		if !bytes.Equal(write(t, p, p2(p), same).raw, first) {
			t.Fatal("the same pages gave different bytes")
		}
	}
}

// p2 is p without its anchor, which may stand only once.
func p2(p *frame.Frame) *frame.Frame { return page(p.Items[1:]...) }

func TestRefusals(t *testing.T) {
	f := loadFonts(t)
	french := meta
	french.Lang = "fr) /X (y"
	for _, c := range []struct {
		name  string
		pages []*frame.Frame
		meta  Meta
		want  string
	}{
		{"no pages", nil, meta, "without pages"},
		{"language", []*frame.Frame{page()}, french, "not a language tag"},
		{"loose link", []*frame.Frame{page(at(0, 0, frame.Link{Dest: "there"}))}, meta, `["there"]`},
		{"beyond U+FFFF", []*frame.Frame{page(text(1, 9, "😀"))}, meta, "pdf: "},
		{"no picture", []*frame.Frame{page(at(0, 0, frame.Image{Data: []byte("GIF89a")}))}, meta, "pdf: "},
		{"broken picture", []*frame.Frame{page(at(0, 0, frame.Image{Data: picture(t, png.Encode, 8, 4)[:20]}))}, meta, "pdf: "},
	} {
		err := Write(io.Discard, c.pages, f, c.meta)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want one with %q", c.name, err, c.want)
		}
	}
	if err := Write(io.Discard, []*frame.Frame{page()}, f, meta); err != nil {
		t.Errorf("an empty page: %v", err)
	}
}
