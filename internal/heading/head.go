package heading

import (
	"slices"
	"strings"
	"unicode/utf8"

	"saltline/internal/table"
)

// A head is a heading found: rows first to last of the sheet, as indexes, with
// the unit row if there is one.
type head struct {
	first, last int
	table       string
	entries     []*entry
}

// longest is the most characters that a heading cell has; what is longer is a
// sentence.
const longest = 60

// widest is the most headings that a table has; a row with more is not one.
const widest = 200

// tallest is the most rows of names that a heading has.
const tallest = 3

// patience is for how many cells of rows that look like a heading and are none a
// sheet is searched on: no title of a log is so long, and each of them is held
// against every name that is known.
const patience = 4000

// A finder looks for the heads of one sheet.
type finder struct {
	sheet   *table.Sheet
	hint    string
	mapping Mapping
	known   *head // the last head found; a hinted sheet repeats it or has no other
}

// heads finds all heads, from the top.
func (f *finder) heads() []*head {
	var hs []*head
	left := patience
	like := ask(f.sheet.Rows, looksLikeHeading)
	for i := 0; i < len(f.sheet.Rows); i++ {
		row := f.sheet.Rows[i]
		if !like[i] || unitRow(row) {
			continue
		}
		if left <= 0 {
			break
		}
		if h := f.headAt(i); h != nil {
			hs = append(hs, h)
			f.known = h
			i, left = h.last, patience
			continue
		}
		left -= row.Len()
	}
	return hs
}

// headAt returns the head that begins in row i, which looks like a heading, or
// nil.
func (f *finder) headAt(i int) *head {
	rows := f.sheet.Rows
	tall := 1
	for tall < tallest && i+tall < len(rows) && looksLikeHeading(rows[i+tall]) {
		tall++
	}
	var best *head
	bestNames := 0
	for n := 1; n <= tall; n++ {
		if n > 1 && unitRow(rows[i+n-1]) {
			break
		}
		h, names := f.window(i, n)
		if h != nil && names > bestNames {
			best, bestNames = h, names
		}
	}
	if best == nil {
		return nil
	}
	// A title or a line of prose above the names is no part of the heading.
	for best.first < best.last && !groups(rows[best.first], rows[best.first+1]) {
		h, names := f.window(best.first+1, best.last-best.first)
		if h == nil || names < bestNames {
			break
		}
		return nil // the head begins further down; the caller comes to it
	}
	if u := best.last + 1; u < len(rows) && unitRow(rows[u]) {
		best.entries = entries(rows[best.first:u], &rows[u])
		best.last = u
	}
	f.means(best)
	return best
}

// groups reports whether row holds headings over several columns of the row
// below: merged cells, or cells with a unit, that do not begin with the table.
func groups(row, below table.Row) bool {
	first := 1
	for first <= below.Len() {
		if _, ok := cellAt(below, first); ok {
			break
		}
		first++
	}
	for col := first + 1; col <= row.Len(); col++ {
		c, ok := cellAt(row, col)
		switch {
		case !ok:
		case !c.FillOf().IsZero() && c.FillOf().Col() > first:
			return true
		case c.FillOf().IsZero() && takeApart(c.Text).class != "":
			return true
		}
	}
	return false
}

// window tries rows i … i+n-1 as a head of the table that knows most of them.
// It returns the number of our columns that they name.
func (f *finder) window(i, n int) (*head, int) {
	es := entries(f.sheet.Rows[i:i+n], nil)
	if len(es) == 0 {
		return nil, 0
	}
	var best *head
	most := 0
	for _, t := range f.tables() {
		named := f.named(es, words().tables[t])
		if len(named) > most && f.enough(t, named, len(es)) {
			best, most = &head{first: i, last: i + n - 1, table: t, entries: es}, len(named)
		}
	}
	return best, most
}

