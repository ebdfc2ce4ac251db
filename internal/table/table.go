// Package table finds the cells: workbooks and CSV files become sheets of
// text, each cell with its place and with what the file says of it.
package table

import "saltline/internal/diag"

// A Kind is what the file says a cell holds, before anyone interprets it.
type Kind uint8

const (
	Empty Kind = iota
	Text
	Number
	Date // a workbook number whose format shows a date, a time or both
	Bool
	Error // #REF!, #DIV/0! …; with no Text: a formula that has no result at all
)

var kindNames = [...]string{"empty", "text", "number", "date", "bool", "error"}

func (k Kind) String() string {
	if int(k) >= len(kindNames) {
		return "unknown"
	}
	return kindNames[k]
}

// A Cell is one cell as found.
type Cell struct {
	Pos diag.Pos

	// Text is what is displayed to the person who wrote it, outer white space
	// kept out and control characters spelled out (\x00). A workbook displays
	// numbers under a format: 1024 may read "1,024.0", so compute from Raw.
	Text string
	// Raw is what is stored: the full digits of a number with a decimal point,
	// the serial of a date, TRUE or FALSE, a text with its outer white space.
	Raw string

	Kind    Kind
	Stale   bool // the stored result of Formula differs from Fresh
	NoCache bool // Formula has no stored result; Text and Raw are what was computed here, "" if it could not be
	Struck  bool // shown struck through, all of it
	Faint   bool // not to be seen: in the colour of its background, or under a format that shows nothing

	origin string // an Origin as a bank spells it; "" for a value that was typed into a cell of its own, as most are
}

// An Origin is where the value of a cell comes from, if not from a keyboard.
// The methods of Cell say it of any cell.
type Origin struct {
	ISO     string
	Formula string
	Fresh   string
	FillOf  diag.Pos // in the sheet of the cell itself
}

// From is the cell with an origin.
func (c Cell) From(o Origin) Cell {
	c.origin = string(appendOrigin(nil, o))
	return c
}

// ISO is what a Date means, to the second, as far as its format shows it:
// "2025-03-11", "2025-03-11T08:05:00" or "08:05:00". It is "" for a serial
// number that is no date in this calendar, such as 0 or 60.
func (c Cell) ISO() string { return c.part(isoPart) }

// Formula is the formula without "=", "" where there is none.
func (c Cell) Formula() string {
	if c.origin == "" { // as of nearly all cells, so that it is asked in place
		return ""
	}
	return c.part(formulaPart)
}

// Fresh is the result of the formula computed here, where it is Stale.
func (c Cell) Fresh() string { return c.part(freshPart) }

// FillOf is, for a cell inside a merged range, the cell that holds the value;
// zero otherwise.
func (c Cell) FillOf() diag.Pos {
	if c.origin == "" {
		return diag.Pos{}
	}
	return c.fillOf()
}

// holds reports whether the cell says anything, be it only that a formula
// has no result.
func (c Cell) holds() bool { return c.Kind != Empty }

// A Sheet is one sheet of a workbook, or one CSV file.
type Sheet struct {
	Name   string // the sheet's name, or the file name without its extension
	Hidden bool
	// Rows run downwards, blank ones included, up to the last that holds
	// something. In a workbook Rows[i].Number is i+1. In a CSV file a record
	// whose quoted field spans lines takes the number of its first line, and
	// the numbers of the others are passed over.
	Rows       []Row
	HiddenCols []int  // columns hidden in the workbook, from 1, up to the last in use
	Encoding   string // CSV only: "UTF-8", "UTF-16", "Windows-1252"
	Delimiter  rune   // CSV only
	Date1904   bool   // workbook serial dates count from 1904
}

// A File is one input file, read.
type File struct {
	Name   string // as the user named it
	SHA256 string // hex, of the bytes read
	Sheets []Sheet
	// Notes are what the reader should know of how the file was read: a quote
	// that was not closed, an encoding that was assumed, a formula that was
	// not recomputed. None of them lost a cell.
	Notes []diag.Diagnostic
}
