package assess

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// said is all that a line says.
type said struct {
	Density, At25, Judged                 Density
	Low, High, JudgedLow, JudgedHigh      unit.SurfaceDensity
	Resolution, Difference                unit.Conductivity
	Volume                                Used[unit.Volume]
	Area                                  Used[unit.PatchArea]
	Factor, Conforms                      float64
	Exact                                 string
	Uncertainty                           salt.Budget
	SodiumChloride, ChlorideBound         unit.SurfaceDensity
	Limits                                []Judgement
	First                                 Judgement
	Limited                               bool
	Reasons                               []Reason
	Compensation                          Compensation
	Agreement                             Agreement
	Rounds, asRead, OfSteel, Doubtful     bool
	ByNumber, Verdict, Written, AsWritten Verdict
	Explanations                          int
}

func saidOf(l *Line) said {
	s := said{
		Density: l.Density, At25: l.At25(), Judged: l.Judged(), Resolution: l.Resolution(), Difference: l.Difference(),
		Volume: l.Volume(), Area: l.PatchArea(), Factor: l.Factor(), Conforms: l.Conforms(), Uncertainty: l.Uncertainty(),
		SodiumChloride: l.SodiumChloride(), ChlorideBound: l.ChlorideBound(), Limits: l.Limits(), Reasons: l.Reasons(),
		Compensation: l.Compensation, Agreement: l.Agreement, Rounds: l.Rounds, asRead: l.asRead, OfSteel: l.OfSteel(), Doubtful: l.Doubtful,
		ByNumber: l.ByNumber, Verdict: l.Verdict, Written: l.Written, AsWritten: l.AsWritten(), Explanations: len(l.Explanations()),
	}
	s.Low, s.High = l.Span()
	s.JudgedLow, s.JudgedHigh = l.JudgedSpan()
	if x := l.Exact().Rat(); x != nil {
		s.Exact = x.String()
	}
	s.First, s.Limited = l.First()
	// What is not known does not equal itself, and equal limits may stand in
	// two places.
	for _, x := range []*float64{&s.Conforms} {
		if *x != *x {
			*x = -1
		}
	}
	known := func(j *Judgement) {
		if j.Value != j.Value {
			j.Value = -1
		}
		if j.Limit != nil {
			limit := *j.Limit
			j.Limit = &limit
		}
	}
	known(&s.First)
	limits := s.Limits
	s.Limits = nil
	for _, j := range limits {
		known(&j)
		s.Limits = append(s.Limits, j)
	}
	return s
}

// A line that is worked out in whole numbers says what it would say if it were
// worked out the plain way: of every job that can be thought of, the common
// ones and those that only look like them.
func TestScaleSaysWhatIsPlain(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 6))
	scaled := 0
	for n := range 150 {
		job := likeJob(t, r)
		quick := bareRun(job, false)
		plain := bareRun(job, true)
		for i := range quick {
			if quick[i].account() == nil {
				scaled++
			}
			if got, want := saidOf(&quick[i]), saidOf(&plain[i]); !reflect.DeepEqual(got, want) {
				t.Fatalf("seed %d, job %d, row %d: %s less %s, written %s: said\n%+v\n, plainly\n%+v", seed, n, i,
					job.Tests[i].Extract().Dec, job.Tests[i].Blank().Dec, job.Tests[i].Recorded().Dec, got, want)
			}
		}
	}
	if scaled < 4_000 {
		t.Errorf("seed %d: only %d lines were worked out in whole numbers", seed, scaled)
	}
}

// bareRun works out the lines of a job, without checks.
func bareRun(job *record.Job, plainly bool) []Line {
	b := newBench(job)
	b.plainOnly = plainly
	r := &Result{Job: job, Lines: make([]Line, len(job.Tests))}
	b.work(r.Lines)
	b.explain(r.Lines)
	r.drawWritten()
	return r.Lines
}

