package report

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/unit"
)

// result is the conclusion on one page: in plain words, in counts, and which
// verdicts are other ones.
func (c *auditor) result() []doc.Block {
	blocks := []doc.Block{doc.Paragraph{Text: doc.Plain(c.opening())}}
	if len(c.Result.Basis.Limits) > 0 {
		blocks = append(blocks, c.limits()...)
	}
	if c.report.Counts.Tests > 0 {
		blocks = append(blocks, c.agreementCounts(), c.verdictCounts())
		lifted := 0
		for _, now := range []assess.Verdict{assess.Pass, assess.NotEstablished} {
			lifted += c.report.Counts.Verdicts[assess.Fail][now]
		}
		blocks = append(blocks, c.small("audit/verdicts-note", map[string]any{"Kept": c.report.Counts.Kept, "Lifted": lifted})...)
	}
	var items []doc.Item
	for _, p := range c.particulars() {
		items = append(items, doc.Entry("", p))
	}
	if len(items) > 0 {
		blocks = append(blocks, doc.List{Items: items})
	}
	return []doc.Block{doc.Box{Title: c.say("audit/result-title", nil), Blocks: blocks}}
}

// opening is the conclusion in plain words.
func (c *auditor) opening() string {
	n := &c.report.Counts
	computed := 0
	for _, l := range c.lines {
		if l.OfSteel() && (l.Density.Known || l.Density.Bounded) {
			computed++
		}
	}
	text := []string{
		c.say("audit/opening", map[string]any{
			"Tests": n.Tests, "Computed": computed, "Where": c.where(),
			"Agree": n.Agreement[assess.Agrees], "Unseen": n.Agreement[assess.AgreesThroughUnseenDigits],
			"Not": n.Agreement[assess.DoesNotFollow], "Cannot": n.Agreement[assess.CannotBeComputed],
			"Unwritten": n.Agreement[assess.NotRecorded],
		}),
	}
	switch {
	case n.Tests == 0:
	case c.report.Outcome() == audit.NothingWritten:
		text = append(text, c.say("audit/opening-nothing-written", nil))
	default:
		text = append(text, c.openingVerdicts())
	}
	if open := c.unexplained(); len(open) > 0 {
		text = append(text, c.say("audit/opening-unexplained", map[string]any{"Count": len(open), "Tests": c.few(open)}))
	}
	for _, w := range c.report.WhatIfs {
		if v, ok := w.Value.(unit.Volume); ok && w.Slip != "" {
			text = append(text, c.openingVolume(v, w))
			break
		}
	}
	return strings.Join(text, " ")
}

// openingVerdicts says how many passes are left, and what took the others.
func (c *auditor) openingVerdicts() string {
	n := &c.report.Counts
	written, recomputed := 0, 0
	for v := range n.Verdicts {
		written += n.Verdicts[assess.Pass][v]
		recomputed += n.Verdicts[v][assess.Pass]
	}
	judged := c.any(func(l *assess.Line) bool { return l.OfSteel() && c.judged(l) })
	return c.say("audit/opening-verdicts", map[string]any{
		"Judged": judged, "Verdicts": n.Judged(), "Unread": n.Unread, "Written": written, "Recomputed": recomputed,
		"PassFail": n.Verdicts[assess.Pass][assess.Fail], "PassVoid": n.Verdicts[assess.Pass][assess.Void],
		"PassOpen": n.Verdicts[assess.Pass][assess.NotEstablished],
		"FailPass": n.Verdicts[assess.Fail][assess.Pass], "FailOpen": n.Verdicts[assess.Fail][assess.NotEstablished],
	})
}

// judged reports whether a test has a limit that it can be held against.
func (c *auditor) judged(l *assess.Line) bool {
	first, limited := l.First()
	return limited && len(first.Limit.Gaps) == 0
}

// unexplained are the tests whose value no single slip gives.
func (c *auditor) unexplained() []int {
	return c.Result.OnSteel(func(l *assess.Line) bool { return l.Agreement == assess.DoesNotFollow && len(l.Explanations()) == 0 })
}

