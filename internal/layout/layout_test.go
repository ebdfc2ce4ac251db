package layout_test

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func pages(t *testing.T, d *doc.Document, style layout.Style) []*frame.Frame {
	t.Helper()
	d.Words = doc.English()
	ps, err := layout.Pages(d, style, loadFonts(t))
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range ps.Pages {
		inside(t, i+1, p, 0, 0, p.W, p.H)
	}
	return ps.Pages
}

// inside checks that nothing lies outside the page.
func inside(t *testing.T, page int, f *frame.Frame, x, y, w, h float64) {
	t.Helper()
	for _, p := range f.Items {
		px, py := x+p.X, y+p.Y
		if px < 0 || py < 0 || px > w || py > h {
			t.Errorf("page %d: %T at %.1f, %.1f is off the page", page, p.Item, px, py)
		}
		if inner, ok := p.Item.(*frame.Frame); ok {
			inside(t, page, inner, px, py, w, h)
		}
	}
}

// A said is a text with its place on the page.
type said struct {
	frame.Text
	x, y float64
}

// texts lists the texts of a page in the order they were placed.
func texts(f *frame.Frame) []said {
	var out []said
	var walk func(f *frame.Frame, x, y float64)
	walk = func(f *frame.Frame, x, y float64) {
		for _, p := range f.Items {
			switch it := p.Item.(type) {
			case frame.Text:
				out = append(out, said{it, x + p.X, y + p.Y})
			case *frame.Frame:
				walk(it, x+p.X, y+p.Y)
			}
		}
	}
	walk(f, 0, 0)
	return out
}

func words(f *frame.Frame) []string {
	var out []string
	for _, s := range texts(f) {
		out = append(out, s.S)
	}
	return out
}

// pageOf is the number of the first page, from 1, that says s; 0 for none.
func pageOf(ps []*frame.Frame, s string) int {
	for i, p := range ps {
		if slices.Contains(words(p), s) {
			return i + 1
		}
	}
	return 0
}

func TestGoldenPages(t *testing.T) {
	d := demo(22)
	var b strings.Builder
	for _, p := range pages(t, d, layout.A4()) {
		b.WriteString(p.String())
	}
	path := filepath.Join("testdata", "daily.txt")
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		gs, ws := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(gs), len(ws)) {
			if gs[i] != ws[i] {
				t.Fatalf("line %d:\n got %s\nwant %s\n(-update rewrites %s)", i+1, gs[i], ws[i], path)
			}
		}
		t.Fatalf("got %d lines, want %d", len(gs), len(ws))
	}
}

func TestDayOfTwentyTestsFitsTwoToFourPages(t *testing.T) {
	for name, style := range map[string]layout.Style{"A4": layout.A4(), "letter": layout.Letter()} {
		if n := len(pages(t, demo(20), style)); n < 2 || n > 4 {
			t.Errorf("%s: %d pages, want 2 to 4", name, n)
		}
	}
}

