package heading

import (
	"cmp"
	"slices"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// keepBlanks leaves the blank of a title to those blocks only whose rows have
// none of their own and belong to one day.
func (l *layout) keepBlanks() {
	for i := range l.out {
		b := &l.out[i]
		k := slices.IndexFunc(b.Facts, func(f Fact) bool { return f.Key == "blank" })
		if k < 0 {
			continue
		}
		f := b.Facts[k]
		own := slices.ContainsFunc(b.Columns, func(c Column) bool { return c.Name == "blank" || c.Name == "difference" })
		if !own && !l.otherDay(b, f) {
			continue
		}
		b.Facts = slices.DeleteFunc(slices.Clone(b.Facts), func(f Fact) bool { return f.Key == "blank" })
		if !own {
			l.ds = append(l.ds, diag.Diagnostic{
				Pos: f.Pos, Level: diag.Problem, Check: "title-unclear",
				Msg:  "found one blank in a title row and tests of several days below it, but wanted the blank of each day",
				Hint: "write the blank of each test in a column of its own",
			})
		}
	}
}

// otherDay reports whether a block has tests of another day than the blank f of
// a title: of several days, or of one that a later title names.
func (l *layout) otherDay(b *Block, f Fact) bool {
	for _, d := range b.Facts {
		if d.Key == "date" && d.Pos.Row() > 0 && f.Pos.Row() > 0 && !slices.Contains(l.first, d) && slices.Contains(l.first, f) {
			return true
		}
	}
	day := ""
	for _, c := range b.Columns {
		if c.Name != "date" {
			continue
		}
		for _, row := range b.Rows {
			cell := row.Cell(c.Pos.Col())
			if !isDate(cell) {
				continue
			}
			text := cmp.Or(wholeDate().FindString(cell.Text), cell.Text) // without its time
			if day != "" && text != day {
				return true
			}
			day = text
		}
	}
	return false
}

// saysBlank reports whether title rows give the blank of the tests below them.
func (l *layout) saysBlank(titles []table.Row) bool {
	for _, r := range titles {
		own := ownCells(r)
		for i, c := range own {
			for _, part := range segments(c.Text) {
				if slices.ContainsFunc(l.said(own, i, part), func(f Fact) bool { return f.Key == "blank" }) {
					return true
				}
			}
		}
	}
	return false
}

// onlyExtract settles a heading that may be the blank or the extract, where it
// is the only conductivity below a title that gives the blank.
func onlyExtract(es []*entry) {
	var one *entry
	for _, e := range es {
		if !slices.ContainsFunc(e.cands, func(m meaning) bool { return m.kind == conductivity }) {
			continue
		}
		if one != nil {
			return
		}
		one = e
	}
	if one == nil || one.mapped {
		return
	}
	for _, m := range one.cands {
		if m.column == "extract" {
			m.doubt = certain
			one.cands = []meaning{m}
			return
		}
	}
}
