package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/table"
)

// agreementWord is an agreement in the words of the sheet.
func (k *corrector) agreementWord(a assess.Agreement) string {
	return k.say("agreement-"+hyphens(a.String()), nil)
}

// agreement says by formula how the written value stands to the recomputed
// one. It agrees where rounding gives its digits, either way at a tie: away
// from zero or to the even digit. It agrees only through unseen digits where
// the digits of the readings and its own allow one density.
func (r *row) agreement() table.Entry {
	g := r.Line.Test.Recorded()
	said := r.agreementWord(r.Agreement)
	agrees, unseen := literal(r.agreementWord(assess.Agrees)), literal(r.agreementWord(assess.AgreesThroughUnseenDigits))
	not := literal(r.agreementWord(assess.DoesNotFollow))
	var formula string
	switch {
	case g.Known() && r.live:
		same := []string{r.rounds("density")}
		could := []string{r.overlaps("low", "high")}
		if r.At25().Known {
			same, could = append(same, r.rounds("at-25")), append(could, r.overlaps("low-25", "high-25"))
		}
		if len(r.Limits()) > 0 && r.Limits()[0].Limit.Basis == salt.SodiumChloride {
			same = append(same, r.rounds("as-sodium-chloride"))
		}
		formula = fmt.Sprintf("IF(%s,%s,IF(%s,%s,%s))", either(same), agrees, either(could), unseen, not)
	case g.State == record.Below && (r.live || r.Density.Bounded):
		same := []string{fmt.Sprintf("ROUND(%s-%s,9)<=0", r.at("high"), r.at("written"))}
		if r.live {
			same = append(same, fmt.Sprintf("ROUND(%s-%s,9)<0", r.at("density"), r.at("written")))
		}
		formula = fmt.Sprintf("IF(%s,%s,IF(ROUND(%s-%s,9)<0,%s,%s))", either(same), agrees, r.at("low"), r.at("written"), unseen, not)
	case r.Agreement == assess.NotRecorded:
		return long(said)
	default:
		return long(said).As(table.Undecided)
	}
	if r.open {
		formula = fmt.Sprintf("IF(ISNUMBER(%s),%s,%s)", r.at("volume"), formula, literal(said))
	}
	e := table.Computed(formula, said, "").As(table.Result)
	e.Wrapped = true
	return e
}

// rounds is the condition that a value rounds to the written one.
func (r *row) rounds(column string) string {
	v, w, step := r.at(column), r.at("written"), r.at("written-step")
	return fmt.Sprintf("OR(ROUND(ROUND(%[1]s/%[3]s,9),0)=ROUND(%[2]s/%[3]s,0),AND(ROUND(ABS(%[1]s-%[2]s)/%[3]s,9)=0.5,MOD(ROUND(%[2]s/%[3]s,0),2)=0))", v, w, step)
}

// overlaps is the condition that some density lies between two bounds and
// within half a step of the written value.
func (r *row) overlaps(low, high string) string {
	w, step := r.at("written"), r.at("written-step")
	return fmt.Sprintf("AND(ROUND(%s-%[3]s-%[4]s/2,9)<=0,ROUND(%[2]s-%[3]s+%[4]s/2,9)>=0)", r.at(low), r.at(high), w, step)
}

func either(conditions []string) string {
	if len(conditions) == 1 {
		return conditions[0]
	}
	return "OR(" + strings.Join(conditions, ",") + ")"
}

// marked says by sign and word how the written value differs.
func (r *row) marked() table.Entry {
	g := r.Line.Test.Recorded()
	than, density := r.at("density"), r.Density.Value
	switch {
	case r.live && (g.Known() || g.State == record.Below):
	case r.Density.Bounded && g.State == record.Below:
		than = r.at("low")
		density, _ = r.Span()
	default:
		return table.Entry{}
	}
	higher, lower, unseen := r.say("mark-higher", nil), r.say("mark-lower", nil), r.say("mark-unseen", nil)
	said := ""
	switch {
	case r.Agreement == assess.AgreesThroughUnseenDigits:
		said = unseen
	case r.Agreement == assess.DoesNotFollow && g.Val > density:
		said = higher
	case r.Agreement == assess.DoesNotFollow:
		said = lower
	}
	a := r.at("agreement")
	e := table.Computed(fmt.Sprintf(`IF(%s=%s,IF(%s>%s,%s,%s),IF(%[1]s=%[7]s,%[8]s,""))`, a, literal(r.agreementWord(assess.DoesNotFollow)),
		r.at("written"), than, literal(higher), literal(lower),
		literal(r.agreementWord(assess.AgreesThroughUnseenDigits)), literal(unseen)), said, "").As(table.Result)
	e.Wrapped = true
	return e
}

