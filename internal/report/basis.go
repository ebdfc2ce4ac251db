package report

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// dayBasis is the basis, and what the record does not hold of the day.
func (c *composer) dayBasis() []doc.Block {
	blocks := c.basis()
	if absent := c.absent(); len(absent) > 0 {
		blocks = append(blocks, c.para("report/absent", c.Words.List(absent))...)
	}
	return blocks
}

// basis says on what the tests are judged, what the record does not state of
// it, and what was assumed in its place.
func (c *composer) basis() []doc.Block {
	t := &c.job.Terms
	b := &c.Result.Basis
	var fields []doc.Field
	add := func(key, value string) {
		fields = append(fields, doc.Labelled(c.say("report/label-"+key, nil), doc.Plain(value)))
	}
	spec := written(c, t.Specification)
	if t.SpecificationRevision.Known() {
		spec += ", " + c.say("report/revision", t.SpecificationRevision.Val)
	}
	add("specification", spec)
	for i, l := range b.Limits {
		if i == 0 {
			add("limit", c.limitLine(l))
			continue
		}
		fields = append(fields, doc.Labelled(c.say("report/label-limit-n", i+1), doc.Plain(c.limitLine(l))))
	}
	add("procedure", c.procedure())
	add("volume", byRows(c, t.Volume, quantity(c, t.Volume), func(l *assess.Line) assess.Used[unit.Volume] { return l.Volume() }))
	add("patch-area", byRows(c, t.PatchArea, c.usedOr(t.PatchArea.State, quantity(c, t.PatchArea), "patch area"),
		func(l *assess.Line) assess.Used[unit.PatchArea] { return l.PatchArea() }))
	add("constant", c.usedOr(t.Constant.State, quantity(c, t.Constant), "constant"))
	add("contact", c.contact())
	add("correction", c.correction())
	add("rule", c.rule())
	add("sampling", c.sampling())
	add("chosen", c.chosen())
	add("retest", written(c, t.Retest))
	if h := t.HoursToCoating; h.Known() {
		add("hours", c.say("report/hours", c.Words.Figure(h.Val)))
	}
	add("uncertainty", quantity(c, t.ExpandedUncertainty))
	blocks := []doc.Block{c.heading("report/basis-title", anchorBasis), doc.Fields{Columns: 2, Items: fields}}
	if len(c.Result.Assumptions) > 0 {
		var items []doc.Item
		for _, a := range c.Result.Assumptions {
			items = append(items, doc.Entry("A"+c.bare(a.Number), doc.Plain(c.say("report/assumption", map[string]any{
				"Key": a.Key, "Value": a.Value}))))
		}
		blocks = append(blocks, doc.Group{Blocks: []doc.Block{
			doc.Paragraph{Text: doc.Strong(c.say("report/assumptions-title", nil))}, doc.List{Items: items}}})
	}
	for _, k := range c.job.Concessions {
		blocks = append(blocks, doc.Paragraph{Text: doc.Plain(c.say("report/concession", map[string]any{
			"For": written(c, k.For), "Clause": written(c, k.Clause), "By": written(c, k.By), "Date": cell(c, k.Date), "Text": written(c, k.Text)}))})
	}
	return blocks
}

// absent names the parts of a report of which the record holds nothing. They
// have no section of their own: what is missing stands in one place.
func (c *composer) absent() []string {
	var parts []string
	add := func(key string, missing bool) {
		if missing {
			parts = append(parts, c.say("report/absent-"+key, nil))
		}
	}
	add("meters", len(c.job.Meters) == 0)
	add("checks", !c.checkedToday())
	add("water", len(c.waterReadings()) == 0)
	add("ambient", len(c.ambientRows()) == 0)
	add("extracts", len(c.extractList()) == 0)
	add("remarks", len(c.diary()) == 0)
	return parts
}

