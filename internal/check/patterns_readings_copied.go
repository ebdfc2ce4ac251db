package check

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// leastCopied is how many rows in a row make a block.
const leastCopied = 3

// rareCopy is below which probability a block takes the passes of its tests
// away; up to rare it weakens them (house figure). One honest record in a
// thousand may show what is rare, and it should not lose its passes by that.
const rareCopy = 0.0001

// mostBlocks is how many blocks a finding names; the cells of all are among its
// places.
const mostBlocks = 4

// copiedRows: rows that follow one another carry the readings that as many
// others carry: the extract and at least one more measured column. The same
// extraction listed twice is no such block, as its number says so
// (number-used-twice). It is asked only where chance would not repeat such a
// run, which is reckoned in (*ledger).chanceOf.
var copiedRows = &assess.Check{
	Name:     "copied-rows",
	Group:    assess.Integrity,
	Severity: assess.UnprovenPass,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		b := newLedger(v)
		for _, c := range b.copies() {
			args := map[string]any{"Rows": c.length, "Same": columnNames(c.same), "Differ": columnNames(c.differ), "Step": b.step(c)}
			first, more := upTo(mostBlocks, c.blocks)
			args["Blocks"], args["More"] = c.named(v, first), more
			severity := assess.AsDeclared
			if c.chance >= rareCopy {
				severity = assess.Weakens
			}
			report(v, assess.Finding{
				Severity: severity, Tests: c.rows(), Places: places(v, c.rows(), extractAt),
				Args: chance(args, c.chance),
			})
		}
	},
}

// A column is one of the columns of the readings that hold what an instrument
// showed.
type column struct {
	name        string
	of          func(*record.Test) (float64, bool)
	temperature bool
}

func measured[Q ~float64](name string, of func(*record.Test) record.Given[Q]) column {
	return column{name: name, of: func(t *record.Test) (float64, bool) {
		g := of(t)
		return float64(g.Val), g.Known()
	}}
}

func temperature(name string, of func(*record.Test) record.Given[unit.Temperature]) column {
	c := measured(name, of)
	c.temperature = true
	return c
}

// theExtract is the column that a block has to share: what else is measured
// follows the bottle, the hour and the weather and repeats by itself.
var theExtract = measured("extract", func(t *record.Test) record.Given[unit.Conductivity] { return t.Extract() })

// besideIt are the measured columns beside the extract.
var besideIt = []column{
	measured("blank", func(t *record.Test) record.Given[unit.Conductivity] { return t.Blank() }),
	temperature("solution temperature", func(t *record.Test) record.Given[unit.Temperature] { return t.SolutionTemperature() }),
	temperature("blank temperature", func(t *record.Test) record.Given[unit.Temperature] { return t.BlankTemperature() }),
	temperature("steel temperature", func(t *record.Test) record.Given[unit.Temperature] { return t.Steel() }),
	temperature("air temperature", func(t *record.Test) record.Given[unit.Temperature] { return t.Air() }),
	measured("humidity", func(t *record.Test) record.Given[unit.Humidity] { return t.Humidity() }),
	measured("recovered volume", func(t *record.Test) record.Given[unit.Volume] { return t.Recovered() }),
}

// columnNames names the extract and such of the columns beside it as a set
// holds.
func columnNames(set []int) []string {
	var names []string
	for _, c := range set {
		if c < 0 {
			names = append(names, theExtract.name)
		} else {
			names = append(names, besideIt[c].name)
		}
	}
	return names
}

// A copied is a set of blocks of rows that carry the same readings.
type copied struct {
	blocks       [][]int // indexes of tests
	at           []int   // of each block, its place in the ledger
	length       int     // of the shortest
	same, differ []int   // columns; −1 for the extract
	chance       float64
}

// rows lists the tests of all blocks, in the order of the log.
func (c *copied) rows() []int {
	all := slices.Concat(c.blocks...)
	slices.Sort(all)
	return slices.Compact(all)
}

// A blockRow is a block by its first and last test and, where the blocks are
// of several days, its day.
type blockRow struct {
	First, Last string
	Day         unit.Date
	Dated       bool
	Final       bool // the last that is named
}

func (c *copied) named(v *assess.Review, blocks [][]int) []blockRow {
	dated := sharedDay(v, c.rows()).IsZero()
	var rows []blockRow
	for k, b := range blocks {
		day := v.Lines[b[0]].Test.Date()
		rows = append(rows, blockRow{Number(v.Lines, b[0]), Number(v.Lines, b[len(b)-1]), day.Val, dated && day.Known(), k == len(blocks)-1})
	}
	return rows
}

// copies finds the blocks.
func (b *ledger) copies() []*copied {
	window := b.window()
	if window == 0 {
		return nil
	}
	var all []*copied
	holds := map[int]*copied{} // by place in the ledger
	for _, r := range b.repeats(window) {
		c := b.block(r.from, r.to, r.distance)
		if c == nil {
			continue
		}
		into := holds[c.at[0]]
		if into == nil {
			into = c
			all = append(all, c)
		}
		for k, at := range c.at {
			for n := range c.blocks[k] {
				holds[at+n] = into
			}
		}
		if into != c {
			into.add(c)
		}
	}
	return all
}