func TestEveryPageSaysWhatItIs(t *testing.T) {
	d := demo(120)
	ps := pages(t, d, layout.A4())
	if len(ps) < 4 {
		t.Fatalf("only %d pages", len(ps))
	}
	cautions := pageOf(ps, "5  Cautions")
	for i, p := range ps {
		all := words(p)
		for _, want := range []string{
			fmt.Sprintf("page %d of %d", i+1, len(ps)),
			"Daily report of soluble-salt tests  ·  DR-0311  ·  rev. 0",
			"Harrowmere floating dock, tank renewal  ·  11 Mar 2025",
			"DRAFT, not signed",
			"record 3f9a 11c0 77de 02b4  ·  saltline 0.1.0  ·  produced 12 Mar 2025",
			fmt.Sprintf("see cautions, page %d", cautions),
		} {
			if !slices.Contains(all, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
		if got, want := slices.Contains(all, "end of document"), i == len(ps)-1; got != want {
			t.Errorf("page %d of %d: end of document %v, want %v", i+1, len(ps), got, want)
		}
	}
}

func TestSignedDocumentHasNoStatusLine(t *testing.T) {
	d := demo(20)
	d.Status = ""
	if pageOf(pages(t, d, layout.A4()), "DRAFT, not signed") != 0 {
		t.Error("a document without a status prints one")
	}
}

func TestTableHeadIsRepeatedAndRowsAreWhole(t *testing.T) {
	const n = 300
	d := &doc.Document{Blocks: []doc.Block{doc.TabulateBy(func(s spot) string { return s.area }, spotCols, spots(n), weigh)}}
	ps := pages(t, d, layout.A4())
	if len(ps) < 5 {
		t.Fatalf("only %d pages", len(ps))
	}
	row := regexp.MustCompile(`^tests!H\d+$`) // the last column, once in every row
	seen := 0
	for i, p := range ps {
		all := words(p)
		if all[1] != "Test" { // behind the number of the page
			t.Errorf("page %d begins with %q, want the head of the table", i+1, all[1])
		}
		numbers, cells := 0, 0
		for _, s := range all {
			if s == "3.0" { // the volume, in every row
				numbers++
			}
			if row.MatchString(s) {
				cells++
			}
		}
		if numbers != cells {
			t.Errorf("page %d: %d rows begin and %d end", i+1, numbers, cells)
		}
		seen += cells
		if i > 0 && !slices.Contains(all, " (continued)") && !slices.Contains(all, "Ballast tank 3 starboard") {
			t.Errorf("page %d does not say which area it goes on with", i+1)
		}
	}
	if seen != n {
		t.Errorf("%d rows on paper, want %d", seen, n)
	}
}

func TestGroupStaysWithItsFirstRow(t *testing.T) {
	for n := range 2 * everyStart { // rows of the first group
		ss := spots(2 * (n + 2))
		d := &doc.Document{Blocks: []doc.Block{doc.TabulateBy(func(s spot) string { return s.area }, spotCols, ss)}}
		ps := pages(t, d, layout.A4())
		first := fmt.Sprintf("tests!H%d", n+2+1+4)
		if a, b := pageOf(ps, "Ballast tank 3 starboard"), pageOf(ps, first); a != b {
			t.Errorf("group of %d: heads page %d, its first row is on page %d", n+2, a, b)
		}
	}
}

// filler is n paragraphs of one line.
func filler(n int) []doc.Block {
	out := make([]doc.Block, n)
	for i := range out {
		out[i] = doc.Paragraph{Text: doc.Plain(fmt.Sprintf("line %d", i+1))}
	}
	return out
}

// Every start position on the page is tried, so that one of them puts the
// break where it must not be.
const everyStart = 48

func TestHeadingStaysWithWhatFollows(t *testing.T) {
	turned := false
	for n := range everyStart {
		d := &doc.Document{Blocks: append(filler(n),
			doc.Heading{Level: 1, Text: "Alpha"}, doc.Heading{Level: 2, Text: "Beta"},
			doc.Paragraph{Text: doc.Plain("what follows")})}
		ps := pages(t, d, layout.A4())
		a, b, c := pageOf(ps, "Alpha"), pageOf(ps, "Beta"), pageOf(ps, "what follows")
		if a != b || b != c {
			t.Errorf("after %d lines: headings on pages %d and %d, text on page %d", n, a, b, c)
		}
		turned = turned || a == 2
	}
	if !turned {
		t.Error("no start position brought the headings to the second page")
	}
}

func TestTableHeadStaysWithFirstRowAndHeading(t *testing.T) {
	for n := range everyStart {
		d := &doc.Document{Blocks: append(filler(n), doc.Heading{Level: 1, Text: "Alpha"},
			doc.TabulateBy(func(s spot) string { return s.area }, spotCols, spots(4)))}
		ps := pages(t, d, layout.A4())
		a, b, c := pageOf(ps, "Alpha"), pageOf(ps, "Ballast tank 3 port"), pageOf(ps, "tests!H5")
		if a != b || b != c {
			t.Errorf("after %d lines: heading on page %d, group on %d, first row on %d", n, a, b, c)
		}
	}
}

func TestNoSingleLineOfAParagraph(t *testing.T) {
	long := strings.Repeat("A sentence that takes some room on the line it is set on. ", 10)
	for n := range everyStart {
		ps := pages(t, &doc.Document{Blocks: append(filler(n), doc.Paragraph{Text: doc.Plain(long)})}, layout.A4())
		var count []int
		for _, p := range ps {
			lines := 0
			for _, s := range words(p) {
				if strings.Contains(s, "sentence") {
					lines++
				}
			}
			count = append(count, lines)
		}
		if slices.Contains(count, 1) {
			t.Errorf("after %d lines: lines of the paragraph by page: %d", n, count)
		}
	}
}

func TestSignaturesAreNeverAlone(t *testing.T) {
	sign := doc.Signatures{Items: []doc.Signature{
		signature("Inspector", "I carried out these tests.", ""), signature("QC manager", "I reviewed them.", ""),
		signature("Owner's representative", "Received.", ""), signature("Second inspector", "I witnessed them.", ""),
	}}
	for n := 1; n < everyStart; n++ {
		for name, end := range map[string][]doc.Block{
			"bare":    {sign},
			"headed":  {doc.Heading{Level: 1, Text: "Sign-off"}, sign},
			"grouped": {doc.Group{Blocks: []doc.Block{doc.Heading{Level: 1, Text: "Sign-off"}, sign}}},
		} {
			ps := pages(t, &doc.Document{Blocks: append(filler(n), end...)}, layout.A4())
			p := pageOf(ps, "Inspector")
			if last := pageOf(ps, fmt.Sprintf("line %d", n)); last != p {
				t.Errorf("%s after %d lines: signatures on page %d, text before them on page %d", name, n, p, last)
			}
			if q := pageOf(ps, "Second inspector"); q != p {
				t.Errorf("%s after %d lines: signatures on pages %d and %d", name, n, p, q)
			}
		}
	}
}

func TestSignatureImageStandsOnItsLine(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 600, 100))); err != nil {
		t.Fatal(err)
	}
	sign := signature("Inspector", "I carried out these tests.", "M. Orrey")
	sign.Image = b.Bytes()
	style := layout.A4()
	ps := pages(t, &doc.Document{Blocks: []doc.Block{doc.Signatures{Items: []doc.Signature{sign}}}}, style)
	var found []frame.Image
	var walk func(f *frame.Frame, x, y float64)
	walk = func(f *frame.Frame, x, y float64) {
		for i, p := range f.Items {
			switch it := p.Item.(type) {
			case *frame.Frame:
				walk(it, x+p.X, y+p.Y)
			case frame.Image:
				found = append(found, it)
				if right := x + p.X + it.W; right > style.Page.W-style.Page.Right+1e-6 {
					t.Errorf("the image reaches %g, over the margin", right)
				}
				// Its foot is on the next rule that is drawn.
				for _, q := range f.Items[i:] {
					if _, ok := q.Item.(frame.Path); ok {
						if math.Abs(p.Y+it.H-q.Y) > 1e-6 {
							t.Errorf("the image ends at %g, the line is at %g", p.Y+it.H, q.Y)
						}
						break
					}
				}
			}
		}
	}
	walk(ps[0], 0, 0)
	if len(found) != 1 || math.Abs(found[0].W/found[0].H-6) > 1e-6 {
		t.Errorf("images %+v, want one of 6 to 1", found)
	}
}

