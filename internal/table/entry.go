package table

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"saltline/internal/diag"
)

// entry sets what a page does while it is filled in: lists, bounds, marks,
// notes and the cells that can be written to.
func (w *bookWriter) entry(p Page) error {
	for _, c := range p.Choices {
		list := excelize.NewDataValidation(true)
		list.Sqref = c.Range
		list.ShowErrorMessage = false
		if c.From != "" {
			list.SetSqrefDropList(escaped(c.From))
		} else if err := list.SetDropList(c.Values); err != nil {
			return err
		}
		if err := w.file.AddDataValidation(p.Name, list); err != nil {
			return err
		}
	}
	for _, b := range p.Bounds {
		if err := w.bound(p.Name, b); err != nil {
			return err
		}
	}
	for _, m := range p.Marks {
		style, err := w.markStyle(m.Look)
		if err != nil {
			return err
		}
		rule := excelize.ConditionalFormatOptions{Type: "formula", Criteria: m.Formula, Format: &style}
		if err := w.file.SetConditionalFormat(p.Name, m.Range, []excelize.ConditionalFormatOptions{rule}); err != nil {
			return err
		}
	}
	for _, n := range p.Notes {
		width, height := noteSize(n.Text)
		note := excelize.Comment{Author: "saltline", Cell: n.Cell, Text: n.Text, Width: width, Height: height}
		if err := w.file.AddComment(p.Name, note); err != nil {
			return err
		}
	}
	if p.Locked {
		return w.file.ProtectSheet(p.Name, &excelize.SheetProtectionOptions{
			SelectLockedCells: true, SelectUnlockedCells: true, FormatColumns: true, FormatRows: true,
		})
	}
	return nil
}

// bound sets the numbers that cells take. "-" says that nothing was measured
// and is no number that could lie outside.
func (w *bookWriter) bound(sheet string, b Bound) error {
	area, ok := parseArea(b.Range)
	if !ok {
		return fmt.Errorf("bound of %q, which is no range", b.Range)
	}
	first := diag.ColumnName(area.col1) + strconv.Itoa(area.row1)
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	rule := excelize.NewDataValidation(true)
	rule.Sqref = b.Range
	formula := fmt.Sprintf(`IF(ISNUMBER(%[1]s),AND(%[1]s>=%[2]s,%[1]s<=%[3]s),%[1]s="-")`, first, number(b.Least), number(b.Most))
	if err := rule.SetRange(escaped(formula), "", excelize.DataValidationTypeCustom, excelize.DataValidationOperatorBetween); err != nil {
		return err
	}
	rule.SetError(excelize.DataValidationErrorStyleWarning, "saltline", b.Message)
	return w.file.AddDataValidation(sheet, rule)
}

// escaped is a formula as it stands inside XML, where the library leaves that
// to the caller.
func escaped(formula string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(formula)
}

// noteSize is the size of a note, in pixels, that shows its whole text.
func noteSize(text string) (width, height uint) {
	const (
		wide, high = 300, 17 // of the note, of a line
		perLine    = 42      // characters of the usual widths
	)
	lines := 1
	for line := range strings.SplitSeq(text, "\n") {
		lines += 1 + len([]rune(line))/perLine
	}
	return wide, uint(lines * high)
}

// print sets how a page comes out of a printer.
func (w *bookWriter) print(p Page) error {
	var again []string
	if p.Side > 0 {
		again = append(again, fmt.Sprintf("%s!$A:$%s", quotedName(p.Name), diag.ColumnName(p.Side)))
	}
	if p.Head > 0 {
		again = append(again, fmt.Sprintf("%s!$1:$%d", quotedName(p.Name), p.Head))
	}
	if len(again) > 0 {
		if err := w.printName(p.Name, "_xlnm.Print_Titles", strings.Join(again, ",")); err != nil {
			return err
		}
	}
	if p.Print == (Print{}) {
		return nil
	}
	if p.Print.Area != "" {
		a, ok := parseArea(p.Print.Area)
		if !ok {
			return fmt.Errorf("print area %q, which is no range", p.Print.Area)
		}
		area := SheetRef(p.Name, a.row1, a.col1) + ":" + absolute(a.row2, a.col2)
		if err := w.printName(p.Name, "_xlnm.Print_Area", area); err != nil {
			return err
		}
	}
	orientation := "portrait"
	if p.Print.Landscape {
		orientation = "landscape"
	}
	paper, beside, any := paperA4, max(p.Print.Wide, 1), 0
	layout := excelize.PageLayoutOptions{Size: &paper, Orientation: &orientation}
	if p.Print.FitWidth {
		layout.FitToWidth, layout.FitToHeight = &beside, &any
		fit := true
		if err := w.file.SetSheetProps(p.Name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
			return err
		}
	}
	if err := w.file.SetPageLayout(p.Name, &layout); err != nil {
		return err
	}
	wide, narrow := wideMargin, narrowMargin
	if err := w.file.SetPageMargins(p.Name, &excelize.PageLayoutMarginsOptions{
		Top: &narrow, Bottom: &wide, Left: &narrow, Right: &narrow, Header: &narrow, Footer: &narrow,
	}); err != nil {
		return err
	}
	// The space keeps a foot that begins with a digit from the size before it.
	style := fmt.Sprintf(`&"%s,Regular"&8 `, face)
	foot := "&L" + style + strings.ReplaceAll(p.Print.Foot, "&", "&&") + "&R" + style + "&P / &N"
	return w.file.SetHeaderFooter(p.Name, &excelize.HeaderFooterOptions{OddFooter: foot})
}

func (w *bookWriter) printName(sheet, name, refersTo string) error {
	return w.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: refersTo, Scope: sheet})
}
