package audit

import (
	"maps"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/slip"
)

// The checks that find written values which do not follow. What is asked
// about these goes by the slip that explains them.
const (
	systematic = "systematic-slip"
	single     = "value-does-not-follow"
)

// questions lists what to ask, the weightiest first: what is missing of the
// limit; one question for a finding; one for each slip that alone explains
// values, and one for the values that no slip explains, or more than one; and,
// before what is housekeeping, what was done at open fails and with how many
// sets.
func (a *Report) questions(areas []*assess.Standing) []Question {
	all := a.aboutLimit()
	rest := append(a.aboutFails(areas), a.aboutSets()...)
	asked := false
	for n := range a.Findings {
		if a.Findings[n].Severity == assess.Housekeeping {
			all, rest = append(all, rest...), nil
		}
		switch name := a.Findings[n].Check.Name; name {
		case systematic, single:
			if !asked {
				all = append(all, a.aboutValues()...)
				asked = true
			}
		default:
			all = append(all, Question{Key: "checks/" + name + "/ask", Finding: n, Tests: a.Findings[n].Tests})
		}
	}
	return append(all, rest...)
}

// aboutSets asks how many sets were at work, where the record does not say and
// one could not have made the tests of a day.
func (a *Report) aboutSets() []Question {
	days := slices.DeleteFunc(slices.Clone(a.Sets), func(d check.DaySets) bool { return d.Stated > 0 || d.Needed < 2 || len(d.Could) == 0 })
	if len(days) == 0 {
		return nil
	}
	first := days[0]
	return []Question{{Key: "audit/ask-sets", Finding: -1, Fill: map[string]any{
		"Day": first.Date, "More": len(days) - 1, "Could": first.Could[0], "Of": first.Tests,
	}}}
}

// aboutLimit asks for what the record does not say of the limit, without which
// nothing is judged.
func (a *Report) aboutLimit() []Question {
	var all []Question
	for _, q := range []struct {
		reason assess.Reason
		key    string
	}{
		{assess.NoLimit, "limit"}, {assess.NoLimitUnit, "limit-unit"}, {assess.NoLimitBasis, "limit-basis"}, {assess.NoComparison, "limit-comparison"},
	} {
		if tests := a.OnSteel(because(q.reason)); len(tests) > 0 {
			fill := map[string]any{}
			if limits := a.Lines[tests[0]].Limits(); len(limits) > 0 {
				fill["Limit"] = limits[0].Limit.Text
			}
			all = append(all, Question{Key: "audit/ask-" + q.key, Fill: fill, Finding: -1, Tests: tests})
		}
	}
	return all
}

// Filling is what the words of a question are filled with; list joins names as
// the language does.
func (a *Report) Filling(q Question, list func([]string) string) map[string]any {
	if q.Finding >= 0 {
		return check.Filling(a.Result, &a.Findings[q.Finding], list)
	}
	fill := map[string]any{"Tests": list(check.Numbers(a.Lines, q.Tests)), "Count": len(q.Tests)}
	maps.Copy(fill, q.Fill)
	return fill
}

// mostAsked bounds how many questions of one check are put one by one.
const mostAsked = 3

// Asked are the questions in words: equal ones once, those without words not
// at all, those of one check or slip one after the other, and where one check
// asks more than a few, the others by their marks. say fills a text; list
// joins names as the language does.
func (a *Report) Asked(say func(key string, data any) string, list func([]string) string) []string {
	type group struct {
		texts    []string
		likewise []string // marks
	}
	var groups []*group
	of, seen := map[string]*group{}, map[string]bool{}
	for _, q := range a.Questions {
		text := say(q.Key, a.Filling(q, list))
		if text == "" || seen[text] {
			continue
		}
		seen[text] = true
		g := of[q.Key]
		if g == nil {
			g = new(group)
			of[q.Key], groups = g, append(groups, g)
		}
		if len(g.texts) < mostAsked || q.Finding < 0 {
			g.texts = append(g.texts, text)
		} else if m := a.Marks[q.Finding]; !slices.Contains(g.likewise, m) {
			g.likewise = append(g.likewise, m)
		}
	}
	var asked []string
	for _, g := range groups {
		if len(g.likewise) > 0 {
			g.texts[0] += " " + say("audit/asked-likewise", list(g.likewise))
		}
		asked = append(asked, g.texts...)
	}
	return asked
}