// usedOr prints a value of the record, or what was assumed in its place.
func (c *composer) usedOr(state record.State, text, key string) string {
	if state != record.Absent {
		return text
	}
	for _, a := range c.Result.Assumptions {
		if a.Key == key {
			return c.Words.Clauses([]string{text, c.say("report/assumed", map[string]any{"Value": a.Value, "Mark": "A" + c.bare(a.Number)})})
		}
	}
	return text
}

func (c *composer) procedure() string {
	switch c.job.Terms.Procedure.Val {
	case record.Direct:
		return c.say("report/procedure-direct", nil)
	case record.BeakerReturn:
		return c.say("report/procedure-beaker", nil)
	}
	return written(c, c.job.Terms.Procedure)
}

func (c *composer) contact() string {
	t := &c.job.Terms
	s := quantity(c, t.ContactTime)
	if t.PumpCycles.Known() {
		s += ", " + c.say("report/cycles", t.PumpCycles.Val)
	}
	return s
}

func (c *composer) correction() string {
	switch k := c.Result.Basis.Correction; k.Kind {
	case salt.Linear:
		return c.say("report/correction-linear", k.Alpha)
	case salt.NaturalWater:
		return c.say("report/correction-natural", nil)
	}
	if c.job.Terms.Correction.Known() {
		return c.say("report/correction-none", nil)
	}
	return written(c, c.job.Terms.Correction)
}

func (c *composer) rule() string {
	s := c.say("report/rule-"+map[salt.RuleKind]string{
		salt.RuleNotStated:    "simple",
		salt.Simple:           "simple",
		salt.Guarded:          "guarded",
		salt.GuardedRejection: "guarded-rejection",
	}[c.Result.Basis.Rule], nil)
	if !c.Result.Basis.RuleStated {
		s = c.Words.Clauses([]string{s, c.say("report/rule-not-stated", nil)})
	}
	return s
}

// sampling is the job's rule as written, with those areas that have their own.
func (c *composer) sampling() string {
	parts := []string{written(c, c.job.Terms.Sampling)}
	for i := range c.job.Areas {
		if a := &c.job.Areas[i]; a.Sampling.Known() {
			parts = append(parts, c.say("report/area-rule", map[string]any{"Area": a.Name.OrZero(), "Rule": a.Sampling.Text}))
		}
	}
	return c.Words.Clauses(parts)
}

func (c *composer) chosen() string {
	switch c.job.Terms.SpotsChosen.Val {
	case record.AtRandom:
		return c.say("report/chosen-random", nil)
	case record.ByJudgement:
		return c.say("report/chosen-judgement", nil)
	}
	return written(c, c.job.Terms.SpotsChosen)
}

// settings lists the house settings that were in force, so that none of them
// passes for a requirement.
func (c *composer) settings() string {
	var list []string
	for _, s := range c.Result.Basis.Settings {
		if !s.House {
			continue
		}
		value := c.Words.Figure(s.Value)
		if s.Unit != "" {
			value += nbsp + s.Unit
		}
		list = append(list, strings.TrimPrefix(s.Key, "house ")+" "+value)
	}
	if len(list) == 0 {
		return ""
	}
	return c.say("report/settings", strings.Join(list, ", "))
}

// firstComputed is the first test of the day that has a density as read.
func (c *composer) firstComputed() *assess.Line {
	var first *assess.Line
	for _, l := range c.lines {
		switch {
		case !l.OfSteel() || !l.Density.Known:
		case !l.At25().Known:
			return l // what is worked out is what was judged
		case first == nil:
			first = l
		}
	}
	return first
}

