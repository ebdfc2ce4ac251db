package doc_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

type reading struct {
	area, place, density, verdict string
}

var readings = []reading{
	{"Tank 3", "bulkhead", "12.5", "PASS"},
	{"Tank 3", "shell", "< 1", "PASS"},
	{"Tank 4", "deckhead", "104.25", "FAIL"},
}

var columns = []doc.Col[reading]{
	doc.Left("Location", "", func(r reading) string { return r.place }),
	doc.Decimal("Density", "mg/m²", func(r reading) string { return r.density }),
	doc.Rich("Verdict", "", doc.AlignLeft, func(r reading) doc.Text { return doc.Marked(frame.Disc, doc.Strong(r.verdict)) }),
}

func emphasise(r reading, row *doc.Row) { row.Emphasis = r.verdict == "FAIL" }

func TestTabulate(t *testing.T) {
	tb := doc.Tabulate(columns, readings, emphasise)
	if len(tb.Rows) != 3 || tb.Rows[1].Emphasis || !tb.Rows[2].Emphasis {
		t.Errorf("rows %+v", tb.Rows)
	}
	want := [][]string{
		{"Location", "Density (mg/m²)", "Verdict"},
		{"bulkhead", "12.5", "PASS"}, {"shell", "< 1", "PASS"}, {"deckhead", "104.25", "FAIL"},
	}
	if got := tb.Records(); !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestTabulateBy(t *testing.T) {
	area := func(r reading) string { return r.area }
	tb := doc.TabulateBy(area, columns, readings, emphasise)
	var got []string
	for _, r := range tb.Rows {
		s := r.Cells[0].String()
		if r.Group {
			s = "[" + s + "]"
		}
		got = append(got, s)
	}
	if want := []string{"[Tank 3]", "bulkhead", "shell", "[Tank 4]", "deckhead"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if tb := doc.TabulateBy(area, columns, nil); len(tb.Rows) != 0 || len(tb.Columns) != 3 {
		t.Errorf("no items: %+v", tb)
	}
}

func TestTableForTerminal(t *testing.T) {
	tb := doc.TabulateBy(func(r reading) string { return r.area }, columns, readings)
	tb.Rows[1].Note = doc.Emphasis("Patch lifted at one corner.")
	tb.Notes = []doc.Item{doc.Entry("1", doc.Plain("As recomputed."))}
	const want = `
Location  Density  Verdict
            mg/m²
--------  -------  -------
Tank 3
bulkhead    12.5   PASS
    Patch lifted at one corner.
shell      < 1     PASS
Tank 4
deckhead   104.25  FAIL
1 As recomputed.
`
	var b strings.Builder
	if err := tb.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	if got := "\n" + b.String(); got != want {
		t.Errorf("got%s\nwant%s", got, want)
	}
}

func TestEmptyTableForTerminal(t *testing.T) {
	var b strings.Builder
	if err := (doc.Table{Columns: []doc.Column{{Head: "Remark"}}, Empty: "none recorded"}).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	if want := "Remark\n------\nnone recorded\n"; b.String() != want {
		t.Errorf("got %q, want %q", b.String(), want)
	}
}

func TestIntegerLen(t *testing.T) {
	for s, want := range map[string]string{
		"12.50": "12", "12,50": "12", "7": "7", "< 1": "< 1", "<0.6": "<0", "50 ± 5": "50", "50.0 ± 5.0": "50",
		"-3.5": "-3", "−3.5": "−3", "1\u00a0234.5": "1\u00a0234", "3\u00a0ml": "3", "n/a": "n/a", "": "", "not known": "not known", "+12": "+12",
	} {
		if got := s[:doc.IntegerLen(s)]; got != want {
			t.Errorf("%q: got %q, want %q", s, got, want)
		}
	}
}

func TestTexts(t *testing.T) {
	plain := doc.Plain("test 3")
	linked := plain.To("test-3")
	if linked[0].Dest != "test-3" || plain[0].Dest != "" {
		t.Errorf("link %+v, original %+v", linked, plain)
	}
	marked := doc.Marked(frame.Cross, plain)
	if marked[0].Mark != frame.Cross || plain[0].Mark != frame.NoMark || marked.String() != "test 3" {
		t.Errorf("marked %+v, original %+v", marked, plain)
	}
	if m := doc.Marked(frame.Cross, nil); len(m) != 1 || m.String() != "" {
		t.Errorf("a mark alone: %+v", m)
	}
	if got := doc.Join(doc.Plain("a "), doc.Strong("b"), nil, doc.Fine(" c")).String(); got != "a b c" {
		t.Errorf("joined %q", got)
	}
}

// full is a document with one of each block, every text of which is T and a
// number.
func full() (*doc.Document, int) {
	n := 0
	next := func() string { n++; return fmt.Sprintf("T%d", n) }
	text := func() doc.Text { return doc.Plain(next()) }
	d := &doc.Document{
		Title: next(), Number: next(), Revision: next(), Job: next(), Scope: next(), Status: next(),
		Footer: doc.Footer{Digest: next(), Tool: next(), Produced: next()},
		Words:  doc.Words{PageOf: next(), Cautions: next(), Continued: next(), End: next()},
		Blocks: []doc.Block{
			doc.Heading{Level: 1, Text: next()},
			doc.Paragraph{Text: doc.Join(text(), text())},
			doc.List{Items: []doc.Item{doc.Entry(next(), text())}},
			doc.Fields{Columns: 1, Items: []doc.Field{doc.Labelled(next(), text())}},
			doc.Table{Columns: []doc.Column{{Head: next(), Unit: next()}}, Rows: []doc.Row{{Cells: []doc.Text{text()}, Note: text()}}, Notes: []doc.Item{doc.Entry(next(), text())}},
			doc.Table{Columns: []doc.Column{{Head: next()}}, Empty: next()},
			doc.Box{Title: next(), Blocks: []doc.Block{doc.Paragraph{Text: text()}}},
			doc.Figure{Caption: text()},
			doc.Group{Blocks: []doc.Block{doc.Paragraph{Text: text()}}},
			doc.Contents{Depth: 1},
			doc.Signatures{Items: []doc.Signature{{Role: next(), Statement: next(), Fields: []doc.Field{doc.Labelled(next(), text())}, Sign: next(), State: next()}}},
		},
	}
	return d, n
}

func TestEachTextFindsAll(t *testing.T) {
	d, n := full()
	seen := map[string]int{}
	d.EachText(func(s string) { seen[s]++ })
	for i := range n {
		if s := fmt.Sprintf("T%d", i+1); seen[s] != 1 {
			t.Errorf("%s was given %d times", s, seen[s])
		}
	}
}

// A block that is added has to be added to full, and so to every walk.
func TestFullHoldsEveryBlock(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "document.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, decl := range file.Decls {
		if f, ok := decl.(*ast.FuncDecl); ok && f.Name.Name == "block" {
			kinds = append(kinds, "doc."+f.Recv.List[0].Type.(*ast.Ident).Name)
		}
	}
	if len(kinds) < 5 {
		t.Fatalf("only %q", kinds)
	}
	d, _ := full()
	for _, k := range kinds {
		if !slices.ContainsFunc(d.Blocks, func(b doc.Block) bool { return fmt.Sprintf("%T", b) == k }) {
			t.Errorf("no %s", k)
		}
	}
}

func TestDocumentForTerminal(t *testing.T) {
	d := &doc.Document{
		Title: "Daily report", Number: "DR-0311", Status: "DRAFT, not signed", Words: doc.English(),
		Blocks: []doc.Block{
			doc.Heading{Level: 1, Text: "1  Basis"},
			doc.Paragraph{Text: doc.Plain("The limit is 50\u00a0mg/m² by clause 7.3, as total salts.")},
			doc.List{Items: []doc.Item{doc.Entry("A1", doc.Plain("The wetted area is taken as 1250\u00a0mm².")), doc.Entry("", doc.Plain("One more."))}},
			doc.Fields{Columns: 2, Items: []doc.Field{doc.Labelled("Client", doc.Plain("Port of Harrowmere")), doc.Labelled("Shift", doc.Plain("day"))}},
			doc.Box{Title: "Result", Blocks: []doc.Block{doc.Paragraph{Text: doc.Loud("NOT ACCEPTED")}}},
			doc.Signatures{Items: []doc.Signature{{Role: "Inspector", Statement: "I witnessed these.", Fields: []doc.Field{doc.Labelled("Date", nil)}, Sign: "Signature", State: "not signed"}}},
		},
	}
	const want = `
Daily report DR-0311
DRAFT, not signed

1  Basis
========
The limit is 50 mg/m² by clause
7.3, as total salts.
A1 The wetted area is taken as
   1250 mm².
– One more.
Client  Port of Harrowmere
Shift   day
| Result
| NOT ACCEPTED
Inspector: I witnessed these.
Date
Signature: not signed

end of document
`
	var b strings.Builder
	if err := d.WriteText(&b, 32); err != nil {
		t.Fatal(err)
	}
	if got := "\n" + strings.ReplaceAll(b.String(), "\u00a0", " "); got != want {
		t.Errorf("got%s\nwant%s", got, want)
	}
}

func TestFullDocumentForTerminal(t *testing.T) {
	d, n := full()
	var b strings.Builder
	if err := d.WriteText(&b, 60); err != nil {
		t.Fatal(err)
	}
	// What identifies pages, and the words of the layout, have no place there.
	skipped := []string{d.Revision, d.Job, d.Scope, d.Footer.Digest, d.Footer.Tool, d.Footer.Produced, d.Words.PageOf, d.Words.Cautions, d.Words.Continued}
	said := strings.FieldsFunc(b.String(), func(r rune) bool { return !(r == 'T' || r >= '0' && r <= '9') })
	all := strings.Join(said, " ") + " "
	for i := range n {
		s := fmt.Sprintf("T%d", i+1)
		found := strings.Contains(strings.ReplaceAll(all, "T", " T"), " "+s+" ")
		if want := !slices.Contains(skipped, s); found != want {
			t.Errorf("%s: found %v, want %v", s, found, want)
		}
	}
}