// aboutValues asks about the written values that do not follow.
func (a *Report) aboutValues() []Question {
	type key struct{ name, detail string }
	at := map[key]int{}
	var all []Question
	var open []int
	shared := a.shared()
	for i := range a.Lines {
		l := &a.Lines[i]
		if !l.OfSteel() || l.Agreement != assess.DoesNotFollow {
			continue
		}
		e, ok := theSlip(l, shared)
		if !ok {
			open = append(open, i)
			continue
		}
		k := key{e.Name, e.Detail}
		n, known := at[k]
		if !known {
			n = len(all)
			at[k] = n
			all = append(all, Question{Key: "slips/" + e.Name + "/ask", Fill: e.Args, Finding: -1})
		}
		all[n].Tests = append(all[n].Tests, i)
	}
	for n := range all {
		all[n].Fill = a.withRows(all[n])
	}
	if len(open) > 0 {
		all = append(all, Question{Key: "checks/" + single + "/ask", Finding: -1, Tests: open})
	}
	return all
}

// withRows is what a question is filled with and, as InRows, the volume or the
// patch area that its rows have, where it asks about that and all have one.
func (a *Report) withRows(q Question) map[string]any {
	_, volume := q.Fill["Volume"]
	_, area := q.Fill["PatchArea"]
	if !volume && !area {
		return q.Fill
	}
	has := func(i int) any {
		if volume {
			return a.Lines[i].Volume().Val
		}
		return a.Lines[i].PatchArea().Val
	}
	for _, i := range q.Tests {
		if has(i) != has(q.Tests[0]) {
			return q.Fill
		}
	}
	fill := maps.Clone(q.Fill)
	fill["InRows"] = has(q.Tests[0])
	return fill
}

// theSlip is the slip that a value is asked about: the one that most rows of
// its sheet share, else the only one that fits.
func theSlip(l *assess.Line, shared func(*assess.Line, slip.Explanation) bool) (slip.Explanation, bool) {
	if len(l.Explanations()) == 1 || len(l.Explanations()) > 1 && shared(l, l.Explanations()[0]) {
		return l.Explanations()[0], true
	}
	return slip.Explanation{}, false
}

// answerable are the reasons for which a test establishes nothing that an
// answer can settle: it need not be made again for them.
var answerable = []assess.Reason{
	assess.NoLimit, assess.NoLimitUnit, assess.NoLimitBasis, assess.NoVolume, assess.NoComparison, assess.WrittenFail, assess.UnreadableValue,
	assess.OnlyBounded, // conductivity would bound it again: a test for chloride itself is asked for
}

// advice draws what is recommended.
func (a *Report) advice(areas []*assess.Standing) []Advice {
	var correct, repeat []int
	for i := range a.Lines {
		l := &a.Lines[i]
		if !l.OfSteel() {
			continue
		}
		byLog := l.AsWritten()
		if l.Agreement == assess.DoesNotFollow || byLog == assess.Pass && (l.ByNumber == assess.Fail || l.Verdict == assess.Void) ||
			byLog == assess.Fail && l.ByNumber == assess.Pass {
			correct = append(correct, i)
		}
		if l.Verdict == assess.Void || l.Verdict == assess.NotEstablished && !settledByAnswer(l) {
			repeat = append(repeat, i)
		}
	}
	repeated := map[int]bool{}
	for _, s := range areas {
		for _, i := range s.Superseded {
			repeated[i] = true
		}
	}
	repeat = slices.DeleteFunc(repeat, func(i int) bool { return repeated[i] })
	patterns := 0
	for _, f := range a.Findings {
		if f.Check.Group == assess.Integrity && f.Severity <= assess.Weakens {
			patterns++
		}
	}
	var all []Advice
	add := func(kind AdviceKind, tests []int, n int) {
		if len(tests)+n > 0 {
			all = append(all, Advice{kind, tests, n})
		}
	}
	add(CorrectFirst, correct, 0)
	if a.unsettled() {
		add(AnswerFirst, nil, len(a.Questions))
	}
	add(TreatThese, a.Open, 0)
	add(RepeatThese, repeat, 0)
	add(WitnessSome, nil, patterns)
	if len(all) == 0 && a.Counts.Tests > 0 {
		add(TakeAsItStands, nil, a.Counts.Tests)
	}
	return all
}

// unsettled reports whether an answer would change what is concluded.
func (a *Report) unsettled() bool {
	if len(a.WhatIfs) > 0 {
		return true
	}
	for i := range a.Lines {
		if a.Lines[i].OfSteel() && settledByAnswer(&a.Lines[i]) {
			return true
		}
	}
	return false
}

// settledByAnswer reports whether a test establishes nothing for a reason that
// an answer settles.
func settledByAnswer(l *assess.Line) bool {
	return slices.ContainsFunc(answerable, l.Because)
}