func TestBoxAndGroupStayWhole(t *testing.T) {
	inner := []doc.Block{doc.Paragraph{Text: doc.Plain("first")}, doc.Paragraph{Text: doc.Plain("second")}, doc.Paragraph{Text: doc.Plain("third")}}
	for n := range everyStart {
		for name, block := range map[string]doc.Block{"box": doc.Box{Title: "Result", Blocks: inner}, "group": doc.Group{Blocks: inner}} {
			ps := pages(t, &doc.Document{Blocks: append(filler(n), block)}, layout.A4())
			if a, b := pageOf(ps, "first"), pageOf(ps, "third"); a != b {
				t.Errorf("%s after %d lines is split over pages %d and %d", name, n, a, b)
			}
		}
	}
}

func TestWhatNoPageHoldsIsSplit(t *testing.T) {
	many := filler(150)
	table := doc.Table{Columns: []doc.Column{{Head: "No."}, {Head: "Remark"}}, Rows: []doc.Row{
		{Cells: []doc.Text{doc.Plain("1"), doc.Plain(strings.Repeat("line\n", 149) + "line 150")}, Note: doc.Plain("line note")},
	}}
	for name, block := range map[string]doc.Block{
		"box": doc.Box{Title: "Result", Blocks: many}, "group": doc.Group{Blocks: many}, "row": table,
	} {
		ps := pages(t, &doc.Document{Blocks: []doc.Block{doc.Heading{Level: 1, Text: "Alpha"}, block}}, layout.A4())
		n := 0
		for _, p := range ps {
			for _, s := range texts(p) {
				if strings.HasPrefix(s.S, "line") {
					n++
					if s.y > layout.A4().Page.H-layout.A4().Page.Bottom {
						t.Errorf("%s: %q runs into the footer", name, s.S)
					}
				}
			}
		}
		want := 150
		if name == "row" {
			want = 151
		}
		if n != want || len(ps) < 3 {
			t.Errorf("%s: %d lines on %d pages, want %d on 3 or more", name, n, len(ps), want)
		}
	}
}

