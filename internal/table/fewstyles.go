package table

import "github.com/xuri/excelize/v2"

// complete gives a received workbook the parts of a stylesheet that the library
// takes for granted where it adds styles and notes, and that an exporter need not
// write. It returns what takes away again the name that the first font was lent.
func complete(f *excelize.File) (restore func()) {
	usual, has := excelize.NewFile(), f.Styles
	defer usual.Close()
	if has.Fonts == nil || len(has.Fonts.Font) == 0 {
		has.Fonts = usual.Styles.Fonts
	}
	if has.Fills == nil {
		has.Fills = usual.Styles.Fills
	}
	if has.Borders == nil {
		has.Borders = usual.Styles.Borders
	}
	if has.CellXfs == nil {
		has.CellXfs = usual.Styles.CellXfs
	}
	first := has.Fonts.Font[0]
	name := first.Name
	if name == nil || name.Val == nil {
		first.Name = usual.Styles.Fonts.Font[0].Name
	}
	return func() { first.Name = name }
}
