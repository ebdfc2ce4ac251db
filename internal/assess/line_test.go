package assess

import (
	"math"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// Where volume, area and constant come from, by the density they give with
// a difference of 10 µS/cm: K is 1.2, 4 and 6 for 3, 10 and 15 ml on
// 1250 mm² (common practice), and double on 625 mm².
func TestWhatIsUsed(t *testing.T) {
	for _, c := range []struct {
		name    string
		set     func(j *record.Job, test *record.Test)
		want    float64 // 0: no density
		assumed int
	}{
		{"job", func(j *record.Job, test *record.Test) {}, 40, 0},
		{"own volume", func(j *record.Job, test *record.Test) { test.Own().Volume = number[unit.Volume](t, "15") }, 60, 0},
		{"own volume not done", func(j *record.Job, test *record.Test) { test.Own().Volume = number[unit.Volume](t, "-") }, 40, 0},
		{"own volume unreadable", func(j *record.Job, test *record.Test) { test.Own().Volume = number[unit.Volume](t, "??") }, 0, 0},
		{"own volume zero", func(j *record.Job, test *record.Test) { test.Own().Volume = number[unit.Volume](t, "0") }, 0, 0},
		{"job before injected", func(j *record.Job, test *record.Test) {
			j.Terms.Procedure = given(record.Direct)
			test.Own().Injected = number[unit.Volume](t, "3.0")
		}, 40, 0},
		{"injected, direct", func(j *record.Job, test *record.Test) {
			j.Terms.Procedure, j.Terms.Volume = given(record.Direct), record.Given[unit.Volume]{}
			test.Own().Injected = number[unit.Volume](t, "3.0")
		}, 12, 0},
		{"injected, procedure not stated", func(j *record.Job, test *record.Test) {
			j.Terms.Volume = record.Given[unit.Volume]{}
			test.Own().Injected = number[unit.Volume](t, "3.0")
		}, 0, 0},
		{"injected, back to the beaker", func(j *record.Job, test *record.Test) {
			j.Terms.Procedure, j.Terms.Volume = given(record.BeakerReturn), record.Given[unit.Volume]{}
			test.Own().Injected = number[unit.Volume](t, "3.0")
		}, 0, 0},
		{"recovered is never the volume", func(j *record.Job, test *record.Test) {
			j.Terms.Procedure, j.Terms.Volume = given(record.Direct), record.Given[unit.Volume]{}
			test.Own().Recovered = number[unit.Volume](t, "2.6")
		}, 0, 0},
		{"own patch area", func(j *record.Job, test *record.Test) { test.Own().PatchArea = number[unit.PatchArea](t, "625") }, 80, 0},
		{"patch by name", func(j *record.Job, test *record.Test) {
			j.Terms.PatchArea = record.Given[unit.PatchArea]{}
			j.Patches = []record.Patch{{Batch: words("B 7"), Area: number[unit.PatchArea](t, "625")}}
			test.Own().Patch = words("b  7")
		}, 80, 0},
		{"patch area assumed", func(j *record.Job, test *record.Test) { j.Terms.PatchArea = record.Given[unit.PatchArea]{} }, 40, 1},
		{"constant assumed", func(j *record.Job, test *record.Test) { j.Terms.Constant = record.Given[unit.Constant]{} }, 40, 1},
		{"constant unreadable", func(j *record.Job, test *record.Test) { j.Terms.Constant = number[unit.Constant](t, "??") }, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, test := newJob(t), reading(t, "2.0", "12.0")
			c.set(job, &test)
			job.Tests = []record.Test{test}
			r := Run(job, nil)
			if got := float64(r.Lines[0].Density.Value); got != c.want {
				t.Errorf("density %v, want %v", got, c.want)
			}
			if len(r.Assumptions) != c.assumed {
				t.Errorf("assumptions %+v, want %d", r.Assumptions, c.assumed)
			}
		})
	}
}

