// Package heading finds the tables in a sheet: which rows are a heading,
// which of our columns each heading means, and which rows below are records.
package heading

import (
	"saltline/internal/diag"
	"saltline/internal/table"
)

// A Block is one table found in a sheet: its heading, its records and all
// that stands around them. A sheet with stacked areas has several.
type Block struct {
	Table   string // which of our tables: "readings", "ambient", "job" …
	Columns []Column
	Rows    []table.Row // the records, in order
	Facts   []Fact      // what title rows and rows below the records say of the whole block
	Skipped []Skip      // every other row that is not empty
}

// A Column is one column of a block and what it was taken for.
type Column struct {
	Pos  diag.Pos // of the heading cell
	Name string   // our column, such as "blank"; "" for a column that is not ours
	Text string   // the heading as found, its rows joined by a space
	Unit string   // the unit as found, in the heading or in a unit row; "" where none stands

	own string // the lowest name of a heading of several rows, by which it may be mapped too
}

// A Fact is something that a title row says of the whole sheet or block, such
// as the date, the meter or the volume of water.
type Fact struct {
	Key  string   // one of our columns or job keys
	Text string   // the value as found
	Pos  diag.Pos // the cell it was taken from
}

// A Skip is a row that is not a record, with the reason.
type Skip struct {
	Row    table.Row
	Reason string // "heading", "units", "title", "mean of the readings", "limit", "signature", "numbered, nothing filled in" …
}
