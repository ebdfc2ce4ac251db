package heading

import (
	"strconv"
	"strings"

	"saltline/internal/pattern"
	"saltline/internal/table"
)

// Reasons for which a row is not a record.
const (
	isTitle    = "title"
	isHeading  = "heading"
	isRepeated = "heading, repeated"
	isUnits    = "units"
	isMean     = "mean of the readings"
	isMaximum  = "maximum of the readings"
	isMinimum  = "minimum of the readings"
	isTotal    = "total or number of the readings"
	isSpread   = "scatter of the readings"
	isLabelled = "a label and a result, no test"
	isLimit    = "limit"
	isSigned   = "signature"
	isPage     = "page number"
	isLegend   = "legend"
	isNote     = "note"
	isNumbered = "numbered, nothing filled in"
	isNoTable  = "not a table of this record"
	isWide     = "several tests in one row; not read"
)

var pageOf = pattern.Of(`(?i)^\D{0,12}\s*\d+\s*(?:/|of|von|de|sur|av)\s*\d+\D{0,3}$`)

// A sorter tells the records of one block from its other rows.
type sorter struct {
	table string
	cols  []*entry    // the settled ones
	reads []*entry    // of which a reading stands in
	above []table.Row // the records so far
	own   []table.Cell
}

func newSorter(table string, es []*entry) *sorter {
	s := &sorter{table: table}
	for _, e := range es {
		if e.column != "" {
			s.cols = append(s.cols, e)
		}
		if measured[e.column] {
			s.reads = append(s.reads, e)
		}
	}
	return s
}

// at is what the column col was settled for, or nil.
func (s *sorter) at(col int) *entry {
	for _, e := range s.cols {
		if e.col == col {
			return e
		}
	}
	return nil
}

// reason says why row, which is no record beyond doubt and tells a reading or
// does not, is not a record; "" means that it is one. In doubt a row is a record:
// what is skipped is not judged.
func (s *sorter) reason(row table.Row, tells bool) string {
	if !tells && unitRow(row) {
		return isUnits
	}
	s.own = appendOwn(s.own[:0], row)
	own := s.own
	if len(own) == 0 {
		return isNote // formulas that show nothing
	}
	first := own[0]
	if isPageNumber(own) {
		return isPage
	}
	if s.table != "readings" && s.table != "ambient" {
		if len(own) == 1 && s.at(first.Pos.Col()) == nil {
			return isNote
		}
		return ""
	}
	if r := s.summary(row, own); r != "" {
		return r
	}
	if s.limitRow(row, own) {
		return isLimit
	}
	if tells {
		return ""
	}
	switch {
	case begins(first.Text, "signature"):
		return isSigned
	case begins(first.Text, "legend"):
		return isLegend
	case isLimitWord(first.Text):
		return isLimit
	case blankLine(own):
		return isSigned
	case s.onlyNumbered(own):
		return isNumbered
	case s.prose(own):
		return isNote
	}
	return ""
}

// record reports whether row is beyond doubt a record: it has a number and tells a
// reading. It only reads.
func (s *sorter) record(row table.Row) bool { return s.numbered(row) && s.tells(row) }

// ownCells are the cells of row that show something of their own.
func ownCells(row table.Row) []table.Cell { return appendOwn(nil, row) }

// appendOwn appends to own the cells of row that show something of their own.
func appendOwn(own []table.Cell, row table.Row) []table.Cell {
	for col := 1; col <= row.Len(); col++ {
		if c, ok := ownAt(row, col); ok {
			own = append(own, c)
		}
	}
	return own
}

// ownAt is the cell of row in column col, if it shows something of its own.
func ownAt(row table.Row, col int) (table.Cell, bool) {
	c, ok := cellAt(row, col)
	return c, ok && c.FillOf().IsZero()
}

// ownText is what row shows of its own in column col, and whether that was written
// there: a formula alone is a form waiting to be filled in.
func ownText(row table.Row, col int) (text string, written, ok bool) {
	if text, plain := row.Plain(col); plain {
		return text, true, strings.TrimSpace(text) != ""
	}
	c, ok := ownAt(row, col)
	return c.Text, c.Formula() == "", ok
}

func joined(cells []table.Cell) string {
	var texts []string
	for _, c := range cells {
		texts = append(texts, c.Text)
	}
	return oneLine(strings.Join(texts, " "))
}

// tells reports whether row holds a reading: something in a measured column,
// or a number of its own beside it, such as a void test with a remark.
func (s *sorter) tells(row table.Row) bool {
	for _, e := range s.reads {
		text, written, ok := ownText(row, e.col)
		if !ok || s.computedNothing(row, e) {
			continue
		}
		if written && (strings.ContainsFunc(text, isDigit) || isNotDone(text) || isNumber(text)) {
			return true
		}
	}
	if !s.named(row) {
		return false
	}
	for _, e := range s.cols {
		if _, written, ok := ownText(row, e.col); ok && written && e.column != "test" && !prefilled[e.column] && !s.computedNothing(row, e) {
			return true
		}
	}
	return s.loose(row)
}

// measured are the columns that a reading stands in.
var measured = map[string]bool{
	"blank": true, "extract": true, "difference": true, "recorded": true, "humidity": true, "air temperature": true,
	"steel temperature": true, "wet bulb": true, "recorded dew point": true, "solution temperature": true,
}

