package report

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/assess"
	"saltline/internal/doc"
)

// next lists what must happen next: for each area what is open in it, then
// what holds back coating whatever the salt says.
func (c *composer) next(areas []*assess.Standing) []doc.Item {
	var steps []string
	for _, s := range areas {
		steps = append(steps, c.areaSteps(s)...)
	}
	for _, a := range c.ambientRows() {
		if a.Hold {
			steps = append(steps, c.say("report/next-hold", map[string]any{"When": c.when(a), "Why": c.holdReason(a)}))
		}
	}
	if len(steps) == 0 {
		return []doc.Item{doc.Entry("", doc.Plain(c.say("report/next-none", nil)))}
	}
	items := make([]doc.Item, len(steps))
	for i, s := range steps {
		items[i] = doc.Entry(strconv.Itoa(i+1), doc.Plain(s))
	}
	return items
}

// areaSteps says what must happen in one area.
func (c *composer) areaSteps(s *assess.Standing) []string {
	area := c.areaName(s.Name)
	var steps []string
	for i := range s.Open {
		chain := &s.Open[i]
		l := &c.Result.Lines[chain.Fail]
		steps = append(steps, c.say("report/next-open", map[string]any{
			"Area": area, "Location": written(c, l.Test.Location), "Test": c.number(chain.Fail),
			"Density": c.density(l), "Steps": strings.Join(c.chainSteps(chain), ", "),
		}))
	}
	for _, r := range s.Reasons {
		switch r.Kind {
		case assess.TooFewTests:
			steps = append(steps, c.say("report/next-short", map[string]any{
				"Area": area, "Count": s.Short, "Valid": s.Valid, "Required": s.Required}))
		case assess.NoSamplingRule, assess.RequiredUnknown:
			steps = append(steps, c.say("report/next-no-rule", map[string]any{"Area": area, "Why": c.whyNoRule(r.Kind)}))
		case assess.UnprovenTests:
			steps = append(steps, c.unprovenSteps(area, r.Tests)...)
		case assess.SpotTypesMissing:
			steps = append(steps, c.say("report/next-missing-spots", map[string]any{
				"Area": area, "Spots": c.Words.List(s.MissingSpotTypes)}))
		case assess.FailedControl:
			if r.Finding >= 0 {
				steps = append(steps, c.say("report/next-control", map[string]any{
					"Area": area, "Finding": c.findingTitle(&c.Result.Findings[r.Finding])}))
			}
		}
	}
	return steps
}

// onPaper are the reasons that a better record mends: the steel need not be
// tested again for them.
var onPaper = map[assess.Reason]string{
	assess.NoLimit:      "report/record-limit",
	assess.NoLimitUnit:  "report/record-limit",
	assess.NoLimitBasis: "report/record-limit",
	assess.NoVolume:     "report/record-volume",
}

// unprovenSteps says what unproven tests need: the record completed, or the
// test repeated.
func (c *composer) unprovenSteps(area string, tests []int) []string {
	var steps []string
	var repeat []int
	record := map[string][]int{}
	for _, i := range tests {
		key := ""
		for _, r := range c.Result.Lines[i].Reasons {
			key = cmp.Or(key, onPaper[r])
		}
		if key == "" {
			repeat = append(repeat, i)
			continue
		}
		record[key] = append(record[key], i)
	}
	for _, key := range slices.Sorted(maps.Keys(record)) {
		steps = append(steps, c.say(key, map[string]any{
			"Area": area, "Count": len(record[key]), "Tests": c.numbers(record[key])}))
	}
	if len(repeat) > 0 {
		steps = append(steps, c.say("report/next-not-established", map[string]any{
			"Area": area, "Count": len(repeat), "Tests": strings.Join(c.groupedByWhy(repeat), "; ")}))
	}
	return steps
}

