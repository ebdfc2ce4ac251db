package report

import (
	"math"
	"strconv"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/doc"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// whatIfs shows what would change the conclusion: what the record leaves open,
// settled in one way or the other.
func (c *auditor) whatIfs() []doc.Block {
	blocks := []doc.Block{c.heading("audit/what-ifs-title", anchorWhatIfs)}
	untried := c.untried()
	if len(c.report.WhatIfs) == 0 {
		if len(untried) == 0 {
			untried = c.para("audit/what-ifs-none", nil)
		}
		return append(blocks, untried...)
	}
	blocks = append(blocks, c.para("audit/what-ifs-lead", nil)...)
	if c.limitBasis() != salt.TotalSalts {
		blocks = append(blocks, c.para("audit/what-ifs-basis", nil)...)
	}
	list := []audit.WhatIf{c.asRecomputed()}
	seen := map[string]bool{}
	for _, w := range c.report.WhatIfs {
		// A finding and an explanation may suppose the same.
		if said := c.supposed(w) + c.then(w); !seen[said] {
			seen[said] = true
			list = append(list, w)
		}
	}
	count := func(key string, n func(audit.WhatIf) int) doc.Col[audit.WhatIf] {
		return doc.Right(c.say(key, nil), "", func(w audit.WhatIf) string { return c.bare(n(w)) })
	}
	table := doc.Tabulate([]doc.Col[audit.WhatIf]{
		doc.Left(c.say("audit/head-if", nil), "", c.supposed),
		doc.Left(c.say("audit/head-then", nil), "", c.then),
		count("report/head-pass", func(w audit.WhatIf) int { return w.Passes }),
		count("report/head-fail", func(w audit.WhatIf) int { return w.Fails }),
		count("report/head-not-established", func(w audit.WhatIf) int { return w.Open }),
	}, list)
	return append([]doc.Block{doc.Group{Blocks: append(blocks, table)}}, untried...)
}

// untried says what the record leaves open and nothing was supposed for;
// nothing where that is all settled.
func (c *auditor) untried() []doc.Block {
	var each []string
	for _, o := range c.report.Untried {
		each = append(each, c.say("audit/open-point", map[string]any{
			"Why": c.say(o.Key, nil), "Count": len(o.Tests), "All": len(o.Tests) == c.report.Counts.Tests, "Tests": c.numbers(o.Tests)}))
	}
	if len(each) == 0 {
		return nil
	}
	return c.para("audit/what-ifs-untried", c.Words.Clauses(each))
}

// asRecomputed is the conclusion as it stands, by the numbers alone. It has no
// tests of its own.
func (c *auditor) asRecomputed() audit.WhatIf {
	w := audit.WhatIf{Kind: -1}
	for _, l := range c.lines {
		switch {
		case !l.OfSteel():
		case l.ByNumber == assess.Pass:
			w.Passes++
		case l.ByNumber == assess.Fail:
			w.Fails++
		default:
			w.Open++
		}
	}
	return w
}

// supposed says what is supposed.
func (c *auditor) supposed(w audit.WhatIf) string {
	switch w.Kind {
	case audit.VolumeWas:
		v, _ := w.Value.(unit.Volume)
		return c.say("audit/if-volume", c.volume(v))
	case audit.PatchAreaWas:
		return c.say("audit/if-patch-area", w.Value)
	case audit.ComparisonIs:
		x, _ := w.Value.(salt.Comparison)
		return c.say("audit/if-comparison", c.comparisonName(x))
	case audit.BasisIs:
		b, _ := w.Value.(salt.Basis)
		return c.say("audit/if-basis", c.basisName(b))
	case audit.RuleIs:
		return c.say("audit/if-guarded", nil)
	case audit.NotCompensated:
		return c.say("audit/if-not-compensated", nil)
	case audit.InjectedCounts:
		return c.say("audit/if-injected", nil)
	case audit.UnseenDigits:
		return c.say("audit/if-unseen", nil)
	case audit.ValueRight:
		return c.say("audit/if-value-right", c.slipTitle(w.Slip, ""))
	}
	return c.say("audit/if-nothing", nil)
}

// then says what the tests would be: each, where they are few, and else how
// many would have another verdict.
func (c *auditor) then(w audit.WhatIf) string {
	if len(w.Tests) == 0 {
		return c.say("audit/then-nothing", nil)
	}
	var each []string
	others, known := 0, 0
	for k, i := range w.Tests {
		l, then := &c.Result.Lines[i], w.Then[k]
		if then.Verdict != l.ByNumber {
			others++
		}
		if l.Judged().Known {
			known++
		}
		if k >= mostThen {
			continue
		}
		value := "–"
		if !math.IsNaN(float64(then.Value)) {
			value = c.bare(then.Value)
		}
		now := ""
		if l.Judged().Known && c.density(l) != value {
			now = c.density(l)
		}
		each = append(each, c.say("audit/then", map[string]any{
			"Test": c.number(i), "Then": value, "Verdict": c.verdictWord(then.Verdict),
			"Now": now, "Same": then.Verdict == l.ByNumber, "Was": c.verdictWord(l.ByNumber)}))
	}
	if len(w.Tests) > mostThen {
		return c.say("audit/then-many", map[string]any{"Count": len(w.Tests), "Tests": c.numbers(w.Tests), "Others": others, "New": known == 0})
	}
	return c.Words.Clauses(each)
}

// mostThen bounds how many tests a supposition spells out.
const mostThen = 4

// numbered is a list of texts with their numbers.
func (c *auditor) numbered(texts []string) []doc.Block {
	if len(texts) == 0 {
		return nil
	}
	items := make([]doc.Item, len(texts))
	for i, s := range texts {
		items[i] = doc.Entry(strconv.Itoa(i+1), doc.Plain(s))
	}
	return []doc.Block{doc.List{Items: items}}
}

func (c *auditor) questionList() []doc.Block {
	blocks := []doc.Block{c.heading("audit/questions-title", anchorQuestions)}
	if len(c.asked) == 0 {
		return append(blocks, c.para("audit/questions-none", nil)...)
	}
	return append(blocks, c.numbered(c.asked)...)
}

// recommendation says what to do about the record. The reader decides.
func (c *auditor) recommendation() []doc.Block {
	var texts []string
	for _, a := range c.report.Advice {
		count := a.Count
		if a.Kind == audit.AnswerFirst {
			if count = len(c.asked); count == 0 {
				continue
			}
		}
		texts = append(texts, c.say(adviceKeys[a.Kind], map[string]any{
			"Count": max(count, len(a.Tests)), "Tests": c.numbers(a.Tests), "Questions": len(c.asked)}))
	}
	if len(texts) == 0 {
		texts = append(texts, c.say("audit/advice-none", c.report.Counts.Tests))
	}
	blocks := append([]doc.Block{c.heading("audit/advice-title", "")}, c.para("audit/advice-lead", nil)...)
	return []doc.Block{doc.Group{Blocks: append(blocks, c.numbered(texts)...)}}
}

var adviceKeys = map[audit.AdviceKind]string{
	audit.TakeAsItStands: "audit/advice-take",
	audit.CorrectFirst:   "audit/advice-correct",
	audit.AnswerFirst:    "audit/advice-answer",
	audit.TreatThese:     "audit/advice-treat",
	audit.RepeatThese:    "audit/advice-repeat",
	audit.WitnessSome:    "audit/advice-witness",
}

// bounds says what an audit of records cannot show, and the cautions.
func (c *auditor) bounds() []doc.Block {
	blocks := append([]doc.Block{c.heading("audit/limits-title", "")}, c.para("audit/limits", nil)...)
	return append(blocks, c.cautions()...)
}

// signOff is where the auditor signs, by hand.
func (c *auditor) signOff() []doc.Block {
	field := func(key string) doc.Field { return doc.Field{Label: c.say("report/label-"+key, nil)} }
	return []doc.Block{c.heading("audit/sign-title", ""), doc.Signatures{Items: []doc.Signature{{
		Role:      c.say("audit/role-auditor", nil),
		Statement: c.say("audit/statement", nil),
		Fields:    []doc.Field{field("name"), field("employer"), field("qualification"), {Label: c.say("audit/label-date", nil)}},
		Sign:      c.say("report/label-signature", nil),
		Field:     "auditor",
		State:     c.say("report/not-signed", nil),
	}}}}
}

// meanings explains each slip and each check that this audit names, under the
// stable name by which the program explains it too.
func (c *auditor) meanings() []doc.Block {
	var blocks []doc.Block
	seen := map[string]bool{}
	add := func(name, title, text string) {
		if seen[name] {
			return
		}
		seen[name] = true
		blocks = append(blocks, doc.Paragraph{Text: doc.Join(
			doc.Strong(name), doc.Plain(". "+title+". "), doc.Fine(oneParagraph(text)))})
	}
	for _, l := range c.lines {
		for _, e := range l.Explanations() {
			if !seen[e.Name] {
				add(e.Name, upperFirst(c.slipTitle(e.Name, "")), c.say("slips/"+e.Name+"/doc", nil))
			}
		}
	}
	for _, f := range c.found {
		if name := f.Check.Name; !seen[name] {
			fill := c.filling(f)
			add(name, c.say("checks/"+name+"/title", fill), c.say("checks/"+name+"/doc", fill))
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	lead := append([]doc.Block{c.heading("audit/meanings-title", "")}, c.para("audit/meanings-lead", nil)...)
	return append([]doc.Block{doc.Group{Blocks: append(lead, blocks[0])}}, blocks[1:]...)
}

// oneParagraph joins the paragraphs of a text.
func oneParagraph(s string) string { return strings.ReplaceAll(s, "\n\n", " ") }
