package report

import (
	"math/big"
	"slices"

	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/stock"
	"saltline/internal/unit"
)

// stock shows what was used of the whole job, batch by batch and day by day,
// and what it cost where that is asked for: a client has no business with it.
func (c *composer) stock(costs bool) []doc.Block {
	a := stock.Of(c.Result)
	blocks := slices.Concat(
		c.para("stock/intro", map[string]any{"Tests": a.Tests, "Voids": a.Voids, "Glass": a.Glass, "Listed": a.Listed}),
		c.batches(&a), c.unlisted(&a), c.lives(&a), c.usesByDay(&a))
	if costs {
		blocks = append(blocks, c.costs(&a)...)
	}
	return blocks
}

var patchKinds = map[record.PatchKind]string{
	record.PatchNotStated: "not-stated", record.SingleUse: "single-use", record.MagneticRing: "magnetic-ring", record.Sleeve: "sleeve",
}

// batches shows the rows of the patches table with what was drawn on them.
func (c *composer) batches(a *stock.Account) []doc.Block {
	if !a.Listed {
		return nil
	}
	head := func(key string) string { return c.say("stock/head-"+key, nil) }
	count := func(key string, of func(*stock.Batch) int) doc.Col[*stock.Batch] {
		return doc.Right(head(key), "", func(b *stock.Batch) string { return c.bare(of(b)) })
	}
	maybe := func(key string, of func(*stock.Batch) (int, bool)) doc.Col[*stock.Batch] {
		return doc.Right(head(key), "", func(b *stock.Batch) string {
			if n, known := of(b); known {
				return c.Words.Number(float64(n), 0)
			}
			return "–"
		})
	}
	var listed []*stock.Batch
	for i := range a.Batches {
		if b := &a.Batches[i]; b.Row != nil {
			listed = append(listed, b)
		}
	}
	table := doc.Tabulate([]doc.Col[*stock.Batch]{
		doc.Left(head("batch"), "", func(b *stock.Batch) string { return cell(c, b.Row.Batch) }),
		doc.Left(head("kind"), "", func(b *stock.Batch) string { return c.say("stock/kind-"+patchKinds[b.Row.Kind.Val], nil) }),
		doc.Right(head("opening"), "", func(b *stock.Batch) string { return cell(c, b.Row.OpeningStock) }),
		doc.Right(head("closing"), "", func(b *stock.Batch) string { return cell(c, b.Row.ClosingStock) }),
		maybe("drawn", (*stock.Batch).Drawn),
		count("tests", func(b *stock.Batch) int { return b.Tests }),
		count("voids", func(b *stock.Batch) int { return b.Voids }),
		count("blanks", func(b *stock.Batch) int { return b.Glass }),
		maybe("difference", (*stock.Batch).Difference),
	}, listed, func(b *stock.Batch, r *doc.Row) {
		off, known := b.Difference()
		r.Emphasis = known && off != 0
	})
	return []doc.Block{
		doc.Heading{Level: 2, Text: c.say("stock/batches-title", nil)}, table, doc.Paragraph{Text: doc.Fine(c.say("stock/batches-note", nil))},
	}
}

// unlisted names what was used and is not in the table.
func (c *composer) unlisted(a *stock.Account) []doc.Block {
	var names []string
	for i := range a.Batches {
		if b := &a.Batches[i]; b.Row == nil {
			names = append(names, c.say("stock/not-listed-item", map[string]any{"Name": b.Name, "Uses": b.Recorded()}))
		}
	}
	var blocks []doc.Block
	if len(names) > 0 {
		blocks = c.para("stock/not-listed", c.list(names))
	}
	if a.Unnamed > 0 {
		blocks = append(blocks, c.para("stock/unnamed", a.Unnamed)...)
	}
	return blocks
}

// lives shows how far the uses of reusable patches have gone.
func (c *composer) lives(a *stock.Account) []doc.Block {
	if len(a.Lives) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("stock/head-"+key, nil) }
	orDash := func(n int) string {
		if n == 0 {
			return "–"
		}
		return c.bare(n)
	}
	table := doc.Tabulate([]doc.Col[*stock.Life]{
		doc.Left(head("patch"), "", func(l *stock.Life) string { return l.Name }),
		doc.Right(head("recorded"), "", func(l *stock.Life) string { return c.bare(l.Recorded) }),
		doc.Right(head("counted"), "", func(l *stock.Life) string { return orDash(l.Counted) }),
		doc.Right(head("maximum"), "", func(l *stock.Life) string { return orDash(l.Maximum) }),
		doc.Right(head("left"), "", func(l *stock.Life) string {
			if left, known := l.Left(); known {
				return c.Words.Number(float64(left), 0)
			}
			return "–"
		}),
		doc.Decimal(head("rate"), "", func(l *stock.Life) string {
			if l.Days == 0 {
				return "–"
			}
			return c.Words.Number(l.PerDay(), 1)
		}),
		doc.Left(head("until"), "", c.until),
	}, pointers(a.Lives))
	return []doc.Block{
		doc.Heading{Level: 2, Text: c.say("stock/lives-title", nil)}, table, doc.Paragraph{Text: doc.Fine(c.say("stock/lives-note", nil))},
	}
}

