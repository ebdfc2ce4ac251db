package audit

import (
	"math"
	"slices"

	"saltline/internal/assess"
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
	s := supposer{Report: a, now: map[assess.Verdict]int{}}
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
	now   map[assess.Verdict]int // tests on steel by the verdict of their numbers
	found []WhatIf
}

// tests lists the tests on steel for which a condition holds.
func (s *supposer) tests(holds func(*assess.Line) bool) []int {
	var all []int
	for i := range s.Lines {
		if l := &s.Lines[i]; l.OfSteel() && holds(l) {
			all = append(all, i)
		}
	}
	return all
}

func because(r assess.Reason) func(*assess.Line) bool {
	return func(l *assess.Line) bool { return slices.Contains(l.Reasons, r) }
}

// volume supposes a volume where the record has none, and the volume of the
// procedure where the two do not go together.
func (s *supposer) volume() {
	silent := s.tests(because(assess.NoVolume))
	against := s.tests(func(l *assess.Line) bool { return s.speaks(l, "volume-against-procedure") })
	for _, ml := range volumes {
		s.suppose(WhatIf{Kind: VolumeWas, Value: ml}, silent, withVolume(ml))
	}
	usual := beaker
	if s.Basis.Procedure == record.Direct {
		usual = direct
	}
	for _, ml := range usual {
		s.suppose(WhatIf{Kind: VolumeWas, Value: ml}, against, withVolume(ml))
	}
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
		if !t.Injected.Known() && s.Basis.Procedure == record.Direct {
			return job
		}
		return t.Injected
	}
	less := s.tests(func(l *assess.Line) bool {
		in := wentIn(l.Test)
		return in.Known() && l.Test.Volume.Known() && l.Test.Volume.Val < in.Val
	})
	s.suppose(WhatIf{Kind: InjectedCounts}, less, func(_ *record.Terms, t *record.Test) { t.Volume = wentIn(t) })
}

func (s *supposer) speaks(l *assess.Line, check string) bool {
	return slices.ContainsFunc(l.Findings, func(n int) bool { return s.Findings[n].Check.Name == check })
}

// A change makes a record say something else. It is given a test of its own,
// but not the groups of one.
type change func(*record.Terms, *record.Test)

func withVolume(ml unit.Volume) change {
	return func(_ *record.Terms, t *record.Test) { t.Volume = given(ml) }
}

func withPatchArea(mm2 unit.PatchArea) change {
	var was, is *record.Equipment // the tests of a job share theirs
	return func(_ *record.Terms, t *record.Test) {
		if t.Equipment != was {
			own := *t.Equipment
			own.PatchArea = given(mm2)
			was, is = t.Equipment, &own
		}
		t.Equipment = is
	}
}

// given is a value that is supposed: nobody wrote it.
func given[Q ~float64](q Q) record.Given[Q] {
	d, _ := unit.FromFloat(float64(q))
	return record.Given[Q]{Val: q, Dec: d, State: record.Known}
}

// patchArea supposes the next smaller and the next larger patch where the
// record does not say which was used. The density is in inverse proportion to
// it, so only tests that come to the other side of their limit are judged
// again.
func (s *supposer) patchArea() {
	assumed := s.tests(func(l *assess.Line) bool { return l.PatchArea.Assumed != 0 && l.Judged().Known })
	for _, mm2 := range neighbouringAreas {
		inProportion := func(l *assess.Line) unit.SurfaceDensity {
			return l.Judged().Value * unit.SurfaceDensity(l.PatchArea.Val/mm2)
		}
		crossing := slices.DeleteFunc(slices.Clone(assumed), func(i int) bool {
			l := &s.Lines[i]
			return !slices.ContainsFunc(l.Limits, func(j assess.Judgement) bool {
				const room = 2 // a limit may speak of another basis than the density
				was, is := l.Judged().Value, inProportion(l)
				return min(was, is) <= j.Limit.Value*room && max(was, is)*room >= j.Limit.Value
			})
		})
		w := WhatIf{Kind: PatchAreaWas, Value: mm2}
		again := s.judgeAgain(crossing, withPatchArea(mm2))
		s.add(w, assumed, func(l *assess.Line) Then {
			if then, judged := again[l.Index]; judged {
				return then
			}
			return Then{inProportion(l), l.ByNumber}
		})
	}
}

// terms supposes what the record does not say of the limit and of the rule.
func (s *supposer) terms() {
	equal := s.tests(because(assess.NoComparison))
	for _, c := range []salt.Comparison{salt.AtMost, salt.LessThan} {
		s.suppose(WhatIf{Kind: ComparisonIs, Value: c}, equal, ofLimits(func(l *record.Limit) {
			l.Comparison = record.Given[salt.Comparison]{Val: c, State: record.Known}
		}))
	}
	open := s.tests(because(assess.NoLimitBasis))
	for _, b := range []salt.Basis{salt.TotalSalts, salt.SodiumChloride} {
		s.suppose(WhatIf{Kind: BasisIs, Value: b}, open, ofLimits(func(l *record.Limit) {
			if !l.Basis.Known() {
				l.Basis = record.Given[salt.Basis]{Val: b, State: record.Known}
			}
		}))
	}
	if !s.Basis.RuleStated && s.Basis.Expanded.Known {
		near := s.tests(func(l *assess.Line) bool {
			return slices.ContainsFunc(l.Limits, func(j assess.Judgement) bool { return j.Near })
		})
		s.suppose(WhatIf{Kind: RuleIs, Value: salt.Guarded}, near, func(t *record.Terms, _ *record.Test) {
			t.DecisionRule = record.Given[salt.RuleKind]{Val: salt.Guarded, State: record.Known}
		})
	}
}