// openingVolume says of a volume in doubt what the value would be.
func (c *auditor) openingVolume(v unit.Volume, w audit.WhatIf) string {
	return c.say("audit/opening-volume", map[string]any{
		"Volume": c.volume(v), "Test": c.number(w.Tests[0]), "More": len(w.Tests) - 1,
		"Value": w.Then[0].Value, "Recomputed": c.Result.Lines[w.Tests[0]].Judged().Value,
	})
}

// few names tests, as many as a first page bears.
func (c *auditor) few(tests []int) string {
	tooMany := func(n int) bool {
		spans := 0
		for range check.Spans(tests[:n], func(i int) bool { return check.Follows(c.Result.Lines, i) }) {
			if spans++; spans > mostOnFirstPage {
				return true
			}
		}
		return false
	}
	said := sort.Search(len(tests), func(n int) bool { return tooMany(n + 1) })
	names := check.Numbers(c.Result.Lines, tests[:said])
	if rest := len(tests) - said; rest > 0 {
		return strings.Join(names, ", ") + " " + c.say("report/cells-more", rest)
	}
	return c.Words.List(names)
}

const mostOnFirstPage = 12

// agreementCounts counts the rows read, and the tests by how their written
// values stand to their readings.
func (c *auditor) agreementCounts() doc.Table {
	n := &c.report.Counts
	count := func(key string, v int) doc.Col[int] {
		return doc.Centre(c.say(key, nil), "", func(int) string { return c.bare(v) })
	}
	cols := []doc.Col[int]{
		count("audit/head-rows", n.Rows),
		count("audit/head-tests", n.Tests),
		count("audit/head-agrees", n.Agreement[assess.Agrees]),
		count("audit/head-unseen", n.Agreement[assess.AgreesThroughUnseenDigits]),
		count("audit/head-not", n.Agreement[assess.DoesNotFollow]),
		count("audit/head-cannot", n.Agreement[assess.CannotBeComputed]),
		count("audit/head-unwritten", n.Agreement[assess.NotRecorded]),
	}
	if n.Blanks > 0 {
		cols = append(cols, count("audit/head-blanks", n.Blanks))
	}
	return doc.Tabulate(cols, []int{0})
}

// verdictCounts sets the written verdicts beside the recomputed ones.
func (c *auditor) verdictCounts() doc.Table {
	order := []assess.Verdict{assess.Pass, assess.Fail, assess.Void, assess.NotEstablished}
	n := &c.report.Counts.Verdicts
	var rows []assess.Verdict
	for _, was := range order {
		for _, now := range order {
			if n[was][now] > 0 {
				rows = append(rows, was)
				break
			}
		}
	}
	cols := []doc.Col[assess.Verdict]{
		doc.Left(c.say("audit/head-as-written", nil), "", func(was assess.Verdict) string {
			if was == assess.NotEstablished {
				return c.say("audit/none-written", c.report.Counts.Unread)
			}
			return c.verdictWord(was)
		}),
	}
	for _, now := range order {
		head := c.say("audit/head-recomputed-as", c.verdictWord(now))
		cols = append(cols, doc.Rich(head, "", doc.AlignCentre, func(was assess.Verdict) doc.Text {
			switch count := n[was][now]; {
			case count == 0:
				return doc.Plain("–")
			case was == now || was == assess.NotEstablished:
				return doc.Plain(c.bare(count))
			default: // a change is what the reader looks for
				return doc.Marked(verdictMarks[now], doc.Strong(c.bare(count)))
			}
		}))
	}
	return doc.Tabulate(cols, rows)
}

