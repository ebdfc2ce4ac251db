package record

import (
	"slices"
	"strings"

	"saltline/internal/heading"
	"saltline/internal/table"
)

// bareColumn is the column right of the results where it has no heading and holds
// something: the verdicts, where it holds nothing but words and most of them
// are words of a verdict. Any other is named in the reading note, for its
// writer meant something by it. --map may name it by the cell where its heading
// would stand.
func (b *binder) bareColumn(block heading.Block) (heading.Column, bool) {
	result := slices.IndexFunc(block.Columns, func(c heading.Column) bool { return c.Name == "recorded" })
	if block.Table != "readings" || result < 0 {
		return heading.Column{}, false
	}
	at := block.Columns[result].Pos
	at = at.At(at.Row(), at.Col()+1)
	if slices.ContainsFunc(block.Columns, func(c heading.Column) bool { return c.Pos.Col() == at.Col() }) {
		return heading.Column{}, false
	}
	filled, words, verdicts, first := 0, 0, 0, ""
	see := func(text string, isText bool) {
		if filled++; filled == 1 {
			first = text
		}
		if isText && !strings.ContainsAny(text, "0123456789") {
			words++
		}
		if _, _, ok := b.verdictOf(text); ok {
			verdicts++
		}
	}
	strip{rows: block.Rows, col: at.Col()}.each(func(text string) { see(text, true) }, func(c *table.Cell) { see(c.Text, c.Kind == table.Text) })
	if filled == 0 {
		return heading.Column{}, false
	}
	told, mapped := b.opts.Map[at.Cell()]
	has := slices.ContainsFunc(block.Columns, func(c heading.Column) bool { return c.Name == "recorded verdict" })
	switch {
	case mapped && fold(told) != "recorded verdict":
		return heading.Column{Pos: at}, true
	case mapped, !has && filled > 1 && words == filled && 2*verdicts > filled:
		b.note(Change{Pos: at, What: "a column without a heading, taken for the verdict", To: first})
		return heading.Column{Pos: at, Name: "recorded verdict"}, true
	}
	b.note(Change{Pos: at, What: "a column without a heading beside the result, not read", To: first})
	return heading.Column{}, false
}
