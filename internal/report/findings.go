package report

import (
	"slices"
	"strings"
	"sync"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// findings lists what the checks found, the weightiest first: what was found,
// what it does to the verdicts, another reading where there is one, and the
// next step with who takes it.
func (c *composer) findings() []doc.Block {
	blocks := []doc.Block{c.heading("report/findings-title", "")}
	if len(c.found) == 0 {
		blocks = append(blocks, c.para("report/findings-none", nil)...)
	}
	var items []doc.Item
	for _, f := range c.found {
		items = append(items, doc.Entry(c.mark[f], c.finding(f)))
	}
	if len(items) > 0 {
		blocks = append(blocks, doc.List{Items: items})
	}
	return append(blocks, c.agreements()...)
}

// finding is one finding in words. One about the whole record stands in the reports
// of all days.
func (c *composer) finding(f *assess.Finding) doc.Text {
	return once(&c.index.findings, f, func() doc.Text { return c.findingWith(f, c.severity(f.Severity), "") })
}

// once puts something of a finding into words for the first of the documents that
// say it.
func once[T any](said *sync.Map, f *assess.Finding, say func() T) T {
	if words, is := said.Load(f); is {
		return words.(T)
	}
	words := say()
	said.Store(f, words)
	return words
}

// findingWith is one finding in words, with what stands in brackets behind its
// title and what stands between its effect and its other reading.
func (c *composer) findingWith(f *assess.Finding, weight, rule string) doc.Text {
	fill := c.filling(f)
	key := "checks/" + f.Check.Name + "/"
	text := doc.Join(
		doc.Strong(c.say(key+"title", fill)), doc.Plain(" ("+weight+"). "),
		doc.Plain(c.say(key+"found", fill)),
	)
	add := func(s string) {
		if s != "" {
			text = append(text, doc.Plain(" "+s)...)
		}
	}
	add(c.effect(f))
	add(rule)
	if c.Words.Has(key + "innocent") {
		add(c.say(key+"innocent", fill))
	}
	text = append(text, doc.Join(
		doc.Plain(" "), doc.Strong(c.say("report/next-by", c.owner(f.Check.Owner))), doc.Plain(" "+c.say(key+"next", fill)))...)
	if cells := c.cells(f); cells != "" {
		text = append(text, doc.Fine(" "+cells)...)
	}
	return text
}

func (c *composer) findingTitle(f *assess.Finding) string { return c.index.titles[f] }

// nextStep is what to do about a finding: one about all tests stands in the way of
// every certificate.
func (c *composer) nextStep(f *assess.Finding) string {
	return once(&c.index.steps, f, func() string { return c.say("checks/"+f.Check.Name+"/next", c.filling(f)) })
}

// effect says whether verdicts change because of a finding, and which way it
// errs.
func (c *composer) effect(f *assess.Finding) string {
	var s string
	switch {
	case f.LostPasses > 0 && f.Severity == assess.VoidsTest:
		s = c.say("report/effect-void", f.LostPasses)
	case f.LostPasses > 0:
		s = c.say("report/effect-passes", f.LostPasses)
	case f.Changed > 0:
		s = c.say("report/effect-changed", f.Changed)
	case c.established(f) && (f.Severity == assess.UnprovenPass || f.Severity == assess.VoidsTest):
		s = c.say("report/effect-none-lost", nil)
	}
	switch f.Direction {
	case assess.SafeSide:
		s += " " + c.say("report/direction-safe", nil)
	case assess.UnsafeSide:
		s += " " + c.say("report/direction-unsafe", nil)
	}
	return strings.TrimSpace(s)
}

// established reports whether no test of a finding is left without a verdict:
// only then is there nothing to say of its effect.
func (c *composer) established(f *assess.Finding) bool {
	return !slices.ContainsFunc(f.Tests, func(i int) bool { return c.Result.Lines[i].Verdict == assess.NotEstablished })
}

func (c *composer) severity(s assess.Severity) string {
	return c.say("report/severity-"+hyphens(s.String()), nil)
}

// hyphens makes a key of words.
func hyphens(words string) string { return strings.ReplaceAll(words, " ", "-") }

func (c *composer) owner(r assess.Role) string {
	return c.say("report/role-"+hyphens(strings.ToLower(r.String())), nil)
}

// mostCells bounds how many places a finding prints; the rest are counted.
const mostCells = 6

// cells names the places of a finding, those of one sheet together.
func (c *composer) cells(f *assess.Finding) string {
	places := f.Places
	if len(places) == 0 {
		for _, i := range f.Tests {
			places = append(places, c.Result.Lines[i].Test.Row())
		}
	}
	if len(places) == 0 {
		return ""
	}
	rest := len(places) - mostCells
	places = places[:min(len(places), mostCells)]
	s := "["
	for i, p := range places {
		switch {
		case i == 0:
			s += c.Words.Place(p)
		case p.At(0, 0) == places[i-1].At(0, 0):
			s += ", " + c.Words.Cell(p)
		default:
			s += "; " + c.Words.Place(p)
		}
	}
	if rest > 0 {
		s += ", " + c.say("report/cells-more", rest)
	}
	return s + "]"
}

// fails shows each fail with what was done about it, a line each.
func (c *composer) fails() []doc.Block {
	blocks := []doc.Block{c.heading("report/fails-title", "")}
	lines, others := c.failLines()
	if len(lines) == 0 && others == nil {
		key := "report/fails-none"
		if !c.ofDay {
			key = "report/fails-none-at-all"
		}
		if !c.any(func(l *assess.Line) bool {
			return slices.ContainsFunc(l.Limits(), func(j assess.Judgement) bool { return len(j.Limit.Gaps) == 0 })
		}) {
			key = "report/fails-unjudged"
		}
		return append(blocks, c.para(key, nil)...)
	}
	if len(lines) == 0 {
		return append(blocks, others...)
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	// What happened on another day than the fail says on which.
	test := func(i int, found unit.Date) string {
		return c.say("report/test-value", map[string]any{"Test": c.number(i), "Density": c.density(&c.Result.Lines[i]),
			"On": c.otherDay(c.Result.Lines[i].Test.Date(), found)})
	}
	tests := func(all []int, found unit.Date) string {
		if len(all) == 0 {
			return "–"
		}
		names := make([]string, len(all))
		for n, i := range all {
			names[n] = test(i, found)
		}
		return c.Words.List(names)
	}
	found := func(l failLine) unit.Date { return c.Result.Lines[l.chain.Fail].Test.Date().Val }
	t := doc.Tabulate([]doc.Col[failLine]{
		doc.Left(head("date"), "", func(l failLine) string { return c.dayOf(found(l)) }),
		doc.Left(head("area"), "", func(l failLine) string { return l.area }),
		doc.Left(head("location"), "", func(l failLine) string { return cell(c, c.Result.Lines[l.chain.Fail].Test.Location()) }),
		doc.Left(head("fail-test"), "mg/m²", func(l failLine) string { return test(l.chain.Fail, found(l)) }),
		doc.Left(head("treatment"), "", func(l failLine) string { return c.treatments(l.chain, found(l)) }),
		doc.Left(head("retest"), "mg/m²", func(l failLine) string { return tests(l.chain.Retests, found(l)) }),
		doc.Left(head("adjacent"), "mg/m²", func(l failLine) string { return tests(l.chain.Adjacent, found(l)) }),
		doc.Left(head("state"), "", func(l failLine) string { return c.chainState(l.chain) }),
	}, lines, func(l failLine, r *doc.Row) { r.Emphasis = l.chain.State != assess.Cleared })
	return append(append(blocks, t), others...)
}

// otherDay is a day in words, "" where it is the one given or not recorded; the
// year of that one needs no saying again.
func (c *composer) otherDay(d record.Given[unit.Date], than unit.Date) string {
	if !d.Known() || d.Val == than {
		return ""
	}
	if d.Val.Year == than.Year {
		return c.Words.DayMonth(d.Val)
	}
	return c.Words.Date(d.Val)
}

func (c *composer) treatments(chain *assess.Chain, found unit.Date) string {
	if len(chain.Treatments) == 0 {
		return "–"
	}
	var names []string
	for _, t := range chain.Treatments {
		names = append(names, c.say("report/treatment", map[string]any{
			"Name": t.Name.OrZero(), "What": written(c, t.What), "Ended": cell(c, t.Ended), "On": c.otherDay(t.Date, found)}))
	}
	return c.Words.List(names)
}

// chainState says how far a fail has come, and why it is not cleared.
func (c *composer) chainState(chain *assess.Chain) string {
	if chain.State == assess.Cleared {
		return c.say("report/state-cleared", c.number(chain.ClearedBy))
	}
	s := c.say("report/state-open", nil)
	if chain.State == assess.Treated {
		s = c.say("report/state-treated", nil)
	}
	var why []string
	for _, o := range chain.Obstacles {
		data := map[string]any{"Test": "", "Count": o.Count}
		if o.Test >= 0 {
			data["Test"] = c.number(o.Test)
		}
		why = append(why, c.say("report/obstacle-"+o.Kind.String(), data))
	}
	if len(why) == 0 {
		return s
	}
	return c.Words.Lead(s, c.Words.Clauses(why))
}
