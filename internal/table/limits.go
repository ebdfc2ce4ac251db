package table

// Options are what the caller may say of a file before it is read. The zero
// Options finds everything out by itself.
type Options struct {
	// Delimiter separates the fields of a CSV file; 0 to find it.
	Delimiter rune
	// Limits bound what is read; a zero field takes its value from
	// DefaultLimits or, for a CSV file, TextLimits.
	Limits Limits
	// Large takes workbooks up to LargeLimits, from somebody who knows that they
	// are so large.
	Large bool
}

// Limits are the sizes beyond which a file is refused. A field log is some
// hundred rows; these leave room for a hundred times the largest met, and keep
// a damaged or hostile file from filling the memory.
type Limits struct {
	Bytes    int64 // of the file itself
	Unpacked int64 // of a workbook's parts together, unzipped
	Rows     int   // the number of the last row that holds something
	Cols     int   // the number of the last column that holds something
	Cells    int   // of all sheets, gaps included
	Line     int   // bytes of one record of a CSV file
	Letters  int   // bytes of the texts that a workbook lists, and of its shared formulas; twice as many of all its cells
}

// DefaultLimits are the limits that hold where Options states none, those of a
// CSV file aside.
func DefaultLimits() Limits {
	return Limits{
		Bytes:    64 << 20,
		Unpacked: 256 << 20,
		Rows:     200_000,
		Cols:     1_024,
		Cells:    2_000_000,
		Line:     256 << 10,
		Letters:  32 << 20,
	}
}

// LongLimits are those of a log that is as long as any sheet may be. Reading and
// auditing one takes less than 512 MiB of memory.
func LongLimits() Limits {
	l := DefaultLimits()
	l.Unpacked, l.Rows, l.Cells, l.Letters = 512<<20, TextLimits().Rows, 10_000_000, 64<<20
	return l
}

// LargeLimits are those of a workbook with Options.Large: a sheet as long as any
// program writes.
func LargeLimits() Limits {
	l := DefaultLimits()
	l.Bytes, l.Unpacked = 128<<20, 2<<30
	l.Rows, l.Cells, l.Letters = lastRow, 20_000_000, 256<<20
	return l
}

// TextLimits are the limits of a CSV file where Options states none. Such a
// file cannot unfold into more than its bytes, so it may hold the log of years.
func TextLimits() Limits {
	l := DefaultLimits()
	l.Bytes, l.Rows, l.Cells = 128<<20, 2_000_000, 20_000_000
	return l
}

const (
	// mostUneven is how many lines a CSV file may have that are not cut alike, as
	// the rows of a long log are: what else is so long is no log, and would take
	// the memory of one.
	mostUneven = 250_000
	// mostRecoded is how many bytes a CSV file may have in another encoding than
	// UTF-8, which is held in memory twice.
	mostRecoded = 32 << 20
)

// or fills the zero fields of l from d.
func (l Limits) or(d Limits) Limits {
	if l.Bytes == 0 {
		l.Bytes = d.Bytes
	}
	if l.Unpacked == 0 {
		l.Unpacked = d.Unpacked
	}
	if l.Rows == 0 {
		l.Rows = d.Rows
	}
	if l.Cols == 0 {
		l.Cols = d.Cols
	}
	if l.Cells == 0 {
		l.Cells = d.Cells
	}
	if l.Line == 0 {
		l.Line = d.Line
	}
	if l.Letters == 0 {
		l.Letters = d.Letters
	}
	return l
}
