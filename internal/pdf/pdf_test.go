package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"saltline/fonts"
	"saltline/internal/frame"
	"saltline/internal/objects"
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
	return writePrint(t, frame.Print{Pages: pages}, meta)
}

func writePrint(t testing.TB, p frame.Print, m Meta) file {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, loadFonts(t), m); err != nil {
		t.Fatal(err)
	}
	return read(t, b.Bytes())
}

// A file is what was written, read back.
type file struct {
	*objects.File
	raw   []byte
	pages []objects.Ref
}

func read(t testing.TB, raw []byte) file {
	t.Helper()
	in, err := objects.Read(raw)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := in.Pages()
	if err != nil {
		t.Fatal(err)
	}
	return file{in, raw, pages}
}

// with lists the dictionaries of the objects that have key, in the order of
// their numbers; of those of a value where one is given.
func (f file) with(key objects.Name, value ...objects.Value) []objects.Dict {
	var out []objects.Dict
	for _, r := range f.Refs() {
		if v := f.Dict(r)[key]; v != nil && (len(value) == 0 || v == value[0]) {
			out = append(out, f.Dict(r))
		}
	}
	return out
}

// unpacked is the content of a stream.
func (f file) unpacked(v objects.Value) []byte {
	data, err := f.Data(v, 1<<24)
	if err != nil {
		panic(err)
	}
	return data
}

// page is the content of page n, from 1.
func (f file) page(n int) string {
	return string(f.unpacked(f.Dict(f.pages[n-1])["Contents"]))
}

// said lists the texts that page n shows.
func (f file) said(n int) []string {
	var out []string
	err := objects.Content([]byte(f.page(n)), func(operator string, operands []objects.Value) error {
		if operator == "Tj" {
			out = append(out, fromUTF16(operands[0].(objects.String)))
		}
		return nil
	})
	if err != nil {
		panic(err)
	}
	return out
}

