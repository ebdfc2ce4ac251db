package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

// readingsTable has the columns of a table of tests, and a row that holds
// values of ordinary length behind the area and the location.
func readingsTable(area, location, remark string) doc.Table {
	words := func(head string) doc.Column { return doc.Column{Head: head} }
	number := func(head, unit string) doc.Column { return doc.Column{Head: head, Unit: unit, Align: doc.AlignDecimal} }
	t := doc.Table{Columns: []doc.Column{
		words("No."), words("Area"), words("Location"), {Head: "In–read", Unit: "h:min"},
		number("γ₁", "µS/cm"), number("γ₂", "µS/cm"), number("V", "ml"), number("ρ", "mg/m²"), number("Written", "mg/m²"),
		words("Verdict"), words("Remark"), {Head: "Row", Align: doc.AlignRight},
	}}
	row := func(cells ...string) {
		r := doc.Row{Emphasis: len(t.Rows) == 0}
		for _, c := range cells {
			r.Cells = append(r.Cells, doc.Plain(c))
		}
		t.Rows = append(t.Rows, r)
	}
	row("101", area, location, "13:39–13:50", "12.3", "118.7", "3.0", "1117.4", "1117.4", "FAIL", remark, "1041")
	row("102", "FP", "deckhead", "13:47–13:59", "1.3", "11.1", "2.75", "9.8", "< 17", "PASS", "held", "1042")
	return t
}

func TestLongWordsStayInTheirColumns(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	width := b.style.TextWidth()
	ordinary := "bulkhead 44, 1.2 m up"
	_, usual := b.columns(readingsTable("UG", ordinary, "held"), width)
	for _, c := range []struct {
		name                   string
		area, location, remark string
	}{
		{"70 characters", "UG", strings.Repeat("a", 70), ""},
		{"71 characters in capitals", "UG", strings.Repeat("W", 71), "held"},
		{"200 characters", "UG", strings.Repeat("x1", 100), ""},
		{"2000 characters", "UG", strings.Repeat("x1", 1000), "held"},
		{"sixty ideographs", "UG", strings.Repeat("閘門塗装", 15), ""},
		{"two columns", "UG", strings.Repeat("b", 70), strings.Repeat("c", 200)},
		{"three columns", strings.Repeat("閘門塗装", 15), strings.Repeat("b", 200), strings.Repeat("c", 70)},
		{"behind a short word", "UG", "wall " + strings.Repeat("b", 70), "see " + strings.Repeat("c", 70)},
		{"area", strings.Repeat("d", 70), ordinary, ""},
	} {
		tb := readingsTable(c.area, c.location, c.remark)
		cs, size := b.columns(tb, width)
		if size != usual && c.name != "three columns" { // which may be set smaller
			t.Errorf("%s: set at %g points, want %g", c.name, size.Size, usual.Size)
		}
		ts := newTableSetter(b, cs, size, width, &frame.Element{})
		head, unit := b.headTypes(size)
		for i, col := range cs {
			if col.x+col.w > width+slack {
				t.Errorf("%s: %s ends at %g, the table at %g", c.name, col.Head, col.x+col.w, width)
			}
			if n := len(b.lines(doc.Plain(col.Head), head, col.w)) + len(b.lines(doc.Plain(col.Unit), unit, col.w)); n != 2 {
				t.Errorf("%s: the head %s is broken", c.name, col.Head)
			}
			for _, r := range tb.Rows {
				cell := r.Cells[i].String()
				ls := ts.cellLines(col, r.Cells[i], rowType(size, r))
				for _, l := range ls {
					if l.w > col.w+slack {
						t.Errorf("%s: %q is %g wide in a column of %g", c.name, said([]line{l}), l.w, col.w)
					}
				}
				// A long word is broken over lines that hold something; nothing else is broken.
				if long := len(cell) >= 60; !long && cell != ordinary && len(ls) != 1 {
					t.Errorf("%s: %s %q is broken into %q", c.name, col.Head, cell, said(ls))
				} else if strip := 40.0; long && col.w < strip {
					t.Errorf("%s: %s is a strip of %g, want %g or more", c.name, col.Head, col.w, strip)
				}
			}
		}
	}
}

// However many numbers stand beside it, a name of seven short words does not
// take a line for each.
func TestLongNamesAreNoStrips(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	width := b.style.TextWidth()
	const most = 4
	for n := 1; n <= 15; n++ {
		tb := doc.Table{Columns: []doc.Column{{Head: "Area"}}, Rows: []doc.Row{{Cells: []doc.Text{doc.Plain("Upper gate, east leaf, side of sill 4")}}}}
		for range n {
			tb.Columns = append(tb.Columns, doc.Column{Head: "ρ", Align: doc.AlignDecimal})
			tb.Rows[0].Cells = append(tb.Rows[0].Cells, doc.Plain("1117.4"))
		}
		cs, size := b.columns(tb, width)
		ts := newTableSetter(b, cs, size, width, &frame.Element{})
		for i, c := range cs {
			ls := ts.cellLines(c, tb.Rows[0].Cells[i], size)
			if i == 0 && len(ls) > most || i > 0 && len(ls) > 1 {
				t.Errorf("beside %d numbers: %q", n, said(ls))
			}
		}
	}
}

