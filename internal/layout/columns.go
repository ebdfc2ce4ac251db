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
	least    float64 // width that it has before any other has more: see measured
	natural  float64 // width at which no cell is broken
	beyond   float64 // how much its cells hold beyond its least, all together
	head     float64 // width at which the head is not broken
	fraction float64 // widest part from the decimal sign on
	whole    float64 // widest part before the decimal sign
}

// columns finds the widths of the columns of t, in the largest type in which
// each has its least, or else in the smallest.
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

// measured finds what each column needs and would like. It needs its numbers
// whole, and its words, but a word beyond measure has no claim on the room of
// other columns; and it needs not to be a strip of one word a line.
func (b *builder) measured(t doc.Table, size Type, width float64) []column {
	cs := make([]column, len(t.Columns))
	head, unit := b.headTypes(size)
	for i, c := range t.Columns {
		cs[i] = column{Column: c}
		cs[i].least = max(b.wordWidth(doc.Plain(c.Head), head), b.naturalWidth(doc.Plain(c.Unit), unit))
		cs[i].natural = cs[i].least
		cs[i].head = b.naturalWidth(doc.Plain(c.Head), head)
	}
	var widths []float64 // of the cells, row by row
	most := b.style.Table.NumberMax * width
	mostWord := b.style.Table.WordMax * width
	strip := b.style.Table.Strip * width
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
				c.least = max(c.least, min(w, strip))
				// The widest word is sought only in cells that might hold it.
				if min(w, mostWord) > c.least {
					c.least = max(c.least, min(b.wordWidth(cell, rt), mostWord))
				}
			}
			c.natural = max(c.natural, w)
			widths = append(widths, w)
		}
	}
	for i := range widths {
		c := &cs[i%len(cs)]
		c.beyond += max(0, widths[i]-c.least)
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
// goes. What is left goes between the columns, up to a bound, and then to the
// columns of words, for a number is read with its neighbours.
func (b *builder) share(cs []column, width float64) {
	gap := b.style.Table.Gap
	gaps := float64(len(cs) - 1)
	rest := max(width-gap*gaps, 0)
	alike := func(column) float64 { return 1 }
	rest = dealOut(cs, rest, func(c column) float64 { return c.least }, alike)
	rest = dealOut(cs, rest, func(c column) float64 { return c.natural }, func(c column) float64 { return c.beyond })
	rest = dealOut(cs, rest, func(c column) float64 { return c.head }, alike)
	if gaps > 0 {
		more := min(rest/gaps, b.style.Table.Extra)
		gap += more
		rest -= more * gaps
	}
	widenWords(cs, rest)
	x := 0.0
	for i := range cs {
		cs[i].x = x
		x += cs[i].w + gap
	}
}

// widenWords shares rest among the columns of words, in proportion to what
// they hold.
func widenWords(cs []column, rest float64) {
	all := 0.0
	for _, c := range cs {
		if c.Align == doc.AlignLeft {
			all += c.w
		}
	}
	for i := range cs {
		if cs[i].Align == doc.AlignLeft && all > 0 {
			cs[i].w += rest * cs[i].w / all
		}
	}
}

// dealOut widens columns towards the width each wishes for, by rest in all, and
// returns what nobody wished for. The most modest wish comes first and none
// gets more than its share of what is left, so that a short text is not broken
// to make room for a long one. Columns whose wishes cannot all be granted share
// by weight: one with a single long cell leaves room to one that has many.
func dealOut(cs []column, rest float64, wish, weight func(column) float64) float64 {
	var order []*column
	for i := range cs {
		if wish(cs[i]) > cs[i].w {
			order = append(order, &cs[i])
		}
	}
	slices.SortStableFunc(order, func(a, b *column) int {
		return cmp.Compare(wish(*a)-a.w, wish(*b)-b.w)
	})
	for len(order) > 0 && wish(*order[0])-order[0].w <= rest/float64(len(order)) {
		rest -= wish(*order[0]) - order[0].w
		order[0].w = wish(*order[0])
		order = order[1:]
	}
	all := 0.0
	for _, c := range order {
		all += weight(*c)
	}
	slices.SortStableFunc(order, func(a, b *column) int {
		return cmp.Compare((wish(*a)-a.w)*weight(*b), (wish(*b)-b.w)*weight(*a))
	})
	for _, c := range order {
		if all <= 0 {
			break // none of them holds more than it has to
		}
		more := max(0, min(wish(*c)-c.w, rest*weight(*c)/all))
		c.w += more
		rest -= more
		all -= weight(*c)
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
