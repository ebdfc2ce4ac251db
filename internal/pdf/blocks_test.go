package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/pdf/judge"
)

// photograph is a picture in colours.
func photograph(t testing.TB, w, h int) image.Image {
	t.Helper()
	im := image.NewRGBA(image.Rect(0, 0, w, h))
	for x := range w {
		for y := range h {
			im.Set(x, y, color.RGBA{uint8(255 * x / w), uint8(255 * y / h), 90, 255})
		}
	}
	return im
}

// pictures are two figures: a JPEG in colours and a PNG in grey.
func pictures(t testing.TB) []doc.Block {
	t.Helper()
	var jpg bytes.Buffer
	if err := jpeg.Encode(&jpg, photograph(t, 60, 40), nil); err != nil {
		t.Fatal(err)
	}
	var out []doc.Block
	for i, data := range [][]byte{jpg.Bytes(), picture(t, png.Encode, 20, 10)} {
		im, err := frame.NewImage(data, 90, 60, "a slope of colours")
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, doc.Figure{Draw: doc.Drawn(&frame.Frame{W: im.W, H: im.H, Items: []frame.Placed{{Item: im}}}), Caption: doc.Plain(fmt.Sprint("Photograph ", i+1)), Alt: im.Alt})
	}
	return out
}

// square is the aside of a box.
func square() *frame.Frame {
	f := &frame.Frame{W: 40, H: 40, Element: &frame.Element{Role: frame.Figure, Alt: "a square"}}
	f.Put(0, 0, frame.Rect(40, 40, frame.Pen{Width: 1}, frame.Solid(frame.Grey(0x80))))
	return f
}

// blocks is a document with every kind of block in every face, over several
// pages.
func blocks(t testing.TB) *doc.Document {
	t.Helper()
	p := doc.Plain
	cols := []doc.Col[int]{
		doc.Left("Place", "", func(n int) string { return fmt.Sprintf("frame %d, 1.2 m up", n) }),
		doc.Decimal("Density", "mg/m²", func(n int) string { return fmt.Sprintf("%d.%d", n, n%10) }),
		doc.Rich("Verdict", "", doc.AlignLeft, func(n int) doc.Text { return doc.Marked(frame.Mark(1+n%4), doc.Strong("PASS")) }),
		doc.Centre("Note", "", func(n int) string { return []string{"", "µ Δ ± ≤"}[n%2] }),
	}
	table := func(n int) doc.Table {
		all := make([]int, n)
		for i := range all {
			all[i] = i
		}
		tb := doc.TabulateBy(func(n int) string { return fmt.Sprint("Area ", n/30) }, cols, all, func(n int, r *doc.Row) {
			if r.Anchor = fmt.Sprint("test ", n); n%9 == 0 {
				r.Note = doc.Emphasis("Not counted.")
			}
			if n == 7 { // higher than a page
				r.Cells[0] = p(strings.Repeat("behind the bracket ", 400))
			}
		})
		tb.Notes = []doc.Item{doc.Entry("1", p("A note on the table."))}
		return tb
	}
	long := p(strings.Repeat("The wetted area of a patch is taken as 1250 mm², since the record does not state it. ", 60))
	signatures := doc.Signatures{}
	for i, role := range []string{"Inspector", "QC manager", "Owner's representative"} {
		s := doc.Signature{Role: role, Statement: "I reviewed the arithmetic.", Sign: "Signature", State: "not signed",
			Field: []string{"inspector", "qc", "owner"}[i], Fields: []doc.Field{doc.Labelled("Name", p("M. Orrey")), doc.Labelled("Date", nil)}}
		if i == 1 {
			s.Image = picture(t, png.Encode, 40, 10)
		}
		signatures.Items = append(signatures.Items, s)
	}
	all := []doc.Block{
		doc.Contents{Depth: 2},
		doc.Fields{Columns: 2, Items: []doc.Field{doc.Labelled("Client", p("Port of Harrowmere")), doc.Labelled("Structure", p("Floating dock 2")), doc.Labelled("Weather", nil)}},
		doc.Box{Title: "Result", Aside: square(), Blocks: []doc.Block{doc.Paragraph{Text: doc.Loud("NOT ACCEPTED")}, doc.Fields{Columns: 3, Items: []doc.Field{doc.Labelled("Valid", p("9"))}}}},
		doc.Heading{Level: 1, Text: "1  Basis", Anchor: "basis"},
		doc.Paragraph{Text: doc.Join(p("See "), p("test 3").To("test 3"), p(", "), doc.Text{{S: "write to us", URI: "mailto:qc@example.org"}}, doc.Emphasis(" or ask."), doc.Fine(" In small."))},
		doc.Paragraph{Text: long},
		doc.Heading{Level: 2, Text: "What was taken"},
		doc.List{Items: []doc.Item{doc.Entry("A1", p("The area.")), doc.Entry("A2", long)}},
		doc.List{Items: []doc.Item{doc.Entry("", p("The constant."))}},
		doc.Heading{Level: 3, Text: "Deeper"},
		doc.Box{Title: "Longer than a page", Blocks: []doc.Block{doc.Paragraph{Text: long}, doc.Paragraph{Text: long}, doc.Heading{Level: 1, Text: "In a box"}, table(90)}},
	}
	// The rows have places, which may stand once only.
	second := table(3)
	for i := range second.Rows {
		second.Rows[i].Anchor = ""
	}
	all = append(all, doc.Heading{Level: 1, Text: "2  Pictures", NewPage: true}, doc.Group{Blocks: pictures(t)}, second,
		doc.Table{Columns: second.Columns, Empty: "No tests."}, doc.Heading{Level: 1, Text: "3  Sign-off", Anchor: "cautions"}, signatures)
	return &doc.Document{
		Title: "Daily report of soluble-salt tests", Number: "DR-0311", Revision: "rev. 0", Job: "Harrowmere floating dock", Scope: "11 Mar 2025",
		Lang: "en-GB", Status: "DRAFT, not signed", Footer: doc.Footer{Digest: "record 3f9a 11c0", Tool: "saltline", Produced: "12 Mar 2025", Cautions: "cautions"},
		Words: doc.English(), Blocks: all,
	}
}

