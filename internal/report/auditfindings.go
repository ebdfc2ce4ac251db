package report

import (
	"slices"

	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/doc"
)

// entries are findings in words.
func (c *auditor) entries(list []audit.Entry) []doc.Block {
	var items []doc.Item
	for _, e := range list {
		items = append(items, doc.Entry(e.Mark, c.entry(e)))
	}
	return []doc.Block{doc.List{Items: items}}
}

// entry is one entry in words: the first finding of a check in full; a further
// one with what is its own; those that are too many by their tests.
func (c *auditor) entry(e audit.Entry) doc.Text {
	f := &c.Result.Findings[e.Findings[0]]
	if e.Like == "" {
		return c.findingWith(f, c.weight(e), c.say("audit/rule", c.say("checks/"+f.Check.Name+"/rule", c.filling(f))))
	}
	fill := c.filling(f)
	text := doc.Join(doc.Strong(c.say("checks/"+f.Check.Name+"/title", fill)), doc.Plain(" ("+c.weight(e)+"). "))
	if len(e.Findings) > 1 {
		return append(text, doc.Plain(c.say("audit/more-alike", map[string]any{
			"Count": len(e.Findings), "Tests": c.numbers(c.testsOf(e)), "First": e.Like}))...)
	}
	text = append(text, doc.Plain(c.say("checks/"+f.Check.Name+"/found", fill))...)
	if effect := c.effect(f); effect != "" {
		text = append(text, doc.Plain(" "+effect)...)
	}
	text = append(text, doc.Plain(" "+c.say("audit/alike", e.Like))...)
	if cells := c.cells(f); cells != "" {
		text = append(text, doc.Fine(" "+cells)...)
	}
	return text
}

// weight is the severity of findings and the number of their tests.
func (c *auditor) weight(e audit.Entry) string {
	return c.say("audit/weight", map[string]any{"Severity": c.severity(c.Result.Findings[e.Findings[0]].Severity), "Tests": len(c.testsOf(e))})
}

// testsOf are the tests of an entry, each once.
func (c *auditor) testsOf(e audit.Entry) []int {
	found := c.Result.Findings
	if len(e.Findings) == 1 {
		return found[e.Findings[0]].Tests
	}
	var tests []int
	for _, n := range e.Findings {
		tests = append(tests, found[n].Tests...)
	}
	slices.Sort(tests)
	return slices.Compact(tests)
}

// findings lists what the checks found, less the patterns.
func (c *auditor) findings() []doc.Block {
	blocks := []doc.Block{c.heading("report/findings-title", anchorFindings)}
	if len(c.report.Entries) == 0 {
		return append(blocks, c.para("audit/findings-none", nil)...)
	}
	return append(blocks, c.entries(c.report.Entries)...)
}

func (c *auditor) patternCount() int {
	n := 0
	for _, e := range c.report.Patterns {
		n += len(e.Findings)
	}
	return n
}

// integrity lists the patterns of the record as a whole, and what the clock
// allows.
func (c *auditor) integrity() []doc.Block {
	blocks := []doc.Block{c.heading("audit/patterns-title", anchorPatterns)}
	if len(c.report.Patterns) == 0 {
		blocks = append(blocks, c.para("audit/patterns-none", nil)...)
	} else {
		blocks = append(append(blocks, c.para("audit/patterns-lead", nil)...), c.entries(c.report.Patterns)...)
	}
	return append(blocks, c.clock()...)
}

// clock shows with how many sets of patch and syringe the tests of a day can
// have been made.
func (c *auditor) clock() []doc.Block {
	var days []check.DaySets
	single, most := 0, 1
	for _, d := range c.report.Sets {
		switch {
		case d.Tests == 0:
		case d.Needed <= 1:
			single++
		default:
			days = append(days, d)
			most = max(most, min(len(d.Could), mostSets))
		}
	}
	if len(days)+single == 0 {
		return c.para("audit/clock-silent", nil)
	}
	blocks := []doc.Block{doc.Heading{Level: 2, Text: c.say("audit/clock-title", nil)}}
	if len(days) == 0 {
		return append(blocks, c.para("audit/clock-single", single)...)
	}
	cols := []doc.Col[check.DaySets]{
		doc.Left(c.say("report/head-date", nil), "", func(d check.DaySets) string {
			if d.Date.IsZero() {
				return c.say("report/no-date", nil)
			}
			return c.Words.Date(d.Date)
		}),
		doc.Right(c.say("audit/head-timed", nil), "", func(d check.DaySets) string { return c.bare(d.Tests) }),
		doc.Right(c.say("audit/head-both-times", nil), "", func(d check.DaySets) string { return c.bare(d.Both) }),
	}
	for k := range most {
		cols = append(cols, doc.Right(c.say("audit/head-sets", k+1), "", func(d check.DaySets) string {
			if k >= len(d.Could) {
				return c.bare(d.Tests)
			}
			return c.bare(d.Could[k])
		}))
	}
	cols = append(cols,
		doc.Right(c.say("audit/head-needed", nil), "", func(d check.DaySets) string { return c.bare(d.Needed) }),
		doc.Right(c.say("audit/head-stated", nil), "", func(d check.DaySets) string {
			if d.Stated == 0 {
				return "–"
			}
			return c.bare(d.Stated)
		}))
	blocks = append(blocks, doc.Tabulate(cols, days, func(d check.DaySets, r *doc.Row) {
		r.Emphasis = d.Stated > 0 && d.Needed > d.Stated
	}))
	return []doc.Block{doc.Group{Blocks: append(blocks, c.small("audit/clock-note", map[string]any{"Single": single})...)}}
}

// mostSets bounds the columns of the table of sets.
const mostSets = 4
