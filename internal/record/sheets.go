package record

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
)

// notOurs is why the rows of a sheet without any of our tables are skipped.
const notOurs = "not a table of this record"

// open finds the tables in the sheets of a file. hint names the table that
// the file is known to hold; "" where only its sheets say.
func (b *binder) open(f *table.File, hint string) {
	b.job.Sources = append(b.job.Sources, Source{f.Name, f.SHA256})
	b.proofs[f.Name] = &proof{}
	for _, d := range f.Notes {
		b.list.Add(d)
	}
	for i := range f.Sheets {
		p := &page{file: f, sheet: &f.Sheets[i], told: map[columnKey]*told{}}
		about := hint
		if about == "" {
			about = heading.TableOf(p.sheet.Name)
		}
		blocks, found := heading.Find(*p.sheet, about, heading.Mapping(b.opts.Map))
		chosen := b.chosen(p)
		for _, block := range blocks {
			b.keep(p, block, chosen)
		}
		for _, d := range found {
			if chosen || d.Level == diag.Problem {
				b.list.Add(d)
			}
		}
		if len(blocks) == 0 {
			b.skipSheet(p, notOurs)
		}
		if p.sheet.Hidden && len(blocks) > 0 {
			b.note(Change{Pos: diag.Pos{File: f.Name, Sheet: p.sheet.Name}, What: "a hidden sheet, read", To: p.sheet.Name})
		}
		b.pages = append(b.pages, p)
	}
}

// chosen reports whether readings are taken from the page: with --sheet, only
// from the sheet of that name.
func (b *binder) chosen(p *page) bool {
	return b.opts.Sheet == "" || sameWords(b.opts.Sheet, p.sheet.Name)
}

// keep takes a block that a sheet holds into the page and the reading note.
func (b *binder) keep(p *page, block heading.Block, chosen bool) {
	note := &b.job.Note
	for _, s := range block.Skipped {
		b.skip(p, s.Row, s.Reason)
	}
	ours := block.Table == "job" || slices.ContainsFunc(bindings, func(t binding) bool { return t.table == block.Table })
	switch {
	case !ours:
		b.skipRows(p, block.Rows, notOurs)
		return
	case block.Table == "readings" && !chosen:
		b.skipRows(p, block.Rows, "not on the sheet that was asked for")
		return
	}
	for _, c := range block.Columns {
		note.Headings = append(note.Headings, Heading{Pos: c.Pos, Text: c.Text, Column: c.Name, Unit: c.Unit})
	}
	note.Used += len(block.Rows)
	p.blocks = append(p.blocks, block)
}

func (b *binder) skipRows(p *page, rows []table.Row, reason string) {
	for _, row := range rows {
		b.skip(p, row, reason)
	}
}

// skipSheet skips every row of a sheet that holds something.
func (b *binder) skipSheet(p *page, reason string) {
	for _, row := range p.sheet.Rows {
		if !row.Blank() {
			b.skip(p, row, reason)
		}
	}
}

// shortened is how many characters of a skipped row the note keeps.
const shortened = 120

func (b *binder) skip(p *page, row table.Row, reason string) {
	var texts []string
	for _, c := range row.Cells {
		if c.Text != "" && c.FillOf.IsZero() {
			texts = append(texts, c.Text)
		}
	}
	text := strings.Join(texts, " | ")
	if runes := []rune(text); len(runes) > shortened {
		text = string(runes[:shortened]) + "…"
	}
	at := diag.Pos{File: p.file.Name, Sheet: p.sheetName(), Row: row.Number}
	b.job.Note.Skipped = append(b.job.Note.Skipped, Skip{Row: at, Reason: reason, Text: text})
}

// noReadings says what was seen instead of readings, and what is needed.
func (b *binder) noReadings() diag.Diagnostic {
	var seen []string
	at := diag.Pos{}
	for _, p := range b.pages {
		if p.file.Name == "" {
			continue
		}
		if at.IsZero() {
			at.File = p.file.Name
		}
		var heads []string
		for _, h := range b.job.Note.Headings {
			if h.Pos.File == p.file.Name && h.Pos.Sheet == p.sheetName() {
				heads = append(heads, fmt.Sprintf("%q", h.Text))
			}
		}
		what := "no heading of ours"
		if len(heads) > 0 {
			what = strings.Join(heads, ", ")
		}
		seen = append(seen, fmt.Sprintf("%q (%s)", p.sheet.Name, what))
	}
	found := "no sheet"
	if len(seen) > 0 {
		found = "the sheets " + strings.Join(seen, "; ")
	}
	return diag.Diagnostic{
		Pos: at, Level: diag.Failure, Check: "no-readings",
		Msg:  "found " + found + ", but wanted readings: a heading with at least blank, extract and volume, and rows below it",
		Hint: `name the headings with --map "THEIR HEADING=extract", or the sheet with --sheet NAME`,
	}
}

// checkOptions reports what the options name and the input does not have.
func (b *binder) checkOptions() {
	m := heading.Mapping(b.opts.Map)
	var blocks []heading.Block
	named := false
	var sheets []string
	for _, p := range b.pages {
		blocks = append(blocks, p.blocks...)
		named = named || b.chosen(p)
		sheets = append(sheets, fmt.Sprintf("%q", p.sheet.Name))
	}
	for _, d := range slices.Concat(m.Check(), m.Unmatched(blocks)) {
		b.list.Add(d)
	}
	if !named && len(b.pages) > 0 {
		b.list.Add(diag.Diagnostic{Level: diag.Failure, Check: "no-such-sheet",
			Msg:  fmt.Sprintf("found no sheet %q, but wanted the one that --sheet names", b.opts.Sheet),
			Hint: "name one of these: " + strings.Join(sheets, ", ")})
	}
}
