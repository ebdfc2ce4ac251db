package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/wording"
)

// Blank describes the job workbook that an inspector fills in on site: a sheet
// that says how, the job, and one sheet for each table of the record, under
// the headings that record reads back. Dew points, densities and the
// comparison with the limit are formulas beside the readings; they show
// nothing where something is missing, and say what.
func Blank(w *wording.Words) (table.Book, error) { return (&blank{words: w}).book() }

// A blank holds what describing one job workbook needs. The first text that
// fails is kept in err.
type blank struct {
	words *wording.Words
	given *given // what is filled in; nil for nothing
	err   error
}

// The sheets that are no form. The names are those that record knows, but for
// the first, which holds no table.
const (
	howSheet = "how to fill in"
	jobSheet = "job"
)

// pageWide is how wide a sheet may be, in characters, to be printed upright.
const pageWide = 100

func (b *blank) book() (table.Book, error) {
	book := table.Book{Title: b.say("title", nil), Pages: []table.Page{b.how(), b.job()}}
	for _, f := range forms {
		book.Pages = append(book.Pages, b.form(f))
	}
	return book, b.err
}

// say is the text of that key.
func (b *blank) say(key string, fill any) string {
	s, err := b.words.Say("workbook-blank/"+key, fill)
	if err != nil && b.err == nil {
		b.err = err
	}
	return s
}

// how is the sheet that says how to fill in the others.
func (b *blank) how() table.Page {
	p := table.Page{
		Name: howSheet, Widths: []float64{24, 92}, Locked: true,
		Print: table.Print{FitWidth: true, Foot: b.foot(howSheet)},
		Lines: []table.Line{line(table.Words(b.say("how/title", nil)).As(table.Title)), {}},
	}
	add := func(first table.Entry, key string) {
		first.Wrapped = true
		p.Lines = append(p.Lines, line(first, long(b.say("how/"+key, nil))))
	}
	for _, l := range []struct {
		key  string
		look table.Look
	}{{"look-input", table.Input}, {"look-result", table.Result}, {"look-differs", table.Differs}} {
		add(table.Words(b.say("how/"+l.key+"-name", nil)).As(l.look), l.key)
	}
	for _, key := range []string{"order", "readings", "gaps", "numbers", "formulas", "void", "read"} {
		add(table.Words(b.say("how/"+key+"-name", nil)).As(table.Heading), key)
	}
	return p
}

func (b *blank) foot(sheet string) string { return b.say("foot", sheet) }

// job is the sheet of the job: a key, its value and a remark in a row, with
// what to write behind them.
func (b *blank) job() table.Page {
	p := table.Page{
		Name: jobSheet, Head: 1, Locked: true, Widths: []float64{30, 40, 34, 62},
		Lines: []table.Line{headed("key", "value", "remark", b.say("job-how", nil))},
		Print: table.Print{Landscape: true, FitWidth: true, Foot: b.foot(jobSheet)},
	}
	for i, t := range jobTerms {
		cell := "B" + strconv.Itoa(i+2)
		value := table.Field("")
		value.Wrapped = t.value == nil
		remark := table.Field("")
		remark.Wrapped = true
		if b.given != nil {
			value, remark = b.given.term(t, value), b.given.remark(t, remark)
		}
		how := long(b.say("job/"+t.key, nil)).As(table.Aside)
		p.Lines = append(p.Lines, line(table.Words(t.head()).As(table.Result), value, remark, how))
		switch {
		case len(t.list) > 0:
			p.Choices = append(p.Choices, table.Choice{Range: cell, Values: t.list})
		case t.value != nil:
			p.Bounds = append(p.Bounds, table.Bound{Range: cell, Least: t.least, Most: t.most, Message: b.bound("bound", t.head(), t.least, t.most)})
		}
	}
	p.Print.Area = "A1:D" + strconv.Itoa(len(p.Lines))
	return p
}

// bound is what is wanted of a number, a date or a time.
func (b *blank) bound(key, head string, least, most float64) string {
	spell := func(v float64) string {
		return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", string(b.words.Spelling().Sign), 1)
	}
	return b.say(key, map[string]any{"Head": head, "Least": spell(least), "Most": spell(most)})
}

