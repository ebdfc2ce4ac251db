package record

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/pattern"
	"saltline/internal/table"
)

// A claim is what one source says of one key of the job.
type claim struct {
	key  string
	head string // a unit that stands with the key
	cell table.Cell
	page *page // nil for the command line

	around string // the text that a limit stands in, where that says more than its cell
}

// An entry is one row of a job table.
type entry struct {
	key, head string
	name      table.Cell // that the key stands in
	cell      table.Cell
}

// entries reads the rows of a job table. A row whose value is empty says
// nothing.
func entries(block heading.Block) []entry {
	keyAt, valueAt := 1, 2
	for _, c := range block.Columns {
		switch c.Name {
		case "key":
			keyAt = c.Pos.Col()
		case "value":
			valueAt = c.Pos.Col()
		}
	}
	var all []entry
	for _, row := range block.Rows {
		name := row.Cell(keyAt)
		key, head := splitKey(name.Text)
		if key == "procedure" && fold(name.Text) != key && !known(procedure(row.Cell(valueAt).Text)) {
			key = fold(name.Text) // "Method | ISO 8502-6" names no procedure
		}
		if c := row.Cell(valueAt); c.Kind != table.Empty && c.FillOf().IsZero() {
			all = append(all, entry{key, head, name, c})
		}
	}
	return all
}

// shareJobFacts gives the readings what a cover sheet says of all of them and
// the job table has no key for: the meter, the inspector, the date.
func (b *binder) shareJobFacts() {
	for from, job := range b.blocks("job") {
		for _, e := range entries(job) {
			key, _ := heading.Key(e.key)
			if isTerm(e.key) || !sharable(key) {
				continue
			}
			for _, p := range b.pages {
				if p.file != from.file {
					continue
				}
				for i := range p.blocks {
					block := &p.blocks[i]
					if block.Table != "readings" {
						continue
					}
					b.shared[e.cell.Pos] = true
					if !tells(block, key) {
						block.Facts = append(block.Facts, heading.Fact{Key: key, Text: e.cell.Text, Pos: e.cell.Pos})
					}
				}
			}
		}
	}
}

// tells reports whether a title row of a block gives key already.
func tells(block *heading.Block, key string) bool {
	return slices.ContainsFunc(block.Facts, func(f heading.Fact) bool { return f.Key == key })
}

// splitKey brings a key to ours, in whichever language it is written, and
// takes a unit in brackets off it: "Volume (ml)". A key that is not ours is
// folded.
func splitKey(text string) (key, head string) {
	name, rest, bracket := strings.Cut(strings.ReplaceAll(text, "[", "("), "(")
	if bracket {
		head = strings.TrimRight(rest, ")] :")
	}
	if key = fold(name); isTerm(key) {
		return key, head
	}
	if known, unit := heading.Key(text); isTerm(known) {
		return known, unit
	}
	return key, head
}

// termContent says what the value of a key is made of.
func termContent(key string) content {
	if base, _, ok := limitKey(key); ok {
		return limitTerms.holds(base)
	}
	return terms.holds(key)
}

// bindTerms settles what holds for the whole job. The first source that
// says something of a key is used: --set, then --job, then the job table,
// then the title rows of the readings. Another that disagrees is kept as a
// conflict.
func (b *binder) bindTerms() {
	for _, f := range b.opts.Set {
		if b.tellVerdict(f) {
			continue
		}
		key, head := splitKey(f.Key)
		text := cmp.Or(f.Value.Text, f.Value.Val)
		b.claim(claim{key: key, head: head, cell: table.Cell{Kind: table.Text, Text: text, Raw: text, Pos: f.Value.Pos}})
		if !isTerm(key) {
			b.list.Add(diag.Diagnostic{Level: diag.Failure, Check: "unknown-key",
				Msg:  fmt.Sprintf("found the key %q in --set, but wanted a key of the job table", f.Key),
				Hint: writeKey(key)})
		}
	}
	for p, block := range b.blocks("job") {
		for _, e := range entries(block) {
			b.claim(claim{key: e.key, head: e.head, cell: e.cell, page: p})
			b.heedRow(p, e)
		}
	}
	b.settled = make(map[string]bool, len(b.termsFrom))
	for key := range b.termsFrom {
		b.settled[key] = true
	}
	for _, c := range b.titleClaims() {
		b.claim(c)
	}
	b.shareLimitParts()
	b.noteInjected()
}