// particulars are what else there is to say on the first page, a line each.
func (c *auditor) particulars() []doc.Text {
	n := &c.report.Counts
	var list []doc.Text
	say := func(key string, data any, to string) {
		text := doc.Plain(c.say(key, data))
		if to != "" {
			text = text.To(to)
		}
		list = append(list, text)
	}
	list = append(list, c.firstLookedFor()...)
	list = append(list, c.leftOpen()...)
	for _, s := range c.Result.Systematic {
		data := map[string]any{"Rows": s.Rows, "Of": s.Of, "Slip": c.slipTitle(s.Explanation, s.Detail), "Sheet": ""}
		if len(c.sheets) > 1 {
			data["Sheet"] = s.Sheet.String()
		}
		say("audit/systematic", data, "")
	}
	if n.Agreement[assess.DoesNotFollow] > 0 {
		if slips := c.singleSlips(); len(slips) > 0 {
			say("audit/explained-once", c.Words.Clauses(slips), "")
		}
		if several := c.severally(); len(several) > 0 {
			say("audit/explained-severally", map[string]any{"Count": len(several), "Tests": c.few(several)}, "")
		}
		say("audit/side", map[string]any{"Low": n.TooLow, "High": n.TooHigh}, "")
	}
	if i := c.report.Largest; i >= 0 {
		l := &c.Result.Lines[i]
		say("audit/largest", map[string]any{"Test": c.number(i), "Written": cell(c.composer, l.Test.Recorded()),
			"Recomputed": c.recomputed(l), "Off": c.off(l)}, rowAnchor(i))
	}
	list = append(list, c.changes()...)
	if missing := c.missing(); len(missing) > 0 {
		say("audit/missing-in-short", map[string]any{"Count": len(missing), "List": c.list(missing)}, anchorReceived)
	}
	if controls := c.controls(false); len(controls) > 0 {
		say("audit/controls", c.Words.Clauses(controls), anchorReceived)
	}
	if len(c.report.Patterns) > 0 {
		say("audit/patterns-in-short", c.patternCount(), anchorPatterns)
	}
	if len(c.asked) > 0 {
		say("audit/questions-in-short", len(c.asked), anchorQuestions)
	}
	return list
}

// singleSlips names each slip that alone explains values, less those of whole
// sheets, with its tests.
func (c *auditor) singleSlips() []string {
	tests := map[slipKey][]int{}
	var order []slipKey
	for _, l := range c.lines {
		e, ok := c.theSlip(l)
		if !ok || !l.OfSteel() || c.systematic(l, e) {
			continue
		}
		k := slipKey{e.Name, e.Detail}
		if tests[k] == nil {
			order = append(order, k)
		}
		tests[k] = append(tests[k], l.Index)
	}
	slices.SortStableFunc(order, func(a, b slipKey) int { return cmp.Compare(len(tests[b]), len(tests[a])) })
	var slips []string
	for _, k := range order[:min(len(order), mostSlips)] {
		slips = append(slips, c.say("audit/slip", map[string]any{
			"Slip": c.slipTitle(k.name, k.detail), "Count": len(tests[k]), "Tests": c.few(tests[k])}))
	}
	if rest := len(order) - len(slips); rest > 0 {
		slips = append(slips, c.say("report/cells-more", rest))
	}
	return slips
}

// mostSlips bounds how many slips the first page names.
const mostSlips = 5

// severally are the tests whose value several slips explain, none of which is
// that of the whole sheet.
func (c *auditor) severally() []int {
	return c.Result.OnSteel(func(l *assess.Line) bool {
		_, one := c.theSlip(l)
		return l.Agreement == assess.DoesNotFollow && !one && len(l.Explanations()) > 0
	})
}

// changes names the tests whose verdict is another one than written, a line
// for each kind of change, which leads to the first of its rows.
func (c *auditor) changes() []doc.Text {
	type change struct{ was, now assess.Verdict }
	tests := map[change][]int{}
	var order []change
	for _, i := range c.report.Changed {
		l := &c.Result.Lines[i]
		k := change{l.AsWritten(), l.Verdict}
		if tests[k] == nil {
			order = append(order, k)
		}
		tests[k] = append(tests[k], i)
	}
	slices.SortFunc(order, func(a, b change) int {
		return cmp.Or(cmp.Compare(a.was, b.was), cmp.Compare(weight[b.now], weight[a.now]))
	})
	var list []doc.Text
	for _, k := range order {
		list = append(list, doc.Plain(c.say("audit/change", map[string]any{
			"Was": c.verdictWord(k.was), "Now": c.verdictWord(k.now), "Count": len(tests[k]), "Tests": c.few(tests[k]),
		})).To(rowAnchor(tests[k][0])))
	}
	return list
}

// weight orders verdicts by what they cost a pass.
var weight = map[assess.Verdict]int{assess.Fail: 3, assess.Void: 2, assess.NotEstablished: 1}