// The emptiest record: one row and nothing else. Patch area and constant are
// assumed, in numbered sentences; no verdict follows.
func TestEmptiest(t *testing.T) {
	test := reading(t, "2", "42")
	test.Own().Volume = number[unit.Volume](t, "3")
	r := Run(&record.Job{Tests: []record.Test{test}}, nil)
	l := &r.Lines[0]
	// 5·100·3/1250·40 = 48 (common practice).
	if l.Density.Value != 48 || l.Verdict != NotEstablished {
		t.Errorf("got %v %v, want 48 NOT ESTABLISHED", l.Density.Value, l.Verdict)
	}
	if len(r.Assumptions) != 2 || l.PatchArea().Assumed != 2 || l.Constant().Assumed != 1 {
		t.Errorf("got %+v, patch area %d, constant %d", r.Assumptions, l.PatchArea().Assumed, l.Constant().Assumed)
	}
	if s := r.Standing(unit.Date{}); len(s) != 1 || s[0].Name != "" || s[0].Verdict != AreaNotEstablished {
		t.Errorf("got %+v, want one area without a name, NOT ESTABLISHED", s)
	}
}

func TestNoTests(t *testing.T) {
	r := Run(&record.Job{}, nil)
	if len(r.Lines) != 0 || len(r.Standing(unit.Date{})) != 0 {
		t.Errorf("got %+v", r)
	}
}

// What is not stated and nevertheless used is a numbered assumption.
func TestAssumptionsOfTheLimit(t *testing.T) {
	job := newJob(t)
	job.Terms.Limits[0].Comparison = record.Given[salt.Comparison]{}
	job.Terms.Limits[0].Rounding = record.Given[salt.Rounding]{}
	job.Terms.DecisionRule = record.Given[salt.RuleKind]{}
	job.Tests = []record.Test{reading(t, "1.6", "14.1")}
	r := Run(job, nil)
	want := []Assumption{{1, "limit rounding", "unrounded"}, {2, "decision rule", "simple"}}
	if len(r.Assumptions) != len(want) {
		t.Fatalf("got %+v, want %+v", r.Assumptions, want)
	}
	for i := range want {
		if r.Assumptions[i] != want[i] {
			t.Errorf("got %+v, want %+v", r.Assumptions[i], want[i])
		}
	}
}

// The budget of 46.8 mg/m² at 3.0 ml with a 0.1 µS/cm meter of 2 %: 0.049,
// 0.540, 0.901, 0.540, together 1.18 and U = 2.4. Worked by hand after
// JCGM 100:2008, 4.3.7 and 5.1.2.
func TestUncertainty(t *testing.T) {
	job := newJob(t)
	job.Terms.Volume = number[unit.Volume](t, "3.0")
	l := judged(t, job, reading(t, "1.0", "40.0"))
	near := func(what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s: got %v, want %v", what, got, want)
		}
	}
	near("density", float64(l.Density.Value), 46.8, 1e-12)
	near("u", float64(l.Uncertainty().Standard), 1.18, 0.005)
	near("U", float64(l.Uncertainty().Expanded), 2.4, 0.05)

	// A stated figure takes its place. At u = 4.1 the chance that 46.8
	// exceeds 50 is 22 %: Φ(−3.2/4.1), from a table of the normal distribution.
	job.Terms.ExpandedUncertainty = number[unit.SurfaceDensity](t, "8.2")
	job.Terms.CoverageFactor = given(2.0)
	l = judged(t, job, reading(t, "1.0", "40.0"))
	near("stated U", float64(l.Uncertainty().Expanded), 8.2, 0)
	near("conformity", l.Conforms(), 0.78, 0.005)
	if !l.Limits()[0].Near || l.Verdict != Pass {
		t.Errorf("near %v, %v; want a pass near the limit", l.Limits()[0].Near, l.Verdict)
	}
}

// The meter's own step counts where more digits are written than it shows.
func TestResolution(t *testing.T) {
	for _, c := range []struct {
		meter, blank, extract string
		want                  unit.Conductivity
		low, high             unit.SurfaceDensity
	}{
		{"", "2.0", "12.0", 0.1, 39.6, 40.4},
		{"", "2", "12.0", 1, 37.8, 42.2},
		{"1", "2.0", "12.0", 1, 36, 44},
		{"0.01", "2.0", "12.0", 0.1, 39.6, 40.4},
	} {
		job, test := newJob(t), reading(t, c.blank, c.extract)
		test.Own().Meter = words("K 1")
		job.Meters = []record.Meter{{Serial: words("k 1"), Resolution: number[unit.Conductivity](t, c.meter)}}
		l := judged(t, job, test)
		if low, high := l.Span(); l.Resolution() != c.want || low != c.low || high != c.high {
			t.Errorf("meter %s, %s and %s: r %v, %v to %v; want %v, %v to %v", c.meter, c.blank, c.extract, l.Resolution(), low, high, c.want, c.low, c.high)
		}
	}
}

