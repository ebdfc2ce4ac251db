package audit

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/crew"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// The volumes of the two honest procedures: 3 ml where the injected water
// itself is read, 10 or 15 ml where the extract goes back to its beaker
// (common practice).
var (
	volumes = []unit.Volume{3, 10, 15}
	direct  = volumes[:1]
	beaker  = volumes[1:]
)

// neighbouringAreas are the patch areas next to the usual 1250 mm² (ISO
// 8502-6, from memory): half of it and twice.
var neighbouringAreas = []unit.PatchArea{625, 2500}

// whatIfs lists what would change the conclusion.
func (a *Report) whatIfs() []WhatIf {
	s := supposer{Report: a}
	for i := range a.Lines {
		if l := &a.Lines[i]; l.OfSteel() {
			s.now[l.ByNumber]++
		}
	}
	s.volume()
	s.injected()
	s.patchArea()
	s.terms()
	s.temperature()
	s.slips()
	s.digits()
	return s.found
}

// A supposer collects what would change the conclusion.
type supposer struct {
	*Report
	now   [assess.Void + 1]int // tests on steel by the verdict of their numbers
	found []WhatIf
}

func because(r assess.Reason) func(*assess.Line) bool {
	return func(l *assess.Line) bool { return l.Because(r) }
}

// volume supposes a volume where the record has none, and the volume of the
// procedure where the two do not go together.
func (s *supposer) volume() {
	silent := s.OnSteel(because(assess.NoVolume))
	against := s.spokenOf("volume-against-procedure")
	for _, ml := range volumes {
		s.suppose(WhatIf{Kind: VolumeWas, Value: ml}, silent, withVolume(ml))
	}
	byDirect, byBeaker := parted(against, func(i int) bool { return s.Basis.ProcedureOf(s.Lines[i].Test.Procedure()) == record.Direct })
	for _, ml := range direct {
		s.suppose(WhatIf{Kind: VolumeWas, Value: ml}, byDirect, withVolume(ml))
	}
	for _, ml := range beaker {
		s.suppose(WhatIf{Kind: VolumeWas, Value: ml}, byBeaker, withVolume(ml))
	}
}

// parted are the tests of which something holds, and the others.
func parted(tests []int, holds func(int) bool) (those, others []int) {
	for _, i := range tests {
		if holds(i) {
			those = append(those, i)
		} else {
			others = append(others, i)
		}
	}
	return those, others
}

// injected supposes the water that went in where the volume on the row looks
// like the water that came out: that of the test, or of a job that reads it
// directly. The check names the tests whose pass hangs on it; the value of
// every such row does.
func (s *supposer) injected() {
	if !slices.ContainsFunc(s.Findings, func(f assess.Finding) bool { return f.Check.Name == "recovered-as-volume" }) {
		return
	}
	job := s.Job.Terms.Volume
	wentIn := func(t *record.Test) record.Given[unit.Volume] {
		if !t.Injected().Known() && s.Basis.ProcedureOf(t.Procedure()) == record.Direct {
			return job
		}
		return t.Injected()
	}
	less := s.OnSteel(func(l *assess.Line) bool {
		in := wentIn(l.Test)
		return in.Known() && l.Test.Volume().Known() && l.Test.Volume().Val < in.Val
	})
	s.suppose(WhatIf{Kind: InjectedCounts}, less, change{instead: assess.Instead{Volume: wentIn}})
}

// spokenOf lists the tests on steel that a check found something of.
func (s *supposer) spokenOf(check string) []int {
	var tests []int
	for k := range s.Findings {
		if f := &s.Findings[k]; f.Check.Name == check {
			tests = append(tests, f.Tests...)
		}
	}
	slices.Sort(tests)
	return slices.DeleteFunc(slices.Compact(tests), func(i int) bool { return !s.Lines[i].OfSteel() })
}

// A change makes a record say something else: its terms, nil where it changes
// nothing of them, or its tests.
type change struct {
	terms   func(*record.Terms)
	instead assess.Instead
}

func withVolume(ml unit.Volume) change {
	is := given(ml)
	return change{instead: assess.Instead{Volume: func(*record.Test) record.Given[unit.Volume] { return is }}}
}

func withPatchArea(mm2 unit.PatchArea) change {
	return change{instead: assess.Instead{PatchArea: given(mm2)}}
}

// given is a value that is supposed: nobody wrote it.
func given[Q ~float64](q Q) record.Given[Q] {
	d, _ := unit.FromFloat(float64(q))
	return record.Given[Q]{Val: q, Dec: d, State: record.Known}
}