// tables are those that may stand on the sheet, the likeliest first. A sheet
// named after one of the small tables holds that one alone.
func (f *finder) tables() []string {
	if f.hint != "" && f.hint != "readings" {
		return []string{f.hint}
	}
	ts := []string{"readings", "ambient"}
	for _, t := range words().order {
		if t != "title" && t != "job" && !slices.Contains(ts, t) {
			ts = append(ts, t)
		}
	}
	return ts
}

// named collects the columns of v that the headings may mean.
func (f *finder) named(es []*entry, v *vocabulary) map[string]int {
	named := map[string]int{}
	for _, e := range es {
		if c, ok := f.mapping.of(e.pos, e.text, e.name, e.own); ok {
			if slices.Contains(v.columns, c) {
				named[c]++
			}
			continue
		}
		for _, m := range e.mean(v) {
			if e.class == "" || e.spread || m.kind.takes(e.class) {
				named[m.column]++
				break
			}
		}
	}
	return named
}

// enough reports whether the columns named, out of headings that show
// something, make a heading of table t.
func (f *finder) enough(t string, named map[string]int, headings int) bool {
	n, cells := len(named), 0
	for _, k := range named {
		cells += k
	}
	has := func(columns ...string) int {
		k := 0
		for _, c := range columns {
			if named[c] > 0 {
				k++
			}
		}
		return k
	}
	if f.known != nil && f.known.table == t && t == f.hint && t != "readings" {
		return n >= 2 && 5*n >= 3*len(f.known.entries) // a repeated heading
	}
	switch t {
	case "readings":
		core := has("blank", "extract", "difference", "recorded")
		if f.hint == t && core > 0 && n >= 2 {
			return 5*cells >= 2*headings
		}
		return core > 0 && n >= 3 && 5*cells >= 2*headings
	case "ambient":
		climate := has("air temperature", "humidity", "wet bulb", "recorded dew point", "steel temperature")
		return climate >= 2 && n >= 3 && 5*cells >= 3*headings
	case f.hint:
		return n >= 1 && 2*cells >= headings && (n >= 2 || headings == 1)
	}
	return n >= 4 && 5*cells >= 4*headings
}

// means gives every heading its candidates.
func (f *finder) means(h *head) {
	v := words().tables[h.table]
	for _, e := range h.entries {
		if c, ok := f.mapping.of(e.pos, e.text, e.name, e.own); ok {
			e.mapped = true
			if slices.Contains(v.columns, c) {
				e.column, e.kind = c, v.kinds[c]
			}
			continue
		}
		e.cands = slices.Clone(e.mean(v))
	}
}

// looksLikeHeading reports whether row has words and no data.
func looksLikeHeading(row table.Row) bool {
	shown := 0
	for col := 1; col <= row.Len(); col++ {
		text, plain := row.Plain(col)
		if plain && isNumber(text) { // as nearly every row of a text has one
			return false
		}
		c, ok := cellAt(row, col)
		if !ok {
			continue
		}
		shown++
		if shown > widest || c.Kind == table.Number || c.Kind == table.Date || c.Kind == table.Bool || utf8.RuneCountInString(c.Text) > longest {
			return false
		}
		if !plain && isNumber(c.Text) || isClock(c) || isDate(c) {
			return false
		}
		if k, v, ok := strings.Cut(c.Text, ":"); ok && k != "" && strings.TrimSpace(v) != "" && unitClass(c.Text) == "" && !brackets().MatchString(c.Text) {
			return false
		}
	}
	return shown > 0
}

// unitRow reports whether row holds units and dashes and nothing else.
func unitRow(row table.Row) bool {
	units, shown := 0, 0
	for col := 1; col <= row.Len(); col++ {
		c, ok := cellAt(row, col)
		if !ok {
			continue
		}
		if c.Kind == table.Number || c.Text[0] >= '0' && c.Text[0] <= '9' || len(c.Text) > longest {
			return false
		}
		shown++
		switch _, class := bareUnit(strings.Trim(c.Text, "()[] ")); class {
		case "":
			if unitClass(c.Text) != "none" {
				return false
			}
		case "none":
		default:
			units++
		}
	}
	return units > 0 && 2*units >= shown
}
