package pdf

import (
	"fmt"
	"image/png"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/frame"
	"saltline/internal/objects"
	"saltline/internal/pdf/judge"
)

// outlined writes the structure tree with one element a line: its type, its
// attributes and what of it the pages show, in the order of reading.
func (f file) outlined(t testing.TB) string {
	t.Helper()
	shown := f.sequences(t)
	var b strings.Builder
	var write func(v objects.Value, depth int)
	write = func(v objects.Value, depth int) {
		d := f.Dict(v)
		fmt.Fprintf(&b, "%s%s", strings.Repeat(" ", depth), d["S"])
		if a := f.Dict(d["A"]); a != nil {
			b.WriteString(" " + spelled(a))
		}
		if alt := f.String(d["Alt"]); alt != nil {
			fmt.Fprintf(&b, " alt %q", alt.Text())
		}
		var below []objects.Value
		for _, k := range f.Array(d["K"]) {
			on := d["Pg"]
			if n, is := f.Int(k); is {
				fmt.Fprintf(&b, " %q", shown[on.(objects.Ref)][n])
				continue
			}
			kid := f.Dict(k)
			if page := kid["Pg"]; page != nil && kid["S"] == nil {
				on = page
			}
			switch kid["Type"] {
			case objects.Name("MCR"):
				n, _ := f.Int(kid["MCID"])
				fmt.Fprintf(&b, " %q", shown[on.(objects.Ref)][n])
			case objects.Name("OBJR"):
				fmt.Fprintf(&b, " [%s]", f.Dict(kid["Obj"])["Subtype"])
			default:
				fmt.Fprintf(&b, " {%d}", len(below)+1)
				below = append(below, k)
			}
		}
		b.WriteByte('\n')
		for _, k := range below {
			write(k, depth+1)
		}
	}
	write(f.Dict(f.Catalog()["StructTreeRoot"])["K"], 0)
	return b.String()
}

