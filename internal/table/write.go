package table

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// Write makes an .xlsx workbook from its description. The same description
// gives the same bytes.
func Write(b Book) ([]byte, error) {
	if len(b.Pages) == 0 {
		return nil, fmt.Errorf("a workbook needs at least one page")
	}
	f := excelize.NewFile()
	defer f.Close()
	if err := setFace(f); err != nil {
		return nil, err
	}
	if err := f.SetSheetName(f.GetSheetName(0), b.Pages[0].Name); err != nil {
		return nil, fmt.Errorf("page %q: %w", b.Pages[0].Name, err)
	}
	w := newBookWriter(f)
	if err := w.pages(b.Pages); err != nil {
		return nil, err
	}
	date := b.Date
	if date.IsZero() {
		date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	stamp := date.UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{Title: b.Title, Created: stamp, Modified: stamp, Creator: "saltline"}); err != nil {
		return nil, err
	}
	return w.bytes()
}

// A bookWriter is what writing a workbook needs between its pages.
type bookWriter struct {
	file     *excelize.File
	styles   map[entryStyle]int
	marks    map[Look]int
	date1904 bool // the workbook counts its dates from 1904
	computed bool // a formula was written without its result
}

func newBookWriter(f *excelize.File) *bookWriter {
	return &bookWriter{file: f, styles: map[entryStyle]int{}, marks: map[Look]int{}}
}

// pages writes every page into the sheet of its name, which is made where it
// is not there. All sheets are made first: the workbook must keep one that can
// be seen while others are hidden.
func (w *bookWriter) pages(pages []Page) error {
	for i, p := range pages {
		for _, before := range pages[:i] {
			if sameName(before.Name, p.Name) {
				return fmt.Errorf("page %q: another page has this name", p.Name)
			}
		}
		if _, err := w.file.NewSheet(p.Name); err != nil {
			return fmt.Errorf("page %q: %w", p.Name, err)
		}
	}
	for _, p := range pages {
		if err := w.page(p); err != nil {
			return fmt.Errorf("page %q: %w", p.Name, err)
		}
	}
	return nil
}

// page writes one page. What it does on a screen and on paper is said before
// its cells are: they go out in one stream, and what the library is told of a
// sheet behind that makes it read all of them again.
func (w *bookWriter) page(p Page) error {
	if err := w.equip(p); err != nil {
		return err
	}
	s, err := w.file.NewStreamWriter(p.Name)
	if err != nil {
		return err
	}
	if err := w.columns(s, p); err != nil {
		return err
	}
	for i, l := range p.Lines {
		if err := w.line(s, i+1, l, p.Widths); err != nil {
			return err
		}
	}
	for _, m := range p.Merged {
		from, to, _ := strings.Cut(m, ":")
		if err := s.MergeCell(from, to); err != nil {
			return err
		}
	}
	return s.Flush()
}

func (w *bookWriter) equip(p Page) error {
	if err := w.entry(p); err != nil {
		return err
	}
	if err := w.print(p); err != nil {
		return err
	}
	if p.Hidden {
		return w.file.SetSheetVisible(p.Name, false)
	}
	return nil
}

// bytes is the workbook as a file.
func (w *bookWriter) bytes() ([]byte, error) {
	var out bytes.Buffer
	if err := w.file.Write(&out); err != nil {
		return nil, err
	}
	return pack(out.Bytes())
}

// columns sets widths, hidden columns and the lines that stay in view, all
// of which must be said before the first row.
func (w *bookWriter) columns(s *excelize.StreamWriter, p Page) error {
	// From the last to the first: the library puts each before those it has.
	for i, width := range slices.Backward(p.Widths) {
		if width > 0 {
			if err := s.SetColWidth(i+1, i+1, width); err != nil {
				return err
			}
		}
	}
	for _, col := range p.HiddenCols {
		if err := s.SetColVisible(col, col, false); err != nil {
			return err
		}
	}
	if p.Head == 0 && p.Side == 0 {
		return nil
	}
	corner, err := excelize.CoordinatesToCellName(p.Side+1, p.Head+1)
	if err != nil {
		return err
	}
	active := "bottomRight"
	switch {
	case p.Side == 0:
		active = "bottomLeft"
	case p.Head == 0:
		active = "topRight"
	}
	return s.SetPanes(&excelize.Panes{
		Freeze: true, XSplit: p.Side, YSplit: p.Head, TopLeftCell: corner, ActivePane: active,
	})
}

func (w *bookWriter) line(s *excelize.StreamWriter, row int, l Line, widths []float64) error {
	cells := make([]any, len(l.Cells))
	for i, e := range l.Cells {
		if e.value == nil && e.formula == "" && e.Look == AsIs {
			continue
		}
		style, err := w.style(entryStyle{
			format: e.format, look: e.Look,
			bold: l.Bold, struck: l.Struck || e.Struck, faint: e.Faint, wrapped: e.Wrapped,
		})
		if err != nil {
			return err
		}
		w.computed = w.computed || e.formula != "" && e.value == nil
		cells[i] = excelize.Cell{StyleID: style, Formula: e.formula, Value: w.stored(e)}
	}
	start, err := excelize.CoordinatesToCellName(1, row)
	if err != nil {
		return err
	}
	return s.SetRow(start, cells, excelize.RowOpts{Hidden: l.Hidden, Height: height(l, widths)})
}

// from1900to1904 is how many days the second calendar begins after the first.
const from1900to1904 = 1462

// stored is the value of e in the calendar of the workbook.
func (w *bookWriter) stored(e Entry) any {
	v, isNumber := e.value.(float64)
	if w.date1904 && isNumber && v >= from1900to1904 && datePartsOf(e.format)&showsDate != 0 {
		return v - from1900to1904
	}
	return e.value
}
