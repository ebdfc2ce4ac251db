package report

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// identification says whose job this is and which day.
func (c *composer) identification() []doc.Block {
	t := &c.job.Terms
	var areas []string
	for _, s := range c.standing {
		if c.tested(s) && s.Name != "" {
			areas = append(areas, s.Name)
		}
	}
	shift, weather := c.say("format/not-recorded", nil), t.Weather
	if c.day != nil {
		if c.day.ShiftStarted.Known() && c.day.ShiftEnded.Known() {
			shift = c.day.ShiftStarted.Val.String() + "–" + c.day.ShiftEnded.Val.String()
		}
		if c.day.Weather.Known() {
			weather = c.day.Weather
		}
	}
	var fields []doc.Field
	add := func(key, value string) {
		fields = append(fields, doc.Labelled(c.say("report/label-"+key, nil), doc.Plain(value)))
	}
	given := func(key string, w record.Words, must bool) {
		if must || w.State != record.Absent {
			add(key, written(c, w))
		}
	}
	given("job", t.JobNumber, true)
	given("client", t.Client, true)
	given("contractor", t.Contractor, true)
	given("site", t.Site, true)
	given("structure", t.Structure, true)
	given("owner", t.Owner, false)
	given("contract", t.Contract, false)
	given("title", t.Title, false)
	given("plan", t.InspectionPlan, false)
	add("date", c.dayName())
	add("shift", shift)
	add("weather", written(c, weather))
	if len(areas) > 0 {
		add("areas", c.Words.List(areas))
	}
	add("report", c.say("report/report-number", map[string]any{"Number": c.reportNumber(), "Revision": c.revision()}))
	blocks := []doc.Block{doc.Fields{Columns: 3, Items: fields}}
	if c.day != nil && c.day.WhatChanged.Known() {
		blocks = append(blocks, c.para("report/revision-changed", map[string]any{"Revision": c.revision(), "What": c.day.WhatChanged.Val})...)
	}
	return blocks
}

func (c *composer) reportNumber() string {
	if c.day == nil {
		return ""
	}
	return c.day.ReportNumber.OrZero()
}

func (c *composer) revision() string {
	if c.day == nil {
		return ""
	}
	return c.day.Revision.OrZero()
}

// shortRevision is the revision in the running head; "" where there is none.
func (c *composer) shortRevision() string {
	if r := c.revision(); r != "" {
		return c.say("report/revision-short", r)
	}
	return ""
}

// tested reports whether an area has a test on the day.
func (c *composer) tested(s *assess.Standing) bool { return len(c.today(s)) > 0 }

// result is the box that answers in ten seconds which areas stand, against
// which limit, and what must happen next.
func (c *composer) result() []doc.Block {
	blocks := c.limits()
	var begun, untouched []*assess.Standing
	for _, s := range c.standing {
		if len(s.Tests) > 0 {
			begun = append(begun, s)
		} else {
			untouched = append(untouched, s)
		}
	}
	blocks = append(blocks, c.areaTable(begun))
	blocks = append(blocks, doc.Paragraph{Text: doc.Fine(c.say("report/count-note", nil))})
	if len(untouched) > 0 {
		var names []string
		for _, s := range untouched {
			names = append(names, c.areaName(s.Name))
		}
		blocks = append(blocks, c.para("report/untested", c.Words.List(names))...)
	}
	blocks = append(blocks, doc.Paragraph{Text: doc.Strong(c.say("report/next-title", nil))}, doc.List{Items: c.next(begun)})
	blocks = append(blocks, c.para("report/release", c.job.Terms.InspectionPlan.Known())...)
	return []doc.Block{doc.Box{Title: c.say("report/result-title", c.Words.Date(c.Date)), Blocks: blocks}}
}

// limits states each limit, or that there is none.
func (c *composer) limits() []doc.Block {
	if len(c.Result.Basis.Limits) == 0 {
		return []doc.Block{doc.Paragraph{Text: doc.Strong(c.say("report/result-limit-missing", nil))}}
	}
	var blocks []doc.Block
	for _, l := range c.Result.Basis.Limits {
		blocks = append(blocks, doc.Paragraph{Text: doc.Join(
			doc.Plain(c.say("report/result-limit", nil)+" "), doc.Strong(c.limitLine(l)))})
	}
	return blocks
}

// limitLine states a limit with all that its comparison needs.
func (c *composer) limitLine(l assess.Limit) string {
	rounding := c.say("report/rounding-unrounded", nil)
	if l.Rounding.Step.Coef != 0 {
		rounding = c.say("report/rounding-step", unit.With(c.Words.Spelling().Decimal(l.Rounding.Step), unit.OfDensity))
	}
	return c.say("report/limit-line", map[string]any{
		"Value": c.limitValue(l), "Basis": c.basisName(l.Basis), "Comparison": c.comparisonName(l.Comparison),
		"Rounding": rounding, "Clause": c.clause(l.Clause),
	})
}

