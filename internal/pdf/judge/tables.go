package judge

import (
	"slices"

	"saltline/internal/objects"
)

var tableRules = []*Rule{
	{
		Name: "regular-tables", Clause: "ISO 14289-1, 7.5",
		Says: "The rows of a table have the same number of columns, with what their cells span, and no cell reaches into another.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				if e.kind == "Table" {
					s.regular(e, &f)
				}
			})
			return f
		},
	}, {
		Name: "heads-of-tables", Clause: "ISO 14289-1, 7.5",
		Says: "Every table has head cells, each of which says whether it heads a column or a row.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				switch e.kind {
				case "Table":
					f.unless(slices.ContainsFunc(rowsOf(e), func(r *element) bool {
						return slices.ContainsFunc(r.elements(), func(c *element) bool { return c.kind == "TH" })
					}), "%s has no head cell", e)
				case "TH":
					scope := s.Name(s.attribute(e, "Table", "Scope"))
					f.unless(slices.Contains([]objects.Name{"Row", "Column", "Both"}, scope), "%s: scope %q", e, scope)
				}
			})
			return f
		},
	}, {
		Name: "lists", Clause: "ISO 14289-1, 7.6",
		Says: "An item of a list has a body; a list whose items have labels says how they are numbered.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				has := func(kind objects.Name) bool {
					return slices.ContainsFunc(e.elements(), func(k *element) bool { return k.kind == kind })
				}
				switch e.kind {
				case "LI":
					f.unless(has("LBody"), "%s has no body", e)
					if has("Lbl") {
						numbering := s.Name(s.attribute(e.parent, "List", "ListNumbering"))
						f.unless(numbering != "" && numbering != "None", "%s: numbering %q", e.parent, numbering)
					}
				case "L":
					f.unless(has("LI"), "%s has no item", e)
				}
			})
			return f
		},
	},
}

// rowsOf are the rows of a table.
func rowsOf(table *element) []*element {
	var out []*element
	for _, e := range table.elements() {
		if e.kind == "TR" {
			out = append(out, e)
		} else {
			out = append(out, rowsOf(e)...)
		}
	}
	return out
}

// regular lays the cells of a table on a grid.
func (s *subject) regular(table *element, f *finding) {
	rows := rowsOf(table)
	taken := make([]map[int]bool, len(rows))
	for i := range taken {
		taken[i] = map[int]bool{}
	}
	for i, row := range rows {
		at := 0
		for _, cell := range row.elements() {
			wide, high := s.span(cell, "ColSpan"), s.span(cell, "RowSpan")
			f.unless(wide > 0 && high > 0 && wide < 1000 && i+high <= len(rows), "%s spans %d × %d", cell, wide, high)
			for taken[i][at] {
				at++
			}
			for y := i; y < min(i+high, len(rows)); y++ {
				for x := at; x < at+min(wide, 1000); x++ {
					f.unless(!taken[y][x], "%s lies over another", cell)
					taken[y][x] = true
				}
			}
			at += wide
		}
		f.unless(len(taken[i]) == len(taken[0]), "%s has %d columns, and the first row of its table %d", row, len(taken[i]), len(taken[0]))
	}
}

func (s *subject) span(cell *element, key objects.Name) int {
	v := s.attribute(cell, "Table", key)
	if v == nil {
		return 1
	}
	n, _ := s.Int(v)
	return n
}
