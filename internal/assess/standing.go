package assess

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// A Standing is how an area stands at the end of a day.
type Standing struct {
	Name  string       // as the area table, else the first test, spells it; "" where the log has no areas
	Area  *record.Area // nil where the area table does not have it
	Tests []int        // its tests on steel, in the order of Result.Lines

	Rule          record.Given[salt.SamplingRule] // the area's own, else the job's
	Required      int
	RequiredKnown bool
	Valid         int // original tests that came out PASS or FAIL, by themselves or by their repeat
	Short         int // Required less Valid, where that is above zero

	Passes, Fails, NotEstablished, Voids int // of Tests, whatever they were made for

	Superseded    []int        // void or not established, and replaced by a repeat that came out PASS or FAIL
	Open, Cleared []Chain      // by their fails; Open holds the treated ones too
	First         Found        // at first test: what was there before anything was done about it
	AsCoated      Found        // see asCoated
	Coverage      float64      // at least this share of such spots conforms, with 95 % confidence; NaN where it may not be said
	Touched       unit.Percent // of the steel, under the patches of established tests; NaN without a size

	MissingSpotTypes []string // asked for, and not among the valid tests
	Verdict          AreaVerdict
	Reasons          []AreaReason // why it is not accepted
}

// An AreaReason is one reason why an area is not accepted.
type AreaReason struct {
	Kind    AreaReasonKind
	Tests   []int // those concerned
	Finding int   // index into Result.Findings; −1 for none
}

// An AreaReasonKind names a reason why an area is not accepted.
type AreaReasonKind int

const (
	OpenFails        AreaReasonKind = iota // → NOT ACCEPTED; all below → NOT ESTABLISHED
	TooFewTests                            // Short
	NoSamplingRule                         // none is recorded
	RequiredUnknown                        // the rule cannot be applied: size or items are not recorded
	UnprovenTests                          // tests that are not established and were not repeated
	SpotTypesMissing                       // MissingSpotTypes
	FailedControl                          // a finding against the area as a whole
)

// stand counts the tests of an area.
func (h *history) stand(s *Standing) {
	for _, i := range s.Tests {
		switch h.Lines[i].Verdict {
		case Pass:
			s.Passes++
		case Fail:
			s.Fails++
		case Void:
			s.Voids++
		default:
			s.NotEstablished++
		}
		if h.superseded(i) {
			s.Superseded = append(s.Superseded, i)
		}
	}
	h.sample(s)
}

// sample counts the tests that count towards the number required.
func (h *history) sample(s *Standing) {
	terms := &h.Job.Terms
	s.Rule = terms.Sampling
	size := record.Given[unit.SteelArea]{}
	if s.Area != nil {
		size = s.Area.Size
		s.Rule = firstKnown(s.Area.Sampling, terms.Sampling)
	}
	if s.Rule.Known() {
		// An area is one item: a plate, a block, a spool.
		n, err := s.Rule.Val.Required(size.Val, 1)
		s.Required, s.RequiredKnown = n, err == nil
	}
	for _, i := range s.Tests {
		if h.Lines[i].Kind() == record.Original && h.established(i) {
			s.Valid++
		}
	}
	if s.RequiredKnown {
		s.Short = max(0, s.Required-s.Valid)
	}
	for _, wanted := range terms.SpotTypes.Val {
		spotType := record.Folded(wanted)
		if !slices.ContainsFunc(s.Tests, func(i int) bool { return h.isOf(i, spotType) }) {
			s.MissingSpotTypes = append(s.MissingSpotTypes, wanted)
		}
	}
}

// isOf reports whether test i is a valid test of a type of spot: "weld" is
// found in "weld toe", not in "welder's gate".
func (h *history) isOf(i int, spotType string) bool {
	v := h.Lines[i].Verdict
	return (v == Pass || v == Fail) && strings.Contains(" "+h.spots[i]+" ", " "+spotType+" ")
}

