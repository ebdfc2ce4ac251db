package record

import (
	"slices"
	"unsafe"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// A keeping takes rows of type T as they are bound, some at a time.
type keeping[T any] interface {
	// filing takes the cells of a column, with which its rows need not be read
	// anew; nil where each is.
	filing(column string) filing[T]
	// keep takes the row with number n of those, and leaves it empty.
	keep(n int, row *T)
}

// A filing takes what the cells of one column say, and knows it again.
type filing[T any] interface {
	// recall takes what a cell says for row n, where a cell like it said so before
	// and there was nothing more to say of it; the row itself has it where asked.
	recall(n int, c *table.Cell, row *T) bool
	// recallText is recall for a cell of the row that has nothing but a text.
	recallText(n int, text string, row *T) bool
	// file takes what a cell says from row n. It is recalled where plain.
	file(n int, c *table.Cell, row *T, plain bool)
	// late takes from row n what no cell of it says.
	late(n int, row *T)
	// clear empties the column of a row.
	clear(row *T)
}

// A listing keeps rows as they are.
type listing[T any] []T

func (l listing[T]) filing(string) filing[T] { return nil }
func (l listing[T]) keep(n int, row *T)      { l[n], *row = *row, *new(T) }

// A gleaning keeps rows as the tests of a sheaf.
type gleaning struct {
	sheaf *sheaf
	tests []Test
	names []string         // of the columns that a row is asked for when its cells are bound
	asked []filing[Fields] // those of them that its cells say …
	late  []filing[Fields] // … and those that something else may say
}

// askedColumns are those that a row is asked for, whatever its titles are.
var askedColumns = []string{"date", "start", "recorded", "area", "read", "recorded verdict"}

// lateColumns are those that may be taken from elsewhere than their cells: from
// the name of the sheet, a date or a result.
var lateColumns = []string{"area", "read", "recorded verdict"}

// glean begins a sheaf for tests, some columns of which are said by titles.
func glean(at diag.Pos, tests []Test, titles []*title[Fields]) *gleaning {
	g := &gleaning{sheaf: &sheaf{at: at, tests: len(tests)}, tests: tests, names: slices.Clone(askedColumns)}
	late := slices.Clone(lateColumns)
	for _, t := range titles {
		late = append(late, t.name)
		g.names = append(g.names, t.name)
	}
	for _, name := range late {
		g.late = append(g.late, g.filing(name))
	}
	g.asked = nil // late clears what it takes
	return g
}

func (g *gleaning) filing(column string) filing[Fields] {
	asked := slices.Contains(g.names, column)
	n := readings.index(column)
	f := shelves[n].filing(g.sheaf, asked, readings[n].asText)
	if asked {
		g.asked = append(g.asked, f)
	}
	return f
}

func (g *gleaning) keep(n int, f *Fields) {
	t := &g.tests[n]
	*t = Test{in: g.sheaf, place: uint16(n), row: int32(f.Row.Row())}
	for k, is := range [...]bool{f.Hidden, f.Struck, f.Faint, f.TypedOver, f.StaleFormula} {
		if is {
			t.marks |= 1 << k
		}
	}
	if len(f.Extra) > 0 {
		if g.sheaf.extra == nil {
			g.sheaf.extra = make([][]Fact, len(g.tests))
		}
		g.sheaf.extra[n], f.Extra = f.Extra, nil
	}
	for _, l := range g.late {
		l.late(n, f)
	}
	for _, a := range g.asked { // not all columns: a row may say far more than most do
		a.clear(f)
	}
	f.Row = diag.Pos{}
	f.Hidden, f.Struck, f.Faint, f.TypedOver, f.StaleFormula = false, false, false, false, false
}

// A filer files what one column says on its shelf.
type filer[Q comparable] struct {
	shelf  *shelf[Q]
	at     func(*Fields) *Given[Q]
	tests  int
	write  bool              // into the row what was known; else nothing is left there
	asText func(string) bool // nil, or whether a text is taken as it stands
	known  map[string]uint16 // what cells like this said
	asked  int               // how often that was looked up
	fresh  bool              // the column is found to say new things all the time …
	loose  bool              // … and some of them were no more than a text
	key    []byte            // the likeness of the cell that is looked at
	last   []byte            // that of the last that was known
	same   uint16            // and what it said
}

// likeness spells all of a cell of a row that it is read by into f.key; false
// where another cell like it may be read otherwise.
func (f *filer[Q]) likeness(row diag.Pos, c *table.Cell) bool {
	if c.Text == "" || c.Stale || c.NoCache || c.Pos.Row() != row.Row() || !c.FillOf().IsZero() {
		return false
	}
	f.key = append(f.key[:0], c.Text...)
	if formula := c.Formula(); c.Kind != table.Text || formula != "" {
		f.key = append(f.key, 0, byte(c.Kind), byte(min(len(formula), 1))) // no text holds a zero
		f.key = append(append(f.key, c.Raw...), 0)
		f.key = append(f.key, c.ISO()...)
	}
	return true
}

// A column is held to say new things all the time where nearly all of its first
// texts are new: the numbers of the tests, and readings of five digits. A column
// of a thousand readings is not, though most of so few are.
const enough = 512

func (f *filer[Q]) recall(n int, c *table.Cell, row *Fields) bool {
	// The key is looked up where it lies; nothing keeps it.
	return !f.fresh && f.likeness(row.Row, c) && f.recallLike(n, unsafe.String(unsafe.SliceData(f.key), len(f.key)), row)
}

func (f *filer[Q]) recallText(n int, text string, row *Fields) bool {
	if f.fresh {
		return f.loose && !f.write && f.asText != nil && f.asText(text) && f.shelf.addLoose(n, text)
	}
	return f.recallLike(n, text, row)
}

func (f *filer[Q]) recallLike(n int, key string, row *Fields) bool {
	if f.same == 0 || string(f.last) != key {
		f.asked++
		said := f.known[key]
		if said == 0 {
			return false
		}
		f.last, f.same = append(f.last[:0], key...), said
	}
	f.shelf.which[n] = f.same
	if f.write {
		g := f.at(row)
		*g = f.shelf.said[f.same]
		g.Pos = row.Row.At(row.Row.Row(), g.Pos.Col())
	}
	return true
}

func (f *filer[Q]) file(n int, c *table.Cell, row *Fields, plain bool) {
	g := *f.at(row)
	if !f.write {
		f.clear(row)
	}
	g.Pos = inRow(g.Pos, row.Row)
	if f.fresh && f.shelf.putLoose(n, &g) {
		f.loose = true
		return
	}
	f.shelf.put(n, f.tests, g)
	if f.fresh || !plain || g.State == Absent || g.Pos.Row() != 0 || !f.likeness(row.Row, c) {
		return
	}
	if f.known == nil {
		f.known = make(map[string]uint16)
	}
	f.known[string(f.key)] = f.shelf.which[n]
	if f.asked >= enough && len(f.known)*16 > f.asked*15 {
		f.known, f.fresh = nil, true
	}
}

func (f *filer[Q]) clear(row *Fields) { *f.at(row) = Given[Q]{} }

func (f *filer[Q]) late(n int, row *Fields) {
	g := f.at(row)
	if g.State == Absent && g.Pos.IsZero() {
		return // nothing says it
	}
	defer f.clear(row)
	if s := f.shelf; s.which != nil {
		if is := s.which[n]; is >= firstLoose || s.said[is].State != Absent {
			return
		}
	}
	f.file(n, nil, row, false)
}