// volume is three such documents behind a fourth. The last has the fields, and is
// no document by itself.
func volume(t testing.TB) *doc.Volume {
	t.Helper()
	front := blocks(t)
	v := &doc.Volume{Document: *front, Cautions: doc.InPart(2, "cautions")}
	v.Blocks, v.Footer.Cautions = front.Blocks[:3], ""
	for i, entry := range []string{"Report of one day", "", "Report of another"} {
		part := *blocks(t)
		part.Title = fmt.Sprint("Part ", i+1)
		v.Parts = append(v.Parts, doc.Part{Entry: entry, Level: 1 + i/2, Own: i == 1, Make: func() (doc.Document, error) { return part, nil }})
	}
	for i := range v.Parts[:2] {
		whole := v.Parts[i].Make
		v.Parts[i].Make = func() (doc.Document, error) {
			d, err := whole()
			d.Blocks, d.Footer.Cautions = d.Blocks[:len(d.Blocks)-2], "" // only one part has the fields
			return d, err
		}
	}
	return v
}

func TestEveryBlock(t *testing.T) {
	prints := map[string]frame.Print{}
	for name, style := range map[string]layout.Style{"a4": layout.A4(), "letter": layout.Letter(), "landscape": layout.A4().Landscape()} {
		p, err := layout.Pages(blocks(t), style, loadFonts(t))
		if err != nil {
			t.Fatal(err)
		}
		prints[name] = p
	}
	bound, err := layout.Bind(volume(t), layout.A4(), loadFonts(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	prints["volume"] = bound
	for name, p := range prints {
		m := meta
		m.Files = attachedFiles()
		f := writePrint(t, p, m)
		if bs := judge.File(f.raw, judge.Accessible); len(bs) > 0 {
			t.Errorf("%s:\n%s", name, judge.Report(bs))
		}
		if n := len(f.with("FontFile2")); n != 5 {
			t.Errorf("%s: %d faces, and five were to be shown", name, n)
		}
	}
}

// The same as PDF/A-1b goes to a judge that is not ours, where a folder for it
// is named.
func TestPlainForOtherJudges(t *testing.T) {
	p, err := layout.Pages(blocks(t), layout.A4(), loadFonts(t))
	if err != nil {
		t.Fatal(err)
	}
	m := meta
	m.plain = true
	f := writePrint(t, p, m)
	if f.Version() != "1.4" || bytes.Contains(f.raw, []byte("/ObjStm")) || bytes.Contains(f.raw, []byte("/XRef")) {
		t.Errorf("version %s, or objects within streams, which it does not have", f.Version())
	}
	for _, b := range judge.File(f.raw, judge.Archive) {
		if b.Name != "identification" {
			t.Error(b)
		}
	}
	folder := os.Getenv("SALTLINE_PLAIN")
	if folder == "" {
		return
	}
	// What has to be refused stands beside it: a face without its widths.
	spoilt := takeApart(t, f.raw)
	delete(spoilt.the("Subtype", "CIDFontType2"), "W")
	for name, data := range map[string][]byte{"plain.pdf": f.raw, "spoilt.pdf": spoilt.bytes()} {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
