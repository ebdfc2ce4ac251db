package table

import (
	"bytes"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// Append adds the pages of a book behind the sheets of a received .xlsx or
// .xlsm workbook, which stay as they are; macros are left out. A page whose
// name is taken gets the one that FreeNames gives. The title and the date of
// the book are not used. The same original and the same description give the
// same bytes.
//
// A workbook that gets formulas without results is computed anew by the
// program that opens it, its own formulas with them.
func Append(original []byte, b Book) ([]byte, error) {
	plain, err := withoutMacros(original)
	if err != nil {
		return nil, fmt.Errorf("the received workbook: %w", err)
	}
	f, err := openReceived(plain)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	restore := complete(f)
	w := newBookWriter(f)
	props, err := f.GetWorkbookProps()
	if err != nil {
		return nil, err
	}
	w.date1904 = props.Date1904 != nil && *props.Date1904
	taken := f.GetSheetList()
	pages := make([]Page, len(b.Pages))
	for i, p := range b.Pages {
		p.Name = freeName(p.Name, taken)
		taken = append(taken, p.Name)
		pages[i] = p
	}
	if err := w.pages(pages); err != nil {
		return nil, err
	}
	if w.computed {
		anew := true
		if err := f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &anew}); err != nil {
			return nil, err
		}
	}
	restore()
	return w.bytes()
}

// FreeNames gives the names under which Append writes pages that are to be
// called wanted, in their order, so that formulas can refer to them. With no
// original it gives names that may stand in one workbook.
func FreeNames(original []byte, wanted []string) ([]string, error) {
	var taken []string
	if original != nil {
		f, err := openReceived(original)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		taken = f.GetSheetList()
	}
	names := make([]string, len(wanted))
	for i, name := range wanted {
		names[i] = freeName(name, taken)
		taken = append(taken, names[i])
	}
	return names, nil
}

// largestReceived bounds what a received workbook unpacks to that is handed out
// again: all its parts are in memory then, pictures too.
const largestReceived = 96 << 20

func openReceived(original []byte) (*excelize.File, error) {
	f, err := open(original, largestReceived)
	if err != nil {
		return nil, fmt.Errorf("the received workbook: %w", err)
	}
	return f, nil
}

// open opens a workbook that unpacks to no more than so many bytes.
func open(data []byte, most int64) (*excelize.File, error) {
	return excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: most, UnzipXMLSizeLimit: most, // no temporary files
	})
}