// noteInjected notes of a title that gives the water that was put in, and nothing
// that gives the volume in the formula, what is missing: only where the water is
// read as it comes back is it the same.
func (b *binder) noteInjected() {
	if b.settled["volume"] || b.settled["procedure"] {
		return
	}
	for _, block := range b.blocks("readings") {
		of := func(key string) int {
			return slices.IndexFunc(block.Facts, func(f heading.Fact) bool { return f.Key == key })
		}
		k := of("injected")
		if k < 0 || of("volume") >= 0 || of("procedure") >= 0 ||
			slices.ContainsFunc(block.Columns, func(c heading.Column) bool { return c.Name == "volume" }) {
			continue
		}
		f := block.Facts[k]
		b.problem(diag.Diagnostic{
			Pos: f.Pos, Level: diag.Note, Check: "title-unclear",
			Msg:  fmt.Sprintf("found %q put in, in a title row, but wanted to know whether that water was read or filled up to more", f.Text),
			Hint: fmt.Sprintf("if it was read as it came back, say so with --set %q; if not, give the volume that was read with --set %q", "procedure=direct", "volume=15 ml"),
		})
	}
}

// titleClaims are the facts of title rows that hold for the whole job. One
// that the readings have a column for, such as the volume, speaks for its
// own block; it holds for the job only where every block says the same. Beside
// a job table that says it too, each is heard, so that one that disagrees shows.
func (b *binder) titleClaims() []claim {
	type saying struct{ key, text string }
	said := map[saying]int{} // in how many blocks
	blocks := 0
	for _, block := range b.blocks("readings") {
		blocks++
		own := map[saying]bool{}
		for _, f := range block.Facts {
			own[saying{f.Key, fold(f.Text)}] = true
		}
		for s := range own {
			said[s]++
		}
	}
	var all []claim
	seen := map[saying]bool{}
	for p, block := range b.blocks("readings") {
		for _, f := range block.Facts {
			s := saying{f.Key, fold(f.Text)}
			// How the water was read is the procedure of the job, unless two
			// blocks say different things of it.
			ofRows := readings.has(f.Key) && !(f.Key == "procedure" && agreed(b, f))
			if seen[s] || ofRows && (!isTerm(f.Key) || said[s] < blocks && !b.settled[f.Key]) {
				continue
			}
			seen[s] = true
			c := claim{key: f.Key, cell: p.factCell(f), page: p}
			if f.Key == "limit" {
				c.around = p.sentenceAt(f)
			}
			all = append(all, c)
		}
	}
	return all
}

// agreed reports whether no block says of the procedure what another does not.
func agreed(b *binder, f heading.Fact) bool {
	mine, _ := procedure(f.Text)
	for _, block := range b.blocks("readings") {
		for _, o := range block.Facts {
			if theirs, ok := procedure(o.Text); o.Key == f.Key && ok && theirs != mine {
				return false
			}
		}
	}
	return true
}

// sentenceAt is the text that a limit stands in. A cell that begins with the
// number goes on from the words in the cell on its left, "Max. | 50 mg/m²", and
// one that holds nothing else goes on to a basis on its right, "50 | total salts".
func (p *page) sentenceAt(f heading.Fact) string {
	text := p.cellAt(f.Pos).Text
	if !strings.HasPrefix(strings.TrimSpace(f.Text), strings.TrimSpace(text)) && !strings.HasPrefix(strings.TrimSpace(text), f.Text) {
		return text
	}
	if alone := strings.TrimSpace(text); strings.HasPrefix(f.Text, alone) {
		text = f.Text // with the unit that stands in the key
		if right, ok := p.beside(f.Pos, 1); ok {
			if _, basis := limitWords("", right.Text); basis != "" && p.closes(right.Pos) {
				text += ", " + right.Text
			}
		}
	}
	if left, ok := p.beside(f.Pos, -1); ok {
		return inBrackets().ReplaceAllString(left.Text, "") + " " + text
	}
	return text
}

