package workbook

import (
	"cmp"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// A Corrected is a received record with what was recomputed beside it, in
// formulas that any spreadsheet program computes again.
//
// What was received stays as it is. Behind it stand three sheets: every test
// recomputed, the findings, and what was assumed.
type Corrected struct {
	Report   *audit.Report
	Words    *wording.Words
	Files    []*table.File // of the record, as they were read
	Original []byte        // the received .xlsx that one of Files was read from; nil where there is none
	Tool     string        // name and version
	Digest   string        // SHA-256 of the record, hex
	Produced unit.Date
}

// Bytes is the workbook as a file. The same record gives the same bytes.
func (c Corrected) Bytes() ([]byte, error) {
	book, err := c.Book()
	if err != nil {
		return nil, err
	}
	if c.Original != nil {
		return table.Append(c.Original, book)
	}
	return table.Write(book)
}

// Book describes the sheets that stand behind those of Original: the received
// CSV files as text, cell by cell, and then the sheets with the results.
func (c Corrected) Book() (table.Book, error) {
	k := &corrector{Corrected: c, received: receive(c.Files, c.Original)}
	if err := k.name(); err != nil {
		return table.Book{}, err
	}
	k.several = k.severalSheets()
	pages := k.received.pages
	for i := range pages {
		pages[i].Print = k.print(pages[i].Widths, 0)
	}
	assumptions := k.assumptions() // first, for the formulas refer to its cells
	pages = append(pages, k.recomputed(), k.findings(), assumptions)
	title := k.say("title", strings.Join(k.files(), ", "))
	if k.err != nil {
		return table.Book{}, k.err
	}
	return table.Book{Title: title, Date: c.date(), Pages: pages}, nil
}

// date is the day of production for the properties of the file.
func (c Corrected) date() time.Time {
	if c.Produced.IsZero() {
		return time.Time{}
	}
	return time.Date(c.Produced.Year, time.Month(c.Produced.Month), c.Produced.Day, 0, 0, 0, 0, time.UTC)
}

// A corrector holds what describing one corrected workbook needs. The first
// text that fails is kept in err, so that a sheet reads as what it says.
type corrector struct {
	Corrected
	received *received
	sheets   struct{ recomputed, findings, assumptions string } // as they are called in the workbook
	cells    basisCells
	several  bool // the tests stand on more than one sheet
	err      error
}

// name settles how the sheets are called, as the formulas name them.
func (k *corrector) name() error {
	var wanted []string
	for _, p := range k.received.pages {
		wanted = append(wanted, p.Name)
	}
	wanted = append(wanted, k.say("sheet-recomputed", nil), k.say("sheet-findings", nil), k.say("sheet-assumptions", nil))
	names, err := table.FreeNames(k.Original, wanted)
	if err != nil {
		return err
	}
	n := k.received.rename(names)
	k.sheets.recomputed, k.sheets.findings, k.sheets.assumptions = names[n], names[n+1], names[n+2]
	return nil
}

// say fills a text of the workbook.
func (k *corrector) say(key string, fill any) string { return k.text("workbook/"+key, fill) }

// text fills any text of the language. The first error is kept.
func (k *corrector) text(key string, fill any) string {
	s, err := k.Words.Say(key, fill)
	if err != nil && k.err == nil {
		k.err = err
	}
	return s
}

// term is what the language calls something that the program has a name for.
func (k *corrector) term(name string) string {
	s, err := k.Words.Term(name)
	if err != nil && k.err == nil {
		k.err = err
	}
	return s
}

// files are the names of the files of the record.
func (k *corrector) files() []string {
	var names []string
	for _, f := range k.Files {
		names = append(names, f.Name)
	}
	return names
}

// foot stands at the foot of each printed page.
func (k *corrector) foot() string {
	return k.say("foot", map[string]any{"Digest": k.Digest[:min(16, len(k.Digest))], "Tool": k.Tool, "Produced": k.Produced})
}

// lettersBeside is how many characters of the usual width stand beside each
// other on a sheet of A4 across, where they are printed at 7 points or more.
const lettersBeside = 205

// print has a page come out across, on as many sheets beside each other as its
// columns need to be read. The first ones stand on each of them.
func (k *corrector) print(widths []float64, side int) table.Print {
	again, all := 0.0, 0.0
	for i, w := range widths {
		all += w
		if i < side {
			again += w
		}
	}
	beside := 1
	for all+float64(beside-1)*again > float64(beside)*lettersBeside && again < lettersBeside {
		beside++
	}
	return table.Print{Landscape: true, FitWidth: true, Wide: beside, Foot: k.foot()}
}

// place names a cell of the record as it is called in this workbook.
func (k *corrector) place(p diag.Pos) string {
	if p.IsZero() {
		return k.say("command-line", nil)
	}
	if page, ok := k.received.page(p); ok {
		p = diag.In("", page).At(p.Row(), p.Col())
	}
	return k.Words.Place(p)
}

// cellName is place without the sheet, where there is only one.
func (k *corrector) cellName(p diag.Pos) string {
	page, ok := k.received.page(p)
	if !ok || len(k.received.names) > 1 {
		return k.place(p)
	}
	p = diag.In("", page).At(p.Row(), p.Col()) // else it is spelled as in a CSV file
	return cmp.Or(k.Words.Cell(p), page)
}

// link is a cell that leads to a place of the received sheets. It is a text
// where the place is in none of them.
func (k *corrector) link(p diag.Pos, text string) table.Entry {
	page, ok := k.received.page(p)
	if !ok || p.Row() < 1 || utf8.RuneCountInString(text) > longestLiteral {
		return table.Words(text)
	}
	target := "#" + strings.ReplaceAll(table.SheetRef(page, p.Row(), max(p.Col(), 1)), "$", "")
	return table.Computed(fmt.Sprintf("HYPERLINK(%s,%s)", literal(target), literal(text)), text, "")
}

// longestLiteral is how long a text inside a formula may be.
const longestLiteral = 255

// literal is a text as it stands in a formula.
func literal(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// longestText bounds the text of one cell; the format allows 32767 characters.
const longestText = 32000

// long is a text of many words, broken at the width of its column.
func long(s string) table.Entry {
	if runes := []rune(s); len(runes) > longestText {
		s = string(runes[:longestText]) + "…"
	}
	e := table.Words(s)
	e.Wrapped = true
	return e
}

// line is a line of a sheet.
func line(cells ...table.Entry) table.Line { return table.Line{Cells: cells} }

// headed are the cells of a heading.
func headed(names ...string) table.Line {
	var l table.Line
	for _, n := range names {
		l.Cells = append(l.Cells, table.Words(n).As(table.Heading))
	}
	return l
}

// indent has the headings of texts stand in as the texts below them do.
func indent(lines []table.Line, head int) {
	heading := lines[head-1].Cells
	for i := range heading {
		texts := 0
		for _, l := range lines[head:] {
			if i < len(l.Cells) && l.Cells[i].Wrapped {
				texts++
			}
		}
		heading[i].Wrapped = texts > (len(lines)-head)/2
	}
}

// found is a value as the record has it, in quotes; what is said of one that
// it does not have.
func found[Q any](k *corrector, g record.Given[Q]) string {
	switch g.State {
	case record.Absent:
		return k.text("format/not-recorded", nil)
	case record.NotDone:
		return k.text("format/not-done", nil)
	}
	return quoted(k, g)
}

// quoted is a value as found. One in another unit than that of its column has
// the unit of its heading behind it.
func quoted[Q any](k *corrector, g record.Given[Q]) string {
	s := k.say("as-found", g.Text)
	if converted(g) && !strings.HasSuffix(strings.TrimSpace(g.Text), g.Unit) {
		s += " " + g.Unit
	}
	return s
}

// converted reports whether a number was written in another unit than that of
// its column.
func converted[Q any](g record.Given[Q]) bool {
	v, ok := any(g.Val).(interface{ Quantity() unit.Quantity })
	if !ok || g.Unit == "" {
		return false
	}
	s, err := unit.ParseSymbol(v.Quantity(), g.Unit)
	return err == nil && !s.IsBase()
}

// verdict is a verdict in words.
func (k *corrector) verdict(v assess.Verdict) string {
	return k.text("report/verdict-"+hyphens(v.String()), nil)
}

// hyphens makes a key of words.
func hyphens(words string) string { return strings.ReplaceAll(strings.ToLower(words), " ", "-") }

// decimals is the format of a number with the digits of d.
func decimals(d unit.Decimal) string {
	if d.Exp >= 0 {
		return "0"
	}
	return "0." + strings.Repeat("0", -d.Exp)
}
