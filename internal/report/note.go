package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/diag"
	"saltline/internal/doc"
	"saltline/internal/frame"
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
	digest := c.Digest
	if len(c.job.Sources) == 1 {
		digest = c.job.Sources[0].SHA256 // of the file, whatever was set beside it
	}
	blocks = append(blocks, c.para("report/note-count", map[string]any{
		"Files": c.Words.List(sources), "Digest": digest,
		"Used": n.Used, "Skipped": len(n.Skipped), "All": n.Used + len(n.Skipped), "Headings": c.headingRows()})...)
	var items []doc.Item
	for _, s := range c.skips() {
		items = append(items, doc.Entry("", doc.Fine(s)))
	}
	for _, s := range c.changes() {
		items = append(items, doc.Entry("", doc.Fine(s)))
	}
	var unknown, read []string
	seen := map[string]bool{}
	for i := range c.job.Patches {
		for _, cost := range c.job.Patches[i].Costs() {
			seen["unknown "+cost.Head] = true // it is known, and used where costs are asked for
		}
	}
	for _, h := range n.Headings {
		if taken := c.say("report/note-heading-read", map[string]any{"Text": h.Text, "Column": h.Column}); h.Column != "" && !plainly(h) && !seen[taken] {
			seen[taken] = true
			read = append(read, taken)
		}
		if h.Column == "" && !seen["unknown "+h.Text] {
			seen["unknown "+h.Text] = true // in every file of a job
			unknown = append(unknown, c.say("report/note-unknown-column", map[string]any{"Text": h.Text, "Place": c.short(h.Pos)}))
		}
	}
	if len(read) > 0 {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-headings-read", strings.Join(read, ", ")))))
	}
	if len(unknown) > 0 {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-unknown-columns", strings.Join(unknown, ", ")))))
	}
	var keys []string
	for _, k := range n.Keys {
		if name := c.say("report/note-unknown-column", map[string]any{"Text": k.Key, "Place": c.short(k.Pos)}); !slices.Contains(keys, name) {
			keys = append(keys, name)
		}
	}
	if len(keys) > 0 {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-unknown-keys", c.some(keys)))))
	}
	for _, k := range c.job.Conflicts {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-conflict", map[string]any{
			"Key": k.Key, "Used": k.Used.Text, "UsedAt": c.short(k.Used.Pos), "Other": k.Other.Text, "OtherAt": c.short(k.Other.Pos)}))))
	}
	for _, p := range n.Problems[:min(len(n.Problems), mostProblems)] {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-problem", map[string]any{"Place": c.short(p.Pos), "Msg": p.Msg}))))
	}
	if rest := len(n.Problems) - mostProblems; rest > 0 {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-more-problems", rest))))
	}
	if lost := c.unprinted(); len(lost) > 0 {
		items = append(items, doc.Entry("", doc.Fine(c.say("report/note-unprinted", c.some(lost)))))
	}
	if len(items) > 0 {
		blocks = append(blocks, doc.List{Items: items})
	}
	if s := c.settings(); s != "" {
		blocks = append(blocks, doc.Paragraph{Text: doc.Fine(s)})
	}
	return blocks
}

// unprinted names the characters of the record that no page shows, by their
// numbers: those that no face has, and those that are not seen.
func (c *composer) unprinted() []string {
	var names []string
	lost := map[rune]bool{} // of those looked at: a unit stands in every row
	for _, r := range c.job.Characters(func(r rune) bool {
		if r < utf8.RuneSelf && unicode.IsPrint(r) {
			return false
		}
		is, known := lost[r]
		if !known {
			_, changed := frame.Clean(string(r))
			is = len(changed) > 0 || len(c.Fonts.Unshown(string(r))) > 0
			lost[r] = is
		}
		return is
	}) {
		names = append(names, fmt.Sprintf("U+%04X", r))
	}
	return names
}

// mostProblems bounds how many values that cannot be used are named here; a
// value of a test stands in quotes in the table of its day too.
const mostProblems = 40

// plainly reports whether a heading holds the words of our own name for its
// column, so that there is nothing to say of it.
func plainly(h record.Heading) bool {
	text := strings.ToLower(strings.ReplaceAll(h.Text, "_", " "))
	for _, word := range strings.Fields(h.Column) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// short names a place without the file, where the record is a single one.
func (c *composer) short(p diag.Pos) string {
	if p.IsZero() {
		return "--set"
	}
	if len(c.job.Sources) == 1 {
		p = diag.In("", p.Sheet()).At(p.Row(), p.Col())
	}
	if s := c.Words.Place(p); s != "" {
		return s
	}
	return c.job.Sources[0].File
}

// headingRows counts the rows that are headings of tables: every table has
// one, and none needs to be named.
func (c *composer) headingRows() int {
	n := 0
	for _, s := range c.job.Note.Skipped {
		if s.Reason == "heading" {
			n++
		}
	}
	return n
}

// skips names the skipped rows that are no headings, a line for each sheet.
func (c *composer) skips() []string {
	type group struct{ sheet, reason string }
	rows := map[group][]int{}
	var sheets []string
	reasons := map[string][]string{}
	for _, s := range c.job.Note.Skipped {
		if s.Reason == "heading" {
			continue
		}
		g := group{c.short(s.Row.At(0, 0)), s.Reason}
		if reasons[g.sheet] == nil {
			sheets = append(sheets, g.sheet)
		}
		if rows[g] == nil {
			reasons[g.sheet] = append(reasons[g.sheet], g.reason)
		}
		rows[g] = append(rows[g], s.Row.Row())
	}
	var out []string
	for _, sheet := range sheets {
		var parts []string
		for _, reason := range reasons[sheet] {
			parts = append(parts, c.say("report/note-rows", map[string]any{"Rows": c.some(ranges(rows[group{sheet, reason}])), "Reason": reason}))
		}
		out = append(out, c.say("report/note-skipped", map[string]any{"Place": sheet, "List": c.Words.Clauses(parts)}))
	}
	return out
}

// ranges spells row numbers as "3, 7–9".
func ranges(rows []int) []string {
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
	return parts
}

// mergedCell begins the change of a cell that is filled from a merged one.
const mergedCell = "filled down from the merged cell"

// mostChanges bounds how many cells of one kind of change are named.
const mostChanges = 4

// changes names what was read otherwise than by its face: one line a kind,
// cells that were read alike together.
func (c *composer) changes() []string {
	kinds := map[string][]record.Change{}
	var order []string
	for _, ch := range c.job.Note.Changes {
		what := ch.What
		if strings.HasPrefix(what, mergedCell) {
			what = mergedCell + "s" // the cells filled tell which
		}
		if kinds[what] == nil {
			order = append(order, what)
		}
		kinds[what] = append(kinds[what], ch)
	}
	var out []string
	for _, what := range order {
		all := kinds[what]
		var shown []string
		for i, ch := range all[:min(len(all), mostChanges)] {
			alike := i+1 < min(len(all), mostChanges) && all[i+1].From == ch.From && all[i+1].To == ch.To
			shown = append(shown, c.say("report/note-change", map[string]any{
				"Place": c.short(ch.Pos), "From": ch.From, "To": ch.To, "Alike": alike}))
		}
		list := strings.Join(shown, ", ")
		if rest := len(all) - len(shown); rest > 0 {
			list += " " + c.say("report/cells-more", rest)
		}
		out = append(out, c.say("report/note-changes", map[string]any{"What": what, "Count": len(all), "List": list}))
	}
	return out
}
