package record

import (
	"slices"

	"saltline/internal/diag"
)

// A column binds the cells below one canonical heading to a field of the
// row type T. A new column is one line in the list of its table.
//
// One of the readings, of which there may be a million, is also kept column by
// column: it has a field of Fields and its accessor, a method of Test, a Column
// in Columns, and a shelf of the sheaf, which stands in shelves where the column
// stands in readings.
type column[T any] struct {
	name string
	field[T]
}

// A field reads one cell into one place of a row.
type field[T any] struct {
	holds content
	set   func(row *T, c *cell)
	copy  func(to, from *T)
	said  func(row *T) said
	state func(row *T) State
	wrote func(row *T) wrote

	asText func(text string) bool // nil, or whether a text is taken as it stands
}

// content is what the cells of a column are made of, as far as a cell needs
// its neighbours to be understood.
type content int

const (
	holdsWords    content = iota
	holdsNumbers          // their decimal sign and their resolution are settled together
	holdsHumidity         // numbers, of which 0.62 may mean 62 %
	holdsDates            // their order is settled together
)

func (c content) numeric() bool { return c == holdsNumbers || c == holdsHumidity }

// said is what was understood of a field, for comparing two sources.
type said struct {
	state State
	text  string // equal for equal meanings
}

// wrote is what stands in a cell, with the unit in it or in its heading, and
// where; no text where nothing was written.
type wrote struct {
	text, unit string
	at         diag.Pos
}

// A tableOf lists the columns of one table of the record.
type tableOf[T any] []column[T]

// find returns the column of a canonical name.
func (t tableOf[T]) find(name string) (column[T], bool) {
	if i := t.index(name); i >= 0 {
		return t[i], true
	}
	return column[T]{}, false
}

// index is where in the table a column stands; −1 for one that it has not.
func (t tableOf[T]) index(name string) int {
	return slices.IndexFunc(t, func(c column[T]) bool { return c.name == name })
}

// has reports whether the table has a column of a canonical name.
func (t tableOf[T]) has(name string) bool {
	_, ok := t.find(name)
	return ok
}

// holds says what the cells of a column are made of.
func (t tableOf[T]) holds(name string) content {
	c, _ := t.find(name)
	return c.field.holds
}