func TestCompensation(t *testing.T) {
	for _, c := range []struct {
		own, meter record.Given[bool]
		want       Compensation
	}{
		{record.Given[bool]{}, record.Given[bool]{}, CompensationUnknown},
		{record.Given[bool]{}, given(true), Compensated},
		{given(false), given(true), NotCompensated},
		{given(true), given(false), Compensated},
	} {
		job, test := newJob(t), reading(t, "2.0", "12.0")
		f := test.Own()
		f.Compensated, f.Meter = c.own, words("K 1")
		job.Meters = []record.Meter{{Serial: words("K 1"), Compensates: c.meter}}
		if got := judged(t, job, test).Compensation; got != c.want {
			t.Errorf("own %+v, meter %+v: got %v, want %v", c.own, c.meter, got, c.want)
		}
	}
}

// How a written value stands to readings that give 4·(14.13 − 2.00) = 48.52.
func TestAgreement(t *testing.T) {
	for _, c := range []struct {
		recorded string
		want     Agreement
		rounds   bool
	}{
		{"", NotRecorded, false},
		{"-", NotRecorded, false},
		{"??", CannotBeComputed, false},
		{"48.52", Agrees, false},
		{"48.5", Agrees, true},
		{"49", Agrees, true},
		{"48.54", AgreesThroughUnseenDigits, false}, // 48.48 to 48.56 by the digits
		{"48.6", AgreesThroughUnseenDigits, false},  // 48.55 to 48.65
		{"48.7", DoesNotFollow, false},
		{"48", AgreesThroughUnseenDigits, false}, // 47.5 to 48.5
		{"47", DoesNotFollow, false},
		{"<50", Agrees, false},
		{"<48.5", AgreesThroughUnseenDigits, false},
		{"<40", DoesNotFollow, false},
	} {
		test := reading(t, "2.00", "14.13")
		test.Own().Recorded = number[unit.SurfaceDensity](t, c.recorded)
		l := judged(t, newJob(t), test)
		if l.Agreement != c.want || l.Rounds != c.rounds {
			t.Errorf("recorded %q: got %v (rounds %v), want %v (rounds %v)", c.recorded, l.Agreement, l.Rounds, c.want, c.rounds)
		}
	}
	test := reading(t, "", "14.13")
	test.Own().Recorded = number[unit.SurfaceDensity](t, "48.5")
	if got := judged(t, newJob(t), test).Agreement; got != CannotBeComputed {
		t.Errorf("without a blank: got %v, want cannot be computed", got)
	}
}

// A tie may be rounded up or to the even digit: 4·11.1125 = 44.45.
func TestAgreementAtATie(t *testing.T) {
	for recorded, want := range map[string]Agreement{"44.5": Agrees, "44.4": Agrees, "44.6": DoesNotFollow} {
		test := reading(t, "2.0000", "13.1125")
		test.Own().Recorded = number[unit.SurfaceDensity](t, recorded)
		if got := judged(t, newJob(t), test).Agreement; got != want {
			t.Errorf("recorded %s: got %v, want %v", recorded, got, want)
		}
	}
}

