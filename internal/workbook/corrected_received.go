package workbook

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"

	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A received knows the cells of the record and where each stands in the
// workbook that is handed out.
type received struct {
	pages  []table.Page // the files that are not the original workbook, as text
	keys   []diag.Pos   // the sheets that the pages show, in their order
	names  map[diag.Pos]string
	sheets map[diag.Pos]*table.Sheet // of the original workbook, whose numbers formulas can refer to
}

// receive lists the sheets of the files. The original is known by its digest:
// a record can hold a second workbook.
func receive(files []*table.File, original []byte) *received {
	r := &received{names: map[diag.Pos]string{}, sheets: map[diag.Pos]*table.Sheet{}}
	sum := sha256.Sum256(original)
	digest := hex.EncodeToString(sum[:])
	for _, f := range files {
		if original != nil && f.SHA256 == digest {
			for i := range f.Sheets {
				key := sheetOf(f, &f.Sheets[i])
				r.sheets[key], r.names[key] = &f.Sheets[i], f.Sheets[i].Name
			}
			continue
		}
		for i, p := range table.Received(f) {
			r.pages = append(r.pages, p)
			r.keys = append(r.keys, sheetOf(f, &f.Sheets[i]))
		}
	}
	return r
}

// sheetOf is the place that the cells of a sheet have in common: in a CSV
// file they name no sheet.
func sheetOf(f *table.File, s *table.Sheet) diag.Pos {
	for _, row := range s.Rows {
		for _, c := range row.Cells() {
			return sheetPos(c.Pos)
		}
	}
	return diag.In(f.Name, s.Name)
}

func sheetPos(p diag.Pos) diag.Pos { return p.At(0, 0) }

// rename gives the pages the first of the names, and says how many there are.
func (r *received) rename(names []string) int {
	for i := range r.pages {
		r.pages[i].Name = names[i]
		r.names[r.keys[i]] = names[i]
	}
	return len(r.pages)
}

// page is the sheet of the workbook that shows a place.
func (r *received) page(p diag.Pos) (string, bool) {
	name, ok := r.names[sheetPos(p)]
	return name, ok
}

// number is a number of the record as an entry. It is taken live from its
// cell where that holds it as a number, be it in another unit; else it is
// typed as it was read, and typed is true.
func (r *received) number(p diag.Pos, d unit.Decimal) (e table.Entry, typed bool) {
	v, format := d.Float(), decimals(d)
	if ref, ok := r.follow(p, d); ok {
		return table.Computed(ref, v, format), false
	}
	return table.Num(v, format).As(table.Input), true
}

// follow is the formula that gives d from the cell at p. Formulas of the
// received sheet are not followed: what was written is what they showed, and
// computed again, by another program or in another language, they may show
// something else.
func (r *received) follow(p diag.Pos, d unit.Decimal) (formula string, ok bool) {
	sheet := r.sheets[sheetPos(p)]
	if sheet == nil || p.Row() < 1 || p.Row() > len(sheet.Rows) {
		return "", false
	}
	c := sheet.Rows[p.Row()-1].Cell(p.Col())
	raw, err := unit.ParseDecimal(c.Raw, unit.PointSign)
	if c.Kind != table.Number || c.Formula() != "" || err != nil {
		return "", false
	}
	if !c.FillOf().IsZero() {
		p = c.FillOf()
	}
	ref := table.SheetRef(sheet.Name, p.Row(), p.Col())
	for _, n := range []int{0, 1, 2, 3, 4, -1, -2, -3} { // µg/cm², cm², mS/cm, S/m; µS/m, µl
		switch {
		case !equal(raw.Shift(n), d):
		case n > 0:
			return fmt.Sprintf("%s*%v", ref, unit.Int(1).Shift(n)), true
		case n < 0:
			return fmt.Sprintf("%s/%v", ref, unit.Int(1).Shift(-n)), true
		default:
			return ref, true
		}
	}
	return "", false
}

// equal reports whether two numbers are equal but for what is left of a
// binary fraction behind the digits that a spreadsheet shows.
func equal(a, b unit.Decimal) bool {
	x, y := a.Float(), b.Float()
	return math.Abs(x-y) <= 1e-14*math.Abs(y)
}
