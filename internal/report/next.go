package report

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// next lists what must happen next: for each area what is open in it, then
// what holds back coating whatever the salt says.
func (c *composer) next(areas []*assess.Standing) []doc.Item {
	steps := c.recordSteps(areas)
	for _, s := range areas {
		steps = append(steps, c.areaSteps(s)...)
	}
	for _, a := range c.ambientRows() {
		if a.Hold {
			steps = append(steps, c.say("report/next-hold", map[string]any{"When": c.when(a), "Why": c.holdReason(a)}))
		}
	}
	if len(c.found) > 0 {
		steps = append(steps, c.say("report/next-findings", len(c.found)))
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
	if held := c.heldByLog(s); len(held) > 0 {
		steps = append(steps, c.say("report/next-held", map[string]any{"Area": area, "Count": len(held), "Tests": c.numbers(held)}))
	}
	steps = append(steps, c.openSteps(s)...)
	if due := c.coatingDue(s); due != nil {
		steps = append(steps, c.say("report/next-coating", due))
	}
	for _, r := range s.Reasons {
		switch r.Kind {
		case assess.TooFewTests:
			repeats := c.repeats(s)
			steps = append(steps, c.say("report/next-short", map[string]any{
				"Area": area, "Count": s.Short, "Valid": s.Valid, "Required": s.Required,
				"Repeats": repeats.count, "Tests": c.Words.Clauses(c.groupedByWhy(repeats))}))
		case assess.NoSamplingRule, assess.RequiredUnknown:
			steps = append(steps, c.say("report/next-no-rule", map[string]any{"Area": area, "Why": c.whyNoRule(r.Kind)}))
		case assess.UnprovenTests:
			if repeats := c.repeats(s); repeats.count > 0 && s.Short == 0 {
				steps = append(steps, c.say("report/next-not-established", map[string]any{
					"Area": area, "Count": repeats.count, "Tests": c.Words.Clauses(c.groupedByWhy(repeats))}))
			}
		case assess.SpotTypesMissing:
			steps = append(steps, c.say("report/next-missing-spots", map[string]any{
				"Area": area, "Spots": c.Words.List(s.MissingSpotTypes)}))
		case assess.FailedControl:
			if r.Finding >= 0 {
				steps = append(steps, c.say("report/next-control", map[string]any{
					"Area": area, "Finding": c.Words.Inside(c.findingTitle(&c.Result.Findings[r.Finding]))}))
			}
		}
	}
	return steps
}

// mendedBy are the reasons that a better record mends, with what it must hold:
// the steel need not be tested again for them.
var mendedBy = map[assess.Reason]string{
	assess.NoLimit:      "report/record-limit",
	assess.NoLimitUnit:  "report/record-limit-unit",
	assess.NoLimitBasis: "report/record-limit-basis",
	assess.NoVolume:     "report/record-volume",
}

// recordSteps says what the record must hold before its tests can be judged.
func (c *composer) recordSteps(areas []*assess.Standing) []string {
	missing := map[string][]int{}
	for _, s := range areas {
		for _, i := range s.Tests {
			if c.index.traits[i]&onPaper == 0 {
				continue
			}
			for _, r := range c.Result.Lines[i].Reasons() {
				if key := mendedBy[r]; key != "" {
					missing[key] = append(missing[key], i)
				}
			}
		}
	}
	var steps []string
	for _, key := range slices.Sorted(maps.Keys(missing)) {
		steps = append(steps, c.say(key, map[string]any{"Count": len(missing[key]), "Tests": c.numbers(missing[key])}))
	}
	return steps
}

// coatingDue says until when an accepted area is to be coated, where hours to
// coating are agreed; nil where they are not, or coating has begun. They run from
// the last of the tests that describe the area: a void or a duplicate for a
// witness prolongs nothing.
func (c *composer) coatingDue(s *assess.Standing) map[string]any {
	hours := c.job.Terms.HoursToCoating
	if s.Verdict != assess.AcceptedForSalt || !hours.Known() || s.Area != nil && s.Area.CoatingStarted.Known() {
		return nil
	}
	var last record.Moment
	for _, i := range s.AsCoated.Tests {
		t := c.Result.Lines[i].Test
		if !t.Date().Known() || !t.Read().Known() {
			return nil
		}
		if m := (record.Moment{Date: t.Date().Val, Clock: t.Read().Val, HasClock: true}); cmp.Or(
			last.Date.Compare(m.Date), cmp.Compare(last.Clock, m.Clock)) < 0 {
			last = m
		}
	}
	after := int(last.Clock) + int(hours.Val*3600)
	const day = 24 * 3600
	due := record.Moment{Date: last.Date.Add(after / day), Clock: unit.Clock(after % day), HasClock: true}
	return map[string]any{"Area": c.areaName(s.Name), "Until": c.moment(due), "Hours": c.Words.Figure(hours.Val),
		"Past": !c.Date.IsZero() && due.Date.Compare(c.Date) < 0}
}

// heldByLog are the tests of an area that the log calls a fail and that are
// not established to be one.
func (c *composer) heldByLog(s *assess.Standing) []int {
	var held []int
	for _, i := range s.Tests {
		if c.index.traits[i]&heldByText != 0 {
			held = append(held, i)
		}
	}
	return held
}

func (c *composer) whyNoRule(k assess.AreaReasonKind) string {
	if k == assess.NoSamplingRule {
		return c.say("report/why-no-rule", nil)
	}
	return c.say("report/why-no-size", nil)
}

// upperFirst puts a title at the beginning of one.
func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// reason says why numbers alone establish nothing.
func (c *composer) reason(r assess.Reason) string { return c.say("report/reason-"+r.String(), nil) }

// chainSteps says what an open fail still needs, in the order of doing it.
func (c *composer) chainSteps(chain *assess.Chain) []string {
	var treat, retest, which, unsaid bool
	var repeat []int // retests and adjacent tests that prove nothing as they are
	adjacent := 0
	for _, o := range chain.Obstacles {
		switch o.Kind {
		case assess.NoTreatment, assess.RetestFailed:
			treat, retest = true, true
		case assess.TreatmentEndUnknown, assess.TreatmentOrderUnknown, assess.RetestBeforeEnd, assess.RetestTooSoon,
			assess.NoRetest, assess.SameFootprint, assess.LocationUnknown, assess.OtherArea, assess.RetestFar:
			retest = true
		case assess.TreatmentUnsaid:
			unsaid, retest = true, true
		case assess.ReferenceUnclear, assess.TreatmentUnclear, assess.TreatmentOfOthers:
			which = true
		case assess.RetestNotEstablished, assess.AdjacentNotEstablished:
			repeat = append(repeat, o.Test)
		case assess.TooFewAdjacent:
			adjacent = o.Count
		}
	}
	for _, o := range chain.Obstacles {
		if o.Kind == assess.AdjacentNotEstablished {
			adjacent-- // its repeat supplies one of those missing
		}
	}
	var steps []string
	if chain.CauseReview() {
		steps = append(steps, c.say("report/step-cause", nil))
	}
	if which {
		steps = append(steps, c.say("report/step-which", nil))
	}
	if unsaid {
		steps = append(steps, c.say("report/step-unsaid", nil))
	}
	if treat {
		steps = append(steps, c.say("report/step-treat", nil))
	}
	if retest {
		steps = append(steps, c.say("report/step-retest", nil))
	}
	if len(repeat) > 0 && !retest {
		steps = append(steps, c.say("report/step-repeat", c.Words.Clauses(c.groupedByWhy(c.byReasons(repeat)))))
	}
	rule, _ := c.Result.Basis.Setting(assess.AdjacentTests)
	if treat && adjacent <= 0 { // after a new treatment the neighbours are tested anew
		adjacent = int(rule.Value)
	}
	if adjacent > 0 {
		steps = append(steps, c.say("report/step-adjacent", map[string]any{"Count": adjacent, "House": rule.House}))
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
				why = append(why, c.Words.Inside(c.findingTitle(&c.Result.Findings[r.Finding])))
			}
		}
	}
	return why
}