// likeJob is a job of 200 tests that were made in one way or two, with values
// about its limit and written ones that follow, nearly follow, or do not.
func likeJob(t *testing.T, r *rand.Rand) *record.Job {
	pick := func(texts ...string) string { return texts[r.IntN(len(texts))] }
	job := newJob(t)
	limit := &job.Terms.Limits[0]
	limit.Value = number[unit.SurfaceDensity](t, pick("50", "50.0", "20", "48.6", "0"))
	limit.Value.Unit = "mg/m2"
	limit.Comparison = given([]salt.Comparison{salt.ComparisonNotStated, salt.AtMost, salt.LessThan}[r.IntN(3)])
	limit.Rounding = given([]salt.Rounding{{}, {Step: unit.Int(1)}, {Step: unit.Int(5), ToEven: true}}[r.IntN(3)])
	switch r.IntN(12) {
	case 0:
		job.Terms.Limits = nil
	case 1:
		limit.Basis = record.Given[salt.Basis]{}
	case 2:
		limit.Value.Unit = ""
	case 3:
		job.Terms.Limits = append(job.Terms.Limits, limitOf(t, "45"))
	case 4:
		limit.Basis = given(salt.SodiumChloride)
	case 5:
		job.Terms.DecisionRule = given([]salt.RuleKind{salt.Guarded, salt.GuardedRejection}[r.IntN(2)])
	case 6:
		job.Terms.DecisionRule = record.Given[salt.RuleKind]{}
	case 7:
		job.Terms.ExpandedUncertainty = number[unit.SurfaceDensity](t, pick("8.2", "5"))
	case 8:
		job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
	}
	job.Terms.Volume = number[unit.Volume](t, pick("3", "3.0", "10", "2.85", ""))
	job.Terms.PatchArea = number[unit.PatchArea](t, pick("1250", "625", "1227", ""))
	job.Meters = []record.Meter{{Serial: words("K 1"), Resolution: number[unit.Conductivity](t, pick("", "0.1", "0.5", "1", "0.25")), Accuracy: number[unit.Percent](t, pick("", "1", "0.5"))}}
	step := []int{0, -1, -2}[r.IntN(3)]
	middle := int64(20)
	for range -step {
		middle *= 10
	}
	for i := range 200 {
		test := reading(t, "2", "9")
		f := test.Own()
		f.Row = f.Row.At(i+2, 0)
		reads := func(around int64) record.Given[unit.Conductivity] {
			d := unit.Decimal{Coef: around/2 + r.Int64N(around+1), Exp: step}
			if r.IntN(20) == 0 {
				d = unit.Decimal{Coef: d.Coef * 10, Exp: step - 1}
			}
			return record.Given[unit.Conductivity]{State: record.Known, Dec: d, Val: unit.Conductivity(d.Float())}
		}
		f.Blank, f.Extract = reads(middle/10), reads(middle*2)
		f.Compensated = record.Given[bool]{}
		if r.IntN(4) == 0 {
			f.SolutionTemperature = number[unit.Temperature](t, pick("12", "24.5", "30"))
		}
		f.Meter = words(pick("K 1", "K 1", "K 1", ""))
		switch r.IntN(30) {
		case 0:
			f.Blank.State = record.Below
		case 1:
			f.Extract.State = record.Absent
		case 2:
			f.Volume = number[unit.Volume](t, pick("3", "2.9", "-", "??"))
		case 3:
			f.Kind = given(record.ProceduralBlank)
		case 4:
			f.Limit = number[unit.SurfaceDensity](t, "40")
			f.Limit.Unit = "mg/m2"
		case 5:
			f.Extract = f.Blank
		}
		k := salt.Factor(5, max(job.Terms.Volume.Val, 3), max(job.Terms.PatchArea.Val, 625))
		rho := k * float64(f.Extract.Val-f.Blank.Val)
		exp := -r.IntN(3)
		written := unit.Decimal{Coef: int64(rho*float64(unit.Decimal{Coef: 1, Exp: -exp}.Float()) + 0.5), Exp: exp}
		switch r.IntN(6) {
		case 0:
			written.Coef += int64(r.IntN(5)) - 2
		case 1:
			written.Coef *= int64(r.IntN(3))
		}
		f.Recorded = record.Given[unit.SurfaceDensity]{State: record.Known, Dec: written, Val: unit.SurfaceDensity(written.Float())}
		switch r.IntN(15) {
		case 0:
			f.Recorded = record.Given[unit.SurfaceDensity]{}
		case 1:
			f.Recorded.State = record.Below
		case 2:
			f.Recorded.State = record.Unreadable
		}
		f.RecordedVerdict = given(record.WrittenVerdict(r.IntN(4)))
		job.Tests = append(job.Tests, test)
	}
	return job
}
