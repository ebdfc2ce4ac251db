package table

import (
	"bytes"
	"fmt"
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
	w := bookWriter{file: f, styles: map[entryStyle]int{}}
	for i, p := range b.Pages {
		if err := w.page(i, p); err != nil {
			return nil, fmt.Errorf("page %q: %w", p.Name, err)
		}
	}
	date := b.Date
	if date.IsZero() {
		date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	stamp := date.UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{Title: b.Title, Created: stamp, Modified: stamp, Creator: "saltline"}); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	return pack(out.Bytes())
}

// A bookWriter is what writing a workbook needs between its pages.
type bookWriter struct {
	file   *excelize.File
	styles map[entryStyle]int
}

// An entryStyle is all that tells one cell style from another.
type entryStyle struct {
	format                       string
	bold, struck, faint, wrapped bool
}

func (w *bookWriter) page(i int, p Page) error {
	var err error
	if i == 0 {
		err = w.file.SetSheetName(w.file.GetSheetName(0), p.Name)
	} else {
		_, err = w.file.NewSheet(p.Name)
	}
	if err != nil {
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
		if err := w.line(s, i+1, l); err != nil {
			return err
		}
	}
	for _, m := range p.Merged {
		from, to, _ := strings.Cut(m, ":")
		if err := s.MergeCell(from, to); err != nil {
			return err
		}
	}
	if err := s.Flush(); err != nil {
		return err
	}
	for _, c := range p.Choices {
		list := excelize.NewDataValidation(true)
		list.Sqref = c.Range
		list.ShowErrorMessage = false
		if err := list.SetDropList(c.Values); err != nil {
			return err
		}
		if err := w.file.AddDataValidation(p.Name, list); err != nil {
			return err
		}
	}
	if p.Hidden {
		return w.file.SetSheetVisible(p.Name, false)
	}
	return nil
}

// columns sets widths, hidden columns and the lines that stay in view, all
// of which must be said before the first row.
func (w *bookWriter) columns(s *excelize.StreamWriter, p Page) error {
	for i, width := range p.Widths {
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
	if p.Head == 0 {
		return nil
	}
	top, err := excelize.CoordinatesToCellName(1, p.Head+1)
	if err != nil {
		return err
	}
	return s.SetPanes(&excelize.Panes{
		Freeze: true, YSplit: p.Head, TopLeftCell: top, ActivePane: "bottomLeft",
	})
}

func (w *bookWriter) line(s *excelize.StreamWriter, row int, l Line) error {
	cells := make([]any, len(l.Cells))
	for i, e := range l.Cells {
		if e.value == nil && e.formula == "" {
			continue
		}
		style, err := w.style(entryStyle{e.format, l.Bold, l.Struck || e.Struck, e.Faint, e.Wrapped})
		if err != nil {
			return err
		}
		cells[i] = excelize.Cell{StyleID: style, Formula: e.formula, Value: e.value}
	}
	start, err := excelize.CoordinatesToCellName(1, row)
	if err != nil {
		return err
	}
	return s.SetRow(start, cells, excelize.RowOpts{Hidden: l.Hidden})
}

// style is the number of a style, made when it is first needed.
func (w *bookWriter) style(e entryStyle) (int, error) {
	if e == (entryStyle{}) {
		return 0, nil
	}
	if n, ok := w.styles[e]; ok {
		return n, nil
	}
	style := excelize.Style{}
	if e.bold || e.struck || e.faint {
		style.Font = &excelize.Font{Bold: e.bold, Strike: e.struck}
		if e.faint {
			style.Font.Color = "FFFFFF"
		}
	}
	if e.wrapped {
		style.Alignment = &excelize.Alignment{WrapText: true, Vertical: "top"}
	}
	if e.format != "" {
		style.CustomNumFmt = &e.format
	}
	n, err := w.file.NewStyle(&style)
	if err != nil {
		return 0, err
	}
	w.styles[e] = n
	return n, nil
}