func fromUTF16(s objects.String) string {
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

// spelled is a value as files spell it, without the spaces that need not be.
func spelled(v objects.Value) string {
	b, err := objects.Spell(nil, v)
	if err != nil {
		panic(err)
	}
	return strings.NewReplacer(" /", "/", " [", "[", " <", "<", " (", "(").Replace(string(b))
}

func page(items ...frame.Placed) *frame.Frame {
	return &frame.Frame{W: 300, H: 400, Items: items}
}

func text(x, y float64, s string) frame.Placed {
	return frame.Placed{X: x, Y: y, Item: frame.Text{S: s, Size: 10}}
}

func at(x, y float64, it frame.Item) frame.Placed { return frame.Placed{X: x, Y: y, Item: it} }

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

func TestLinksAndBookmarks(t *testing.T) {
	f := write(t,
		page(at(0, 0, frame.Anchor{Name: "top", Title: "Eins µ (1)", Level: 0}), text(9, 9, "a"),
			at(10, 20, frame.Link{W: 50, H: 12, Dest: "far"}), at(10, 50, frame.Link{W: 50, H: 12, URI: "mailto:qc@example.org"})),
		page(at(0, 120, &frame.Frame{Items: []frame.Placed{at(0, 30, frame.Anchor{Name: "far", Title: "Second µ", Level: 1})}}), at(0, 0, frame.Link{W: 5, H: 5, Dest: "top"})),
	)
	if len(f.pages) != 2 {
		t.Fatalf("%d pages", len(f.pages))
	}
	far := fmt.Sprintf("[%v/XYZ 0 250 null]", f.pages[1])
	top := fmt.Sprintf("[%v/XYZ 0 400 null]", f.pages[0])
	want := [][]string{
		{
			"<</Type/Annot/Border[0 0 0]/Dest" + far + "/F 4/Rect[10 380 60 368]/Subtype/Link>>",
			"<</Type/Annot/A<</S/URI/URI(mailto:qc@example.org)>>/Border[0 0 0]/F 4/Rect[10 350 60 338]/Subtype/Link>>",
		},
		{"<</Type/Annot/Border[0 0 0]/Dest" + top + "/F 4/Rect[0 400 5 395]/Subtype/Link>>"},
	}
	for p, links := range want {
		annotations := f.Array(f.Dict(f.pages[p])["Annots"])
		if len(annotations) != len(links) {
			t.Fatalf("page %d: %d annotations", p+1, len(annotations))
		}
		for i, link := range links {
			if got := spelled(f.Dict(annotations[i])); got != link {
				t.Errorf("page %d: link\n%s, want\n%s", p+1, got, link)
			}
			if _, is := annotations[i].(objects.Ref); !is {
				t.Errorf("page %d: the link is no object of its own, which nothing could refer to", p+1)
			}
		}
	}
	outlines := f.Dict(f.Catalog()["Outlines"])
	first := f.Dict(outlines["First"])
	second := f.Dict(first["First"])
	for i, c := range []struct {
		mark  objects.Dict
		title string
		dest  string
		count objects.Value
	}{{first, "Eins µ (1)", top, int64(-1)}, {second, "Second µ", far, nil}} {
		if got := f.String(c.mark["Title"]).Text(); got != c.title {
			t.Errorf("bookmark %d: %q, want the title %q", i+1, got, c.title)
		}
		if spelled(c.mark["Dest"]) != c.dest || c.mark["Count"] != c.count || c.mark["Next"] != nil {
			t.Errorf("bookmark %d: %v", i+1, c.mark)
		}
	}
	if outlines["Count"] != int64(1) || outlines["First"] != outlines["Last"] || second["First"] != nil {
		t.Errorf("bookmarks %v", outlines)
	}
}

func TestMeta(t *testing.T) {
	f := write(t, page(text(1, 9, "a")))
	want := objects.Dict{
		"Title": objects.Text(meta.Title), "Author": objects.String("M. Orrey"), "Subject": objects.String("tank 3"), "Producer": objects.String("saltline 0.1.0"),
		"CreationDate": objects.String("D:20250312161500Z"), "ModDate": objects.String("D:20250312161500Z"),
	}
	if got := f.Dict(f.Trailer()["Info"]); !reflect.DeepEqual(got, want) {
		t.Errorf("document information %v, want %v", got, want)
	}
	if title := f.String(f.Dict(f.Trailer()["Info"])["Title"]).Text(); title != meta.Title {
		t.Errorf("title %q", title)
	}
	if lang := f.String(f.Catalog()["Lang"]).Text(); lang != "en-GB" {
		t.Errorf("the catalog says the language %q", lang)
	}
	err := f.EachPage(func(_ objects.Ref, page objects.Dict) error {
		if box := spelled(page["MediaBox"]); box != "[0 0 300 400]" {
			t.Errorf("media box %s", box)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	xmp := string(f.Stream(f.Catalog()["Metadata"]).Raw)
	for _, want := range []string{
		"<pdfaid:part>3</pdfaid:part>", "<pdfaid:conformance>U</pdfaid:conformance>", `xml:lang="x-default">Density in mg/m² (draft)</rdf:li>`,
		"<rdf:li>M. Orrey</rdf:li>", "<xmp:CreateDate>2025-03-12T16:15:00Z</xmp:CreateDate>",
	} {
		if !strings.Contains(xmp, want) {
			t.Errorf("no %s in\n%s", want, xmp)
		}
	}
}

func picture(t testing.TB, encode func(io.Writer, image.Image) error, w, h int) []byte {
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
	if n := len(f.with("Subtype", objects.Name("Image"))); n != 2 {
		t.Errorf("%d pictures stored, want 2", n)
	}
	if n := len(f.with("Width", int64(8))); n != 1 {
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

func TestSameWordsSameBytes(t *testing.T) {
	var first []byte
	for i := range 10 {
		m := meta
		m.Files = attachedFiles()
		raw := writePrint(t, everything(t), m).raw
		if i == 0 {
			first = raw
		} else if !bytes.Equal(raw, first) {
			t.Fatal("the same document gave different bytes")
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
		err := Write(io.Discard, frame.Print{Pages: c.pages}, f, c.meta)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want one with %q", c.name, err, c.want)
		}
	}
	if err := Write(io.Discard, frame.Print{Pages: []*frame.Frame{page()}}, f, meta); err != nil {
		t.Errorf("an empty page: %v", err)
	}
}
