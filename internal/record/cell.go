package record

import (
	"fmt"
	"slices"

	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A cell is one cell under a heading, with what the heading, the column and
// the sheet say of it.
type cell struct {
	table.Cell
	value  string          // the part of Text that is to be read; mostly all of it
	head   string          // the unit that the heading or the unit row states
	headAt diag.Pos        // of the heading
	sign   unit.Convention // the decimal sign of the sheet
	told   *told           // what the neighbours tell
	page   *page
	b      *binder  // only to be read: other rows are bound at the same time
	out    *margin  // for what is to be said
	said   []string // what was said of the whole column by this cell and those before it
}

// under is a cell under a heading that states a unit, to be filled with what is
// found there.
func (b *binder) under(head diag.Pos, unit string, p *page, t *told, out *margin) cell {
	return cell{head: unit, headAt: head, sign: p.sign, told: t, page: p, b: b, out: out}
}

// fill puts what was found into the cell.
func (c *cell) fill(found *table.Cell) {
	c.Cell, c.value = *found, found.Text
	if found.NoCache && found.Text != "" {
		c.changed("computed here, for the formula has no stored result", "="+found.Formula(), found.Text)
	}
	if found.Stale {
		c.changed("the stored result of a formula, which now gives another", found.Text, found.Fresh())
	}
}

// given starts a Given with what the cell shows.
func given[Q any](c *cell) Given[Q] {
	text := c.Text
	if text == "" && c.Formula() != "" {
		text = "=" + c.Formula()
	}
	return Given[Q]{Text: text, Pos: c.Pos}
}

// unusable marks g as something that is no such value and says so.
func unusable[Q any](c *cell, g *Given[Q], check, wanted, hint string) {
	g.State = Unreadable
	c.problem(check, fmt.Sprintf("found %q, but wanted %s", quoted(g.Text), wanted), hint)
}

// quotedLength is how many characters of a cell a message quotes.
const quotedLength = 60

// quoted is the text of a cell as far as a message quotes it. The cell itself
// is kept whole.
func quoted(text string) string {
	if runes := []rune(text); len(runes) > quotedLength {
		return string(runes[:quotedLength]) + "…"
	}
	return text
}

func (c *cell) problem(check, msg, hint string) {
	c.out.problem(diag.Diagnostic{Pos: c.Pos, Level: diag.Problem, Check: check, Msg: msg, Hint: hint})
}

// changed notes that the value was read otherwise than by its face.
func (c *cell) changed(what, from, to string) {
	c.out.note(Change{Pos: c.Pos, What: what, From: from, To: to})
}

// changedAll notes once for a whole column, at its heading. What is read and
// what it becomes is spelled for the first cell alone.
func (c *cell) changedAll(what string, spell func() (from, to string)) {
	c.once(what, func() func(*binder) {
		at := c.headAt
		if at.IsZero() {
			at = c.Pos
		}
		from, to := spell()
		return func(b *binder) { b.note(Change{Pos: at, What: what, From: from, To: to}) }
	})
}

// once says something that is to be said once for a whole column. It is put
// into words for the first cell alone.
func (c *cell) once(what string, word func() func(*binder)) {
	if slices.Contains(c.said, what) {
		return
	}
	c.said = append(c.said, what)
	t, say := c.told, word()
	c.out.add(func(b *binder) {
		if !t.noted[what] {
			t.noted[what] = true
			say(b)
		}
	})
}

// broken reports a cell that holds an error of its formula instead of a
// value.
func broken[Q any](c *cell, g *Given[Q]) bool {
	if c.Kind != table.Error {
		return false
	}
	if c.Text == "" {
		unusable(c, g, "formula-without-result", "a value",
			"open the workbook in the program that made it, let it calculate, save it and read that")
	} else {
		unusable(c, g, "formula-error", "a value", "mend the formula, or write the value that was read")
	}
	return true
}
