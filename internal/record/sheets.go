package record

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
)

// notOurs is why the rows of a sheet without any of our tables are skipped.
const notOurs = "not a table of this record"

// open finds the tables in the sheets of a file.
func (b *binder) open(f *table.File) {
	b.job.Sources = append(b.job.Sources, Source{f.Name, f.SHA256})
	b.proofs[f.Name] = &proof{}
	for _, d := range f.Notes {
		b.list.Add(d)
	}
	for i := range f.Sheets {
		p := newPage(f, &f.Sheets[i])
		b.pages = append(b.pages, p)
		blocks, found := heading.Find(p.sheet, heading.TableOf(p.sheet.Name), heading.Mapping(b.opts.Map))
		chosen := b.chosen(p)
		for _, block := range blocks {
			b.withheld = b.withheld || block.Table == "readings" && !chosen
			b.keep(p, block, chosen)
		}
		for _, d := range found {
			if chosen || d.Level <= diag.Problem {
				b.list.Add(d)
				b.explained = b.explained || d.Level > diag.Problem
			}
		}
		b.noteRows(p, blocks, chosen)
		if p.sheet.Hidden && len(p.blocks) > 0 {
			b.note(Change{Pos: p.at, What: "a hidden sheet, read", To: p.sheet.Name})
		}
	}
}

// chosen reports whether readings are taken from the page: with --sheet, only
// from the sheet of that name.
func (b *binder) chosen(p *page) bool {
	return b.opts.Sheet == "" || sameWords(b.opts.Sheet, p.sheet.Name)
}

// keep takes a block that holds a table of ours into the page.
func (b *binder) keep(p *page, block heading.Block, chosen bool) {
	if skipReason(block, chosen) != "" {
		return
	}
	b.noteHeadings(p, block)
	if c, ok := b.bareColumn(block); ok {
		block.Columns = append(slices.Clip(block.Columns), c)
	}
	p.blocks = append(p.blocks, block)
}

// noteHeadings notes what the headings of a block were taken for.
func (b *binder) noteHeadings(p *page, block heading.Block) {
	for _, c := range block.Columns {
		b.job.Note.Headings = append(b.job.Note.Headings, Heading{Pos: c.Pos, Text: c.Text, Column: c.Name, Unit: c.Unit})
		if slices.Contains(p.sheet.HiddenCols, c.Pos.Col()) {
			b.note(Change{Pos: c.Pos, What: "a hidden column, read", To: c.Text})
		}
	}
}

// skipReason says why the records of a block are none of ours; "" where they
// are.
func skipReason(block heading.Block, chosen bool) string {
	ours := block.Table == "job" || slices.ContainsFunc(bindings, func(t binding) bool { return t.table == block.Table })
	switch {
	case !ours:
		return notOurs
	case block.Table == "readings" && !chosen:
		return "not on the sheet that was asked for"
	}
	return ""
}

// noteRows puts every row of the page that is not empty into the reading
// note, once: blocks that stand side by side share their rows.
func (b *binder) noteRows(p *page, blocks []heading.Block, chosen bool) {
	last := 0
	for _, row := range p.sheet.Rows {
		last = max(last, row.Number)
	}
	used := make([]bool, last+1) // by the number of the row
	skipped := map[int]string{}
	for _, block := range blocks {
		reason := skipReason(block, chosen)
		for _, row := range block.Rows {
			switch {
			case reason != "":
				skipped[row.Number] = reason
			case !used[row.Number]:
				used[row.Number] = true
				b.job.Note.Used++
			}
		}
		for _, s := range block.Skipped {
			if skipped[s.Row.Number] == "" {
				skipped[s.Row.Number] = s.Reason
			}
		}
	}
	for _, row := range p.sheet.Rows {
		if used[row.Number] || row.Blank() {
			continue
		}
		at := p.at.At(row.Number, 0)
		b.job.Note.Skipped = append(b.job.Note.Skipped, Skip{Row: at, Reason: cmp.Or(skipped[row.Number], notOurs), Text: shorten(row)})
	}
}

// shortened is how many characters of a skipped row the note keeps.
const shortened = 120

// shorten spells a row in one line.
func shorten(row table.Row) string {
	var texts []string
	for _, c := range row.Cells() {
		if c.Text != "" && c.FillOf().IsZero() {
			texts = append(texts, c.Text)
		}
	}
	text := strings.Join(texts, " | ")
	if runes := []rune(text); len(runes) > shortened {
		text = string(runes[:shortened]) + "…"
	}
	return text
}

// TablesAlone is the name of the failure of a record that holds tables and no
// readings: it is none beside another record of the job that has them.
const TablesAlone = "tables-alone"