// sequences are the texts of the marked content of each page by identifier; a
// picture is "picture", and a path that is painted "path".
func (f file) sequences(t testing.TB) map[objects.Ref]map[int]string {
	t.Helper()
	out := map[objects.Ref]map[int]string{}
	for i, r := range f.pages {
		all, in := map[int]string{}, -1
		err := objects.Content([]byte(f.page(i+1)), func(operator string, operands []objects.Value) error {
			said := ""
			switch operator {
			case "BDC":
				in, _ = f.Int(f.Dict(operands[1])["MCID"])
				all[in] = ""
			case "BMC", "EMC":
				in = -1
			case "Tj":
				said = fromUTF16(operands[0].(objects.String))
			case "Do":
				said = "picture"
			case "S", "f", "B":
				said = "path"
			}
			if in >= 0 {
				all[in] += said
			} else if said != "" && said != "path" && !strings.HasPrefix(said, "aside") {
				t.Errorf("page %d: %q is of no element", i+1, said)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		out[r] = all
	}
	return out
}

// of is a frame that belongs to an element.
func of(e *frame.Element, items ...frame.Placed) frame.Item {
	return &frame.Frame{W: 100, H: 20, Element: e, Items: items}
}

// everything is a print with every role.
func everything(t testing.TB) frame.Print {
	says := &frame.Element{Role: frame.Document}
	title := says.Add(frame.Element{Role: frame.Heading, Level: 1})
	contents := says.Add(frame.Element{Role: frame.Contents})
	entry := contents.Add(frame.Element{Role: frame.ContentsEntry}).Add(frame.Element{Role: frame.Reference})
	leads := entry.Within(frame.Element{Role: frame.LinkText, Alt: "Basis"})
	part := says.Add(frame.Element{Role: frame.Part})
	basis := part.Add(frame.Element{Role: frame.Heading, Level: 2})
	words := part.Add(frame.Element{Role: frame.Paragraph})
	mail := words.Within(frame.Element{Role: frame.LinkText, Alt: "write to us"})
	list := part.Add(frame.Element{Role: frame.List, Ordered: true})
	item := list.Add(frame.Element{Role: frame.ListItem})
	label, body := item.Add(frame.Element{Role: frame.ListLabel}), item.Add(frame.Element{Role: frame.ListBody})
	table := part.Add(frame.Element{Role: frame.Table})
	var cells []*frame.Element
	for i := range 6 {
		if i%2 == 0 {
			table.Add(frame.Element{Role: frame.Row})
		}
		row := table.Kids[i/2]
		switch {
		case i < 2:
			cells = append(cells, row.Add(frame.Element{Role: frame.HeadCell}))
		case i < 4:
			cells = append(cells, row.Add(frame.Element{Role: frame.Cell}))
		case i == 4:
			cells = append(cells, row.Add(frame.Element{Role: frame.Cell, Span: 2}))
		}
	}
	figure := part.Add(frame.Element{Role: frame.Figure, Alt: "A square"})
	caption := figure.Add(frame.Element{Role: frame.Caption})
	sign := part.Add(frame.Element{Role: frame.Paragraph})
	form := sign.Within(frame.Element{Role: frame.SignatureField, Alt: "Inspector"})

	pen := frame.Pen{Width: 0.5}
	one := page(
		at(20, 5, of(frame.Aside, text(0, 8, "aside: head"), at(0, 12, frame.HLine(200, pen)))),
		at(20, 30, of(title, at(0, 0, frame.Anchor{Name: "top", Title: "Report"}), text(0, 10, "Report"))),
		at(20, 60, of(leads, text(0, 10, "Basis"), at(0, 0, frame.Link{W: 100, H: 12, Dest: "basis"}), text(80, 10, "1"))),
		at(20, 90, of(basis, at(0, 0, frame.Anchor{Name: "basis", Title: "Basis", Level: 1}), text(0, 10, "Basis"))),
		at(20, 120, of(words, text(0, 10, "One line,"), text(0, 22, "then "), at(30, 12, of(mail, text(0, 10, "write"), at(0, 0, frame.Link{W: 30, H: 12, URI: "mailto:qc@example.org"}))), text(70, 22, " or"))),
		at(20, 170, of(body, at(0, 0, of(label, text(0, 10, "A1"))), text(20, 10, "An item."))),
		at(20, 380, of(frame.Aside, text(0, 8, "aside: foot"))),
	)
	two := page(
		at(20, 20, of(words, text(0, 10, "ends here."))),
		at(20, 50, of(table.Kids[0], at(0, 0, of(cells[0], text(0, 10, "Test"))), at(50, 0, of(cells[1], text(0, 10, "Density"))), at(0, 14, frame.HLine(100, pen)))),
		at(20, 70, of(table.Kids[1], at(0, 0, of(cells[2], text(0, 10, "1"))))),
		at(20, 90, of(cells[4], text(0, 10, "A note"))),
		at(20, 120, of(figure, at(0, 0, frame.Rect(30, 30, pen, frame.Solid(frame.Colour{R: 200}))), at(40, 0, frame.Image{Data: picture(t, png.Encode, 8, 4), W: 8, H: 4}),
			at(0, 40, of(caption, text(0, 10, "A caption"))))),
		at(20, 220, of(sign, text(0, 10, "Inspector"), at(50, 0, of(form, at(0, 0, frame.Field{Name: "inspector", Says: "Inspector", W: 90, H: 30}))))),
		at(20, 300, of(mail, text(0, 10, "to us"), at(0, 0, frame.Link{W: 30, H: 12, URI: "mailto:qc@example.org"}))),
	)
	return frame.Print{Pages: []*frame.Frame{one, two}, Says: says}
}

const outlined = `Document {1} {2} {3}
 H1 "Report"
 TOC {1}
  TOCI {1}
   Reference {1}
    Link alt "Basis" "Basis 1" [Link]
 Part {1} {2} {3} {4} {5} {6}
  H2 "Basis"
  P "One line, then " {1} " or" " ends here."
   Link alt "write to us" "write" [Link] " to us" [Link]
  L <</ListNumbering/Decimal/O/List>> {1}
   LI {1} {2}
    Lbl "A1"
    LBody "An item."
  Table {1} {2} {3}
   TR {1} {2}
    TH <</O/Table/Scope/Column>> "Test"
    TH <</O/Table/Scope/Column>> "Density"
   TR {1} {2}
    TD "1"
    TD
   TR {1}
    TD <</ColSpan 2/O/Table>> "A note"
  Figure <</BBox[20 260 120 280]/O/Layout/Placement/Block>> alt "A square" "pathpicture" {1}
   Caption "A caption"
  P "Inspector" {1}
   Form alt "Inspector" [Widget]
`

func TestStructure(t *testing.T) {
	f := writePrint(t, everything(t), meta)
	if got := f.outlined(t); got != outlined {
		t.Errorf("got\n%s\nwant\n%s", got, outlined)
	}
	for i, r := range f.pages {
		if page := f.Dict(r); page["StructParents"] != int64(i) || page["Tabs"] != objects.Name("S") {
			t.Errorf("page %d: %v", i+1, page)
		}
	}
	if bs := judge.File(f.raw, judge.Accessible); len(bs) > 0 {
		t.Error(judge.Report(bs))
	}
}

// Words are read in the order of the elements, however they lie on the pages.
func TestReadingOrder(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 20 {
		p := frame.Print{Says: &frame.Element{Role: frame.Document}}
		p.Says.Add(frame.Element{Role: frame.Heading, Level: 1})
		for range rng.IntN(10) {
			p.Says.Add(frame.Element{Role: frame.Paragraph})
		}
		for range 1 + rng.IntN(3) {
			p.Pages = append(p.Pages, page())
		}
		want := make([]string, len(p.Says.Kids))
		put := func(e int, on *frame.Frame) {
			s := fmt.Sprintf("%03d", rng.IntN(1000))
			want[e] += s
			on.Put(rng.Float64()*200, rng.Float64()*300, of(p.Says.Kids[e], text(0, 0, s)))
		}
		for i, on := range p.Pages {
			if i == 0 {
				for _, e := range rng.Perm(len(want)) {
					put(e, on)
				}
			}
			for range rng.IntN(30) {
				if rng.IntN(4) == 0 {
					on.Put(0, 0, of(frame.Aside, text(0, 0, "aside")))
				}
				put(rng.IntN(len(want)), on)
			}
		}
		f := writePrint(t, p, meta)
		var got []string
		shown := f.sequences(t)
		for _, k := range f.Array(f.Dict(f.Dict(f.Catalog()["StructTreeRoot"])["K"])["K"]) {
			said := ""
			for _, piece := range f.Array(f.Dict(k)["K"]) {
				on, n := f.Dict(k)["Pg"], piece
				if d := f.Dict(piece); d != nil {
					on, n = d["Pg"], d["MCID"]
				}
				id, _ := f.Int(n)
				said += shown[on.(objects.Ref)][id]
			}
			got = append(got, strings.ReplaceAll(said, " ", ""))
		}
		if !slices.Equal(got, want) {
			t.Fatalf("read\n%q, but put\n%q", got, want)
		}
		if bs := judge.File(f.raw, judge.Accessible); len(bs) > 0 {
			t.Fatal(judge.Report(bs))
		}
	}
}

func TestWithoutWordsOfTheDocumentNothingIsTagged(t *testing.T) {
	p := everything(t)
	p.Says = nil
	m := meta
	m.Files = attachedFiles()
	f := writePrint(t, p, m)
	if bs := judge.File(f.raw, judge.Archive); len(bs) > 0 {
		t.Error(judge.Report(bs))
	}
	if c := f.Catalog(); c["StructTreeRoot"] != nil || c["MarkInfo"] != nil {
		t.Errorf("the catalog %v", c)
	}
	if xmp := string(f.Stream(f.Catalog()["Metadata"]).Raw); strings.Contains(xmp, "pdfuaid") && strings.Contains(xmp, "<pdfuaid:part>") {
		t.Error("the file says that it is PDF/UA")
	}
	for i := range f.pages {
		if strings.Contains(f.page(i+1), "BDC") || strings.Contains(f.page(i+1), "BMC") || f.Dict(f.pages[i])["StructParents"] != nil {
			t.Errorf("page %d is marked", i+1)
		}
	}
}

// Text, a picture and a link that nobody would be told of are a mistake of
// whoever made the page.
func TestContentOfNoElementIsRefused(t *testing.T) {
	for name, it := range map[string]frame.Item{
		`text "a"`:  frame.Text{S: "a", Size: 9},
		"a picture": frame.Image{Data: picture(t, png.Encode, 8, 4), W: 8, H: 4},
		"a link":    frame.Link{URI: "mailto:qc@example.org"},
	} {
		p := frame.Print{Pages: []*frame.Frame{page(at(9, 9, it))}, Says: &frame.Element{Role: frame.Document}}
		if err := Write(io.Discard, p, loadFonts(t), meta); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("error %v, want one with %q", err, name)
		}
	}
}
