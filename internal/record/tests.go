package record

import (
	"regexp"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// bindReadings binds the readings, with what the sheet shows beside them.
func (b *binder) bindReadings(p *page, block heading.Block) {
	recordedAt := 0
	for _, c := range block.Columns {
		if c.Name == "recorded" {
			recordedAt = c.Pos.Col
		}
	}
	recorded := p.column(columnKey{"readings", "recorded"})
	parts := func(t *Test) (*diag.Pos, *[]Fact) { return &t.Row, &t.Extra }
	bindRows(b, p, block, readings, &b.job.Tests, parts, func(t *Test, row table.Row) {
		t.Hidden, t.Struck, t.Faint = row.Hidden || p.sheet.Hidden, row.Struck(), faint(row)
		c := row.Cell(recordedAt)
		t.RecordedFormula, t.StaleFormula = c.Formula, c.Stale
		t.TypedOver = c.Kind != table.Empty && c.Formula == "" && c.FillOf.IsZero() && recorded.mostlyFormulas()
		if t.Area.State == Absent && p.area != "" {
			t.Area = Words{Val: p.area, State: Known, Text: p.area, Pos: diag.Pos{File: p.file.Name, Sheet: p.sheetName()}}
		}
		b.noteMidnight(t)
	})
}

// noteMidnight notes an extract that was read after midnight of a test that
// began before it. The clock is kept as written.
func (b *binder) noteMidnight(t *Test) {
	const halfDay = unit.Minutes(12 * 60)
	if t.Start.Known() && t.Read.Known() && t.Start.Val.Since(t.Read.Val) > halfDay {
		b.note(Change{Pos: t.Read.Pos, What: "read past midnight", From: t.Start.Text, To: t.Read.Text})
	}
}

// faint reports whether nothing of a row can be seen.
func faint(row table.Row) bool {
	any := false
	for _, c := range row.Cells {
		if c.Kind == table.Empty {
			continue
		}
		if !c.Faint {
			return false
		}
		any = true
	}
	return any
}

// plainSheet are the names that spreadsheet programs give to a new sheet.
var plainSheet = regexp.MustCompile(`(?i)^(sheet|tabelle|blatt|hoja|feuil|feuille|ark|table)[ _]?\d*$`)

// nameAreas takes the areas of tests from the names of their sheets, where
// readings stand on several sheets of a workbook and a sheet says nothing
// else of its area.
func (b *binder) nameAreas() {
	var bare []*page
	sheets := 0
	for _, p := range b.pages {
		found, named := false, false
		for _, block := range p.blocks {
			if block.Table != "readings" {
				continue
			}
			found = true
			for _, c := range block.Columns {
				named = named || c.Name == "area"
			}
			for _, f := range block.Facts {
				named = named || f.Key == "area"
			}
		}
		if found {
			sheets++
		}
		if found && !named {
			bare = append(bare, p)
		}
	}
	if sheets < 2 {
		return
	}
	for _, p := range bare {
		name := p.sheet.Name
		if _, _, _, err := unit.ParseDateTime(name); err == nil || plainSheet.MatchString(name) || len(p.file.Sheets) < 2 {
			continue
		}
		p.area = name
		b.note(Change{Pos: diag.Pos{File: p.file.Name, Sheet: p.sheetName()}, What: "the area taken from the name of the sheet", To: name})
	}
}
