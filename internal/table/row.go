package table

import "saltline/internal/diag"

// A Row is one line of a sheet. A log may have a million, so it holds no cells
// but where they lie, and makes each when it is asked for.
type Row struct {
	in     *block
	Number int    // from 1
	at     uint32 // where the cells begin, in block.refs
	n      uint16 // how many they are
	Hidden bool
}

// A block is where the cells of some rows lie: as they stand in a text, or in
// a bank.
type block struct {
	sheet diag.Pos
	// refs are, in a text, where a row begins and where each of its cells ends;
	// in a bank, the cells.
	refs []uint32
	bank *bank  // nil where the cells lie in a text
	text string // UTF-8, of a file of less than 4 GiB
	gap  uint32 // bytes between two cells of it
	odd  bool   // control characters are among its cells
}

// cell makes the cell in column col of a row that begins at refs[at].
func (b *block) cell(at uint32, row, col int) Cell {
	pos := b.sheet.At(row, col)
	if b.bank != nil {
		return b.bank.cell(b.refs[int(at)+col-1], pos)
	}
	return textCell(b.raw(at, col), pos)
}

// raw is the cell in column col of a row that begins at refs[at], as it stands in
// the text.
func (b *block) raw(at uint32, col int) string { return b.between(b.refs[at:], col) }

// between is the cell in column col of the row that ends are those of, without the
// quotation marks around it.
func (b *block) between(ends []uint32, col int) string {
	start, end := ends[col-1], ends[col]
	if col > 1 {
		start += b.gap
	}
	raw := b.text[start:end]
	if raw != "" && raw[0] == '"' {
		return raw[1 : len(raw)-1]
	}
	return raw
}

// textCell is a field of a text file as a cell.
func textCell(raw string, pos diag.Pos) Cell {
	c := Cell{Pos: pos, Text: clean(raw), Raw: raw}
	if c.Text != "" {
		c.Kind = Text
	}
	return c
}

// Len is how many cells the row has, trailing empty ones left off. They stand in
// the columns 1 … Len.
func (r Row) Len() int { return int(r.n) }

// Cell returns the cell in column col, from 1, or an empty Cell where the row
// is shorter.
func (r Row) Cell(col int) Cell {
	if col < 1 || col > int(r.n) {
		return Cell{}
	}
	return r.in.cell(r.at, r.Number, col)
}

// Plain is the Text of the cell in column col where the cell is empty or has a text
// and nothing else, as every cell of a text file, without making the Cell. ok is
// false where there may be more to say of it.
func (r Row) Plain(col int) (text string, ok bool) {
	if col < 1 || col > int(r.n) {
		return "", true
	}
	b := r.in
	if b.bank != nil {
		return b.bank.plain(b.refs[int(r.at)+col-1])
	}
	raw := b.raw(r.at, col)
	if raw == "" || !b.odd && visible(raw[0]) && visible(raw[len(raw)-1]) {
		return raw, true
	}
	return clean(raw), true
}

// Cells are the cells of the row, from column 1. Whoever looks at the rows of a
// long log asks for the cells one by one.
func (r Row) Cells() []Cell {
	if r.n == 0 {
		return nil
	}
	cells := make([]Cell, r.n)
	for i := range cells {
		cells[i] = r.Cell(i + 1)
	}
	return cells
}

// With is the row with other cells, from column 1, in the sheet of the first
// that has a place. Each takes the place that it stands in.
func (r Row) With(cells []Cell) Row {
	b := &block{bank: newBank()}
	for _, c := range cells {
		if b.sheet.IsZero() {
			b.sheet = c.Pos.At(0, 0)
		}
		b.refs = append(b.refs, b.bank.put(c))
	}
	r.in, r.at, r.n = b, 0, uint16(len(cells))
	return r
}

// Within are the rows of a sheet with the cells outside the columns from low up to
// but not including high emptied.
func Within(rows []Row, low, high int) []Row {
	inside := make([]Row, len(rows))
	in := &block{bank: newBank()} // one for all of them
	for k, r := range rows {
		n := min(r.Len(), high-1)
		inside[k] = Row{in: in, Number: r.Number, at: uint32(len(in.refs)), n: uint16(n), Hidden: r.Hidden}
		for col := 1; col <= n; col++ {
			ref := emptyRef
			if col >= low {
				in.sheet, ref = r.in.sheet, in.bank.put(r.Cell(col))
			}
			in.refs = append(in.refs, ref)
		}
	}
	return inside
}

// set puts another cell in the place of the one in column col of a row whose
// cells lie in a bank.
func (r Row) set(col int, c Cell) { r.in.refs[int(r.at)+col-1] = r.in.bank.put(c) }

// widen adds empty cells to a row of a workbook until it has n.
func (r *Row) widen(n int, sheet diag.Pos, b *bank) {
	if n <= int(r.n) {
		return
	}
	in := &block{sheet: sheet, bank: b, refs: make([]uint32, n)}
	if r.n > 0 {
		copy(in.refs, r.in.refs[r.at:][:r.n])
	}
	r.in, r.at, r.n = in, 0, uint16(n)
}

// Blank reports whether no cell of the row holds anything of its own. A
// cell that only repeats a merged value is not its own.
func (r Row) Blank() bool {
	for col := 1; col <= int(r.n); col++ {
		if text, plain := r.Plain(col); plain {
			if text != "" {
				return false
			}
			continue
		}
		if c := r.Cell(col); c.Kind != Empty && c.FillOf().IsZero() {
			return false
		}
	}
	return true
}

// Struck reports whether every cell of the row that holds something of its
// own is struck through.
func (r Row) Struck() bool {
	return r.all(func(c *Cell) bool { return c.Struck || !c.FillOf().IsZero() }) && !r.Blank()
}

// Faint reports whether nothing of what the row holds can be seen.
func (r Row) Faint() bool {
	return r.all(func(c *Cell) bool { return c.Faint })
}

// all reports whether the row has cells that hold something, and whether is says
// so of all of them: of how they look, which no cell of a text shows.
func (r Row) all(is func(*Cell) bool) bool {
	if r.in == nil || r.in.bank == nil {
		return false
	}
	any := false
	for col := 1; col <= int(r.n); col++ {
		c := r.Cell(col)
		if c.Kind == Empty {
			continue
		}
		if !is(&c) {
			return false
		}
		any = true
	}
	return any
}