// over is how far the i-th limit is exceeded, to nine decimals, behind which
// only binary noise is left.
func (r *row) over(i int, column string) table.Entry {
	if i >= len(r.Limits()) || !r.judgedByFormula() || column == "at-25" && !r.At25().Known {
		return table.Entry{}
	}
	j := r.Limits()[i]
	if j.Limit.Basis == salt.SodiumChloride {
		column = "as-sodium-chloride"
	}
	x, value := r.at(column), float64(r.Density.Value)
	switch column {
	case "at-25":
		value = float64(r.At25().Value)
	case "as-sodium-chloride":
		value = float64(r.sodiumChloride())
	}
	if step := j.Limit.Rounding; step.Step.Sign() > 0 {
		s := r.sheet.cells.limits[i].rounding
		even := fmt.Sprintf("ROUND(%s/%s,9)", x, s)
		rounded := fmt.Sprintf("ROUND(%s,0)", even)
		if step.ToEven {
			rounded = fmt.Sprintf("IF(MOD(ABS(%s),1)=0.5,2*ROUND(%[1]s/2,0),%s)", even, rounded)
		}
		x = s + "*" + rounded
		value = rounding(value, step)
	}
	return r.formula(fmt.Sprintf("ROUND(%s-%s,9)", x, r.limitCell(i)), math.Round((value-float64(j.Limit.Value))*1e9)/1e9, "")
}

// rounding is a value rounded as the contract says.
func rounding(v float64, r salt.Rounding) float64 {
	step := r.Step.Float()
	q := math.Round(v/step*1e9) / 1e9
	if r.ToEven {
		return step * math.RoundToEven(q)
	}
	return step * math.Round(q)
}

// limitCell is the cell of the i-th limit of the row.
func (r *row) limitCell(i int) string {
	if i == 0 {
		return r.at("limit")
	}
	return r.sheet.cells.limits[i].value
}

// judgedByFormula reports whether the verdict by the numbers is one of density
// against limits, which a formula can draw. Where it rests on more, the cell
// names the reason and no formula pretends.
func (r *row) judgedByFormula() bool {
	if !r.OfSteel() || !r.live || len(r.Limits()) == 0 || len(r.Limits()) > len(r.sheet.cells.limits) {
		return false
	}
	guarded := r.Report.Basis.Rule != salt.Simple && r.Report.Basis.Rule != salt.RuleNotStated
	for i, j := range r.Limits() {
		l, of := j.Limit, r.sheet.cells.limits[i].limit
		sodium := l.Basis == salt.SodiumChloride
		switch {
		case len(l.Gaps) > 0, l.Comparison != of.Comparison, l.Rounding != of.Rounding:
			return false
		case !sodium && l.Basis != salt.TotalSalts:
			return false
		case sodium && (guarded || r.At25().Known):
			return false
		case guarded && (!r.Report.Basis.Expanded.Known || l.Rounding.Step.Sign() > 0):
			return false
		}
	}
	return true
}