// named reports whether row says which test it is.
func (s *sorter) named(row table.Row) bool {
	for _, e := range s.cols {
		if e.column != "test" {
			continue
		}
		if text, _, ok := ownText(row, e.col); ok && (isNumber(text) || isCode(text)) {
			return true
		}
	}
	return false
}

// numbered reports whether row has a number of its own in the column of the
// tests.
func (s *sorter) numbered(row table.Row) bool {
	for _, e := range s.cols {
		if e.column != "test" {
			continue
		}
		if text, written, ok := ownText(row, e.col); ok && written {
			return isNumber(text)
		}
	}
	return false
}

// loose reports whether row, which has a test number, says something in a
// column that is not ours: "water lost" beside the table is a record of it.
func (s *sorter) loose(row table.Row) bool {
	for col := 1; col <= row.Len(); col++ {
		if text, written, ok := ownText(row, col); ok && written && s.at(col) == nil && !isNotDone(text) {
			return true
		}
	}
	return false
}

// prefilled are the columns that a form carries before anything is measured.
var prefilled = map[string]bool{
	"area": true, "date": true, "volume": true, "injected": true, "patch area": true, "limit": true,
	"meter": true, "inspector": true, "substrate": true, "patch kind": true, "maximum uses": true, "compensated": true,
}

// begins reports whether text is one of the words for reason, alone or before
// a colon or a line to write on: "Signature: ____", "Signature inspector:".
func begins(text, reason string) bool {
	head, _, colon := strings.Cut(text, ":")
	head = strings.TrimRight(head, "_. ")
	f := strings.Fields(head)
	return words().is(head, reason) || colon && len(f) > 0 && len(f) <= 4 && words().is(f[0], reason)
}

// isPageNumber reports whether cells are no more than "Page 1 of 3" or "Page 1".
func isPageNumber(cells []table.Cell) bool {
	text := joined(cells)
	f := strings.Fields(text)
	if len(cells) > 3 || len(f) < 2 || len(f) > 5 || !words().is(strings.Trim(f[0], ".:"), "page") {
		return false
	}
	_, err := strconv.Atoi(f[1])
	return err == nil || pageOf().MatchString(text)
}

// limitRow reports whether row gives the limit and no reading: the word, with
// a figure at most below the results.
func (s *sorter) limitRow(row table.Row, own []table.Cell) bool {
	word := false
	for _, c := range own {
		e := s.at(c.Pos.Col())
		switch {
		case isLimitWord(c.Text):
			word = true
		case e != nil && isNumber(c.Text) && e.column != "recorded" && e.column != "limit", e != nil && isClock(c):
			return false
		}
	}
	return word && len(own) <= 3
}

// isLimitWord reports whether s speaks of a limit: "Limit", "Limit 50 mg/m²".
func isLimitWord(s string) bool {
	head := s
	if i := strings.IndexAny(s, ":0123456789≤<"); i >= 0 {
		head = s[:i]
	}
	for _, m := range words().tables["readings"].means(head) {
		if m.column == "limit" {
			return true
		}
	}
	return strings.HasPrefix(strings.TrimSpace(s), "≤")
}

// blankLine reports whether a cell is a line to write on: "Inspector: ______".
func blankLine(own []table.Cell) bool {
	for _, c := range own {
		if strings.Contains(c.Text, "____") || strings.Contains(c.Text, "......") {
			return true
		}
	}
	return false
}

// onlyNumbered reports whether the row is a line of a form: numbered, perhaps
// with what a form carries, and not filled in.
func (s *sorter) onlyNumbered(own []table.Cell) bool {
	test := false
	for i := range own {
		c := &own[i]
		e := s.at(c.Pos.Col())
		switch {
		case e == nil && c.Formula() == "" && !isNotDone(c.Text):
			return false
		case e == nil:
		case e.column == "test":
			test = isNumber(c.Text) || isCode(c.Text)
		case c.Formula() == "" && !prefilled[e.column] && !emptyResult(c, e):
			return false
		}
	}
	return test
}

// computedNothing reports whether under e stands what a form's own formula leaves
// in a result where the row has no conductivity: a nought or an error. In a CSV
// file the formula itself is gone.
func (s *sorter) computedNothing(row table.Row, e *entry) bool {
	if !isResult(e) {
		return false
	}
	measures := false
	for _, other := range s.cols {
		if other.column != "blank" && other.column != "extract" {
			continue
		}
		measures = true
		if _, ok := cellAt(row, other.col); ok {
			return false
		}
	}
	if !measures {
		return false
	}
	c := row.Cell(e.col)
	return emptyResult(&c, e)
}

// isResult reports whether e is the heading of what a form computes.
func isResult(e *entry) bool { return e.column == "difference" || e.column == "recorded" }

// emptyResult reports whether c is a result of nothing: a nought or an error.
func emptyResult(c *table.Cell, e *entry) bool {
	if !isResult(e) {
		return false
	}
	v, _, ok := cellNumber(c.Text)
	return ok && v == 0 || c.Kind == table.Error || strings.HasPrefix(c.Text, "#")
}

// prose reports whether the row is words beside the table and no line of it:
// one or two cells, none of them a number where a number belongs.
func (s *sorter) prose(own []table.Cell) bool {
	if len(own) > 2 {
		return false
	}
	for _, c := range own {
		if e := s.at(c.Pos.Col()); e != nil {
			if _, _, ok := cellNumber(c.Text); ok {
				return false
			}
			if e.kind == date && isDate(c) || e.kind == clock && isClock(c) {
				return false
			}
		}
	}
	return true
}
