package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"saltline/fonts"
	"saltline/internal/doc"
	"saltline/internal/frame"
)

func newSetter(t testing.TB) setter {
	t.Helper()
	f, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return setter{A4(), f}
}

func said(ls []line) []string {
	var out []string
	for _, l := range ls {
		var b strings.Builder
		for _, sp := range l.spans {
			if sp.mark != frame.NoMark {
				fmt.Fprintf(&b, "<%s>", sp.mark)
			}
			b.WriteString(sp.s)
		}
		out = append(out, b.String())
	}
	return out
}

func TestLines(t *testing.T) {
	s := newSetter(t)
	// At 10 points a digit of the regular face is 6 points wide.
	body := Type{frame.Regular, 10, 12, frame.Black}
	for _, c := range []struct {
		name  string
		width float64
		text  doc.Text
		want  []string
	}{
		{"nothing", 60, nil, []string{""}},
		{"fits exactly", 60, doc.Plain("0123456789"), []string{"0123456789"}},
		{"one digit too many", 60, doc.Plain("01234567890"), []string{"0123456789", "0"}},
		{"space", 60, doc.Plain("00000 00000"), []string{"00000", "00000"}},
		{"no-break space", 40, doc.Plain("00 00\u00a0000"), []string{"00", "00\u00a0000"}},
		{"line feed", 60, doc.Plain("1\n2"), []string{"1", "2"}},
		{"two line feeds", 60, doc.Plain("1\n\n2"), []string{"1", "", "2"}},
		{"hyphen between letters", 40, doc.Plain("blast-cleaned"), []string{"blast-", "cleaned"}},
		{"hyphen in a word that fits on a line", 70, doc.Plain("see blast-cleaned"), []string{"see", "blast-cleaned"}},
		{"last hyphen that fits", 50, doc.Plain("two-by-four-by-six"), []string{"two-by-", "four-by-six"}},
		{"address", 160, doc.Plain("legible. [some-lock.xlsx:readings!Y49]"), []string{"legible.", "[some-lock.xlsx:readings!Y49]"}},
		{"address wider than the line", 100, doc.Plain("legible. [some-lock.xlsx:readings!Y49]"), []string{"legible.", "[some-", "lock.xlsx:readings!Y4", "9]"}},
		{"hyphen between digits", 40, doc.Plain("8502-9"), []string{"8502-9"}},
		{"hyphen that may not break", 26, doc.Plain("8502-9"), []string{"8502", "-9"}}, // by force, as any word
		{"looks stay on one line", 60, doc.Join(doc.Plain("12"), doc.Strong("34")), []string{"1234"}},
		{"a word of two looks is whole", 60, doc.Join(doc.Plain("123456 12"), doc.Strong("3456")), []string{"123456", "123456"}},
		{"mark", 60, doc.Marked(frame.Disc, doc.Plain("1234")), []string{"<disc>1234"}},
		{"mark at a break", 60, doc.Join(doc.Plain("12345 "), doc.Marked(frame.Disc, doc.Plain("1234"))), []string{"12345", "<disc>1234"}},
		{"wide mark alone", 1, doc.Marked(frame.Disc, nil), []string{"<disc>"}},
		{"narrower than a digit", 1, doc.Plain("123"), []string{"1", "2", "3"}},
		{"no glyph", 60, doc.Plain("☐1"), []string{"\ufffd1"}},
		{"soft hyphen in a word that fits", 60, doc.Plain("Mess\u00adgerät"), []string{"Messgerät"}},
		{"soft hyphen in a word that does not", 40, doc.Plain("Mess\u00adgerät"), []string{"Mess-", "gerät"}},
		{"soft hyphen fills the line", 50, doc.Plain("12 Mess\u00adgerät"), []string{"12 Mess-", "gerät"}},
		{"soft hyphen that does not fit either", 32, doc.Plain("12 Mess\u00adgerät"), []string{"12", "Mess-", "gerät"}},
		{"last soft hyphen that fits", 35, doc.Plain("00\u00ad00\u00ad00"), []string{"0000-", "00"}},
		{"every soft hyphen", 30, doc.Plain("Leit\u00adfähig\u00adkeit"), []string{"Leit-", "fähig-", "keit"}},
		{"soft hyphens too far apart", 20, doc.Plain("0000\u00ad0000"), []string{"000", "0-", "000", "0"}},
		{"soft hyphens at the ends", 60, doc.Plain("\u00ad12\u00ad 34\u00ad"), []string{"12 34"}},
		{"soft hyphen between looks", 40, doc.Join(doc.Plain("0000\u00ad"), doc.Strong("0000")), []string{"0000-", "0000"}},
		{"no room for the hyphen", 24, doc.Plain("0000\u00ad0000"), []string{"0000", "0000"}},
		{"beyond the plane", 60, doc.Plain("😀1"), []string{"\ufffd1"}},
	} {
		if got := said(s.lines(c.text, body, c.width)); !slices.Equal(got, c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// Whatever is set comes out whole, in order, and no wider than asked, except
// for a single character that is wider itself.
func TestRandomLinesKeepTheirTextAndWidth(t *testing.T) {
	s := newSetter(t)
	seed := rand.Uint64()
	rng := rand.New(rand.NewPCG(seed, 0))
	// Hyphens stand in the one, and soft hyphens, which may come out as hyphens
	// or not at all, in the other.
	alphabets := []string{"ab01 .,-\u00a0\nµ²±Ж", "ab01 .,\u00ad\u00a0\nµ²±Ж"}
	for n := range 4000 {
		alphabet := alphabets[n%2]
		var text doc.Text
		for range rng.IntN(5) {
			var b strings.Builder
			for range rng.IntN(30) {
				b.WriteRune([]rune(alphabet)[rng.IntN(len([]rune(alphabet)))])
			}
			text = append(text, doc.Run{S: b.String(), Look: doc.Look(rng.IntN(5))})
		}
		width := 20 + 200*rng.Float64()
		ls := s.lines(text, s.style.Type.Body, width)
		for _, l := range ls {
			sum := 0.0
			for _, sp := range l.spans {
				if math.Abs(sp.x-sum) > 1e-6 {
					t.Fatalf("seed %d: %q: span at %g, want %g", seed, text, sp.x, sum)
				}
				if w := s.width(sp.t, sp.s); math.Abs(w-sp.w) > 1e-6 {
					t.Fatalf("seed %d: %q: span %q of width %g, want %g", seed, text, sp.s, sp.w, w)
				}
				sum += sp.w
			}
			if l.w > width+1e-6 {
				t.Fatalf("seed %d: %q in %g: line %q is %g wide", seed, text, width, said([]line{l}), l.w)
			}
		}
		squeeze := func(s string) string {
			s = strings.NewReplacer(" ", "", "\n", "").Replace(s)
			if n%2 == 1 {
				s = strings.NewReplacer("-", "", "\u00ad", "").Replace(s)
			}
			return s
		}
		if got, want := squeeze(strings.Join(said(ls), "")), squeeze(text.String()); got != want {
			t.Fatalf("seed %d: set %q, want %q", seed, got, want)
		}
	}
}

func TestColumns(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	long := strings.Repeat("several words of a remark ", 12)
	table := doc.Table{
		Columns: []doc.Column{{Head: "No.", Align: doc.AlignRight}, {Head: "Remark"}, {Head: "Verdict"}, {Head: "Density", Unit: "mg/m²", Align: doc.AlignDecimal}},
		Rows: []doc.Row{
			{Cells: []doc.Text{doc.Plain("1"), doc.Plain(long), doc.Plain("NOT ESTABLISHED"), doc.Plain("12345.6")}},
			{Cells: []doc.Text{doc.Plain("10 000"), doc.Plain("x"), doc.Plain("PASS"), doc.Plain("7.654")}},
			{Cells: []doc.Text{doc.Plain("x"), doc.Plain("x"), doc.Plain("PASS"), doc.Plain("< 1")}},
		},
	}
	const width = 300
	cs, size := b.columns(table, width)
	if size != b.style.Table.Sizes[0] {
		t.Errorf("set at %g points, want %g: it fits", size.Size, b.style.Table.Sizes[0].Size)
	}
	last := cs[len(cs)-1]
	if got := last.x + last.w; math.Abs(got-width) > 1e-6 {
		t.Errorf("the table is %g wide, want %d: the remark fills it", got, width)
	}
	ts := newTableSetter(b, cs, size, width, &frame.Element{})
	signs := map[float64]bool{}
	for _, r := range table.Rows {
		for i, cell := range r.Cells {
			ls := ts.cellLines(cs[i], cell, size)
			if i != 1 && len(ls) != 1 {
				t.Errorf("%q is set on %d lines", cell, len(ls))
			}
			if i == 3 {
				s := cell.String()
				sign := cs[i].offset(ls[0]) + b.width(size, s[:doc.IntegerLen(s)])
				signs[math.Round(sign*1000)] = true
			}
		}
	}
	if len(signs) != 1 {
		t.Errorf("decimal signs stand at %v", signs)
	}
}

func TestTableThatDoesNotFitIsSetSmallerThenBroken(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	table := func(digits int) doc.Table {
		n := doc.Plain(strings.Repeat("8", digits))
		return doc.Table{
			Columns: []doc.Column{{Head: "A", Align: doc.AlignRight}, {Head: "B", Align: doc.AlignRight}, {Head: "C", Align: doc.AlignRight}},
			Rows:    []doc.Row{{Cells: []doc.Text{n, n, n}}},
		}
	}
	sizes := b.style.Table.Sizes
	const width = 200
	size0 := sizes[0]
	// The most digits that fit at the largest size: a third of the table, less the gaps.
	fit := int((width - 2*b.style.Table.Gap) / 3 / b.width(size0, "8"))
	if w := b.width(size0, strings.Repeat("8", fit)); w > b.style.Table.NumberMax*width+1e-6 {
		fit = int(b.style.Table.NumberMax * width / b.width(size0, "8"))
	}
	for _, c := range []struct {
		digits int
		lines  int
	}{{fit, 1}, {500, 0}} {
		tb := table(c.digits)
		cs, size := b.columns(tb, width)
		last := cs[len(cs)-1]
		if got := last.x + last.w; got > width+1e-6 {
			t.Errorf("%d digits: the table is %g wide, want at most %d", c.digits, got, width)
		}
		ts := newTableSetter(b, cs, size, width, &frame.Element{})
		ls := ts.cellLines(cs[0], tb.Rows[0].Cells[0], size)
		if c.lines > 0 && len(ls) != c.lines {
			t.Errorf("%d digits: set on %d lines, want %d", c.digits, len(ls), c.lines)
		}
		for _, l := range ls {
			if l.w > cs[0].w+1e-6 {
				t.Errorf("%d digits: a line of %g in a column of %g", c.digits, l.w, cs[0].w)
			}
		}
	}
	wide := doc.Table{Rows: []doc.Row{{}}}
	for range 14 {
		wide.Columns = append(wide.Columns, doc.Column{Head: "Head", Align: doc.AlignRight})
		wide.Rows[0].Cells = append(wide.Rows[0].Cells, doc.Plain("1234567"))
	}
	if _, size := b.columns(wide, b.style.TextWidth()); size == sizes[0] {
		t.Errorf("fourteen columns of seven digits are set at %g points", size.Size)
	}
}

func TestBookmarksNeverSkipALevel(t *testing.T) {
	hs := collectHeadings([]doc.Block{
		doc.Heading{Level: 2}, doc.Group{Blocks: []doc.Block{doc.Heading{Level: 3}}}, doc.Heading{Level: 1}, doc.Box{Blocks: []doc.Block{doc.Heading{Level: 3}}}, doc.Heading{Level: 3},
	}, nil)
	var got []int
	for _, h := range hs {
		got = append(got, h.depth)
	}
	if want := []int{0, 1, 0, 1, 2}; !slices.Equal(got, want) {
		t.Errorf("depths %d, want %d", got, want)
	}
}

// A column may be as narrow as the widest part of a head between soft hyphens.
func TestSoftHyphenInHead(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	least := func(head string) float64 {
		return b.measured(doc.Table{Columns: []doc.Column{{Head: head}}}, b.style.Table.Sizes[0], 300)[0].least
	}
	head, _ := b.headTypes(b.style.Table.Sizes[0])
	if got, want := least("Mess\u00adunsicherheit"), b.width(head, "unsicherheit"); math.Abs(got-want) > 1e-6 {
		t.Errorf("the column needs %g, want %g", got, want)
	}
	if got, want := least("Leitfähig\u00adkeit"), b.width(head, "Leitfähig-"); math.Abs(got-want) > 1e-6 {
		t.Errorf("the column needs %g, want %g: the hyphen needs room too", got, want)
	}
}