// form is the sheet of a form.
func (b *blank) form(f form) table.Page {
	rows := b.rows(f)
	last := diag.ColumnName(len(f.fields)) + strconv.Itoa(rows+1)
	p := table.Page{
		Name: f.name, Head: 1, Side: f.side, Locked: true, Lines: make([]table.Line, rows+1),
		Print: table.Print{Area: "A1:" + last, FitWidth: true, Wide: f.wide, Foot: b.foot(f.name)},
	}
	total := 0.0
	for i, d := range f.fields {
		total += d.width
		p.Widths = append(p.Widths, d.width)
		p.Lines[0].Cells = append(p.Lines[0].Cells, table.Words(d.head).As(table.Heading))
		letter := diag.ColumnName(i + 1)
		p.Notes = append(p.Notes, table.Note{Cell: letter + "1", Text: b.say(f.name+"/"+d.name(), nil)})
		b.takes(&p, d, fmt.Sprintf("%s2:%s%d", letter, letter, rows+1))
		for row := range rows {
			p.Lines[row+1].Cells = append(p.Lines[row+1].Cells, b.entry(f, d, row))
		}
	}
	p.Print.Landscape = total > pageWide
	b.marks(&p, f, rows)
	return p
}

// rows is how many rows a form has: room for what is given, and some more.
func (b *blank) rows(f form) int {
	if b.given == nil {
		return f.rows
	}
	const more = 3
	return max(f.rows, b.given.rows(f.name)+more)
}

// name is the heading of a field without its unit: the name of its note.
func (f field) name() string {
	name, _, _ := strings.Cut(f.head, " (")
	return name
}

// takes sets what the cells of a field take.
func (b *blank) takes(p *table.Page, f field, cells string) {
	bound := func(key string) {
		p.Bounds = append(p.Bounds, table.Bound{Range: cells, Least: f.least, Most: f.most, Message: b.bound(key, f.head, f.least, f.most)})
	}
	switch {
	case f.locked:
	case len(f.list) > 0:
		p.Choices = append(p.Choices, table.Choice{Range: cells, Values: f.list})
	case f.from != "":
		rows := 0
		for _, other := range forms {
			if other.name == f.from {
				rows = b.rows(other)
			}
		}
		from := fmt.Sprintf("%s:$A$%d", table.SheetRef(f.from, 2, 1), rows+1)
		p.Choices = append(p.Choices, table.Choice{Range: cells, From: from})
	case f.kind == aDay || f.kind == aMoment:
		bound("bound-date")
	case f.kind == aClock:
		bound("bound-clock")
	case f.kind == aNumber && f.most > f.least:
		bound("bound")
	}
}

// entry is one cell of a form; rows count from 0.
func (b *blank) entry(f form, d field, row int) table.Entry {
	e := table.Field(d.format)
	e.Wrapped = d.kind == aText && d.live == ""
	switch {
	case d.live != "":
		e = table.Formula(b.live(f, row).formula(d.live), d.format).As(table.Input)
		if d.locked {
			return e.As(table.Result)
		}
	case f.name == "readings" && d.head == "test" && b.given == nil:
		e = table.Num(float64(row+1), "").As(table.Input)
	}
	if b.given != nil && row < b.given.rows(f.name) {
		e = b.given.entry(f, d, row, e)
	}
	return e
}

// marks shows what needs a look before the sheet is handed in.
func (b *blank) marks(p *table.Page, f form, rows int) {
	at := b.live(f, 0)
	mark := func(of, formula string, look table.Look) {
		cell := at.cell(of)
		letter := strings.TrimRight(strings.ReplaceAll(cell, "$", ""), "0123456789")
		p.Marks = append(p.Marks, table.Mark{Range: fmt.Sprintf("%s2:%s%d", letter, letter, rows+1), Formula: formula, Look: look})
	}
	switch f.name {
	case "readings":
		against, written, density := at.cell("against"), at.cell("recorded"), at.cell("density")
		mark("against", against+`="fail"`, table.Differs)
		mark("against", fmt.Sprintf(`AND(LEN(%s)>0,%s<>"pass",%s<>"fail")`, against, against, against), table.Undecided)
		mark("recorded", fmt.Sprintf(`AND(ISNUMBER(%s),ISNUMBER(%s),ROUND(ABS(%s-%s),9)>0.05)`, written, density, written, density), table.Differs)
		mark("recorded verdict", fmt.Sprintf(`AND(LEN(%[1]s)>0,%[1]s<>"void",OR(%[2]s="pass",%[2]s="fail"),%[1]s<>%[2]s)`, at.cell("recorded verdict"), against), table.Differs)
	case "ambient":
		mark("kept", at.cell("kept")+"="+literal(b.say("short", nil)), table.Differs)
	}
}
