package table

import "unicode/utf8"

// Received are the sheets of a CSV file as pages: every cell as the text that
// was found, in the row of its number and in its column. The names are the
// nearest that the sheets of a workbook may have.
func Received(f *File) []Page {
	const narrowest, widest = 6, 44 // characters
	var pages []Page
	var taken []string
	for _, s := range f.Sheets {
		p := Page{Name: freeName(s.Name, taken)}
		taken = append(taken, p.Name)
		for _, row := range s.Rows {
			for len(p.Lines) < row.Number-1 {
				p.Lines = append(p.Lines, Line{})
			}
			var l Line
			for i, c := range row.Cells() {
				if i == len(p.Widths) {
					p.Widths = append(p.Widths, narrowest)
				}
				p.Widths[i] = min(max(p.Widths[i], float64(utf8.RuneCountInString(c.Text)+2)), widest)
				e := Entry{}
				if c.Kind != Empty {
					e = Words(asFound(c))
				}
				l.Cells = append(l.Cells, e)
			}
			p.Lines = append(p.Lines, l)
		}
		pages = append(pages, p)
	}
	return pages
}

// asFound is the text of a cell with the white space around it, unless it
// holds what a workbook cannot.
func asFound(c Cell) string {
	for _, r := range c.Raw {
		if r < ' ' && r != '\t' && r != '\n' || r == 0x7F || r == utf8.RuneError {
			return c.Text
		}
	}
	return c.Raw
}
