package heading

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// Find finds the tables in a sheet. The hint names the table that the sheet is
// known to hold, "" or a name that is not ours where that is not known. What
// cannot be settled comes back as a question.
//
// Every row of the sheet that is not blank is in one of the blocks, as a record
// or as skipped. A sheet that holds no table gives one block with no Table.
// Tables that stand side by side share their rows: each block has the cells of
// its own columns, and a row may be a record of several.
func Find(s *table.Sheet, hint string, m Mapping) ([]Block, []diag.Diagnostic) {
	if Columns(hint) == nil {
		hint = ""
	}
	f := &finder{sheet: s, hint: hint, mapping: m}
	heads := f.heads()
	switch {
	case len(heads) > 0:
		l := &layout{sheet: s}
		for _, h := range heads {
			if d, ok := wide(s.Rows[h.first:h.last+1], m); ok {
				blocks, _ := l.blocks(heads)
				return blocks, []diag.Diagnostic{d} // what the columns mean is no question before that
			}
			if d, ok := unused(s.Rows[h.first:h.last+1], m); ok && len(l.ds) == 0 {
				l.ds = append(l.ds, d)
			}
		}
		return l.blocks(heads)
	case hint == "job":
		// A name such as "Project" may stand over the readings themselves.
		blocks, ds := Find(s, "", m)
		if slices.ContainsFunc(blocks, func(b Block) bool { return b.Table == "readings" }) {
			return blocks, ds
		}
		return keysAndValues(s)
	case hint != "":
		return Find(s, "", m) // the name of a sheet may say less than its headings
	}
	return noTable(s, m)
}

// A layout cuts a sheet with heads into blocks.
type layout struct {
	sheet   *table.Sheet
	settled []*head // one of each wording
	first   []Fact  // of the title rows above the first head; they hold for the whole sheet
	out     []Block
	ds      []diag.Diagnostic
}

// A stretch is a head with the rows around it: its titles above, its body
// below, down to the titles of the next.
type stretch struct {
	*head
	titles, heading, body []table.Row
}

func (l *layout) blocks(heads []*head) ([]Block, []diag.Diagnostic) {
	ss := l.stretches(heads)
	l.settleAll(ss)
	for i := range ss[1:] {
		ss[i].body, ss[i+1].titles = cutTitles(ss[i])
	}
	var open *stretch // whose last block goes on if its heading is only repeated
	for i, s := range ss {
		says := l.titleFacts(s)
		if i == 0 {
			l.first = says
		}
		if open != nil && sameWording(open.head, s.head) && len(says) == 0 && len(s.groups()) == 1 {
			b := &l.out[len(l.out)-1]
			b.skip(s.titles, isTitle)
			b.skip(s.heading, isRepeated)
			l.fill(s.entries, s.body, 1, 0)
			continue
		}
		for k, es := range s.groups() {
			l.open(s, k, es, says)
		}
		open = s
	}
	l.keepBlanks()
	l.nameFacts()
	l.tellAreasApart()
	return l.out, l.ds
}

// stretches cuts the rows at the heads; the titles below the first are still
// at the end of the body before them.
func (l *layout) stretches(heads []*head) []*stretch {
	rows := l.sheet.Rows
	var ss []*stretch
	for i, h := range heads {
		end := len(rows)
		if i+1 < len(heads) {
			end = heads[i+1].first
		}
		ss = append(ss, &stretch{head: h, heading: rows[h.first : h.last+1], body: rows[h.last+1 : end]})
	}
	ss[0].titles = rows[:heads[0].first]
	return ss
}

// settleAll settles each wording of a head once, with the values of all the
// blocks under it, so that stacked areas are asked about once.
func (l *layout) settleAll(ss []*stretch) {
	var titles []string
	for _, r := range ss[0].titles {
		titles = append(titles, joined(ownCells(r)))
	}
	for i, s := range ss {
		if k := slices.IndexFunc(ss[:i], func(o *stretch) bool { return sameWording(o.head, s.head) }); k >= 0 {
			for j, e := range s.entries {
				e.follow(ss[k].entries[j])
			}
			continue
		}
		body := s.body
		for _, o := range ss[i+1:] {
			if sameWording(o.head, s.head) {
				body = slices.Concat(body, o.body)
			}
		}
		groups := s.groups()
		if s.table == "readings" && l.saysBlank(ss[0].titles) {
			onlyExtract(groups[0])
		}
		l.ds = append(l.ds, settle(s.table, groups[0], body, titles)...)
		for _, g := range groups[1:] {
			for j, e := range g {
				e.follow(groups[0][j])
			}
		}
	}
}

// sameWording reports whether two heads read alike, column by column.
func sameWording(a, b *head) bool {
	return a.table == b.table && slices.EqualFunc(a.entries, b.entries, func(x, y *entry) bool {
		return x.col == y.col && x.fold == y.fold && x.class == y.class
	})
}

// cutTitles parts the titles of the next block from the end of the body of s.
func cutTitles(s *stretch) (body, titles []table.Row) {
	k := len(s.body)
	sort := newSorter(s.table, s.entries)
	for i := len(s.body) - 1; i >= 0; i-- {
		row := s.body[i]
		if row.Blank() {
			continue
		}
		own := ownCells(row)
		if len(own) == 0 || sort.tells(row) {
			break
		}
		switch sort.reason(row, false) {
		case "":
			if 2*len(own) >= len(sort.cols) {
				return s.body[:k], s.body[k:] // as full as a record
			}
		case isNote, isPage:
		default:
			return s.body[:k], s.body[k:]
		}
		k = i
	}
	return s.body[:k], s.body[k:]
}