// patchArea supposes the next smaller and the next larger patch where the
// record does not say which was used. The density is in inverse proportion to
// it, so only tests that may come to the other side of their limit are judged
// again.
func (s *supposer) patchArea() {
	assumed := s.OnSteel(func(l *assess.Line) bool { return l.AssumesArea() && l.Judged().Known })
	for _, mm2 := range neighbouringAreas {
		again := s.again(withPatchArea(mm2))
		s.add(WhatIf{Kind: PatchAreaWas, Value: mm2}, assumed, func() judge {
			again := again()
			return func(l *assess.Line) Then {
				is := l.Judged().Value * unit.SurfaceDensity(l.PatchArea().Val/mm2)
				if s.mayCross(l, is) {
					return again(l)
				}
				return Then{is, l.ByNumber}
			}
		})
	}
}

// mayCross reports whether a limit of a test may lie between its density and
// what that would be. A limit of total salts under the simple rule does if it
// is between the numbers; for what another basis, rule or rounding, or a
// reading referred to 25 °C, makes of them there is room to twice as far.
func (s *supposer) mayCross(l *assess.Line, is unit.SurfaceDensity) bool {
	was := l.Judged().Value
	for j := range l.EachLimit {
		room := unit.SurfaceDensity(2)
		if s.Basis.Rule == salt.Simple && j.Limit.Basis == salt.TotalSalts && j.Limit.Rounding.Step.Sign() <= 0 && !l.At25().Known {
			room = 1
		}
		if min(was, is) <= j.Limit.Value*room && max(was, is)*room >= j.Limit.Value {
			return true
		}
	}
	return false
}

// terms supposes what the record does not say of the limit and of the rule.
func (s *supposer) terms() {
	equal := s.OnSteel(because(assess.NoComparison))
	for _, c := range []salt.Comparison{salt.AtMost, salt.LessThan} {
		s.suppose(WhatIf{Kind: ComparisonIs, Value: c}, equal, ofLimits(func(l *record.Limit) {
			l.Comparison = record.Given[salt.Comparison]{Val: c, State: record.Known}
		}))
	}
	open := s.OnSteel(because(assess.NoLimitBasis))
	for _, b := range []salt.Basis{salt.TotalSalts, salt.SodiumChloride} {
		s.suppose(WhatIf{Kind: BasisIs, Value: b}, open, ofLimits(func(l *record.Limit) {
			if !l.Basis.Known() {
				l.Basis = record.Given[salt.Basis]{Val: b, State: record.Known}
			}
		}))
	}
	if !s.Basis.RuleStated && s.Basis.Expanded.Known {
		near := s.OnSteel(func(l *assess.Line) bool {
			for j := range l.EachLimit {
				if j.Near {
					return true
				}
			}
			return false
		})
		s.suppose(WhatIf{Kind: RuleIs, Value: salt.Guarded}, near, change{terms: func(t *record.Terms) {
			t.DecisionRule = record.Given[salt.RuleKind]{Val: salt.Guarded, State: record.Known}
		}})
	}
}

// ofLimits changes every limit of the job.
func ofLimits(f func(*record.Limit)) change {
	return change{terms: func(t *record.Terms) {
		t.Limits = slices.Clone(t.Limits)
		for i := range t.Limits {
			f(&t.Limits[i])
		}
	}}
}

// temperature supposes that a meter of which the record does not say so did
// not compensate: then its readings are referred to 25 °C, by the correction
// of the contract, else by the usual 2 % per kelvin.
func (s *supposer) temperature() {
	unknown := s.OnSteel(func(l *assess.Line) bool {
		return l.Compensation == assess.CompensationUnknown && l.Test.SolutionTemperature().Known() && l.Density.Known && !l.At25().Known
	})
	s.suppose(WhatIf{Kind: NotCompensated}, unknown, change{
		terms: func(t *record.Terms) {
			if !t.Correction.Known() {
				t.Correction = record.Given[salt.Correction]{Val: salt.Correction{Kind: salt.Linear, Alpha: 2}, State: record.Known}
			}
		},
		instead: assess.Instead{NotCompensated: true},
	})
}