// The blank not subtracted on every row of one sheet, and one honest sheet.
func TestExplanationsBySheet(t *testing.T) {
	job := newJob(t)
	for i, extract := range []string{"12.3", "8.1", "10.6", "7.4", "9.9"} {
		test := reading(t, "1.7", extract)
		f := test.Own()
		f.Row = diag.In("log.xlsx", "Mon").At(i+2, 0)
		v := test.Extract().Dec // K = 4: the value written is 4·extract
		f.Recorded = record.Given[unit.SurfaceDensity]{State: record.Known, Dec: unit.Decimal{Coef: 4 * v.Coef, Exp: v.Exp}}
		f.Recorded.Val = unit.SurfaceDensity(test.Recorded().Dec.Float())
		honest := reading(t, "0.0", extract)
		f = honest.Own()
		f.Row = diag.In("log.xlsx", "Tue").At(i+2, 0)
		f.Recorded = test.Recorded()
		job.Tests = append(job.Tests, test, honest)
	}
	r := Run(job, nil)
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Test.Row().Sheet() == "Tue" {
			if l.Agreement != Agrees || len(l.Explanations()) != 0 {
				t.Errorf("test %d: %v with %d explanations, want none", i, l.Agreement, len(l.Explanations()))
			}
			continue
		}
		if l.Agreement != DoesNotFollow || len(l.Explanations()) == 0 || l.Explanations()[0].Name != "blank-not-subtracted" {
			t.Errorf("test %d: %v, %+v; want blank-not-subtracted first", i, l.Agreement, l.Explanations())
		}
	}
	if len(r.Systematic) == 0 || r.Systematic[0].Explanation != "blank-not-subtracted" ||
		r.Systematic[0].Sheet != diag.In("log.xlsx", "Mon") || r.Systematic[0].Rows != 5 {
		t.Errorf("got %+v, want blank-not-subtracted on five rows of Mon", r.Systematic)
	}
}

// A value written at 25 °C follows from uncompensated readings where the
// record agrees on the correction: 40/0.70 = 57.14 on every row. It is no
// slip, and no pattern of the sheet.
func TestAgreementAt25(t *testing.T) {
	linear := salt.Correction{Kind: salt.Linear, Alpha: 2}
	for _, c := range []struct {
		correction salt.Correction
		recorded   string
		want       Agreement
	}{
		{linear, "57.1", Agrees},
		{linear, "57.7", AgreesThroughUnseenDigits}, // ± 0.4/0.70 = 0.57 by the digits
		{linear, "57.8", DoesNotFollow},
		{salt.Correction{}, "57.1", DoesNotFollow},
	} {
		job := newJob(t)
		job.Terms.Correction = given(c.correction)
		for range 5 {
			test := reading(t, "2.0", "12.0")
			f := test.Own()
			f.Compensated, f.SolutionTemperature = given(false), number[unit.Temperature](t, "10")
			f.Recorded = number[unit.SurfaceDensity](t, c.recorded)
			job.Tests = append(job.Tests, test)
		}
		r := Run(job, nil)
		for i := range r.Lines {
			if got := r.Lines[i].Agreement; got != c.want {
				t.Errorf("%s, correction %v: got %v, want %v", c.recorded, c.correction, got, c.want)
			}
		}
		if c.want == Agrees && (len(r.Systematic) > 0 || len(r.Lines[0].Explanations()) > 0) {
			t.Errorf("got patterns %+v for values that follow", r.Systematic)
		}
	}
}

// An explanation names the other row by its line, also on a second sheet,
// and never one of the first.
func TestExplanationByAnotherRow(t *testing.T) {
	job := newJob(t)
	for i, c := range []struct{ sheet, extract, recorded string }{
		{"Mon", "12.3", "40.4"}, {"Mon", "8.1", "23.6"}, {"Tue", "7.7", "22.0"}, {"Tue", "9.9", "22.0"},
	} {
		test := reading(t, "2.2", c.extract) // 4·(12.3 − 2.2) = 40.4 and so on; the last carries the value above it
		f := test.Own()
		f.Row = diag.In("log.xlsx", c.sheet).At(i%2+2, 0)
		f.Recorded = number[unit.SurfaceDensity](t, c.recorded)
		job.Tests = append(job.Tests, test)
	}
	r := Run(job, nil)
	found := false
	for _, e := range r.Lines[3].Explanations() {
		if e.Name == "neighbouring-row" {
			found = true
			if e.Row != 2 {
				t.Errorf("neighbouring row is line %d, want 2", e.Row)
			}
		}
	}
	if !found {
		t.Errorf("got %+v, want neighbouring-row", r.Lines[3].Explanations())
	}
}
