package report

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/doc"
	"saltline/internal/record"
)

// readingNote accounts for every row that is not empty, and for every value
// that was read otherwise than by its face.
func (c *composer) readingNote() []doc.Block {
	n := &c.job.Note
	blocks := []doc.Block{c.heading("report/note-title", "")}
	var sources []string
	for _, s := range c.job.Sources {
		sources = append(sources, s.File)
	}
	blocks = append(blocks, c.para("report/note-count", map[string]any{
		"Files": c.Words.List(sources), "Digest": c.Digest,
		"Used": n.Used, "Skipped": len(n.Skipped), "All": n.Used + len(n.Skipped)})...)
	var items []doc.Item
	for _, s := range c.skips() {
		items = append(items, doc.Entry("", doc.Fine(s)))
	}
	for _, s := range c.changes() {
		items = append(items, doc.Entry("", doc.Fine(s)))
	}
	for _, h := range n.Headings {
		if h.Column == "" {
			items = append(items, doc.Entry("", doc.Fine(c.say("report/note-unknown-column", map[string]any{"Text": h.Text, "Place": h.Pos.String()}))))
		}
	}
	for _, k := range c.job.Conflicts {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-conflict", map[string]any{
			"Key": k.Key, "Used": k.Used.Text, "UsedAt": place(k.Used.Pos), "Other": k.Other.Text, "OtherAt": place(k.Other.Pos)}))))
	}
	for _, p := range n.Problems {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-problem", map[string]any{"Place": p.Pos.String(), "Msg": p.Msg}))))
	}
	if len(items) > 0 {
		blocks = append(blocks, doc.List{Items: items})
	}
	if s := c.settings(); s != "" {
		blocks = append(blocks, doc.Paragraph{Text: doc.Fine(s)})
	}
	return blocks
}

// place names where a value stands; one from the command line has no cell.
func place(p diag.Pos) string {
	if p.IsZero() {
		return "--set"
	}
	return p.String()
}

// skips names the skipped rows, those of one sheet and reason together.
func (c *composer) skips() []string {
	type group struct{ file, sheet, reason string }
	rows := map[group][]int{}
	var order []group
	for _, s := range c.job.Note.Skipped {
		g := group{s.Row.File, s.Row.Sheet, s.Reason}
		if rows[g] == nil {
			order = append(order, g)
		}
		rows[g] = append(rows[g], s.Row.Row)
	}
	// Headings are in every table; the reader does not need each of them.
	headings := map[string]int{}
	var out []string
	for _, g := range order {
		if g.reason == "heading" {
			headings[g.reason] += len(rows[g])
			continue
		}
		out = append(out, c.say("report/note-skipped", map[string]any{
			"Place": diag.Pos{File: g.file, Sheet: g.sheet}.String(), "Count": len(rows[g]), "Rows": ranges(rows[g]), "Reason": g.reason}))
	}
	if n := headings["heading"]; n > 0 {
		out = append(out, c.say("report/note-headings", n))
	}
	return out
}

// ranges spells row numbers as "3, 7–9".
func ranges(rows []int) string {
	rows = slices.Sorted(slices.Values(rows))
	var parts []string
	for i := 0; i < len(rows); {
		j := i
		for j+1 < len(rows) && rows[j+1] == rows[j]+1 {
			j++
		}
		if j > i {
			parts = append(parts, fmt.Sprintf("%d–%d", rows[i], rows[j]))
		} else {
			parts = append(parts, fmt.Sprint(rows[i]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// mostChanges bounds how many changes of one kind are spelled out.
const mostChanges = 4

// changes names what was read otherwise than by its face, the kinds together.
func (c *composer) changes() []string {
	kinds := map[string][]record.Change{}
	var order []string
	for _, ch := range c.job.Note.Changes {
		if kinds[ch.What] == nil {
			order = append(order, ch.What)
		}
		kinds[ch.What] = append(kinds[ch.What], ch)
	}
	var out []string
	for _, what := range order {
		all := kinds[what]
		var shown []string
		for _, ch := range all[:min(len(all), mostChanges)] {
			shown = append(shown, c.say("report/note-change", map[string]any{"Place": ch.Pos.String(), "From": ch.From, "To": ch.To}))
		}
		if rest := len(all) - len(shown); rest > 0 {
			shown = append(shown, c.say("report/cells-more", rest))
		}
		out = append(out, c.say("report/note-changes", map[string]any{"What": what, "Count": len(all), "List": strings.Join(shown, "; ")}))
	}
	return out
}
