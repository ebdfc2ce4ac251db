package report

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/doc"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// firstLookedFor is what whoever doubts a record looks for first, a line each:
// fails that nothing clears, numbers that are left out, values that cannot be
// computed, fails that only a conversion lifts, and passes near the limit.
func (c *auditor) firstLookedFor() []doc.Text {
	var list []doc.Text
	tests := func(key string, of []int, to string) {
		if len(of) > 0 {
			list = append(list, doc.Plain(c.say(key, map[string]any{"Count": len(of), "Tests": c.few(of)})).To(to))
		}
	}
	tests("audit/not-cleared", c.report.Open, anchorTests)
	if numbers, more := c.numbersLeftOut(); len(numbers) > 0 {
		list = append(list, doc.Plain(c.say("audit/numbers-left-out", map[string]any{"Count": len(numbers) + more, "List": c.Words.List(numbers), "More": more})))
	}
	if why := c.uncomputed(); len(why) > 0 {
		list = append(list, doc.Plain(c.say("audit/uncomputed", c.Words.Clauses(why))).To(anchorTests))
	}
	tests("audit/verdicts-not-read", c.Result.OnSteel((*assess.Line).UnreadVerdict), anchorTests)
	tests("audit/fails-not-shown", c.Result.OnSteel(func(l *assess.Line) bool { return !audit.Shown(l) && !l.UnreadVerdict() }), anchorTests)
	list = append(list, c.lifted()...)
	tests("audit/near-in-short", c.Result.OnSteel(func(l *assess.Line) bool { return l.Verdict == assess.Pass && c.nearLimit(l) }), anchorBasis)
	return list
}

// nearLimit reports whether a test is within U of a limit that it can be held
// against, on the side of a pass.
func (c *auditor) nearLimit(l *assess.Line) bool {
	return c.judged(l) && slices.ContainsFunc(l.Limits(), func(j assess.Judgement) bool { return j.Near })
}

// numbersLeftOut are the numbers of tests that the checks of the numbering
// miss, as many as a first page bears, and how many more there are.
func (c *auditor) numbersLeftOut() (numbers []string, more int) {
	for _, f := range c.found {
		var rest string
		switch f.Check.Name {
		case "numbers-missing":
			rest = "More"
		case "number-missing-beside-a-retest":
			rest = "MoreMissing"
		default:
			continue
		}
		named, _ := f.Args["Missing"].([]string)
		unnamed, _ := f.Args[rest].(int)
		more += unnamed
		for _, number := range named {
			switch {
			case slices.Contains(numbers, number):
			case len(numbers) < mostOnFirstPage:
				numbers = append(numbers, number)
			default:
				more++
			}
		}
	}
	return numbers, more
}

// uncomputed says why written values cannot be computed, those of one reason
// together: nothing where that is the reason for which no test is established,
// which is said by itself.
func (c *auditor) uncomputed() []string {
	tests := map[string][]int{} // by the keys of their reasons
	var order [][]string
	for _, l := range c.lines {
		if !l.OfSteel() || l.Agreement != assess.CannotBeComputed {
			continue
		}
		keys := audit.Uncomputed(l)
		all := strings.Join(keys, " ")
		if tests[all] == nil {
			order = append(order, keys)
		}
		tests[all] = append(tests[all], l.Index)
	}
	known, common := c.whyNone(), true
	var list []string
	for _, keys := range order {
		var why []string
		for _, key := range keys {
			why = append(why, c.say(key, nil))
			common = common && slices.Contains(known, why[len(why)-1])
		}
		of := tests[strings.Join(keys, " ")]
		list = append(list, c.say("audit/uncomputed-why", map[string]any{"Why": c.Words.List(why), "Count": len(of), "Tests": c.few(of)}))
	}
	if common {
		return nil
	}
	return list
}