// ofLimits changes every limit of the job.
func ofLimits(f func(*record.Limit)) change {
	return func(t *record.Terms, _ *record.Test) {
		t.Limits = slices.Clone(t.Limits)
		for i := range t.Limits {
			f(&t.Limits[i])
		}
	}
}

// temperature supposes that a meter of which the record does not say so did
// not compensate: then its readings are referred to 25 °C, by the correction
// of the contract, else by the usual 2 % per kelvin.
func (s *supposer) temperature() {
	unknown := s.tests(func(l *assess.Line) bool {
		return l.Compensation == assess.CompensationUnknown && l.Test.SolutionTemperature.Known() && l.Density.Known && !l.At25().Known
	})
	s.suppose(WhatIf{Kind: NotCompensated}, unknown, func(terms *record.Terms, t *record.Test) {
		own := *t.Solution
		own.Compensated = record.Given[bool]{Val: false, State: record.Known}
		t.Solution = &own
		if !terms.Correction.Known() {
			terms.Correction = record.Given[salt.Correction]{Val: salt.Correction{Kind: salt.Linear, Alpha: 2}, State: record.Known}
		}
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
		for _, e := range l.Explanations {
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
			s.add(WhatIf{Kind: ValueRight, Value: args, Slip: k.name}, tests[k], func(l *assess.Line) Then {
				return Then{l.Test.Recorded.Val, l.Written}
			})
		}
	}
}

// digits supposes the digits that the readings do not show at their worst, for
// tests on which they decide.
func (s *supposer) digits() {
	undecided := s.tests(func(l *assess.Line) bool {
		return l.Density.Known && len(l.Limits) > 0 && len(l.Limits[0].Limit.Gaps) == 0 && !l.Limits[0].Decided &&
			(l.ByNumber == assess.Pass || l.ByNumber == assess.Fail)
	})
	s.add(WhatIf{Kind: UnseenDigits}, undecided, func(l *assess.Line) Then {
		if l.ByNumber == assess.Pass {
			return Then{l.Judged().High, assess.Fail}
		}
		return Then{l.Judged().Low, assess.Pass}
	})
}

// suppose judges tests again as if the record said something else.
func (s *supposer) suppose(w WhatIf, tests []int, f change) {
	again := s.judgeAgain(tests, f)
	s.add(w, tests, func(l *assess.Line) Then { return again[l.Index] })
}

// judgeAgain gives what the tests would be, by their index.
func (s *supposer) judgeAgain(tests []int, f change) map[int]Then {
	then := make(map[int]Then, len(tests))
	room := make([]record.Test, min(len(tests), supposedAtOnce))
	for part := range slices.Chunk(tests, supposedAtOnce) {
		for k, t := range judgeAgain(s.Result, part, room[:len(part)], f) {
			then[part[k]] = t
		}
	}
	return then
}

// supposedAtOnce bounds the memory of a supposition.
const supposedAtOnce = 4096

// judgeAgain judges tests again in the room given for them.
func judgeAgain(r *assess.Result, tests []int, room []record.Test, f change) []Then {
	job := *r.Job
	job.Tests = room
	for k, i := range tests {
		t := &job.Tests[k]
		*t = r.Job.Tests[i]
		t.Recorded = record.Given[unit.SurfaceDensity]{} // nothing is to be explained
		t.RecordedVerdict = record.Given[record.WrittenVerdict]{}
		f(&job.Terms, t)
	}
	again := assess.Run(&job, nil)
	then := make([]Then, len(tests))
	for k := range again.Lines {
		then[k] = Then{unit.SurfaceDensity(math.NaN()), again.Lines[k].ByNumber}
		if again.Lines[k].Judged().Known {
			then[k].Value = again.Lines[k].Judged().Value
		}
	}
	return then
}

// add adds w with those of the tests that it would change; nothing where it
// would change none.
func (s *supposer) add(w WhatIf, tests []int, then func(*assess.Line) Then) {
	count := map[assess.Verdict]int{}
	for v, n := range s.now {
		count[v] = n
	}
	for _, i := range tests {
		l := &s.Lines[i]
		t := then(l)
		if t.Verdict == l.ByNumber && (l.Judged().Known == !math.IsNaN(float64(t.Value))) && (!l.Judged().Known || t.Value == l.Judged().Value) {
			continue
		}
		w.Tests, w.Then = append(w.Tests, i), append(w.Then, t)
		count[l.ByNumber]--
		count[t.Verdict]++
	}
	if len(w.Tests) == 0 || s.supposed(&w) {
		return
	}
	w.Passes, w.Fails, w.Open = count[assess.Pass], count[assess.Fail], count[assess.NotEstablished]
	s.found = append(s.found, w)
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