func TestNewPage(t *testing.T) {
	ps := pages(t, &doc.Document{Blocks: []doc.Block{
		doc.Paragraph{Text: doc.Plain("before")},
		doc.Heading{Level: 1, Text: "Alpha", NewPage: true},
		doc.Paragraph{Text: doc.Plain("after")},
	}}, layout.A4())
	if a, b := pageOf(ps, "Alpha"), pageOf(ps, "after"); len(ps) != 2 || a != 2 || b != 2 {
		t.Errorf("%d pages, heading on %d, text on %d, want all on page 2 of 2", len(ps), a, b)
	}
}

func TestEmptyDocumentIsOnePage(t *testing.T) {
	ps := pages(t, &doc.Document{}, layout.A4())
	if len(ps) != 1 || pageOf(ps, "page 1 of 1") != 1 || pageOf(ps, "end of document") != 1 {
		t.Errorf("%d pages: %q", len(ps), words(ps[0]))
	}
}

func TestContentsNameThePageOfEachHeading(t *testing.T) {
	d := &doc.Document{Blocks: append([]doc.Block{doc.Contents{Depth: 1}},
		append(filler(100), doc.Heading{Level: 1, Text: "Late"}, doc.Heading{Level: 2, Text: "Too deep"}, doc.Paragraph{Text: doc.Plain("x")})...)}
	ps := pages(t, d, layout.A4())
	first := words(ps[0])
	at := slices.Index(first, "Late")
	if at < 0 || slices.Contains(first, "Too deep") {
		t.Fatalf("contents say %q", first[:10])
	}
	want := 0
	for i, p := range ps[1:] {
		if slices.Contains(words(p), "Late") {
			want = i + 2
		}
	}
	if got := first[at+1]; got != fmt.Sprint(want) {
		t.Errorf("contents give page %s, the heading is on page %d", got, want)
	}
}

func TestContradictionsAreErrors(t *testing.T) {
	linked := doc.Paragraph{Text: doc.Plain("see there").To("there")}
	cols := []doc.Column{{Head: "A"}, {Head: "B"}}
	for _, c := range []struct {
		name   string
		want   string // "" for no error
		blocks []doc.Block
	}{
		{"link", "", []doc.Block{linked, doc.Heading{Level: 1, Text: "There", Anchor: "there"}}},
		{"loose link", `link to "there"`, []doc.Block{linked}},
		{"twice", `two places are called "there"`, []doc.Block{doc.Heading{Level: 1, Anchor: "there"}, doc.Heading{Level: 1, Anchor: "there"}}},
		{"level 3", "", []doc.Block{doc.Heading{Level: 3, Text: "x"}}},
		{"level 4", "level 4", []doc.Block{doc.Heading{Level: 4, Text: "x"}}},
		{"level 0", "level 0", []doc.Block{doc.Heading{Level: 0, Text: "x"}}},
		{"cells", "row 1 of a table has 1 cells, want 2", []doc.Block{doc.Table{Columns: cols, Rows: []doc.Row{{Cells: []doc.Text{doc.Plain("x")}}}}}},
		{"group of two", "row 1 of a table has 2 cells, want 1", []doc.Block{doc.Table{Columns: cols, Rows: []doc.Row{{Group: true, Cells: make([]doc.Text, 2)}}}}},
		{"figure", "does not fit", []doc.Block{doc.Figure{Draw: doc.Drawn(&frame.Frame{W: 100, H: 2000})}}},
		{"wide figure", "does not fit", []doc.Block{doc.Figure{Draw: doc.Drawn(&frame.Frame{W: 2000, H: 10})}}},
		{"no drawing", "no drawing", []doc.Block{doc.Figure{Draw: doc.Drawn(nil)}}},
		{"signature", "neither JPEG nor PNG", []doc.Block{doc.Signatures{Items: []doc.Signature{{Image: []byte("GIF89a")}}}}},
	} {
		_, err := layout.Pages(&doc.Document{Blocks: c.blocks, Words: doc.English()}, layout.A4(), loadFonts(t))
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: got error %v, want one with %q", c.name, err, c.want)
		}
	}
}
