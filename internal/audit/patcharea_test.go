package audit_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// What a test would be on another patch is what it is in a record that says so,
// whether it is judged again for that or seen not to reach its limit.
func TestOnAnotherPatch(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	for _, rule := range []salt.RuleKind{salt.Simple, salt.Guarded, salt.GuardedRejection} {
		for _, basis := range []salt.Basis{salt.TotalSalts, salt.SodiumChloride} {
			for _, step := range []int64{0, 5} {
				for _, correction := range []salt.CorrectionKind{salt.NoCorrection, salt.Linear} {
					job := jobOf(rnd, rule, basis, step, correction)
					onAnotherPatch(t, job)
				}
			}
		}
	}
}

// Long lists are judged in stretches, side by side, and come together again.
func TestOnAnotherPatchInALongLog(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	job := jobOf(rnd, salt.Simple, salt.TotalSalts, 0, salt.NoCorrection)
	for range 5 { // 9600 tests
		job.Tests = append(job.Tests, job.Tests...)
	}
	for i := range job.Tests {
		if rnd.IntN(50) == 0 { // 0 mg/m² is as much on any patch
			job.Tests[i].Own().Extract = job.Tests[i].Own().Blank
		}
	}
	onAnotherPatch(t, job)
}

// jobOf is a job of 300 tests of 3 ml about its limit of 50 mg/m², half of it
// and twice, that does not say which patch was used.
func jobOf(rnd *rand.Rand, rule salt.RuleKind, basis salt.Basis, step int64, correction salt.CorrectionKind) *record.Job {
	job := new(record.Job)
	job.Terms.Volume = known(unit.Volume(3), unit.Int(3))
	job.Terms.DecisionRule = record.Given[salt.RuleKind]{Val: rule, State: record.Known}
	job.Terms.Correction = record.Given[salt.Correction]{Val: salt.Correction{Kind: correction, Alpha: 2}, State: record.Known}
	limit := record.Limit{
		Value:      known(unit.SurfaceDensity(50), unit.Int(50)),
		Basis:      record.Given[salt.Basis]{Val: basis, State: record.Known},
		Comparison: record.Given[salt.Comparison]{Val: salt.Comparison(rnd.IntN(3)), State: record.Known},
		Rounding:   record.Given[salt.Rounding]{Val: salt.Rounding{Step: unit.Int(step)}, State: record.Known},
	}
	limit.Value.Unit = "mg/m²"
	job.Terms.Limits = []record.Limit{limit}
	for range 300 {
		rise := []float64{20.8, 41.7, 83.3}[rnd.IntN(3)] // 25, 50 and 100 mg/m² at 1.2 mg/m² per µS/cm
		test := record.NewTest()
		f := test.Own()
		f.Blank = tenths(20)
		f.Extract = tenths(20 + int64(rise*10) + rnd.Int64N(101) - 50)
		if rnd.IntN(4) > 0 {
			f.SolutionTemperature = known(unit.Temperature(15), unit.Int(15))
			f.Compensated = record.Given[bool]{Val: rnd.IntN(2) == 0, State: record.Known}
		}
		job.Tests = append(job.Tests, test)
	}
	return job
}

func tenths(n int64) record.Given[unit.Conductivity] {
	d := unit.Decimal{Coef: n, Exp: -1}
	return known(unit.Conductivity(d.Float()), d)
}

func known[Q any](v Q, d unit.Decimal) record.Given[Q] {
	return record.Given[Q]{Val: v, Dec: d, State: record.Known}
}

func onAnotherPatch(t *testing.T, job *record.Job) {
	t.Helper()
	a := audit.Of(assess.Run(job, nil))
	for _, mm2 := range []int64{625, 2500} {
		so := *job
		so.Tests = slices.Clone(job.Tests)
		so.Terms.PatchArea = known(unit.PatchArea(mm2), unit.Int(mm2))
		want := assess.Run(&so, nil).Lines
		at := slices.IndexFunc(a.WhatIfs, func(w audit.WhatIf) bool { return w.Kind == audit.PatchAreaWas && w.Value == unit.PatchArea(mm2) })
		if at < 0 {
			t.Fatalf("%d mm² is not supposed", mm2)
		}
		w := a.WhatIfs[at]
		passes := 0
		for i := range want {
			then := audit.Then{Value: a.Lines[i].Judged().Value, Verdict: a.Lines[i].ByNumber}
			if k, listed := slices.BinarySearch(w.Tests, i); listed {
				then = w.Then[k]
			}
			value := want[i].Judged().Value
			if then.Verdict != want[i].ByNumber || math.Abs(float64(then.Value-value)) > 1e-9*math.Abs(float64(value)) {
				t.Errorf("%v, %v: %v µS/cm on %d mm² is supposed to be %v, %v, and is %v, %v", job.Terms.DecisionRule.Val, job.Terms.Limits[0].Rounding.Val,
					job.Tests[i].Extract().Val, mm2, then.Value, then.Verdict, value, want[i].ByNumber)
			}
			if want[i].ByNumber == assess.Pass {
				passes++
			}
		}
		if w.Passes != passes {
			t.Errorf("%d passes on %d mm², want %d", w.Passes, mm2, passes)
		}
	}
}
