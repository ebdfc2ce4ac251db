package record

import (
	"fmt"

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
	b      *binder
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
	c.b.problem(diag.Diagnostic{Pos: c.Pos, Level: diag.Problem, Check: check, Msg: msg, Hint: hint})
}

// changed notes that the value was read otherwise than by its face.
func (c *cell) changed(what, from, to string) {
	c.b.note(Change{Pos: c.Pos, What: what, From: from, To: to})
}

// changedAll notes once for a whole column, at its heading.
func (c *cell) changedAll(what, from, to string) {
	if c.told.noted[what] {
		return
	}
	c.told.noted[what] = true
	at := c.headAt
	if at.IsZero() {
		at = c.Pos
	}
	c.b.note(Change{Pos: at, What: what, From: from, To: to})
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
