package export

import (
	"fmt"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// An auditPart is the conclusion of an audit.
type auditPart struct {
	Stands    bool           `json:"stands"`
	Tests     int            `json:"tests"`
	Blanks    int            `json:"procedural_blanks"`
	Agreement map[string]int `json:"agreement"`
	Explained explained      `json:"explained"`
	TooHigh   int            `json:"written_too_high"`
	TooLow    int            `json:"written_too_low"`
	Verdicts  []verdicts     `json:"verdicts"`
	Changed   later          `json:"changed"`
	Largest   *largest       `json:"largest_difference"`
	Missing   []missing      `json:"missing"`
	Sets      []daySets      `json:"sets"`
	WhatIf    []whatIf       `json:"what_if"`
	Questions []string       `json:"questions"`
	Advice    []advice       `json:"advice"`
}

type explained struct {
	Once      int `json:"once"`
	Severally int `json:"severally"`
	Not       int `json:"not"`
	Shared    int `json:"by_a_systematic_slip"`
}

type verdicts struct {
	Written    *string `json:"written"`
	Recomputed string  `json:"recomputed"`
	Tests      int     `json:"tests"`
}

type largest struct {
	Test       string   `json:"test"`
	Difference *float64 `json:"difference_mg_m2"`
}

type missing struct {
	Table *string `json:"table"`
	Check *string `json:"check"`
	Tests int     `json:"tests"`
}

type daySets struct {
	Date   *string `json:"date"`
	Tests  int     `json:"tests"`
	Needed int     `json:"needed"`
	Could  []int   `json:"could"`
	Stated *int    `json:"stated"`
}

type whatIf struct {
	If          string  `json:"if"`
	Value       *string `json:"value"`
	Explanation *string `json:"explanation"`
	Tests       later   `json:"tests"`
	Values      later   `json:"values_mg_m2"`
	Verdicts    later   `json:"verdicts"`
	Passes      int     `json:"passes"`
	Fails       int     `json:"fails"`
	Open        int     `json:"not_established"`
}

type advice struct {
	Kind  string `json:"kind"`
	Tests later  `json:"tests"`
	Count *int   `json:"count"`
}

// audit is the conclusion; nil, and so null, where there is none.
func (x *exporter) audit(a *audit.Report) *auditPart {
	if a == nil {
		return nil
	}
	c := &a.Counts
	out := &auditPart{
		Stands: a.Stands(), Tests: c.Tests, Blanks: c.Blanks, Agreement: map[string]int{},
		Explained: explained{c.Explained.Once, c.Explained.Severally, c.Explained.Not, c.Shared},
		TooHigh:   c.TooHigh, TooLow: c.TooLow, Verdicts: []verdicts{}, Changed: x.numbers(a.Changed),
		Missing: []missing{}, Sets: []daySets{}, WhatIf: []whatIf{}, Questions: []string{}, Advice: []advice{},
	}
	for k, n := range c.Agreement {
		out.Agreement[assess.Agreement(k).String()] = n
	}
	for was := range c.Verdicts {
		for is, n := range c.Verdicts[was] {
			if n > 0 {
				out.Verdicts = append(out.Verdicts, verdicts{writtenVerdict(assess.Verdict(was)), assess.Verdict(is).String(), n})
			}
		}
	}
	if a.Largest >= 0 {
		l := &a.Lines[a.Largest]
		out.Largest = &largest{check.Number(a.Lines, l.Index), number(audit.Off(l), true)}
	}
	for _, m := range a.Missing {
		out.Missing = append(out.Missing, missing{some(m.Table), some(m.Check), m.Tests})
	}
	for _, s := range a.Sets {
		out.Sets = append(out.Sets, daySets{day(s.Date), s.Tests, s.Needed, slices.Clone(s.Could), positive(s.Stated)})
	}
	for i := range a.WhatIfs {
		out.WhatIf = append(out.WhatIf, x.whatIf(&a.WhatIfs[i]))
	}
	say := func(key string, data any) string {
		text, err := x.Words.Say(key, data)
		if err != nil && x.unsaid == nil {
			x.unsaid = err
		}
		return text
	}
	out.Questions = append(out.Questions, a.Asked(say, x.Words.List)...)
	for _, v := range a.Advice {
		out.Advice = append(out.Advice, advice{v.Kind.String(), x.numbers(v.Tests), positive(v.Count)})
	}
	return out
}

func (x *exporter) whatIf(w *audit.WhatIf) whatIf {
	then := func(spell func(*writer, *audit.Then)) later {
		return func(to *writer) { to.items(len(w.Then), func(i int) { spell(to, &w.Then[i]) }) }
	}
	return whatIf{If: w.Kind.String(), Value: supposed(w.Value), Explanation: some(w.Slip), Tests: x.numbers(w.Tests),
		Values:   then(func(to *writer, t *audit.Then) { to.float(float64(t.Value), true) }),
		Verdicts: then(func(to *writer, t *audit.Then) { to.string(t.Verdict.String()) }),
		Passes:   w.Passes, Fails: w.Fails, Open: w.Open}
}

// supposed is the value of a supposition with its unit, null where it has none.
func supposed(v any) *string {
	var s string
	switch v := v.(type) {
	case unit.Volume:
		s = fmt.Sprintf("%g ml", float64(v))
	case unit.PatchArea:
		s = fmt.Sprintf("%g mm2", float64(v))
	case salt.Comparison:
		return name(comparisons, v)
	case salt.Basis:
		return name(bases, v)
	case salt.RuleKind:
		return name(rules, v)
	}
	return some(s)
}

// writtenVerdict is the verdict that a log leaves its reader with, null where
// it leaves none.
func writtenVerdict(v assess.Verdict) *string {
	if v == assess.NotEstablished {
		return nil
	}
	return some(v.String())
}

func positive(n int) *int {
	if n <= 0 {
		return nil
	}
	return &n
}