// lifted names the fails of the log that pass only because the limit speaks of
// sodium chloride, with both values.
func (c *auditor) lifted() []doc.Text {
	tests := c.Result.OnSteel(func(l *assess.Line) bool {
		first, limited := l.First()
		return l.AsWritten() == assess.Fail && l.Verdict == assess.Pass && limited &&
			first.Limit.Basis == salt.SodiumChloride && l.Judged().Value > first.Limit.Value
	})
	if len(tests) == 0 {
		return nil
	}
	var each []string
	for _, i := range tests[:min(len(tests), mostThen)] {
		l := &c.Result.Lines[i]
		each = append(each, c.say("audit/lifted-test", map[string]any{"Test": c.number(i), "Total": c.density(l), "Salt": c.comparedText(l)}))
	}
	if rest := len(tests) - len(each); rest > 0 {
		each = append(each, c.say("report/cells-more", rest))
	}
	return []doc.Text{doc.Plain(c.say("audit/lifted", map[string]any{"Count": len(tests), "Each": c.Words.Clauses(each)})).To(rowAnchor(tests[0]))}
}

// leftOpen says why no test is established, and what would be with a volume or
// a basis of the limit that the record does not state.
func (c *auditor) leftOpen() []doc.Text {
	var list []doc.Text
	if reasons := c.whyNone(); len(reasons) > 0 {
		list = append(list, doc.Plain(c.say("audit/none-established", c.Words.List(reasons))))
	}
	judged := c.any(func(l *assess.Line) bool { return l.OfSteel() && c.judged(l) })
	for _, w := range c.report.WhatIfs {
		v, ok := w.Value.(unit.Volume)
		if !ok || w.Slip != "" || !c.silentOnVolume(w) {
			continue
		}
		written, follow := c.following(w)
		if written == 0 && !judged {
			continue
		}
		list = append(list, doc.Plain(c.say("audit/volume-open", map[string]any{"Volume": c.volume(v), "Written": written, "Follow": follow,
			"Judged": judged, "Passes": w.Passes, "Fails": w.Fails})).To(anchorWhatIfs))
	}
	return append(list, c.basisOpen()...)
}

// basisOpen says of a limit without a basis whether the verdicts hang on it.
func (c *auditor) basisOpen() []doc.Text {
	var of []audit.WhatIf
	for _, w := range c.report.WhatIfs {
		if w.Kind == audit.BasisIs {
			of = append(of, w)
		}
	}
	if len(of) != 2 { // one of them changes nothing
		return nil
	}
	verdicts := map[int]assess.Verdict{}
	for k, i := range of[0].Tests {
		verdicts[i] = of[0].Then[k].Verdict
	}
	var differ []int
	for k, i := range of[1].Tests {
		if v, both := verdicts[i]; !both || v != of[1].Then[k].Verdict {
			differ = append(differ, i)
		}
		delete(verdicts, i)
	}
	for i := range verdicts {
		differ = append(differ, i)
	}
	slices.Sort(differ)
	names := make([]string, len(of))
	for k, w := range of {
		b, _ := w.Value.(salt.Basis)
		names[k] = c.basisName(b)
	}
	return []doc.Text{doc.Plain(c.say("audit/basis-open", map[string]any{"First": names[0], "Second": names[1],
		"Differ": len(differ), "Tests": c.few(differ), "Passes": of[0].Passes, "Fails": of[0].Fails})).To(anchorWhatIfs)}
}

// silentOnVolume reports whether a supposition gives tests a volume that the
// record does not state.
func (c *auditor) silentOnVolume(w audit.WhatIf) bool {
	return w.Kind == audit.VolumeWas && slices.ContainsFunc(w.Tests, func(i int) bool { return !c.Result.Lines[i].Volume().Known })
}

// following counts the values written for the tests of a supposition, and
// those of them that would be a rounding of what it gives.
func (c *auditor) following(w audit.WhatIf) (written, follow int) {
	for k, i := range w.Tests {
		r := c.Result.Lines[i].Test.Recorded()
		if !r.Known() {
			continue
		}
		written++
		const noise = 1e-9 // of the float that a supposition is
		if half := math.Pow10(r.Dec.Exp) / 2; math.Abs(float64(r.Val-w.Then[k].Value)) <= half+noise {
			follow++
		}
	}
	return written, follow
}