func TestTablesTakeTheWidth(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	width := b.style.TextWidth()
	col := func(head string, a doc.Align) doc.Column { return doc.Column{Head: head, Align: a} }
	for _, c := range []struct {
		name    string
		columns []doc.Column
		cells   []string
	}{
		{"words", []doc.Column{col("Serial", doc.AlignLeft), col("Kind", doc.AlignLeft)}, []string{"K-0417", "conductivity meter"}},
		{"number last", []doc.Column{col("Kind", doc.AlignLeft), col("Uses", doc.AlignRight)}, []string{"reusable ring", "250"}},
		{"words between numbers", []doc.Column{col("No.", doc.AlignRight), col("Place", doc.AlignLeft), col("ρ", doc.AlignDecimal)}, []string{"1", "sill", "12.5"}},
		{"one", []doc.Column{col("Remark", doc.AlignLeft)}, []string{"none"}},
	} {
		r := doc.Row{}
		for _, s := range c.cells {
			r.Cells = append(r.Cells, doc.Plain(s))
		}
		cs, size := b.columns(doc.Table{Columns: c.columns, Rows: []doc.Row{r}}, width)
		last := cs[len(cs)-1]
		if got := last.x + last.w; math.Abs(got-width) > slack {
			t.Errorf("%s: the table is %g wide, want %g", c.name, got, width)
		}
		for i, col := range cs {
			if col.Align == doc.AlignLeft {
				continue
			}
			// A number stands in a column no wider than itself or its head.
			most := max(b.naturalWidth(r.Cells[i], size), b.naturalWidth(doc.Plain(col.Head), b.style.Table.Head))
			if col.w > most+slack {
				t.Errorf("%s: %s is %g wide and needs %g", c.name, col.Head, col.w, most)
			}
		}
	}
	// Numbers alone stay beside each other, under a rule over the width.
	tb := doc.Table{Columns: []doc.Column{col("ρ", doc.AlignDecimal), col("U", doc.AlignDecimal)}}
	cs, _ := b.columns(tb, width)
	if d, most := cs[1].x-cs[0].x-cs[0].w, b.style.Table.Gap+b.style.Table.Extra; d > most+slack {
		t.Errorf("two numbers are %g apart, want %g or less", d, most)
	}
}

// In whatever a table holds, columns do not overlap and reach no further than
// the table, and lines are no wider than their column.
func TestRandomTables(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	seed := rand.Uint64()
	rng := rand.New(rand.NewPCG(seed, 0))
	word := func() string { return strings.Repeat(string(rune('a'+rng.IntN(26))), 1+rng.IntN(1+rng.IntN(120))) }
	for range 300 {
		tb := doc.Table{}
		for range 1 + rng.IntN(14) {
			tb.Columns = append(tb.Columns, doc.Column{Head: word()[:1], Align: doc.Align(rng.IntN(4))})
		}
		for range rng.IntN(4) {
			r := doc.Row{}
			for range tb.Columns {
				cell := []string{fmt.Sprintf("%.1f", 1000*rng.Float64()), word(), word() + " " + word(), ""}[rng.IntN(4)]
				r.Cells = append(r.Cells, doc.Plain(cell))
			}
			tb.Rows = append(tb.Rows, r)
		}
		width := 250 + 300*rng.Float64()
		cs, size := b.columns(tb, width)
		ts := newTableSetter(b, cs, size, width, &frame.Element{})
		end := 0.0
		for i, c := range cs {
			if c.x < end-slack || c.w <= 0 {
				t.Fatalf("seed %d: column %d begins at %g behind %g and is %g wide", seed, i, c.x, end, c.w)
			}
			end = c.x + c.w
			for _, r := range tb.Rows {
				for _, l := range ts.cellLines(c, r.Cells[i], size) {
					if l.w > c.w+slack && len([]rune(said([]line{l})[0])) > 1 {
						t.Fatalf("seed %d: line %q is %g wide in a column of %g", seed, said([]line{l}), l.w, c.w)
					}
				}
			}
		}
		words := slices.ContainsFunc(tb.Columns, func(c doc.Column) bool { return c.Align == doc.AlignLeft })
		if end > width+slack || words && end < width-slack {
			t.Fatalf("seed %d: the columns end at %g in a table of %g", seed, end, width)
		}
	}
}

// Numbers that no page can hold beside each other have columns all the same.
func TestNumbersWithoutRoom(t *testing.T) {
	tb := doc.Table{Rows: []doc.Row{{}}}
	for range 5 {
		tb.Columns = append(tb.Columns, doc.Column{Head: "mg/m²", Align: doc.AlignRight})
		tb.Rows[0].Cells = append(tb.Rows[0].Cells, doc.Plain(strings.Repeat("7", 40)))
	}
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	width := b.style.TextWidth()
	cs, _ := b.columns(tb, width)
	for i, c := range cs {
		if !(c.w > 0 && c.x+c.w <= width+slack) { // which NaN is not
			t.Errorf("column %d begins at %g and is %g wide", i, c.x, c.w)
		}
	}
}