// open begins the block of the k-th group of headings of s and fills it.
func (l *layout) open(s *stretch, k int, es []*entry, says []Fact) {
	b := Block{Table: s.table}
	for _, e := range es {
		b.Columns = append(b.Columns, e.as())
	}
	groups := s.groups()
	if len(groups) > 1 {
		// The title of an area stands above its own table.
		low, high := span(groups, k)
		says = slices.DeleteFunc(slices.Clone(says), func(f Fact) bool {
			return f.Key == "area" && (f.Pos.Col() < low || f.Pos.Col() >= high)
		})
	}
	b.Facts = inherit(says, l.first)
	if k == 0 {
		b.skip(s.titles, isTitle)
		b.skip(s.heading, isHeading)
	}
	l.out = append(l.out, b)
	l.fill(es, s.body, len(groups), k, groups...)
}

// inherit adds to own those facts of the sheet that own does not speak of.
func inherit(own, sheet []Fact) []Fact {
	all := slices.Clone(own)
	for _, f := range sheet {
		if !slices.ContainsFunc(own, func(o Fact) bool { return o.Key == f.Key }) {
			all = append(all, f)
		}
	}
	return all
}

// fill sorts the rows of body into the last block. The title of an area among
// them opens another block under the same heading.
func (l *layout) fill(es []*entry, body []table.Row, of, k int, groups ...[]*entry) {
	b := &l.out[len(l.out)-1]
	sort := newSorter(b.Table, es)
	sort.above = b.Rows
	if of > 1 {
		low, high := span(groups, k)
		body = table.Within(body, low, high)
	}
	records := ask(body, sort.record)
	for i, row := range body {
		if records[i] {
			b.Rows = join(b.Rows, body, i)
			sort.above = b.Rows
			continue
		}
		if row.Blank() {
			continue
		}
		tells := sort.tells(row)
		if b.Table == "readings" && !tells {
			if area, ok := areaOfRow(row); ok {
				if len(b.Rows) == 0 && !b.spoken("area") {
					b.Facts = inherit([]Fact{area}, b.Facts)
					b.skip([]table.Row{row}, isTitle)
					continue
				}
				next := Block{Table: b.Table, Columns: b.Columns, Facts: inherit([]Fact{area}, b.Facts)}
				next.skip([]table.Row{row}, isTitle)
				l.out = append(l.out, next)
				b = &l.out[len(l.out)-1]
				sort.above = nil
				continue
			}
		}
		reason := sort.reason(row, tells)
		if reason == "" {
			b.Rows = join(b.Rows, body, i)
			sort.above = b.Rows
			continue
		}
		b.Skipped = append(b.Skipped, Skip{row, reason})
		if reason == isLimit || reason == isNote || reason == isLegend {
			says := l.freeFacts([]table.Row{row})
			if reason == isLimit && len(says) == 0 {
				says = limitBelow(es, row)
			}
			b.Facts = append(b.Facts, says...)
		}
	}
}

// join adds row i of body to the records above it. As long as these are the
// rows of body right above, all of them are a part of body and need no copy.
func join(records, body []table.Row, i int) []table.Row {
	n := len(records)
	switch {
	case n == 0:
		return body[i : i+1 : i+1]
	case n <= i && &records[0] == &body[i-n]:
		return body[i-n : i+1 : i+1]
	}
	return append(records, body[i])
}

// skip skips those of rows that are not blank.
func (b *Block) skip(rows []table.Row, reason string) {
	for _, r := range rows {
		switch {
		case r.Blank():
		case reason == isTitle && isPageNumber(ownCells(r)):
			b.Skipped = append(b.Skipped, Skip{r, isPage})
		default:
			b.Skipped = append(b.Skipped, Skip{r, reason})
		}
	}
}

// noTable accounts for the rows of a sheet in which no heading was found.
func noTable(s *table.Sheet, m Mapping) ([]Block, []diag.Diagnostic) {
	var b Block
	reason := isNoTable
	var ds []diag.Diagnostic
	if d, ok := wide(s.Rows, m); ok {
		reason = isWide
		ds = append(ds, d)
	}
	b.skip(s.Rows, reason)
	if len(b.Skipped) == 0 {
		return nil, nil
	}
	return []Block{b}, ds
}

// keysAndValues reads a job sheet without a heading: every row is a key, its
// value and a remark.
func keysAndValues(s *table.Sheet) ([]Block, []diag.Diagnostic) {
	b := Block{Table: "job"}
	for _, r := range s.Rows {
		if r.Blank() {
			continue
		}
		if own := ownCells(r); len(own) == 1 && own[0].Pos.Col() == 1 && len(b.Rows) == 0 {
			b.Skipped = append(b.Skipped, Skip{r, isTitle})
			continue
		}
		b.Rows = append(b.Rows, r)
	}
	if len(b.Rows)+len(b.Skipped) == 0 {
		return nil, nil
	}
	first := s.Rows[0].Number
	for i, name := range []string{"key", "value", "remark"} {
		pos := s.Rows[0].Cell(1).Pos.At(first, i+1)
		b.Columns = append(b.Columns, Column{Pos: pos, Name: name})
	}
	return []Block{b}, nil
}
