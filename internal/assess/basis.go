package assess

import (
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// The values that may stand in for what a record does not say. Each is the
// usual one (from memory: c of ISO 8502-9, compartment A-1250 of ISO 8502-6)
// and is numbered and printed wherever it is used. There is none for the
// volume: two honest procedures differ by a factor of five in it.
const (
	usualPatchArea = 1250 // mm²
	usualConstant  = 5    // kg·m⁻²·S⁻¹
	usualCoverage  = 2    // k, about 95 % (JCGM 100:2008, 6.2.2)
)

// settle works out what all tests are judged on.
func (b *bench) settle() {
	t := &b.job.Terms
	b.basis.Procedure = t.Procedure.Val
	b.basis.Correction = t.Correction.Val
	b.basis.Settings = settings(t)
	for i := range t.Limits {
		if t.Limits[i].Value.State == record.Absent {
			continue
		}
		b.basis.Limits = append(b.basis.Limits, b.limit(t.Limits[i], t.Limits[0]))
		if !firstKnown(t.Limits[i].Rounding, t.Limits[0].Rounding).Known() {
			b.assumeUnrounded()
		}
	}
	b.settleRule(t)
	b.settleUncertainty(t)
	b.constant = b.settleConstant(t)
	if !t.PatchArea.State.Silent() {
		area := used(t.PatchArea)
		b.patchArea = &area
	}
}

// limit states a limit in full. What the record does not say of a second or
// third limit is that of the first.
func (b *bench) limit(l, first record.Limit) Limit {
	out := Limit{
		Value:      l.Value.Val,
		Exact:      l.Value.Dec,
		Basis:      firstKnown(l.Basis, first.Basis).Val,
		Comparison: firstKnown(l.Comparison, first.Comparison).Val,
		Rounding:   firstKnown(l.Rounding, first.Rounding).Val,
		Text:       l.Value.Text,
		Clause:     firstKnown(l.Clause, first.Clause).Val,
		Pos:        l.Value.Pos,
	}
	switch {
	case !l.Value.Known():
		out.Gaps = append(out.Gaps, NoLimit)
	case l.Value.Unit == "":
		out.Gaps = append(out.Gaps, NoLimitUnit)
	}
	if out.Basis == salt.BasisNotStated {
		out.Gaps = append(out.Gaps, NoLimitBasis)
	}
	return out
}

// firstKnown is g where it is known, else the fallback.
func firstKnown[Q any](g, fallback record.Given[Q]) record.Given[Q] {
	if g.Known() {
		return g
	}
	return fallback
}

func (b *bench) assumeUnrounded() { b.assume("limit rounding", "unrounded") }

func (b *bench) settleRule(t *record.Terms) {
	b.basis.Rule = t.DecisionRule.Val
	b.basis.RuleStated = t.DecisionRule.Known() && b.basis.Rule != salt.RuleNotStated
	if !b.basis.RuleStated {
		b.basis.Rule = salt.Simple
		if len(b.basis.Limits) > 0 {
			b.assume("decision rule", "simple")
		}
	}
}

func (b *bench) settleUncertainty(t *record.Terms) {
	b.basis.Coverage = usualCoverage
	if t.CoverageFactor.Known() && t.CoverageFactor.Val > 0 {
		b.basis.Coverage = t.CoverageFactor.Val
	}
	if u := t.ExpandedUncertainty; u.Known() && u.Val > 0 {
		b.basis.Expanded = used(u)
		if !t.CoverageFactor.Known() {
			b.assume("coverage factor", "2")
		}
	}
}

func (b *bench) settleConstant(t *record.Terms) Used[unit.Constant] {
	switch c := t.Constant; {
	case c.Known():
		return used(c)
	case !c.State.Silent():
		return Used[unit.Constant]{Pos: c.Pos}
	}
	return Used[unit.Constant]{
		Val: usualConstant, Dec: unit.Int(usualConstant), Known: true,
		Assumed: b.assume("constant", "5 kg/(m²·S)"),
	}
}

// used takes a written value into the calculation. A volume, area or
// constant that is not above zero cannot be taken.
func used[Q any](g record.Given[Q]) Used[Q] {
	return Used[Q]{Val: g.Val, Dec: g.Dec, Known: g.Known() && g.Dec.Sign() > 0, Pos: g.Pos}
}

// assume returns the number of an assumption, adding it at its first use.
func (b *bench) assume(key, value string) int {
	for _, a := range b.assumptions {
		if a.Key == key {
			return a.Number
		}
	}
	n := len(b.assumptions) + 1
	b.assumptions = append(b.assumptions, Assumption{n, key, value})
	return n
}

// unnumbered is the number of an assumption before it has one.
const unnumbered = -1

// assumeOf adds what is assumed of single tests, in their order.
func (b *bench) assumeOf(lines []Line) {
	var first record.Limit
	if limits := b.job.Terms.Limits; len(limits) > 0 {
		first = limits[0]
	}
	for i := range lines {
		l := &lines[i]
		if l.made.usualArea && b.usualArea == unnumbered {
			b.usualArea = b.assume("patch area", "1250 mm²")
		}
		if l.At25().Known && !l.Test.BlankTemperature().Known() {
			b.assume("temperature of the blank", "that of the extract")
		}
		if l.OfSteel() && !first.Rounding.Known() && b.hasOwnLimit(l.Test) {
			b.assumeUnrounded()
		}
	}
}
