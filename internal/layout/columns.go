package layout

import (
	"cmp"
	"slices"

	"saltline/internal/doc"
)

// A column is a column of a table with its place and width, found from what
// stands in it.
type column struct {
	doc.Column
	x, w     float64
	least    float64 // width below which something in it must be broken that should not
	natural  float64 // width at which no cell is broken
	head     float64 // width at which the head is not broken
	fraction float64 // widest part from the decimal sign on
	whole    float64 // widest part before the decimal sign
}

// columns finds the widths of the columns of t, in the largest type in which
// no number and no word has to be broken, or else in the smallest.
func (b *builder) columns(t doc.Table, width float64) ([]column, Type) {
	sizes := b.style.Table.Sizes
	for i, size := range sizes {
		cs := b.measured(t, size, width)
		least := b.style.Table.Gap * float64(len(cs)-1)
		for _, c := range cs {
			least += c.least
		}
		if least <= width+slack || i == len(sizes)-1 {
			b.share(cs, width)
			return cs, size
		}
	}
	panic("layout: style without table sizes")
}

// measured finds what each column needs and would like.
func (b *builder) measured(t doc.Table, size Type, width float64) []column {
	cs := make([]column, len(t.Columns))
	head, unit := b.headTypes(size)
	for i, c := range t.Columns {
		cs[i] = column{Column: c}
		cs[i].least = max(b.wordWidth(doc.Plain(c.Head), head), b.naturalWidth(doc.Plain(c.Unit), unit))
		cs[i].natural = cs[i].least
		cs[i].head = b.naturalWidth(doc.Plain(c.Head), head)
	}
	most := b.style.Table.NumberMax * width
	for _, r := range t.Rows {
		if r.Group {
			continue
		}
		rt := rowType(size, r)
		for i, cell := range r.Cells {
			c := &cs[i]
			w := b.naturalWidth(cell, rt)
			switch c.Align {
			case doc.AlignRight:
				c.least = max(c.least, min(w, most))
			case doc.AlignDecimal:
				before, after := b.aboutSign(cell, rt)
				c.whole, c.fraction = max(c.whole, before), max(c.fraction, after)
				w = c.whole + c.fraction
				c.least = max(c.least, min(w, most))
			default:
				// The widest word is sought only in cells that might hold it.
				if w > c.least {
					c.least = max(c.least, b.wordWidth(cell, rt))
				}
			}
			c.natural = max(c.natural, w)
		}
	}
	return cs
}

// aboutSign is the width of a number before its decimal sign and from it on.
func (b *builder) aboutSign(cell doc.Text, t Type) (before, after float64) {
	total := b.naturalWidth(cell, t)
	if len(cell) == 0 {
		return 0, 0
	}
	r := cell[len(cell)-1]
	rt := b.looked(t, r.Look)
	s := b.shown(rt, r.S)
	after = b.width(rt, s[doc.IntegerLen(s):])
	return total - after, after
}

// share gives each column its width: first its least, then what keeps its
// cells unbroken, then what keeps its head on one line, as far as the room
// goes. What is left goes between the columns, evenly, up to a bound.
func (b *builder) share(cs []column, width float64) {
	st := b.style.Table
	rest := width - st.Gap*float64(len(cs)-1)
	room := rest
	for i := range cs {
		cs[i].w = cs[i].least
		rest -= cs[i].least
	}
	gap := st.Gap
	if rest < 0 {
		for i := range cs {
			cs[i].w *= room / (room - rest)
		}
	} else {
		rest = dealOut(cs, rest, func(c column) float64 { return c.natural })
		rest = dealOut(cs, rest, func(c column) float64 { return c.head })
		gap += min(rest/float64(max(len(cs)-1, 1)), st.Extra)
	}
	x := 0.0
	for i := range cs {
		cs[i].x = x
		x += cs[i].w + gap
	}
}

// dealOut widens columns towards the width each wishes for, by rest in all, and
// returns what nobody wished for. The most modest wish comes first and none
// gets more than its share of what is left, so that a short text is not broken
// to make room for a long one.
func dealOut(cs []column, rest float64, wish func(column) float64) float64 {
	order := make([]*column, len(cs))
	for i := range cs {
		order[i] = &cs[i]
	}
	slices.SortStableFunc(order, func(a, b *column) int {
		return cmp.Compare(wish(*a)-a.w, wish(*b)-b.w)
	})
	for i, c := range order {
		more := min(wish(*c)-c.w, rest/float64(len(order)-i))
		if more > 0 {
			c.w += more
			rest -= more
		}
	}
	return rest
}

// headTypes are the settings of the head and the unit over cells of size.
func (b *builder) headTypes(size Type) (head, unit Type) {
	head, unit = b.style.Table.Head, b.style.Table.Unit
	k := size.Size / b.style.Table.Sizes[0].Size
	for _, t := range []*Type{&head, &unit} {
		t.Size *= k
		t.Leading *= k
	}
	return head, unit
}

// rowType is the setting of the cells of r.
func rowType(size Type, r doc.Row) Type {
	if r.Emphasis || r.Group {
		size.Face = size.Face.Bold()
	}
	return size
}

// offset is where a line of the given width stands within c.
func (c column) offset(l line) float64 {
	switch c.Align {
	case doc.AlignRight, doc.AlignDecimal:
		return max(c.w-l.w, 0)
	case doc.AlignCentre:
		return max((c.w-l.w)/2, 0)
	}
	return 0
}