func (c *composer) until(l *stock.Life) string {
	switch left, known := l.Left(); {
	case known && left < 0:
		return c.say("stock/until-past", nil)
	case l.Until.IsZero():
		return c.say("stock/until-unknown", nil)
	}
	return c.Words.Date(l.Until)
}

// mostBatches is how many batches stand side by side in one table.
const mostBatches = 8

// usesByDay shows the uses of each batch on each day.
func (c *composer) usesByDay(a *stock.Account) []doc.Block {
	var used []*stock.Batch
	for i := range a.Batches {
		if b := &a.Batches[i]; b.Recorded() > 0 {
			used = append(used, b)
		}
	}
	if len(used) == 0 {
		return nil
	}
	blocks := []doc.Block{doc.Heading{Level: 2, Text: c.say("stock/days-title", nil)}}
	for part := range slices.Chunk(used, mostBatches) {
		cols := []doc.Col[unit.Date]{doc.Right(c.say("stock/head-date", nil), "", func(d unit.Date) string {
			if d.IsZero() {
				return c.say("stock/no-date", nil)
			}
			return c.Words.Date(d)
		})}
		for _, b := range part {
			cols = append(cols, doc.Right(b.Name, "", func(d unit.Date) string {
				if n := b.ByDay[d]; n > 0 {
					return c.bare(n)
				}
				return "–"
			}))
		}
		blocks = append(blocks, doc.Tabulate(cols, a.Days))
	}
	return blocks
}

// costs shows what the tests cost, and says what a total would leave out.
func (c *composer) costs(a *stock.Account) []doc.Block {
	blocks := []doc.Block{doc.Heading{Level: 2, Text: c.say("stock/costs-title", nil)}}
	blocks = append(blocks, c.para("stock/costs-intro", a.Cost.Currency)...)
	head := func(key string) string { return c.say("stock/head-"+key, nil) }
	type row struct {
		name        string
		count       int
		each, total unit.Ratio
		sum         bool
	}
	var rows []row
	for _, p := range a.Cost.Parts {
		rows = append(rows, row{c.say("stock/for-"+p.For.String(), p.Name), p.Count, p.Price, p.Amount, false})
	}
	sum := func(name string, amount unit.Ratio) {
		if amount.Known() {
			rows = append(rows, row{name: name, total: amount, sum: true})
		}
	}
	sum(c.say("stock/total", nil), a.Cost.Total)
	sum(c.say("stock/per-test", map[string]any{"Count": a.Tests}), a.Cost.PerTest)
	sum(c.say("stock/per-result", map[string]any{"Count": a.Established}), a.Cost.PerResult)
	table := doc.Tabulate([]doc.Col[row]{
		doc.Left(head("for"), "", func(r row) string { return r.name }),
		doc.Right(head("count"), "", func(r row) string {
			if r.count == 0 {
				return "–"
			}
			return c.bare(r.count)
		}),
		doc.Decimal(head("each"), a.Cost.Currency, func(r row) string { return c.money(r.each, 4) }),
		doc.Decimal(head("amount"), a.Cost.Currency, func(r row) string { return c.money(r.total, 2) }),
	}, rows, func(r row, out *doc.Row) { out.Emphasis = r.sum })
	table.Empty = c.say("stock/costs-none", nil)
	blocks = append(blocks, table)
	if len(a.Cost.Missing) > 0 {
		var gaps []string
		for _, g := range a.Cost.Missing {
			gaps = append(gaps, c.say("stock/gap-"+g.Kind.String(), map[string]any{"Name": g.Name, "Count": g.Count}))
		}
		blocks = append(blocks, c.para("stock/no-total", c.list(gaps))...)
	}
	if len(a.Cost.Mixed) > 0 {
		blocks = append(blocks, c.para("stock/mixed", c.list(a.Cost.Mixed))...)
	}
	return blocks
}

// money is an amount to the hundredth, exact in what is rounded; up to so many
// decimals where the price of one use has them. A dash where there is none.
func (c *composer) money(amount unit.Ratio, most int) string {
	if !amount.Known() {
		return "–"
	}
	x := amount.Rat()
	decimals := 2
	for ; decimals < most; decimals++ {
		steps := new(big.Rat).Mul(x, new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil)))
		if steps.IsInt() {
			break
		}
	}
	return c.Words.Spelling().Rat(x, decimals)
}
