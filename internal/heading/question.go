package heading

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
)

// meant spells the columns that a heading may stand for.
func meant(ms []meaning) string {
	var b strings.Builder
	for i, m := range ms {
		switch {
		case i > 0 && i == len(ms)-1:
			b.WriteString(" or ")
		case i > 0:
			b.WriteString(", ")
		}
		b.WriteString(m.column)
	}
	return b.String()
}

// answer spells the option that settles the headings es for column. A heading
// that another one shares is named by its cell.
func answer(es []*entry, e *entry, column string) string {
	key := oneLine(e.text)
	for _, o := range es {
		if o != e && o.fold == e.fold {
			key = e.pos.Cell()
		}
	}
	return fmt.Sprintf("--map %q", key+"="+column)
}

// unclear asks which of its candidates a heading means.
func unclear(es []*entry, e *entry, ms []meaning) diag.Diagnostic {
	var hints []string
	for _, m := range ms {
		hints = append(hints, answer(es, e, m.column))
	}
	may := meant(ms)
	if len(ms) == 1 {
		may += " or something else"
	}
	return diag.Diagnostic{
		Pos:   e.pos,
		Level: diag.Question,
		Check: "heading-unclear",
		Msg:   fmt.Sprintf("found the heading %q, which may be %s, but wanted one meaning", e.text, may),
		Hint:  "say which with " + strings.Join(hints, " or ") + ", or set it aside with " + answer(es, e, aside),
	}
}

// twice asks which of several headings is the column.
func twice(es []*entry, column string, rivals []*entry) diag.Diagnostic {
	slices.SortFunc(rivals, func(a, b *entry) int { return a.pos.Compare(b.pos) })
	var found, hints []string
	var related []diag.Pos
	for _, e := range rivals {
		found = append(found, fmt.Sprintf("%q in %s", e.text, e.pos.Cell()))
		hints = append(hints, answer(es, e, column))
		related = append(related, e.pos)
	}
	return diag.Diagnostic{
		Pos:     related[0],
		Level:   diag.Question,
		Check:   "heading-twice",
		Msg:     fmt.Sprintf("found %s, which may both be %s, but wanted one column", strings.Join(found, " and "), column),
		Hint:    "say which with " + strings.Join(hints, " or "),
		Related: related[1:],
	}
}

// blankOrExtract asks what headings are that may be the blank and the extract
// and may be something else.
func blankOrExtract(es []*entry, rivals []*entry, because string) diag.Diagnostic {
	var found, hints []string
	var related []diag.Pos
	for _, e := range rivals {
		found = append(found, fmt.Sprintf("%q in %s", e.text, e.pos.Cell()))
		if e.column == "blank" || e.column == "extract" {
			hints = append(hints, answer(es, e, e.column))
		}
		related = append(related, e.pos)
	}
	slices.SortFunc(related, diag.Pos.Compare)
	return diag.Diagnostic{
		Pos:     related[0],
		Level:   diag.Question,
		Check:   "blank-or-extract",
		Msg:     fmt.Sprintf("found %s, but wanted to know blank from extract: %s", strings.Join(found, " and "), because),
		Hint:    "if so, say it with " + strings.Join(hints, " ") + "; if not, name the right columns in the same way",
		Related: related[1:],
	}
}