// slips supposes of each slip that may lie in the rows that the written
// values are right.
func (s *supposer) slips() {
	type key struct{ name, detail string }
	var order []key
	tests, first := map[key][]int{}, map[key]slip.Explanation{}
	for i := range s.Lines {
		l := &s.Lines[i]
		if !l.OfSteel() || l.Agreement != assess.DoesNotFollow {
			continue
		}
		for _, e := range l.Explanations() {
			k := key{e.Name, e.Detail}
			if !e.InRow() || e.Kind == slip.Keying {
				continue // a finger slips once: the row stands by itself in the table
			}
			if _, known := first[k]; !known {
				order = append(order, k)
				first[k] = e
			}
			if n := len(tests[k]); n == 0 || tests[k][n-1] != i {
				tests[k] = append(tests[k], i)
			}
		}
	}
	for _, k := range order {
		switch args := first[k].Args; v := args["Volume"].(type) {
		case unit.Volume:
			s.suppose(WhatIf{Kind: VolumeWas, Value: v, Slip: k.name}, tests[k], withVolume(v))
			continue
		default:
			if mm2, ok := args["PatchArea"].(unit.PatchArea); ok {
				s.suppose(WhatIf{Kind: PatchAreaWas, Value: mm2, Slip: k.name}, tests[k], withPatchArea(mm2))
				continue
			}
			s.add(WhatIf{Kind: ValueRight, Value: args, Slip: k.name}, tests[k], alike(func(l *assess.Line) Then {
				return Then{l.Test.Recorded().Val, l.Written}
			}))
		}
	}
}

// digits supposes the digits that the readings do not show at their worst, for
// tests on which they decide.
func (s *supposer) digits() {
	undecided := s.OnSteel(func(l *assess.Line) bool {
		first, limited := l.First()
		return limited && l.Density.Known && len(first.Limit.Gaps) == 0 && !first.Decided &&
			(l.ByNumber == assess.Pass || l.ByNumber == assess.Fail)
	})
	s.add(WhatIf{Kind: UnseenDigits}, undecided, alike(func(l *assess.Line) Then {
		low, high := l.JudgedSpan()
		if l.ByNumber == assess.Pass {
			return Then{high, assess.Fail}
		}
		return Then{low, assess.Pass}
	}))
}

// suppose judges tests again as if the record said something else.
func (s *supposer) suppose(w WhatIf, tests []int, c change) {
	if len(tests) > 0 {
		s.add(w, tests, s.again(c))
	}
}

// A judge says what a test would be. It is asked of one test after the other.
type judge func(*assess.Line) Then

// alike makes judges of one that may be asked of tests side by side.
func alike(j judge) func() judge { return func() judge { return j } }

// again makes judges of the numbers of a test alone, as if the record said
// something else.
func (s *supposer) again(c change) func() judge {
	job := *s.Job
	if c.terms != nil {
		c.terms(&job.Terms)
	}
	supposed := assess.Suppose(&job, c.instead)
	return func() judge {
		supposed := supposed.Beside()
		return func(l *assess.Line) Then {
			again := supposed.Judge(l.Test)
			then := Then{unit.SurfaceDensity(math.NaN()), again.ByNumber}
			if judged := again.Judged(); judged.Known {
				then.Value = judged.Value
			}
			return then
		}
	}
}

// add adds w with those of the tests that it would change; nothing where it
// would change none. Mostly all change, and then w has the list as it is.
func (s *supposer) add(w WhatIf, tests []int, judges func() judge) {
	then := make([]Then, len(tests))
	type part struct {
		same []int // of tests: those that stay as they are
		more [assess.Void + 1]int
	}
	parts := crew.Gather(len(tests), func(from, to int) (p part) {
		judge := judges()
		for n := from; n < to; n++ {
			l := &s.Lines[tests[n]]
			t, judged := judge(l), l.Judged()
			if t.Verdict == l.ByNumber && (judged.Known == !math.IsNaN(float64(t.Value))) && (!judged.Known || t.Value == judged.Value) {
				p.same = append(p.same, n)
				continue
			}
			then[n] = t
			p.more[l.ByNumber]--
			p.more[t.Verdict]++
		}
		return p
	})
	count := s.now
	var same []int
	for _, p := range parts {
		same = append(same, p.same...)
		for v, more := range p.more {
			count[v] += more
		}
	}
	w.Tests, w.Then = without(tests, same), without(then, same)
	if len(w.Tests) == 0 || s.supposed(&w) {
		return
	}
	w.Passes, w.Fails, w.Open = count[assess.Pass], count[assess.Fail], count[assess.NotEstablished]
	s.found = append(s.found, w)
}

// without is a list without those at some places: where there are none, itself.
func without[T any](list []T, places []int) []T {
	if len(places) == 0 {
		return slices.Clip(list)
	}
	rest := make([]T, 0, len(list)-len(places))
	from := 0
	for _, n := range places {
		rest = append(rest, list[from:n]...)
		from = n + 1
	}
	return append(rest, list[from:]...)
}

// supposed reports whether the same is supposed already, on other grounds.
func (s *supposer) supposed(w *WhatIf) bool {
	if w.Kind != VolumeWas && w.Kind != PatchAreaWas {
		return false
	}
	return slices.ContainsFunc(s.found, func(o WhatIf) bool {
		return o.Kind == w.Kind && o.Value == w.Value && slices.Equal(o.Tests, w.Tests)
	})
}