// nameBoth says how the tables of people, meters and the like reach the log that
// they go with.
const nameBoth = "name the log that its tables go with beside this file, as one job: report LOG.xlsx PEOPLE.xlsx"

// noReadings says what was seen instead of readings, and what is needed.
func (b *binder) noReadings() diag.Diagnostic {
	held := b.holdsTables()
	for _, block := range b.blocks("readings") {
		d := diag.Diagnostic{
			Pos: block.Columns[0].Pos, Level: diag.Failure, Check: "no-readings",
			Msg:  "found a heading of readings and no test below it, but wanted at least one",
			Hint: "write the readings below the heading, or give the file that holds them",
		}
		if held {
			d.Check, d.Hint = TablesAlone, "write the readings below the heading, or "+nameBoth
		}
		return d
	}
	var seen []string
	at := diag.Pos{}
	narrow := true // no sheet has two cells side by side
	for _, p := range b.pages {
		if p.file.Name == "" || p.jobs {
			continue
		}
		if at.IsZero() {
			at = diag.In(p.file.Name, "")
		}
		narrow = narrow && !slices.ContainsFunc(p.sheet.Rows, func(r table.Row) bool { return r.Len() > 1 })
		seen = append(seen, fmt.Sprintf("%q (%s)", p.sheet.Name, b.contents(p)))
	}
	found := "no sheet"
	switch len(seen) {
	case 0:
	case 1:
		found = "the sheet " + seen[0]
	default:
		found = "the sheets " + strings.Join(seen, "; ")
	}
	hint := `name the headings with --map "THEIR HEADING=extract", or the sheet with --sheet NAME`
	check := "no-readings"
	switch {
	case held:
		check = TablesAlone
		hint = nameBoth + "; if the readings are in this file, " + hint
	case narrow:
		hint = "give a table with a heading, its cells parted by commas, semicolons or tabs; all that was found stands in one column"
	case len(b.job.Note.Headings) == 0:
		hint += "; a sheet with other tables than readings is known by its name: " + strings.Join(tableNames(), ", ")
	}
	return diag.Diagnostic{
		Pos: at, Level: diag.Failure, Check: check,
		Msg:  "found " + found + ", but wanted readings: a heading with at least blank, extract and volume, and rows below it",
		Hint: hint,
	}
}

// holdsTables reports whether the record has rows of another table than the
// readings, in a file of its own.
func (b *binder) holdsTables() bool {
	if b.withheld {
		return false
	}
	for _, p := range b.pages {
		for _, block := range p.blocks {
			if !p.jobs && block.Table != "readings" && (block.Table != "job" && len(block.Rows) > 0 || block.Table == "job" && someKnown(entries(block))) {
				return true
			}
		}
	}
	return false
}

// someKnown reports whether a row of a job table says something of the job.
func someKnown(rows []entry) bool {
	return slices.ContainsFunc(rows, func(e entry) bool { return isTerm(e.key) })
}

// tableNames are the names of our tables, which sheets and CSV files bear.
func tableNames() []string {
	names := []string{"job"}
	for _, t := range bindings {
		names = append(names, t.table)
	}
	return names
}

// contents says in a few words what stands on a page without readings.
func (b *binder) contents(p *page) string {
	var heads []string
	for _, h := range b.job.Note.Headings {
		if h.Pos.At(0, 0) == p.at {
			heads = append(heads, fmt.Sprintf("%q", quoted(h.Text)))
		}
	}
	if len(heads) > 0 {
		return strings.Join(heads, ", ")
	}
	if i := slices.IndexFunc(p.sheet.Rows, func(r table.Row) bool { return !r.Blank() }); i >= 0 {
		return fmt.Sprintf("no heading of ours; it begins %q", quoted(shorten(p.sheet.Rows[i])))
	}
	return "nothing in it"
}

// checkOptions reports what the options name and the input does not have.
func (b *binder) checkOptions() {
	m := heading.Mapping(b.opts.Map)
	var blocks []heading.Block
	named := false
	var sheets []string
	for _, p := range b.pages {
		blocks = append(blocks, p.blocks...)
		if p.jobs {
			continue
		}
		named = named || b.chosen(p)
		sheets = append(sheets, fmt.Sprintf("%q", p.sheet.Name))
	}
	for _, d := range slices.Concat(m.Check(), m.Unmatched(blocks)) {
		b.list.Add(d)
	}
	if !named && len(sheets) > 0 && !b.holdsTables() {
		b.explained = true
		b.list.Add(diag.Diagnostic{Level: diag.Failure, Check: "no-such-sheet",
			Msg:  fmt.Sprintf("found no sheet %q, but wanted the one that --sheet names", b.opts.Sheet),
			Hint: "name one of these: " + strings.Join(sheets, ", ")})
	}
}