// byNumber is the verdict that follows from the numbers of the row alone.
func (r *row) byNumber() table.Entry {
	if !r.OfSteel() {
		return none()
	}
	if !r.judgedByFormula() {
		return long(r.say("see", map[string]any{"Verdict": r.verdict(r.ByNumber), "Why": r.why()})).As(table.Undecided)
	}
	var fails, passes []string
	for i := range r.Limits() {
		exceeds, conforms := r.against(i, fmt.Sprintf("over-%d", i+1))
		fails, passes = append(fails, exceeds), append(passes, conforms)
		if r.At25().Known {
			_, conforms := r.against(i, fmt.Sprintf("over-25-%d", i+1))
			passes = append(passes, conforms)
		}
	}
	// An extract below its blank by more than a step is no result of zero.
	passes = append(passes, fmt.Sprintf("ROUND(%s+MAX(%s,%s),9)>=0", r.at("difference"), r.at("blank-step"), r.at("extract-step")))
	said := r.verdict(r.ByNumber)
	formula := fmt.Sprintf("IF(%s,%s,IF(AND(%s),%s,%s))", either(fails), literal(r.verdict(assess.Fail)),
		strings.Join(passes, ","), literal(r.verdict(assess.Pass)), literal(r.verdict(assess.NotEstablished)))
	if r.open {
		said = r.say("see", map[string]any{"Verdict": r.verdict(r.ByNumber), "Why": r.why()})
		formula = fmt.Sprintf("IF(ISNUMBER(%s),%s,%s)", r.at("volume"), formula, literal(said))
	}
	e := table.Computed(formula, said, "").As(table.Result)
	e.Wrapped = true
	return e
}

// against gives the conditions that a density is above the i-th limit, and
// that it conforms to it, under the decision rule. Over is the column of how
// far the limit is exceeded.
func (r *row) against(i int, over string) (exceeds, conforms string) {
	d, c := r.at(over), r.sheet.cells.limits[i].comparison
	above := func(d string) string { return fmt.Sprintf("OR(%s>0,AND(%[1]s=0,%s=%s))", d, c, literal(lessThan)) }
	within := func(d string) string { return fmt.Sprintf("OR(%s<0,AND(%[1]s=0,%s=%s))", d, c, literal(atMost)) }
	exceeds, conforms = above(d), within(d)
	u := r.sheet.cells.expanded
	switch r.Report.Basis.Rule {
	case salt.Guarded:
		conforms = within(fmt.Sprintf("ROUND(%s+%s,9)", d, u))
	case salt.GuardedRejection:
		exceeds = above(fmt.Sprintf("ROUND(%s-%s,9)", d, u))
	}
	return exceeds, conforms
}

// why says on what the verdict by the numbers rests, where that is more than
// a density against a limit.
func (r *row) why() string {
	var all []string
	for _, reason := range r.Reasons() {
		if reason != assess.WrittenFail {
			all = append(all, r.text("report/reason-"+reason.String(), nil))
		}
	}
	if len(all) > 0 {
		return r.Words.Clauses(all)
	}
	is := func(b salt.Basis) bool {
		return slices.ContainsFunc(r.Limits(), func(j assess.Judgement) bool { return j.Limit.Basis == b })
	}
	switch {
	case r.Density.Bounded:
		return r.say("why-bounded", nil)
	case is(salt.ChlorideIon):
		return r.say("why-chloride", nil)
	case r.At25().Known && is(salt.SodiumChloride):
		return r.say("why-at-25", nil)
	}
	return r.say("why-guarded", nil)
}

// asWritten is the verdict that the log leaves its reader with.
func (r *row) asWritten() table.Entry {
	g := r.Line.Test.RecordedVerdict()
	if r.UnreadVerdict() || g.Known() && !strings.EqualFold(g.Text, r.verdict(r.AsWritten())) {
		r.found = append(r.found, r.say("found-verdict", quoted(r.corrector, g)))
	}
	if !r.OfSteel() || r.AsWritten() == assess.NotEstablished {
		return none()
	}
	return long(r.verdict(r.AsWritten()))
}

// after is the verdict that is left when the findings have taken away theirs.
func (r *row) after() table.Entry {
	if !r.OfSteel() {
		return none()
	}
	return long(r.verdict(r.Verdict))
}

// changed says by sign and word that the verdict is not the written one.
func (r *row) changed() table.Entry {
	if !r.OfSteel() || r.AsWritten() == assess.NotEstablished {
		return table.Entry{}
	}
	word, said := r.say("mark-verdict", nil), ""
	if r.AsWritten() != r.Verdict {
		said = word
	}
	e := table.Computed(fmt.Sprintf(`IF(%s=%s,"",%s)`, r.at("as-written"), r.at("after"), literal(word)), said, "").As(table.Result)
	e.Wrapped = true
	return e
}