// describe works out the statistics.
func (h *history) describe(s *Standing) {
	tests := make([]int, 0, s.Passes+s.Fails)
	touched := 0.0
	for _, i := range s.Tests {
		l := &h.Lines[i]
		if l.Verdict == Pass || l.Verdict == Fail {
			touched += float64(salt.Touched(1, l.PatchArea().Val, 1))
			if h.asCoated(i) {
				tests = append(tests, i)
			}
		}
	}
	s.First, s.AsCoated = h.Result.describe(h.first(s)), h.Result.describe(tests)
	s.Touched = unit.Percent(math.NaN())
	if s.Area != nil && s.Area.Size.Known() && s.Area.Size.Val > 0 {
		s.Touched = unit.Percent(touched / float64(s.Area.Size.Val))
	}
	s.Coverage = h.coverage(s)
}

// asCoated reports whether an established test describes the steel as it
// would be coated: passes, the retests that cleared a fail instead of the
// fail, and fails that nothing was done about. Fails before their treatment
// and witness duplicates are left out.
func (h *history) asCoated(i int) bool {
	l, link, begun := &h.Lines[i], h.link(i), h.chain(i)
	switch {
	case begun != nil:
		return begun.State == Open && begun.FailedRetests == 0
	case l.Verdict == Fail: // a failed retest: the steel as it is if it was the last word
		return slices.ContainsFunc(link.of, func(n int) bool {
			c := h.chain(n)
			return c != nil && c.State == Open && h.lastFail(c) == i
		})
	case link.role == record.Witness:
		return false
	case link.role == record.Retest:
		return slices.ContainsFunc(link.of, func(n int) bool {
			c := h.chain(n)
			return c != nil && c.ClearedBy == i
		})
	}
	return true
}

func (h *history) lastFail(c *Chain) int {
	for _, i := range slices.Backward(c.Retests) {
		if h.Lines[i].Verdict == Fail {
			return i
		}
	}
	return c.Fail
}

// coverage is the distribution-free statement. It may be made only of spots
// chosen at random of which every one passed at its first valid test.
func (h *history) coverage(s *Standing) float64 {
	if h.Job.Terms.SpotsChosen.Val != record.AtRandom || s.Fails > 0 || s.Valid == 0 {
		return math.NaN()
	}
	p, err := stat.CoverageWithoutFailure(s.Valid, 0.95)
	if err != nil {
		return math.NaN()
	}
	return p
}

// conclude draws the verdict of an area: an open fail outweighs what is
// missing, and what is missing outweighs any number of passes.
func (h *history) conclude(s *Standing) {
	because := func(kind AreaReasonKind, tests ...int) {
		s.Reasons = append(s.Reasons, AreaReason{kind, tests, -1})
	}
	open := make([]int, 0, len(s.Open))
	for i := range s.Open {
		open = append(open, s.Open[i].Fail)
	}
	if len(open) > 0 {
		because(OpenFails, open...)
	}
	switch {
	case !s.Rule.Known():
		because(NoSamplingRule)
	case !s.RequiredKnown:
		because(RequiredUnknown)
	case s.Short > 0:
		because(TooFewTests)
	}
	if unproven := h.unproven(s); len(unproven) > 0 {
		because(UnprovenTests, unproven...)
	}
	if len(s.MissingSpotTypes) > 0 {
		because(SpotTypesMissing)
	}
	key := record.Folded(s.Name)
	for _, f := range h.controls {
		if f.day <= h.last && f.areas[key] {
			s.Reasons = append(s.Reasons, AreaReason{FailedControl, nil, f.finding})
		}
	}
	switch {
	case len(open) > 0:
		s.Verdict = NotAccepted
	case len(s.Reasons) == 0:
		s.Verdict = AcceptedForSalt
	}
}

// unproven are the tests that establish nothing and that nothing replaced: no
// repeat, and no cleared chain that they were part of.
func (h *history) unproven(s *Standing) []int {
	var list []int
	for _, i := range s.Tests {
		if h.Lines[i].Verdict != NotEstablished || h.superseded(i) {
			continue
		}
		l := h.link(i)
		cleared := slices.ContainsFunc(l.of, func(n int) bool {
			c := h.chain(n)
			return c != nil && c.State == Cleared
		})
		if !cleared {
			list = append(list, i)
		}
	}
	return list
}