// inBrackets finds the unit that stands with a key.
var inBrackets = pattern.Of(`\s*[(\[][^()\[\]]*[)\]]`)

// beside is the next cell that is filled on one side of a place, where it holds
// words and no number of its own.
func (p *page) beside(at diag.Pos, step int) (table.Cell, bool) {
	for col := at.Col() + step; col > 0 && col <= p.width(at.Row()); col += step {
		c := p.cellAt(at.At(at.Row(), col))
		if c.Kind != table.Empty && c.FillOf().IsZero() {
			return c, !strings.ContainsAny(inBrackets().ReplaceAllString(c.Text, ""), "0123456789")
		}
	}
	return table.Cell{}, false
}

// closes reports whether a cell in a title row is the last, or the next is a key
// of its own: what stands in it belongs to its left.
func (p *page) closes(at diag.Pos) bool {
	next, _ := p.beside(at, 1)
	key, _ := heading.Key(strings.TrimRight(next.Text, ": "))
	return next.Kind == table.Empty || key != ""
}

// width is how many cells a row has.
func (p *page) width(number int) int {
	for _, row := range p.sheet.Rows {
		if row.Number == number {
			return row.Len()
		}
	}
	return 0
}

// blocks are the blocks of one table on all pages.
func (b *binder) blocks(table string) iter.Seq2[*page, heading.Block] {
	return func(yield func(*page, heading.Block) bool) {
		for _, p := range b.pages {
			for _, block := range p.blocks {
				if block.Table == table && !yield(p, block) {
					return
				}
			}
		}
	}
}

// isTerm reports whether a key is one of the job table's.
func isTerm(key string) bool {
	if base, _, ok := limitKey(key); ok {
		return limitTerms.has(base)
	}
	return terms.has(key)
}

// claim puts what one source says into the terms, or beside them.
func (b *binder) claim(c claim) {
	t := &b.job.Terms
	base, n, isLimit := limitKey(c.key)
	switch {
	case !isTerm(c.key):
		t.Other = append(t.Other, Fact{c.key, c.words()})
	case !isLimit:
		col, _ := terms.find(c.key)
		bindClaim(b, c, col, t)
	default:
		for len(t.Limits) < n {
			t.Limits = append(t.Limits, Limit{})
		}
		c.key = numbered(base, n)
		col, _ := limitTerms.find(base)
		bindClaim(b, c, col, &t.Limits[n-1])
		if base == "limit" {
			b.claimParts(c, n)
		}
	}
}

func known[Q any](_ Q, ok bool) bool { return ok }

// words is the claim as it was written.
func (c claim) words() Words {
	return Words{Val: c.cell.Text, State: Known, Text: c.cell.Text, Pos: c.cell.Pos}
}

// bindClaim sets a term that nobody has set, or compares with what is set.
func bindClaim[T any](b *binder, c claim, col column[T], into *T) {
	p := c.page
	if p == nil {
		p = b.commandLine()
	}
	var out margin
	at := b.under(c.cell.Pos, c.head, p, p.column(columnKey{"job", c.key}), &out)
	at.fill(&c.cell)
	defer func() { b.take(out) }()
	used := col.said(into)
	if used.state == Absent {
		col.set(into, &at)
		b.termsFrom[c.key] = c.words()
		return
	}
	var other T
	col.set(&other, &at)
	said := col.said(&other)
	if said.state != used.state || !sameWords(said.text, used.text) {
		b.job.Conflicts = append(b.job.Conflicts, Conflict{Key: c.key, Used: b.termsFrom[c.key], Other: c.words()})
	}
}

// commandLine is the page of the values that --set gives.
func (b *binder) commandLine() *page {
	if b.line == nil {
		b.line = newPage(&table.File{}, &table.Sheet{})
		b.line.sign = b.opts.sign()
		b.pages = append(b.pages, b.line)
	}
	return b.line
}