// groupedByWhy names tests with what stands against them: "27 and 29 (F2)".
func (c *composer) groupedByWhy(tests []int) []string {
	groups := map[string][]int{}
	var order []string
	for _, i := range tests {
		why := c.whyUnproven(i)
		if groups[why] == nil {
			order = append(order, why)
		}
		groups[why] = append(groups[why], i)
	}
	var out []string
	for _, why := range order {
		s := c.numbers(groups[why])
		if why != "" {
			s += " (" + why + ")"
		}
		out = append(out, s)
	}
	return out
}

func (c *composer) whyNoRule(k assess.AreaReasonKind) string {
	if k == assess.NoSamplingRule {
		return c.say("report/why-no-rule", nil)
	}
	return c.say("report/why-no-size", nil)
}

// whyUnproven names the reasons why a test is not established: findings by
// their mark, and what the numbers alone leave open.
func (c *composer) whyUnproven(i int) string {
	var why []string
	seen := map[string]bool{}
	add := func(s string) {
		if s != "" && !seen[s] {
			seen[s] = true
			why = append(why, s)
		}
	}
	l := &c.Result.Lines[i]
	for _, r := range l.Reasons {
		add(c.reason(r))
	}
	for _, n := range l.Findings {
		f := &c.Result.Findings[n]
		if f.Severity == assess.UnprovenPass || f.Severity == assess.VoidsTest {
			if mark := c.mark[f]; mark != "" {
				add(mark)
			} else {
				add(lowerFirst(c.findingTitle(f))) // of another day
			}
		}
	}
	return strings.Join(why, ", ")
}

// lowerFirst puts a title inside a sentence.
func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}

// reason says why numbers alone establish nothing.
func (c *composer) reason(r assess.Reason) string { return c.say("report/reason-"+r.String(), nil) }

// chainSteps says what an open fail still needs, in the order of doing it.
func (c *composer) chainSteps(chain *assess.Chain) []string {
	var treat, retest bool
	adjacent := 0
	for _, o := range chain.Obstacles {
		switch o.Kind {
		case assess.NoTreatment, assess.RetestFailed:
			treat, retest = true, true
		case assess.TreatmentEndUnknown, assess.TreatmentOrderUnknown:
			retest = true
		case assess.RetestBeforeEnd, assess.RetestTooSoon, assess.NoRetest, assess.RetestNotEstablished,
			assess.SameFootprint, assess.LocationUnknown:
			retest = true
		case assess.TooFewAdjacent:
			adjacent = o.Count
		}
	}
	var steps []string
	if chain.CauseReview() {
		steps = append(steps, c.say("report/step-cause", nil))
	}
	if treat {
		steps = append(steps, c.say("report/step-treat", nil))
	}
	if retest {
		steps = append(steps, c.say("report/step-retest", nil))
	}
	if treat && adjacent == 0 { // after a new treatment the neighbours are tested anew
		adjacent = int(c.Result.Basis.Value(assess.AdjacentTests))
	}
	if adjacent > 0 {
		steps = append(steps, c.say("report/step-adjacent", adjacent))
	}
	return steps
}

// whyNot names in short why an area is not accepted.
func (c *composer) whyNot(s *assess.Standing) []string {
	var why []string
	if len(s.Open) > 0 {
		var fails []int
		for i := range s.Open {
			fails = append(fails, s.Open[i].Fail)
		}
		why = append(why, c.say("report/why-open", map[string]any{"Count": len(fails), "Tests": c.numbers(fails)}))
	}
	for _, r := range s.Reasons {
		switch r.Kind {
		case assess.TooFewTests:
			why = append(why, c.say("report/why-short", map[string]any{"Valid": s.Valid, "Required": s.Required}))
		case assess.NoSamplingRule, assess.RequiredUnknown:
			why = append(why, c.whyNoRule(r.Kind))
		case assess.UnprovenTests:
			why = append(why, c.say("report/why-unproven", map[string]any{"Count": len(r.Tests), "Tests": c.numbers(r.Tests)}))
		case assess.SpotTypesMissing:
			why = append(why, c.say("report/why-spots", c.Words.List(s.MissingSpotTypes)))
		case assess.FailedControl:
			if r.Finding >= 0 {
				why = append(why, c.findingTitle(&c.Result.Findings[r.Finding]))
			}
		}
	}
	return why
}
