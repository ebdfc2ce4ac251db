package table

import (
	"math"
	"time"
)

// A Book describes a workbook to write. It is the other direction of a File:
// the blank workbook, the corrected one and the samples are made from it.
type Book struct {
	Title string
	Date  time.Time // in the properties of the file; the zero Date writes 2000-01-01
	Pages []Page
}

// A Page describes one sheet.
type Page struct {
	Name       string
	Hidden     bool
	Head       int       // how many lines at the top stay in view, and stand again on each printed page
	Side       int       // how many columns at the left do the same
	Widths     []float64 // of the columns, in characters; 0 keeps the usual width
	HiddenCols []int     // from 1
	Lines      []Line
	Merged     []string // ranges, as "A1:C1"
	Choices    []Choice
	Bounds     []Bound
	Marks      []Mark
	Notes      []Note
	Locked     bool // protected without a password: only cells that look like Input can be filled in
	Print      Print
}

// A Print says how a sheet comes out of a printer. The zero Print leaves it to
// the program.
type Print struct {
	Area      string // as "A1:K40"; "" for all that is used
	Landscape bool
	FitWidth  bool   // shrunk to the width of one page, or of Wide
	Wide      int    // pages beside each other, where one would be too small to read; 0 for one
	Foot      string // at the left of the foot of each page; the page number stands at the right
}

// A Bound says which numbers a cell takes; others can be typed after a warning
// that says Message.
type Bound struct {
	Range       string // as "C2:C200"
	Least, Most float64
	Message     string // what is wanted, with its unit
}

// A Mark gives cells a look while a formula holds. The formula is that of the
// first cell of the range, without "=".
type Mark struct {
	Range   string
	Formula string
	Look    Look
}

// A Note is a remark that shows when the cell is pointed at.
type Note struct {
	Cell string // as "C2"
	Text string
}

// A Line describes one row.
type Line struct {
	Cells  []Entry
	Bold   bool
	Struck bool
	Hidden bool
}

// A Choice offers the values of a cell as a drop-down list. Other values can
// still be typed.
type Choice struct {
	Range  string // as "C2:C200"
	Values []string
	From   string // instead of Values: the cells that hold them, as "'areas'!$A$5:$A$24"
}

// An Entry describes one cell. The zero Entry is an empty cell.
type Entry struct {
	value   any // string, float64, bool, or nil
	formula string
	format  string // number format code; "" is General
	Struck  bool
	Faint   bool // white on white
	Wrapped bool // broken into lines at the width of the column
	Look    Look
}

// A Look is what a cell is for, which decides how it is shown. No look says
// anything by colour alone.
type Look uint8

const (
	AsIs      Look = iota
	Title          // of a sheet: larger and heavy
	Heading        // of a column: heavy on a tint, ruled below
	Input          // to be filled in: white, framed
	Result         // computed here: on a tint
	Differs        // does not agree with what was written: heavy, thickly framed, on a tint
	Undecided      // proves nothing: slanted, thinly framed
	Aside          // small and grey: an explanation
)

// As is e with a look.
func (e Entry) As(l Look) Entry { e.Look = l; return e }

// Field is an empty cell to be filled in, with the format code that a number
// typed there is shown under; "" is General.
func Field(format string) Entry { return Entry{format: format, Look: Input} }

// Words is a text. It stays a text whatever it begins with.
func Words(s string) Entry { return Entry{value: s} }

// Num is a number under a format code such as "0.0"; "" is General.
func Num(v float64, format string) Entry { return Entry{value: v, format: format} }

// Yes is TRUE or FALSE.
func Yes(v bool) Entry { return Entry{value: v} }

// Formula is a formula, without "=", that is computed when the workbook is
// opened. It holds no result until then.
func Formula(expression, format string) Entry { return Entry{formula: expression, format: format} }

// Computed is a formula with a result stored beside it: a float64, a string
// or a bool.
func Computed(expression string, result any, format string) Entry {
	return Entry{formula: expression, value: result, format: format}
}

// Day is a date, shown as "2025-03-11".
func Day(year int, month time.Month, day int) Entry {
	return Moment(time.Date(year, month, day, 0, 0, 0, 0, time.UTC), "yyyy-mm-dd")
}

// Clock is a time of day, shown as "08:05".
func Clock(hour, minute int) Entry {
	return Entry{value: serial(float64(hour*60+minute) * 60), format: "hh:mm"}
}

// Moment is a date with a time under a format code such as
// "yyyy-mm-dd hh:mm", as the clock on the wall shows it; the time zone of t is
// left out. The calendar of 1900 is right from March 1900 onwards.
func Moment(t time.Time, format string) Entry {
	wall := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
	seconds := wall.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Seconds()
	return Entry{value: serial(seconds), format: format}
}

// serial is a number of seconds in days, with as many decimals as a workbook
// keeps of a date. Some programs cut a time of day off instead of rounding it,
// so it lies above the second that is meant.
func serial(seconds float64) float64 {
	const day, kept = 24 * 60 * 60, 1e10
	return math.Ceil(seconds/day*kept) / kept
}

// Texts makes a Line of texts.
func Texts(words ...string) Line {
	var l Line
	for _, w := range words {
		l.Cells = append(l.Cells, Words(w))
	}
	return l
}