// add takes in the blocks that were taken from one that is there.
func (c *copied) add(o *copied) {
	c.blocks, c.at = append(c.blocks, o.blocks[1:]...), append(c.at, o.at[1:]...)
	c.length, c.chance = min(c.length, o.length), max(c.chance, o.chance)
	c.differ = slices.Compact(slices.Sorted(slices.Values(slices.Concat(c.differ, o.differ))))
	c.same = slices.DeleteFunc(c.same, func(n int) bool { return !slices.Contains(o.same, n) })
	c.differ = slices.DeleteFunc(c.differ, func(n int) bool { return slices.Contains(c.same, n) })
}

// block is the longest stretch of the rows from up to to that also carry one
// other column of those so many places before; nil where chance or another
// finding explains it.
func (b *ledger) block(from, to, distance int) *copied {
	best, bestTo := 0, 0
	for c := range besideIt {
		length := 0
		for at := from; at < to; at++ {
			if !b.equal(c, at, at-distance) {
				length = 0
				continue
			}
			if length++; length > best {
				best, bestTo = length, at+1
			}
		}
	}
	from, to = bestTo-best, bestTo
	if best < leastCopied || b.oneExtraction(from, to, distance) {
		return nil
	}
	c := &copied{length: min(best, distance), same: []int{-1}}
	known, rarest := 0, 1.0
	for k := range besideIt {
		switch same, both := b.agree(k, from, to, distance); {
		case same:
			c.same = append(c.same, k)
			rarest = min(rarest, b.shareBeside(k))
			known++
		case both:
			c.differ = append(c.differ, k)
			known++
		}
	}
	if c.chance = b.chanceOf(from, to) * min(1, rarest*float64(known)); c.chance >= rare {
		return nil
	}
	// A stretch longer than the distance is one block over and over again; what
	// is left of it at the end goes with the last.
	take := func(at, end int) {
		var tests []int
		for _, i := range b.line[at:end] {
			tests = append(tests, int(i))
		}
		c.at, c.blocks = append(c.at, at), append(c.blocks, tests)
	}
	take(from-distance, from-distance+c.length)
	for at, end := from, 0; to-at >= leastCopied; at = end {
		if end = at + c.length; to-end < leastCopied {
			end = to
		}
		take(at, end)
	}
	return c
}

// equal reports whether a column is known and the same in two rows.
func (b *ledger) equal(c, at, other int) bool {
	x, ok := besideIt[c].of(b.v.Lines[b.line[at]].Test)
	y, also := besideIt[c].of(b.v.Lines[b.line[other]].Test)
	return ok && also && x == y
}

// agree reports whether a column is the same throughout the two blocks, and
// whether it is known throughout both.
func (b *ledger) agree(c, from, to, distance int) (same, known bool) {
	same, known = true, true
	for at := from; at < to; at++ {
		_, ok := besideIt[c].of(b.v.Lines[b.line[at]].Test)
		_, also := besideIt[c].of(b.v.Lines[b.line[at-distance]].Test)
		known = known && ok && also
		same = same && b.equal(c, at, at-distance)
	}
	return same, known
}

// oneExtraction reports whether each row of the later block is the same
// extraction as its like.
func (b *ledger) oneExtraction(from, to, distance int) bool {
	for at := from; at < to; at++ {
		t, o := b.v.Lines[b.line[at]].Test, b.v.Lines[b.line[at-distance]].Test
		named := t.Number().Val != "" || t.Read().Known() || t.Start().Known()
		if !named || t.Number().Val != o.Number().Val || t.Date().Val != o.Date().Val || t.Start().Val != o.Start().Val || t.Read().Val != o.Read().Val {
			return false
		}
	}
	return true
}

// A stepRow is how a temperature changes where a later block begins, and the
// most by which it changes from row to row within.
type stepRow struct {
	Column             string
	Test               string // the first of the block
	Before, At, Within unit.Temperature
}

// leastStep is the least change of a temperature worth telling, in K (house
// figure).
const leastStep = 1

// step is the largest step of a temperature that the blocks share to the first
// row of the later one, if it is larger than any within; nil where there is
// none.
func (b *ledger) step(c *copied) []stepRow {
	var steps []stepRow
	at := c.at[1]
	if at == 0 || b.line[at-1] < 0 {
		return nil
	}
	for _, k := range c.same {
		if k < 0 || !besideIt[k].temperature {
			continue
		}
		value := func(at int) float64 {
			x, _ := besideIt[k].of(b.v.Lines[b.line[at]].Test)
			return x
		}
		before, first := b.v.Lines[b.line[at-1]].Test, b.v.Lines[b.line[at]].Test
		if _, ok := besideIt[k].of(before); !ok || before.Date().Val != first.Date().Val {
			continue
		}
		within := 0.0
		for n := at + 1; n < at+len(c.blocks[1]); n++ {
			within = max(within, math.Abs(value(n)-value(n-1)))
		}
		if over := math.Abs(value(at) - value(at-1)); over >= leastStep && over > within {
			steps = append(steps, stepRow{besideIt[k].name, Number(b.v.Lines, int(b.line[at])), unit.Temperature(value(at - 1)), unit.Temperature(value(at)), unit.Temperature(within)})
		}
	}
	slices.SortStableFunc(steps, func(x, y stepRow) int {
		return cmp.Compare(math.Abs(float64(y.At-y.Before)), math.Abs(float64(x.At-x.Before)))
	})
	few, _ := upTo(1, steps)
	return few
}
