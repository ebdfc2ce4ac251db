package report

import (
	"fmt"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
)

// An alikeFindings is one entry of a list of findings: a finding, or those of
// one check that are too many to be said one by one.
type alikeFindings struct {
	mark  string
	like  string // mark of the first finding of the check; "" where this is it
	found []*assess.Finding
}

// mostAlike bounds how many findings of one check are said one by one. Those
// of a usual record all are; a record of a year has one for each of its days.
const mostAlike = 12

// together gives each finding that is to be kept its mark and its entry, in
// their order.
func (c *auditor) together(prefix string, keep func(*assess.Finding) bool) []alikeFindings {
	said := map[string]int{}
	first := map[string]string{}
	rest := map[string]int{} // index of the entry that holds those of a check that are too many
	var list []alikeFindings
	for _, f := range c.found {
		name := f.Check.Name
		if !keep(f) {
			continue
		}
		n, open := rest[name]
		if !open {
			n = len(list)
			mark := fmt.Sprintf("%s%d", prefix, n+1)
			list = append(list, alikeFindings{mark: mark, like: first[name]})
			if first[name] == "" {
				first[name] = mark
			}
			if said[name]++; said[name] > mostAlike {
				rest[name] = n
			}
		}
		list[n].found = append(list[n].found, f)
		c.mark[f] = list[n].mark
	}
	return list
}

// entries are findings in words.
func (c *auditor) entries(list []alikeFindings) []doc.Block {
	var items []doc.Item
	for _, e := range list {
		items = append(items, doc.Entry(e.mark, c.entry(e)))
	}
	return []doc.Block{doc.List{Items: items}}
}

// entry is one entry in words: the first finding of a check in full; a further
// one with what is its own; those that are too many by their tests.
func (c *auditor) entry(e alikeFindings) doc.Text {
	f := e.found[0]
	if e.like == "" {
		return c.findingWith(f, c.weight(e), c.say("audit/rule", c.say("checks/"+f.Check.Name+"/rule", c.filling(f))))
	}
	fill := c.filling(f)
	text := doc.Join(doc.Strong(c.say("checks/"+f.Check.Name+"/title", fill)), doc.Plain(" ("+c.weight(e)+"). "))
	if len(e.found) > 1 {
		return append(text, doc.Plain(c.say("audit/more-alike", map[string]any{
			"Count": len(e.found), "Tests": c.numbers(testsOf(e.found)), "First": e.like}))...)
	}
	text = append(text, doc.Plain(c.say("checks/"+f.Check.Name+"/found", fill))...)
	if effect := c.effect(f); effect != "" {
		text = append(text, doc.Plain(" "+effect)...)
	}
	text = append(text, doc.Plain(" "+c.say("audit/alike", e.like))...)
	if cells := c.cells(f); cells != "" {
		text = append(text, doc.Fine(" "+cells)...)
	}
	return text
}

// weight is the severity of findings and the number of their tests.
func (c *auditor) weight(e alikeFindings) string {
	return c.say("audit/weight", map[string]any{"Severity": c.severity(e.found[0].Severity), "Tests": len(testsOf(e.found))})
}

// testsOf are the tests of findings, each once.
func testsOf(found []*assess.Finding) []int {
	if len(found) == 1 {
		return found[0].Tests
	}
	var tests []int
	for _, f := range found {
		tests = append(tests, f.Tests...)
	}
	slices.Sort(tests)
	return slices.Compact(tests)
}

// findings lists what the checks found, less the patterns.
func (c *auditor) findings() []doc.Block {
	blocks := []doc.Block{c.heading("report/findings-title", anchorFindings)}
	if len(c.alike) == 0 {
		return append(blocks, c.para("audit/findings-none", nil)...)
	}
	return append(blocks, c.entries(c.alike)...)
}

func (c *auditor) patternCount() int {
	n := 0
	for _, e := range c.patterns {
		n += len(e.found)
	}
	return n
}

// integrity lists the patterns of the record as a whole, and what the clock
// allows.
func (c *auditor) integrity() []doc.Block {
	blocks := []doc.Block{c.heading("audit/patterns-title", anchorPatterns)}
	if len(c.patterns) == 0 {
		blocks = append(blocks, c.para("audit/patterns-none", nil)...)
	} else {
		blocks = append(append(blocks, c.para("audit/patterns-lead", nil)...), c.entries(c.patterns)...)
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
