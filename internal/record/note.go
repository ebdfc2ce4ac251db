package record

import (
	"slices"

	"saltline/internal/diag"
)

// A Note is the reading note: what became of every row that is not empty.
// Used + len(Skipped) rows are all of them.
type Note struct {
	Used     int
	Skipped  []Skip
	Changes  []Change          // what was read otherwise than by its face
	Headings []Heading         // which heading was taken for which column
	Keys     []Stray           // keys of job tables that are none of ours and close to none of them
	Problems []diag.Diagnostic // values that could not be used, and what else there is to say of the reading, in order of place
}

// A Skip is a row that is not a record, with the reason.
type Skip struct {
	Row    diag.Pos
	Reason string // "heading", "units", "mean of the readings", "limit", "signature", "numbered, nothing filled in" …
	Text   string // the row as found, shortened
}

// A Stray is a row of a job table whose key is none of ours. It is kept, and
// nothing is computed from it.
type Stray struct {
	Pos        diag.Pos // of the key
	Key, Value string   // as found
}

// without takes out of a note what is said of one file.
func (n *Note) without(file string) {
	n.Changes = slices.DeleteFunc(n.Changes, func(c Change) bool { return c.Pos.File() == file })
	n.Problems = slices.DeleteFunc(n.Problems, func(d diag.Diagnostic) bool { return d.Pos.File() == file })
}

// A Change is one value read otherwise than by its face: converted, filled
// down, taken from a title row, given a century.
type Change struct {
	Pos  diag.Pos
	What string // "converted", "filled down", "taken from title row" …
	From string // as found
	To   string // as used
}

// A Heading is a column of a table and what it was taken for.
type Heading struct {
	Pos    diag.Pos
	Text   string // as found
	Column string // the canonical name of record's column; "" where it is not ours
	Unit   string // as found in heading or unit row
}
