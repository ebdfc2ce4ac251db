package heading

import (
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// An entry is one heading, of one to three cells above one another, on its way
// to becoming a Column.
type entry struct {
	col   int // from 1
	pos   diag.Pos
	text  string // the cells joined by a space
	fold  string // of text
	name  string // text without a unit
	own   string // the name in the lowest cell
	unit  string
	class string // the quantity of unit

	names []string // without units, from the top
	keys  []key    // what to look up, the best first
	cands []meaning
	ev    evidence

	column string // what it was settled for; "" while it is not
	kind   kind
	doubt  doubt
	spread bool // unit comes from a cell further left that may or may not span this column
	mapped bool // by the user
	asked  bool // a question stands; it stays unsettled
}

// entries reads the headings in rows, which stand below one another, and the
// units in the row below them; that one may be nil.
func entries(rows []table.Row, units *table.Row) []*entry {
	width := 0
	for _, r := range rows {
		width = max(width, r.Len())
	}
	var es []*entry
	for col := 1; col <= width; col++ {
		e := &entry{col: col}
		var texts []string
		for i, r := range rows {
			c, ok := headingCell(r, col, rows[i+1:])
			if !ok || len(texts) > 0 && c.FillOf() != (diag.Pos{}) && c.FillOf().Col() == col {
				continue // nothing here, or the lower part of a cell merged downwards
			}
			l := takeApart(c.Text)
			if l.class != "" {
				e.unit, e.class = l.unit, l.class
				e.spread = c.Pos.Col() != col && c.FillOf().IsZero()
			}
			texts = append(texts, oneLine(c.Text))
			if l.name != "" {
				e.names = append(e.names, l.name)
				e.own = l.name
			}
			e.pos = c.Pos
			if !c.FillOf().IsZero() {
				e.pos = c.FillOf()
			}
			e.pos = e.pos.At(e.pos.Row(), col)
		}
		if len(texts) > 0 {
			e.measure(units)
			e.lookUp()
			e.text = strings.Join(texts, " ")
			e.fold = fold(e.text)
			e.name = takeApart(e.text).name
			es = append(es, e)
		}
	}
	return es
}

// measure takes the unit of e from the unit row.
func (e *entry) measure(units *table.Row) {
	if units == nil {
		return
	}
	c, ok := cellAt(*units, e.col)
	if !ok {
		return
	}
	if u, class := bareUnit(strings.Trim(c.Text, "()[] ")); class != "" && class != "none" {
		e.unit, e.class, e.spread = u, class, false
	}
}

// headingCell is the heading in column col of r. A cell that spans the columns
// to its right without being merged, as in a CSV file, stands over those of
// them that have a name below and none here.
func headingCell(r table.Row, col int, below []table.Row) (table.Cell, bool) {
	if c, ok := cellAt(r, col); ok {
		return c, true
	}
	if len(below) == 0 {
		return table.Cell{}, false
	}
	if _, ok := cellAt(below[0], col); !ok {
		return table.Cell{}, false
	}
	for left := col - 1; left >= 1; left-- {
		if _, ok := cellAt(below[0], left); !ok {
			return table.Cell{}, false
		}
		if c, ok := cellAt(r, left); ok {
			return c, true
		}
	}
	return table.Cell{}, false
}

// cellAt is the cell of r in column col if it shows anything.
func cellAt(r table.Row, col int) (table.Cell, bool) {
	c := r.Cell(col)
	return c, shows(&c)
}

// shows reports whether there is something to be seen in c.
func shows(c *table.Cell) bool { return c.Kind != table.Empty && strings.TrimSpace(c.Text) != "" }

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// A key is a wording to look up, in both forms in which it may be known.
type key struct{ fold, bag string }

// lookUp prepares the wordings of e: all its names joined, then fewer of the
// upper ones, then the upper ones without the lowest.
func (e *entry) lookUp() {
	n := len(e.names)
	add := func(names []string) {
		f := fold(strings.Join(names, " "))
		e.keys = append(e.keys, key{f, bag(f)})
	}
	for i := range n {
		add(e.names[i:])
	}
	if n > 1 {
		add(e.names[:n-1])
	}
	if bare := brackets().ReplaceAllString(strings.Join(e.names, " "), " "); n > 0 && bare != strings.Join(e.names, " ") {
		add([]string{bare}) // "stops (from – to)"
	}
}

// mean finds what e may mean in the vocabulary v.
func (e *entry) mean(v *vocabulary) []meaning {
	var unlike []meaning // what a name means that the unit speaks against
	for _, k := range e.keys {
		ms := v.of(k)
		if e.class == "" || slices.ContainsFunc(ms, func(m meaning) bool { return m.doubt == certain || m.kind.takes(e.class) }) {
			if ms != nil {
				return ms
			}
		} else if unlike == nil {
			unlike = ms
		}
	}
	if unlike != nil {
		return unlike
	}
	for _, k := range e.keys {
		if m := v.without(k.fold, "cond", conductivity); m != nil {
			return m
		}
		if m := v.without(k.fold, "temp", temperature); m != nil {
			return m
		}
	}
	name := strings.Join(e.names, " ")
	if unitClass(name) == "density" {
		return v.means("mg/m2") // whichever way the unit is spelled
	}
	if ms := v.either(name); len(ms) > 0 {
		return ms
	}
	return v.numbered(name)
}

// numbered finds what a heading means that asks for the number of a thing, such
// as "Tank no." or "Meter s/n".
func (v *vocabulary) numbered(heading string) []meaning {
	for _, tail := range []string{" no", " s n", " sn", " id"} {
		if thing, ok := strings.CutSuffix(fold(heading), tail); ok {
			return slices.DeleteFunc(slices.Clone(v.means(thing)), func(m meaning) bool {
				return m.kind != text && m.kind != identity && m.kind != name
			})
		}
	}
	return nil
}

// either finds what a heading of alternatives means, such as "Frame / location":
// the columns that every one of them may stand for.
func (v *vocabulary) either(heading string) []meaning {
	parts := strings.FieldsFunc(heading, func(r rune) bool { return r == '/' || r == '&' || r == ',' || r == '+' })
	if len(parts) < 2 {
		return nil
	}
	if slices.Contains(v.columns, "recorded verdict") && !slices.ContainsFunc(parts, func(s string) bool { return !words().is(s, "verdict") }) {
		return []meaning{{"recorded verdict", verdict, certain}} // "i.O. / n.i.O."
	}
	ms := slices.Clone(v.means(parts[0]))
	for _, part := range parts[1:] {
		other := v.means(part)
		ms = slices.DeleteFunc(ms, func(m meaning) bool {
			return !slices.ContainsFunc(other, func(o meaning) bool { return o.column == m.column })
		})
		for i, m := range ms {
			for _, o := range other {
				if o.column == m.column {
					ms[i].doubt = min(m.doubt, o.doubt)
				}
			}
		}
	}
	return ms
}

// as makes e a Column. While a question stands it is none of ours.
func (e *entry) as() Column {
	c := Column{Pos: e.pos, Name: e.column, Text: e.text, Unit: e.unit, own: e.own}
	if e.asked {
		c.Name = ""
	}
	return c
}