// clause names a clause; one that is only numbered gets the word before it.
func (c *composer) clause(s string) string {
	if s != "" && '0' <= s[0] && s[0] <= '9' {
		return c.say("report/clause", s)
	}
	return s
}

// limitValue is the value of a limit with its unit; as written, where it cannot
// be read.
func (c *composer) limitValue(l assess.Limit) string {
	switch {
	case l.Exact.Coef == 0:
		return l.Text
	case slices.Contains(l.Gaps, assess.NoLimitUnit):
		return c.say("report/limit-without-unit", l.Text)
	}
	return unit.With(c.Words.Spelling().Decimal(l.Exact), unit.OfDensity)
}

func (c *composer) basisName(b salt.Basis) string {
	return c.say(map[salt.Basis]string{
		salt.BasisNotStated: "report/basis-not-stated",
		salt.TotalSalts:     "report/basis-total-salts",
		salt.SodiumChloride: "report/basis-sodium-chloride",
		salt.ChlorideIon:    "report/basis-chloride",
	}[b], nil)
}

func (c *composer) comparisonName(x salt.Comparison) string {
	switch x {
	case salt.AtMost:
		return c.say("report/comparison-at-most", nil)
	case salt.LessThan:
		return c.say("report/comparison-less-than", nil)
	}
	return c.say("report/comparison-not-stated", nil)
}

// areaTable is the table of the result box.
func (c *composer) areaTable(areas []*assess.Standing) doc.Table {
	count := func(key string, n func(*assess.Standing) int) doc.Col[*assess.Standing] {
		return doc.Right(c.say(key, nil), "", func(s *assess.Standing) string { return c.bare(n(s)) })
	}
	cols := []doc.Col[*assess.Standing]{
		doc.Rich(c.say("report/head-area", nil), "", doc.AlignLeft, func(s *assess.Standing) doc.Text {
			return doc.Strong(c.areaName(s.Name))
		}),
		doc.Rich(c.say("report/head-verdict", nil), "", doc.AlignLeft, func(s *assess.Standing) doc.Text {
			return doc.Marked(areaMarks[s.Verdict], doc.Strong(keepTogether(c.areaVerdict(s.Verdict))))
		}),
		doc.Right(c.say("report/head-tests", nil), "", func(s *assess.Standing) string {
			if !s.RequiredKnown {
				return "?"
			}
			return c.bare(s.Required)
		}),
		count("report/head-valid", func(s *assess.Standing) int { return s.Valid }),
		count("report/head-pass", func(s *assess.Standing) int { return s.Passes }),
		count("report/head-fail", func(s *assess.Standing) int { return s.Fails }),
		count("report/head-open", func(s *assess.Standing) int { return len(s.Open) }),
		count("report/head-not-established", func(s *assess.Standing) int { return s.NotEstablished }),
		count("report/head-void", func(s *assess.Standing) int { return s.Voids }),
		doc.Decimal(strings.TrimSpace(c.say("report/head-max", nil)+" "+c.comparedHead()), "mg/m²", func(s *assess.Standing) string {
			if l := c.highest(s); l != nil {
				return c.comparedText(l)
			}
			return "–"
		}),
		doc.Left(c.say("report/head-where", nil), "", func(s *assess.Standing) string {
			if l := c.highest(s); l != nil {
				return c.say("report/at-test", map[string]any{"Test": c.number(l.Index), "Location": l.Test.Location().OrZero()})
			}
			return ""
		}),
	}
	return doc.Tabulate(cols, areas)
}

// highest is the test of an area with the highest density, whatever became of
// it since: the reader asks how bad it was. A void is none.
func (c *composer) highest(s *assess.Standing) *assess.Line {
	top, height := -1, math.Inf(-1)
	for _, i := range s.Tests {
		if h := c.index.heights[i]; h > height {
			top, height = i, h
		}
	}
	if top < 0 {
		return nil
	}
	return &c.Result.Lines[top]
}

// count says how many tests the day had and how they came out.
func (c *composer) count() string {
	n := map[string]int{}
	for _, l := range c.lines {
		if !l.OfSteel() {
			n["Blanks"]++
			continue
		}
		n["Tests"]++
		switch l.Verdict {
		case assess.Pass:
			n["Pass"]++
		case assess.Fail:
			n["Fail"]++
		case assess.Void:
			n["Void"]++
		default:
			n["NotEstablished"]++
		}
	}
	data := map[string]any{"Day": c.dayName()}
	for _, k := range []string{"Tests", "Pass", "Fail", "Void", "NotEstablished", "Blanks"} {
		data[k] = n[k]
	}
	return c.say("report/count", data)
}

// keepTogether makes a phrase unbreakable.
func keepTogether(s string) string { return strings.ReplaceAll(s, " ", nbsp) }
