package layout_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
)

// listed is a table of n rows under a heading.
func listed(n int) []doc.Block {
	t := doc.Table{Columns: []doc.Column{{Head: "Serial"}, {Head: "Kind"}}}
	for i := range n {
		t.Rows = append(t.Rows, doc.Row{Cells: []doc.Text{doc.Plain(fmt.Sprintf("K-%d", i+1)), doc.Plain("conductivity")}})
	}
	return []doc.Block{doc.Heading{Level: 1, Text: "Meters"}, t}
}

// A short table is split only where the next page would cost more than a fifth
// of this one; a table of one row more is split wherever the page ends.
func TestShortTablesStayWhole(t *testing.T) {
	const short, blank = 6, 1.0 / 5
	style := layout.A4()
	for _, rows := range []int{2, 4, short, short + 1} {
		split := 0
		for n := 1; n < 64; n++ {
			ps := pages(t, &doc.Document{Blocks: append(filler(n), listed(rows)...)}, style)
			above := texts(ps[0])
			left := 0.0 // of the first page below the filler
			for _, s := range above {
				if s.S == fmt.Sprintf("line %d", n) {
					left = style.Page.H - style.Page.Bottom - s.y
				}
			}
			a, z := pageOf(ps, "Meters"), pageOf(ps, fmt.Sprintf("K-%d", rows))
			if a != z {
				split++
				if rows <= short && left < blank*style.TextHeight() {
					t.Errorf("%d rows after %d lines: split with %g points left", rows, n, left)
				}
			}
		}
		if rows > short && split == 0 {
			t.Errorf("a table of %d rows is never split", rows)
		}
	}
}

// A short table higher than a fifth of a page fills what is left of the page.
func TestShortTableIsSplitWhereItWouldLeaveMuchBlank(t *testing.T) {
	const short = 6
	tall := doc.Plain("1\n2\n3\n4\n5\n6\n7\n8")
	tb := doc.Table{Columns: []doc.Column{{Head: "Serial"}}}
	for i := range short {
		tb.Rows = append(tb.Rows, doc.Row{Cells: []doc.Text{doc.Join(doc.Plain(fmt.Sprintf("K-%d", i+1)), doc.Plain("\n"), tall)}})
	}
	for _, c := range []struct {
		lines int // of 15.5 points, of a page of 725.89
		split bool
	}{{25, true}, {42, false}} {
		ps := pages(t, &doc.Document{Blocks: append(filler(c.lines), tb)}, layout.A4())
		if a, z := pageOf(ps, "K-1"), pageOf(ps, fmt.Sprintf("K-%d", short)); (a != z) != c.split {
			t.Errorf("after %d lines: rows on pages %d to %d, want them split: %v", c.lines, a, z, c.split)
		}
	}
}

// What follows the places to sign keeps them company, so nothing before them
// is pulled to their page.
func TestSignaturesPullNothingWhereSomethingFollows(t *testing.T) {
	sign := []doc.Block{
		doc.Heading{Level: 1, Text: "Sign-off"},
		doc.Signatures{Items: []doc.Signature{signature("Inspector", "I carried out these tests.", "")}},
	}
	note := []doc.Block{doc.Heading{Level: 1, Text: "Reading note"}, doc.Paragraph{Text: doc.Plain("as read")}}
	turned := false
	for n := 1; n < 56; n++ {
		last := fmt.Sprintf("line %d", n)
		want := pageOf(pages(t, &doc.Document{Blocks: filler(n)}, layout.A4()), last)
		ps := pages(t, &doc.Document{Blocks: slices.Concat(filler(n), sign, note)}, layout.A4())
		if got := pageOf(ps, last); got != want {
			t.Errorf("after %d lines: the last is on page %d, want %d", n, got, want)
		}
		at, heading := pageOf(ps, "Inspector"), pageOf(ps, "Sign-off")
		if at != heading {
			t.Errorf("after %d lines: signatures on page %d, their heading on page %d", n, at, heading)
		}
		if at != pageOf(ps, last) && at != pageOf(ps, "as read") {
			t.Errorf("after %d lines: the signatures are alone on page %d", n, at)
		}
		turned = turned || at == 2 && pageOf(ps, last) == 1
	}
	if !turned {
		t.Error("no start position brought the signatures to the top of a page")
	}
}

// What follows on a page of its own, or does not fit on theirs, is no company.
func TestSignaturesPullWhereWhatFollowsIsNoCompany(t *testing.T) {
	sign := doc.Signatures{Items: []doc.Signature{signature("Inspector", "I carried out these tests.", "")}}
	for name, next := range map[string]doc.Block{
		"new page":      doc.Heading{Level: 1, Text: "Annex", NewPage: true},
		"whole page":    doc.Figure{Draw: func(w float64) *frame.Frame { return &frame.Frame{W: w, H: layout.A4().TextHeight()} }},
		"heading alone": doc.Heading{Level: 1, Text: "Annex"},
	} {
		for n := 1; n < 50; n++ {
			ps := pages(t, &doc.Document{Blocks: append(filler(n), sign, next)}, layout.A4())
			if last, at := pageOf(ps, fmt.Sprintf("line %d", n)), pageOf(ps, "Inspector"); last != at {
				t.Errorf("%s after %d lines: signatures on page %d, text before them on page %d", name, n, at, last)
			}
		}
	}
}

// A note under a table takes the last row with it to the next page.
func TestNoteKeepsARow(t *testing.T) {
	for rows := 30; rows < 75; rows++ {
		var names []int
		for n := range rows {
			names = append(names, n)
		}
		d := &doc.Document{Lang: "en", Blocks: []doc.Block{
			doc.Tabulate([]doc.Col[int]{doc.Left("row", "", func(n int) string { return fmt.Sprintf("row %d", n) })}, names),
			doc.Paragraph{Text: doc.Fine("This is the note.")},
		}}
		ps := pages(t, d, layout.A4())
		last := texts(ps[len(ps)-1])
		row, note := false, false
		for _, s := range last {
			row = row || strings.HasPrefix(s.S, "row ")
			note = note || strings.HasPrefix(s.S, "This is the note")
		}
		if !note || !row {
			t.Errorf("%d rows: the last of %d pages has the note: %v, a row: %v", rows, len(ps), note, row)
		}
	}
}
