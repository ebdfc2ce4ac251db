package workbook

import (
	"fmt"
	"slices"
	"time"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A sheet is the sheet of recomputed values: the columns and where each is.
type sheet struct {
	*corrector
	cols map[string]int // by key, from 1
}

// A column is one column of the sheet of recomputed values. Its head stands
// under its key, and what there is to say of it as a note, if there is.
type column struct {
	key   string
	width float64
	fill  func(*row) table.Entry
}

// headRows is where the headings of the columns stand.
const headRows = 4

// recomputed is the sheet of every test: what was received, what follows from
// it, and how the two stand to one another. Behind the columns that are
// printed stand those that the formulas need.
func (k *corrector) recomputed() table.Page {
	printed, workings := k.columns()
	all := append(printed, workings...)
	s := &sheet{k, map[string]int{}}
	p := table.Page{Name: k.sheets.recomputed, Head: headRows, Side: slices.IndexFunc(printed, func(c column) bool { return c.key == "location" }) + 1}
	var heads []string
	for i, c := range all {
		s.cols[c.key] = i + 1
		p.Widths = append(p.Widths, c.width)
		heads = append(heads, k.head(c.key))
		if k.Words.Has("workbook/note-" + c.key) {
			p.Notes = append(p.Notes, table.Note{Cell: fmt.Sprintf("%s%d", diag.ColumnName(i+1), headRows), Text: k.say("note-"+c.key, nil)})
		}
	}
	// Beside the columns that every printed page repeats, which would cut it.
	aside := func(key string) table.Line {
		cells := make([]table.Entry, p.Side+1)
		cells[p.Side] = table.Words(k.say(key, nil)).As(table.Aside)
		return line(cells...)
	}
	p.Lines = []table.Line{
		line(table.Words(k.say("recomputed-title", nil)).As(table.Title)),
		aside("recomputed-formula"),
		aside("recomputed-lead"),
		headed(heads...),
	}
	for i := range k.Report.Lines {
		r := s.row(&k.Report.Lines[i], headRows+1+i)
		var l table.Line
		for _, c := range all {
			l.Cells = append(l.Cells, c.fill(r))
		}
		p.Lines = append(p.Lines, l)
	}
	indent(p.Lines, p.Head)
	last := max(len(p.Lines), headRows+1)
	s.mark(&p, last)
	p.Print = k.print(p.Widths[:len(printed)], p.Side)
	p.Print.Area = fmt.Sprintf("A1:%s%d", diag.ColumnName(len(printed)), last)
	return p
}

// mark shows the cells that differ by frame and weight, as long as they do.
func (s *sheet) mark(p *table.Page, last int) {
	name := func(key string) string { return diag.ColumnName(s.cols[key]) }
	over := func(from, to, formula string, look table.Look) {
		p.Marks = append(p.Marks, table.Mark{
			Range: fmt.Sprintf("%s%d:%s%d", name(from), headRows+1, name(to), last), Formula: formula, Look: look})
	}
	agreement := fmt.Sprintf("$%s%d", name("agreement"), headRows+1)
	over("written", "marked", agreement+"="+literal(s.agreementWord(assess.DoesNotFollow)), table.Differs)
	over("written", "marked", agreement+"="+literal(s.agreementWord(assess.AgreesThroughUnseenDigits)), table.Undecided)
	over("after", "changed", fmt.Sprintf(`$%s%d=%s`, name("changed"), headRows+1, literal(s.say("mark-verdict", nil))), table.Differs)
}

// head is the heading of a column.
func (k *corrector) head(key string) string {
	var n int
	if _, err := fmt.Sscanf(key, "over-25-%d", &n); err == nil {
		return k.say("head-over-25", n)
	}
	if _, err := fmt.Sscanf(key, "over-%d", &n); err == nil {
		return k.say("head-over", n)
	}
	return k.say("head-"+key, nil)
}

// columns are those of the record: one that would be empty throughout is left
// out. Printed are what a reader compares, workings what only formulas need.
func (k *corrector) columns() (printed, workings []column) {
	var several, at25, sodium bool
	limits := 1
	for i := range k.Report.Lines {
		l := &k.Report.Lines[i]
		several = several || l.Test.Area().State != record.Absent
		at25 = at25 || l.At25().Known
		limits = max(limits, len(l.Limits()))
		for _, j := range l.Limits() {
			sodium = sodium || j.Limit.Basis == salt.SodiumChloride
		}
	}
	add := func(to *[]column, key string, width float64, fill func(*row) table.Entry) {
		*to = append(*to, column{key, width, fill})
	}
	text := func(of func(*record.Test) record.Words) func(*row) table.Entry {
		return func(r *row) table.Entry { return long(said(r.corrector, of(r.Line.Test))) }
	}
	show := func(key string, width float64, fill func(*row) table.Entry) { add(&printed, key, width, fill) }
	show("place", k.placeWidth(), func(r *row) table.Entry { return r.link(r.Line.Test.Row(), r.rowName(r.Line.Test.Row())) })
	show("test", 8, text(func(t *record.Test) record.Words { return t.Number() }))
	if several {
		show("area-name", 10, text(func(t *record.Test) record.Words { return t.Area() }))
	}
	show("location", 20, text(func(t *record.Test) record.Words { return t.Location() }))
	show("date", 11, (*row).date)
	show("blank", 7, func(r *row) table.Entry { return reading(r, "γ₁", r.Line.Test.Blank()) })
	show("extract", 7.5, func(r *row) table.Entry { return reading(r, "γ₂", r.Line.Test.Extract()) })
	show("volume", 5.5, (*row).volume)
	show("area", 6.5, (*row).patchArea)
	show("constant", 7, (*row).constant)
	show("factor", 9, (*row).factor)
	show("difference", 8, (*row).difference)
	show("density", 9, (*row).density)
	if at25 {
		show("at-25", 8.5, (*row).at25)
	}
	if sodium {
		show("as-sodium-chloride", 9, (*row).asSodiumChloride)
	}
	show("written", 8.5, (*row).written)
	show("written-text", 10, (*row).writtenText)
	show("off", 8.5, (*row).off)
	show("agreement", 15, (*row).agreement)
	show("marked", 14, (*row).marked)
	show("as-written", 15, (*row).asWritten)
	show("limit", 7, (*row).limit)
	show("by-number", 16, (*row).byNumber)
	show("after", 16, (*row).after)
	show("changed", 11, (*row).changed)
	show("explained", 32, (*row).explained)
	show("findings", 12, (*row).marks)
	show("found", 18, func(r *row) table.Entry { return long(r.list(r.found)) })

	work := func(key string, fill func(*row) table.Entry) { add(&workings, key, 14, fill) }
	work("own-volume", func(r *row) table.Entry { return r.own })
	work("low", func(r *row) table.Entry { return r.bound("-", low(r.Span())) })
	work("high", func(r *row) table.Entry { return r.bound("+", high(r.Span())) })
	work("blank-step", func(r *row) table.Entry { return r.step("blank") })
	work("extract-step", func(r *row) table.Entry { return r.step("extract") })
	work("written-step", (*row).writtenStep)
	if at25 {
		work("blank-to-25", func(r *row) table.Entry { return r.to25("blank") })
		work("extract-to-25", func(r *row) table.Entry { return r.to25("extract") })
		work("low-25", func(r *row) table.Entry { return r.bound25("-", low(r.At25Span())) })
		work("high-25", func(r *row) table.Entry { return r.bound25("+", high(r.At25Span())) })
	}
	for i := range limits {
		work(fmt.Sprintf("over-%d", i+1), func(r *row) table.Entry { return r.over(i, "density") })
		if at25 {
			work(fmt.Sprintf("over-25-%d", i+1), func(r *row) table.Entry { return r.over(i, "at-25") })
		}
	}
	return printed, workings
}

// said is a text of the record; "–" where there is none.
func said(k *corrector, w record.Words) string {
	if w.State.Silent() {
		return "–"
	}
	return w.Text
}

func (r *row) date() table.Entry {
	g := r.Line.Test.Date()
	switch {
	case g.Known() && g.Val.Year > 0:
		return table.Day(g.Val.Year, time.Month(g.Val.Month), g.Val.Day)
	case g.State == record.Unreadable:
		return table.Words(r.say("as-found", g.Text)).As(table.Undecided)
	case g.Known():
		return table.Words(r.Words.Date(g.Val))
	}
	return none()
}

// rowName names the row of a test, with its sheet where there are several.
func (k *corrector) rowName(p diag.Pos) string {
	name := ""
	if k.several {
		if name = p.Sheet(); name == "" {
			name = p.File()
		}
	}
	return k.say("row", map[string]any{"Sheet": name, "Row": p.Row()})
}

// severalSheets reports whether the tests stand on more than one sheet.
func (k *corrector) severalSheets() bool {
	for i := range k.Report.Lines {
		if sheetPos(k.Report.Lines[i].Test.Row()) != sheetPos(k.Report.Lines[0].Test.Row()) {
			return true
		}
	}
	return false
}

func (k *corrector) placeWidth() float64 {
	if k.several {
		return 18
	}
	return 8
}

func low(low, _ unit.SurfaceDensity) unit.SurfaceDensity   { return low }
func high(_, high unit.SurfaceDensity) unit.SurfaceDensity { return high }