// method is the method statement with the first test worked out in full.
func (c *composer) method() []doc.Block {
	t := &c.job.Terms
	sp := c.Words.Spelling()
	area := unit.With(sp.Decimal(unit.Int(1250)), unit.OfPatchArea)
	constant := unit.With("5", unit.OfConstant)
	volume := c.say("report/the-volume", nil)
	if t.Volume.Known() {
		volume = unit.With(sp.Decimal(t.Volume.Dec), unit.OfVolume)
	}
	l := c.firstComputed()
	if l != nil {
		area = unit.With(sp.Decimal(l.PatchArea().Dec), unit.OfPatchArea)
		constant = unit.With(sp.Decimal(l.Constant().Dec), unit.OfConstant)
	} else if t.PatchArea.Known() {
		area = unit.With(sp.Decimal(t.PatchArea.Dec), unit.OfPatchArea)
	}
	contact, cycles := "", 0
	if t.ContactTime.Known() {
		contact = unit.With(sp.Decimal(t.ContactTime.Dec), unit.OfTime)
	}
	if t.PumpCycles.Known() {
		cycles = t.PumpCycles.Val
	}
	basis, checks := c.say("report/basis-title", nil), c.checkedToday()
	if !c.ofDay {
		basis, checks = c.say("dossier/part-specification", nil), len(c.job.Checks) > 0
	}
	data := map[string]any{
		"Direct":   t.Procedure.Val == record.Direct,
		"Beaker":   t.Procedure.Val == record.BeakerReturn,
		"AtRandom": t.SpotsChosen.Val == record.AtRandom, "ByJudgement": t.SpotsChosen.Val == record.ByJudgement,
		"PatchArea": area, "Volume": volume, "Injected": volume, "Cycles": cycles, "Contact": contact,
		"Constant": constant, "ConstantStated": t.Constant.Known(), "Statement": t.MethodStatement.OrZero(),
		"Basis": basis, "Checks": checks,
	}
	blocks := []doc.Block{c.heading("method/title", "")}
	for _, part := range []string{"spots", "extraction", "calculation", "constant"} {
		blocks = append(blocks, c.small("method/"+part, data)...)
	}
	if l != nil {
		blocks = append(blocks, c.small("method/worked", c.workedOut(l))...)
	}
	if c.any(func(l *assess.Line) bool { return l.At25().Known }) {
		blocks = append(blocks, c.small("method/corrected", map[string]any{"Correction": c.correction()})...)
	}
	return append(blocks, c.small("method/editions", data)...)
}

// checkedToday reports whether the record holds a meter check of the day.
func (c *composer) checkedToday() bool {
	return slices.ContainsFunc(c.job.Checks, func(k record.MeterCheck) bool { return k.Date.Val == c.Date })
}

// workedOut is the arithmetic of one test.
func (c *composer) workedOut(l *assess.Line) map[string]any {
	sp := c.Words.Spelling()
	m := salt.Method{Constant: l.Constant().Dec, Volume: l.Volume().Dec, Area: l.PatchArea().Dec}
	difference := m.ExactDensity(l.Test.Blank().Dec, l.Test.Extract().Dec).Quo(m.ExactFactor())
	decimals := max(-l.Test.Blank().Dec.Exp, -l.Test.Extract().Dec.Exp, 0)
	return map[string]any{
		"Number": c.number(l.Index),
		"Blank":  sp.Decimal(l.Test.Blank().Dec), "Extract": sp.Decimal(l.Test.Extract().Dec), "Difference": sp.Ratio(difference, decimals),
		"Constant": sp.Decimal(l.Constant().Dec), "Volume": sp.Decimal(l.Volume().Dec), "Area": sp.Decimal(l.PatchArea().Dec),
		"Factor": c.digits(m.ExactFactor()), "Density": c.digits(l.Exact()),
	}
}

// digits prints x with the digits it needs, four decimals at most.
func (c *composer) digits(x unit.Ratio) string {
	s := c.Words.Spelling().Ratio(x, 4)
	if !strings.ContainsAny(s, ".,") {
		return s
	}
	return strings.TrimRight(strings.TrimRight(s, "0"), ".,")
}

// cautions are printed in the order in which their file has them.
func (c *composer) cautions() []doc.Block {
	var items []doc.Item
	for i, key := range cautionKeys {
		items = append(items, doc.Entry(c.bare(i+1), doc.Plain(c.say("cautions/"+key, nil))))
	}
	return []doc.Block{c.heading("cautions/title", anchorCautions), doc.List{Items: items}}
}

var cautionKeys = []string{"spot", "ions", "recovery", "limit", "record", "decision", "law", "safety", "standards", "signature"}
