package layout

import (
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// A tableSetter sets the rows of one table.
type tableSetter struct {
	*builder
	columns []column
	size    Type
	width   float64
	element *frame.Element
	hair    frame.Item // the rule below every row
}

func newTableSetter(b *builder, columns []column, size Type, width float64, element *frame.Element) *tableSetter {
	return &tableSetter{b, columns, size, width, element, frame.HLine(width, b.style.Rule.Hair)}
}

// table sets a table as a piece a row, behind its head.
func (b *builder) table(t doc.Table, width, height float64) []piece {
	if len(t.Columns) == 0 {
		return nil
	}
	cs, size := b.columns(t, width)
	ts := newTableSetter(b, cs, size, width, b.at.Add(frame.Element{Role: frame.Table}))

	head := ts.head(t)
	first := piece{frame: head, space: b.style.Space.Block, keepNext: true}
	out := []piece{first}
	reopen := []*frame.Frame{head}
	for _, r := range t.Rows {
		switch {
		case r.Group:
			p := ts.group(r.Cells[0], ts.wholeRow())
			p.reopen = []*frame.Frame{head}
			p.keepNext = true
			p.anchors = anchorsOf(r)
			ts.anchor(p.frame, r)
			again := ts.group(doc.Join(r.Cells[0], doc.Text{{S: " (" + b.words.Continued + ")", Look: doc.Slanted}}), frame.Aside)
			reopen = []*frame.Frame{head, again.frame}
			out = append(out, p)
		default:
			room := height
			for _, f := range reopen {
				room -= f.H
			}
			for i, p := range ts.rows(r, room) {
				p.reopen = reopen
				if i == 0 {
					p.anchors = anchorsOf(r)
					ts.anchor(p.frame, r)
				}
				out = append(out, p)
			}
		}
	}
	if len(t.Rows) == 0 && t.Empty != "" {
		out = append(out, ts.group(doc.Emphasis(t.Empty), ts.wholeRow()))
	}
	if len(out) > 1 {
		keepEnds(out[1:])
	}
	if len(t.Rows) <= b.style.Table.Short {
		for i := range out[:len(out)-1] {
			out[i].wishNext = true
		}
	}
	return append(out, ts.notes(t, out)...)
}

// notes sets the notes below a table, kept with its last row.
func (ts *tableSetter) notes(t doc.Table, rows []piece) []piece {
	if len(t.Notes) == 0 {
		return nil
	}
	rows[len(rows)-1].keepNext = true
	small := ts.style.Type.Caption
	small.Face = frame.Condensed
	return ts.items(t.Notes, small, ts.style.Table.NoteGap, ts.width)
}

func anchorsOf(r doc.Row) []string {
	if r.Anchor == "" {
		return nil
	}
	return []string{r.Anchor}
}

func (ts *tableSetter) anchor(f *frame.Frame, r doc.Row) {
	if r.Anchor != "" {
		f.Put(0, 0, frame.Anchor{Name: r.Anchor})
	}
}

// head sets the heads of the columns, standing on one line, with the units
// below them.
func (ts *tableSetter) head(t doc.Table) *frame.Frame {
	st := ts.style.Table
	headType, unitType := ts.headTypes(ts.size)
	heads := make([][]line, len(ts.columns))
	units := make([][]line, len(ts.columns))
	headHeight, unitHeight := 0.0, 0.0
	for i, c := range ts.columns {
		heads[i] = ts.lines(doc.Plain(c.Head), headType, c.w)
		headHeight = max(headHeight, linesHeight(heads[i]))
		if c.Unit != "" {
			units[i] = ts.lines(doc.Plain(c.Unit), unitType, c.w)
			unitHeight = max(unitHeight, linesHeight(units[i]))
		}
	}
	row := ts.element.Add(frame.Element{Role: frame.Row})
	f := &frame.Frame{W: ts.width, H: headHeight + unitHeight + 2*st.Pad, Element: row}
	f.Put(0, 0, frame.HLine(ts.width, ts.style.Rule.Strong))
	f.Put(0, f.H, frame.HLine(ts.width, ts.style.Rule.Thin))
	for i, c := range ts.columns {
		cell := &frame.Frame{W: c.w, H: f.H, Element: row.Add(frame.Element{Role: frame.HeadCell})}
		ts.cell(cell, c, st.Pad+headHeight-linesHeight(heads[i]), heads[i])
		ts.cell(cell, c, st.Pad+headHeight, units[i])
		f.Put(c.x, 0, cell)
	}
	return f
}

// cell puts lines into the frame of a cell, each where its column wants it.
func (ts *tableSetter) cell(f *frame.Frame, c column, y float64, ls []line) {
	for _, l := range ls {
		ts.draw(f, c.offset(l), y, l)
		y += l.h
	}
}

// wholeRow is the cell of a row that spans all columns.
func (ts *tableSetter) wholeRow() *frame.Element {
	return ts.element.Add(frame.Element{Role: frame.Row}).Add(frame.Element{Role: frame.Cell, Span: int32(len(ts.columns))})
}

// group sets a row of one text across all columns, as the element e.
func (ts *tableSetter) group(text doc.Text, e *frame.Element) piece {
	st := ts.style.Table
	ls := ts.lines(text, rowType(ts.size, doc.Row{Group: true}), ts.width)
	f := &frame.Frame{W: ts.width, H: linesHeight(ls) + 2*st.Pad, Element: e}
	ts.drawLines(f, 0, st.Pad, ls)
	f.Put(0, f.H, ts.hair)
	return piece{frame: f}
}

// rows sets one row as one piece, or as several where it is higher than room,
// the height of a page below the head.
func (ts *tableSetter) rows(r doc.Row, room float64) []piece {
	cells := make([][]line, len(r.Cells))
	for i, text := range r.Cells {
		cells[i] = ts.cellLines(ts.columns[i], text, rowType(ts.size, r))
	}
	var note []line
	if r.Note != nil {
		note = ts.lines(r.Note, ts.size, ts.width-ts.noteIndent())
	}
	of := ts.rowElements(len(cells), len(note) > 0)
	if ts.rowHeight(cells, note) <= room+slack {
		return []piece{ts.row(of, cells, note)}
	}
	return ts.splitRow(of, cells, note, room*ts.style.Table.Part)
}

// rowElements are the elements of a row of cells and of the row below it that
// its note is, nil for none.
type rowElements struct {
	row, note *frame.Element
}

func (ts *tableSetter) rowElements(cells int, noted bool) rowElements {
	of := rowElements{row: ts.element.Add(frame.Element{Role: frame.Row, Kids: make([]*frame.Element, 0, cells)})}
	all := make([]frame.Element, cells) // a long log has many of them
	for i := range all {
		all[i].Role = frame.Cell
		of.row.Kids = append(of.row.Kids, &all[i])
	}
	if noted {
		of.note = ts.wholeRow()
	}
	return of
}

// splitRow is the last resort for a row that no page can hold: as many lines
// of each cell as a page holds, and the note behind the last of them.
func (ts *tableSetter) splitRow(of rowElements, cells [][]line, note []line, room float64) []piece {
	room -= 2 * ts.style.Table.Pad
	var out []piece
	for len(note) > 0 || tallest(cells) > 0 {
		upper := make([][]line, len(cells))
		used := 0.0
		for i := range cells {
			upper[i], cells[i] = fill(cells[i], room)
			used = max(used, linesHeight(upper[i]))
		}
		var upperNote []line
		if tallest(cells) == 0 && len(note) > 0 && (used == 0 || used+note[0].h <= room) {
			upperNote, note = fill(note, room-used)
		}
		out = append(out, ts.row(of, upper, upperNote))
	}
	return out
}

// fill takes as many lines as height holds, but at least one.
func fill(ls []line, height float64) (taken, rest []line) {
	h := 0.0
	for i, l := range ls {
		if h += l.h; h > height+slack && i > 0 {
			return ls[:i], ls[i:]
		}
	}
	return ls, nil
}

func tallest(cells [][]line) int {
	n := 0
	for _, ls := range cells {
		n = max(n, len(ls))
	}
	return n
}

// noteIndent sets the note of a row off from its cells.
func (ts *tableSetter) noteIndent() float64 {
	if len(ts.columns) > 1 {
		return ts.columns[1].x
	}
	return 0
}

func (ts *tableSetter) rowHeight(cells [][]line, note []line) float64 {
	h := 0.0
	for _, ls := range cells {
		h = max(h, linesHeight(ls))
	}
	return h + linesHeight(note) + 2*ts.style.Table.Pad
}

func (ts *tableSetter) row(of rowElements, cells [][]line, note []line) piece {
	st := ts.style.Table
	f := &frame.Frame{W: ts.width, H: ts.rowHeight(cells, note), Element: of.row}
	f.Items = make([]frame.Placed, 0, len(cells)+2)
	full := 0
	for _, ls := range cells {
		full += min(len(ls), 1)
	}
	frames := make([]frame.Frame, full) // at once: a long log has many of them
	items := make([]frame.Placed, full) // one in most of them
	for i, ls := range cells {
		if len(ls) == 0 {
			continue
		}
		c := ts.columns[i]
		cell := &frames[0]
		*cell = frame.Frame{W: c.w, H: f.H, Element: of.row.Kids[i], Items: items[:0:1]}
		ts.cell(cell, c, st.Pad, ls)
		f.Put(c.x, 0, cell)
		frames, items = frames[1:], items[1:]
	}
	if len(note) > 0 {
		f.Put(ts.noteIndent(), f.H-st.Pad-linesHeight(note), ts.framed(of.note, ts.width-ts.noteIndent(), note))
	}
	f.Put(0, f.H, ts.hair)
	return piece{frame: f}
}

// cellLines breaks the text of a cell; a number stays whole if its column
// could be made wide enough. A number that stands on its decimal sign gets the
// room behind it that others need for their digits.
func (ts *tableSetter) cellLines(c column, text doc.Text, t Type) []line {
	ls := ts.lines(text, t, c.w)
	if c.Align == doc.AlignDecimal && len(ls) == 1 {
		_, after := ts.aboutSign(text, t)
		if l := &ls[0]; l.w+c.fraction-after <= c.w+slack {
			l.w += c.fraction - after
		}
	}
	return ls
}
