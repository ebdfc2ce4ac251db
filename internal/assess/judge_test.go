package assess

import (
	"math"
	"slices"
	"testing"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// With K = 4 (5 kg·m⁻²·S⁻¹, 10 ml, 1250 mm²; common practice) a difference of
// 12.5 µS/cm is 50 mg/m² exactly, which no binary fraction of 14.1 − 1.6
// gives. The neighbours are one unit of the last digit away.
func TestAtTheLimit(t *testing.T) {
	for _, c := range []struct {
		name           string
		blank, extract string
		comparison     salt.Comparison
		step           unit.Decimal // rounding before comparison
		want           Verdict
	}{
		{"equal, at most", "1.6", "14.1", salt.AtMost, unit.Decimal{}, Pass},
		{"equal, less than", "1.6", "14.1", salt.LessThan, unit.Decimal{}, Fail},
		{"below, at most", "1.6", "14.0", salt.AtMost, unit.Decimal{}, Pass},
		{"below, less than", "1.6", "14.0", salt.LessThan, unit.Decimal{}, Pass},
		{"above, at most", "1.6", "14.2", salt.AtMost, unit.Decimal{}, Fail},
		{"above by the least digit", "1.600", "14.101", salt.AtMost, unit.Decimal{}, Fail},
		{"below by the least digit", "1.600", "14.099", salt.LessThan, unit.Decimal{}, Pass},
		{"50.4 is not 50", "1.6", "14.2", salt.AtMost, unit.Decimal{}, Fail},
		{"50.4 to the unit is 50", "1.6", "14.2", salt.AtMost, unit.Int(1), Pass},
		{"50.48 to the unit is 50", "1.60", "14.22", salt.AtMost, unit.Int(1), Pass},
		{"50.52 to the unit is 51", "1.60", "14.23", salt.AtMost, unit.Int(1), Fail},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			job.Terms.Limits[0].Comparison = given(c.comparison)
			job.Terms.Limits[0].Rounding = given(salt.Rounding{Step: c.step})
			if got := judged(t, job, reading(t, c.blank, c.extract)).Verdict; got != c.want {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// What is missing or written as a bound. With K = 4 the limit of 50 stands
// for a difference of 12.5, so that an extract of 17.5 fails even over the
// worst blank of 5 only when it is above it.
func TestIncomplete(t *testing.T) {
	for _, c := range []struct {
		name           string
		blank, extract string
		want           Verdict
		why            []Reason
	}{
		{"both read", "1.6", "10.0", Pass, nil},
		{"no blank, far below", "", "3.0", NotEstablished, []Reason{NoBlank}},
		{"blank not done", "-", "3.0", NotEstablished, []Reason{NoBlank}},
		{"no blank, equal with a blank of 5", "", "17.5", NotEstablished, []Reason{NoBlank}},
		{"no blank, fails with a blank of 5", "", "17.6", Fail, nil},
		{"blank below 1, passes with 0", "<1.0", "12.5", Pass, nil},
		{"blank below 1, fails with 0, passes with 1", "<1.0", "12.6", NotEstablished, []Reason{Censored}},
		{"blank below 1, equal with 1", "<1.0", "13.5", NotEstablished, []Reason{Censored}},
		{"blank below 1, fails with 1", "<1.0", "13.6", Fail, nil},
		{"extract below 14", "1.6", "<14.1", Pass, nil},
		{"extract below 15", "1.6", "<15.0", NotEstablished, []Reason{Censored}},
		{"blank unreadable", "??", "10.0", NotEstablished, []Reason{UnreadableValue}},
		{"extract unreadable", "1.6", "??", NotEstablished, []Reason{UnreadableValue}},
		{"no extract", "1.6", "", NotEstablished, []Reason{NoExtract}},
		{"extract one step below its blank", "1.6", "1.5", Pass, nil},
		{"extract two steps below its blank", "1.6", "1.4", NotEstablished, []Reason{NegativeDifference}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := judged(t, newJob(t), reading(t, c.blank, c.extract))
			if l.Verdict != c.want || !slices.Equal(l.Reasons(), c.why) {
				t.Errorf("got %v %v, want %v %v", l.Verdict, l.Reasons(), c.want, c.why)
			}
		})
	}
}

func TestBoundsWithoutBlank(t *testing.T) {
	l := judged(t, newJob(t), reading(t, "", "10.0"))
	// 4·(10 − 5) and 4·(10 − 0), by hand; 5 µS/cm is grade 3 of ISO 3696.
	if low, high := l.Span(); !l.Density.Bounded || l.Density.Known || low != 20 || high != 40 {
		t.Errorf("got %+v, want bounds of 20 and 40", l.Density)
	}
}

// Without limit, unit, basis or volume there is a number at most, and no
// verdict, however low the number is.
func TestNothingToJudgeOn(t *testing.T) {
	for _, c := range []struct {
		name string
		take func(*record.Job)
		why  Reason
		has  bool // the density is computed all the same
	}{
		{"no limit", func(j *record.Job) { j.Terms.Limits = nil }, NoLimit, true},
		{"limit not recorded", func(j *record.Job) { j.Terms.Limits[0] = record.Limit{} }, NoLimit, true},
		{"limit unreadable", func(j *record.Job) { j.Terms.Limits[0].Value.State = record.Unreadable }, NoLimit, true},
		{"no unit", func(j *record.Job) { j.Terms.Limits[0].Value.Unit = "" }, NoLimitUnit, true},
		{"no basis", func(j *record.Job) { j.Terms.Limits[0].Basis = record.Given[salt.Basis]{} }, NoLimitBasis, true},
		{"no volume", func(j *record.Job) { j.Terms.Volume = record.Given[unit.Volume]{} }, NoVolume, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			c.take(job)
			l := judged(t, job, reading(t, "1.6", "2.0"))
			if l.Verdict != NotEstablished || !slices.Contains(l.Reasons(), c.why) {
				t.Errorf("got %v %v, want NOT ESTABLISHED for %v", l.Verdict, l.Reasons(), c.why)
			}
			if l.Density.Known != c.has {
				t.Errorf("density known: %v, want %v", l.Density.Known, c.has)
			}
		})
	}
}

// JCGM 106:2012, 8.3.2: under a guarded rule a value passes at most U below
// the limit; U is stated as 8. Steps of 0.1 µS/cm are 0.4 mg/m².
func TestDecisionRules(t *testing.T) {
	for _, c := range []struct {
		name    string
		rule    salt.RuleKind
		extract string // over a blank of 1.5: 12.0 is 42 mg/m², 14.0 is 50, 16.0 is 58
		want    Verdict
		why     []Reason
		near    bool
	}{
		{"simple, at the limit", salt.Simple, "14.0", Pass, nil, true},
		{"simple, just above", salt.Simple, "14.1", Fail, nil, false},
		{"simple, U below", salt.Simple, "12.0", Pass, nil, false},
		{"simple, within U", salt.Simple, "12.1", Pass, nil, true},
		{"guarded, U below", salt.Guarded, "12.0", Pass, nil, false},
		{"guarded, within U", salt.Guarded, "12.1", NotEstablished, []Reason{InGuardBand}, true},
		{"guarded, at the limit", salt.Guarded, "14.0", NotEstablished, []Reason{InGuardBand}, true},
		{"guarded, just above", salt.Guarded, "14.1", Fail, nil, false},
		{"guarded rejection, at the limit", salt.GuardedRejection, "14.0", Pass, nil, true},
		{"guarded rejection, within U above", salt.GuardedRejection, "16.0", NotEstablished, []Reason{InGuardBand}, false},
		{"guarded rejection, beyond U above", salt.GuardedRejection, "16.1", Fail, nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			job.Terms.DecisionRule = given(c.rule)
			job.Terms.ExpandedUncertainty = number[unit.SurfaceDensity](t, "8")
			job.Terms.CoverageFactor = given(2.0)
			l := judged(t, job, reading(t, "1.5", c.extract))
			if l.Verdict != c.want || !slices.Equal(l.Reasons(), c.why) {
				t.Errorf("got %v %v, want %v %v", l.Verdict, l.Reasons(), c.want, c.why)
			}
			if l.Limits()[0].Near != c.near {
				t.Errorf("near %v, want %v", l.Limits()[0].Near, c.near)
			}
		})
	}
}

// At 3 ml on 1250 mm² a rise of 41.67 µS/cm is 50 mg/m² by the standard
// constant and 44.48 µS/cm is 50 mg/m² of sodium chloride (computed from
// Λ = 126.45 − 89.16·√m by hand), so that a rise between them fails on one
// basis and passes on the other. Chloride is bounded only.
func TestLimitBasis(t *testing.T) {
	for _, c := range []struct {
		basis   salt.Basis
		limit   string
		extract string // over a blank of 2.0
		want    Verdict
		why     []Reason
	}{
		{salt.TotalSalts, "50", "43.6", Pass, nil},
		{salt.TotalSalts, "50", "43.7", Fail, nil},
		{salt.SodiumChloride, "50", "43.7", Pass, nil},
		{salt.SodiumChloride, "50", "46.4", Pass, nil},
		{salt.SodiumChloride, "50", "46.5", Fail, nil},
		{salt.SodiumChloride, "50", "1500", Fail, nil}, // beyond the range of the formula
		{salt.ChlorideIon, "30", "27.0", Pass, nil},    // 30 mg/m² in all is at most 17 of chloride
		{salt.ChlorideIon, "17.5", "27.0", Pass, nil},
		{salt.ChlorideIon, "16.5", "27.0", NotEstablished, []Reason{OnlyBounded}},
		{salt.ChlorideIon, "30", "1500", NotEstablished, []Reason{OnlyBounded}},
	} {
		job := newJob(t)
		job.Terms.Volume = number[unit.Volume](t, "3")
		job.Terms.Limits = []record.Limit{limitOf(t, c.limit)}
		job.Terms.Limits[0].Basis = given(c.basis)
		l := judged(t, job, reading(t, "2.0", c.extract))
		if l.Verdict != c.want || !slices.Equal(l.Reasons(), c.why) {
			t.Errorf("basis %d, limit %s, extract %s: got %v %v, want %v %v", c.basis, c.limit, c.extract, l.Verdict, l.Reasons(), c.want, c.why)
		}
	}
}

func TestSeveralLimits(t *testing.T) {
	for _, c := range []struct {
		second string
		basis  salt.Basis
		want   Verdict
	}{
		{"60", salt.TotalSalts, Pass},
		{"30", salt.TotalSalts, Fail},
		{"30", salt.ChlorideIon, Pass},           // 40 in all: at most 23 of chloride
		{"20", salt.ChlorideIon, NotEstablished}, // the first passes, the second is open
	} {
		job := newJob(t)
		second := record.Limit{Value: number[unit.SurfaceDensity](t, c.second), Basis: given(c.basis)}
		second.Value.Unit = "mg/m2"
		job.Terms.Limits = append(job.Terms.Limits, second)
		if got := judged(t, job, reading(t, "2.0", "12.0")).Verdict; got != c.want {
			t.Errorf("40 against 50 and %s (basis %d): got %v, want %v", c.second, c.basis, got, c.want)
		}
	}
}

// A limit of the test's own, or of its area, takes the place of the first.
func TestWhoseLimit(t *testing.T) {
	job := newJob(t)
	area := record.Area{Name: words("Bilge"), Limit: number[unit.SurfaceDensity](t, "20")}
	area.Limit.Unit = "mg/m2"
	job.Areas = []record.Area{area}
	test := reading(t, "2.0", "12.0") // 40
	for _, c := range []struct {
		area, own, unit string
		want            Verdict
	}{
		{"Deck", "", "", Pass},
		{"bilge ", "", "", Fail},
		{"Bilge", "45", "mg/m2", Pass},
		{"Deck", "30", "mg/m2", Fail},
		{"Deck", "50", "", Pass},           // the job's own, repeated in a column
		{"Deck", "45", "", NotEstablished}, // another limit, without a unit
	} {
		f := test.Own()
		f.Area = words(c.area)
		f.Limit = number[unit.SurfaceDensity](t, c.own)
		f.Limit.Unit = c.unit
		if got := judged(t, job, test).Verdict; got != c.want {
			t.Errorf("area %q, own limit %q %s: got %v, want %v", c.area, c.own, c.unit, got, c.want)
		}
	}
}

// A linear correction of 2 % per kelvin makes 40 mg/m² read at 10 °C 57.14:
// 40/0.70, by hand. It takes the pass away and makes no fail; at 40 °C,
// 60/1.30 = 46.2 rescues nothing.
func TestAt25(t *testing.T) {
	for _, c := range []struct {
		name           string
		comp           record.Given[bool]
		at             string
		extract        string
		want           Verdict
		why            []Reason
		known          bool
		at25, judgedAs float64
	}{
		{"cold, off", given(false), "10.0", "12.0", NotEstablished, []Reason{FailsAt25}, true, 40 / 0.7, 40 / 0.7},
		{"cold, unknown", record.Given[bool]{}, "10.0", "12.0", NotEstablished, []Reason{FailsAt25}, true, 40 / 0.7, 40 / 0.7},
		{"cold, on", given(true), "10.0", "12.0", Pass, nil, false, 0, 40},
		{"cold, low", given(false), "10.0", "7.0", Pass, nil, true, 20 / 0.7, 20 / 0.7},
		{"hot, off", given(false), "40.0", "17.0", Fail, nil, true, 60 / 1.3, 60},
		{"at the setting", given(false), "23.0", "12.0", Pass, nil, false, 0, 40},
		{"beyond the setting", given(false), "22.9", "12.0", Pass, nil, true, 40 / 0.958, 40 / 0.958},
		{"no temperature", given(false), "", "12.0", Pass, nil, false, 0, 40},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
			test := reading(t, "2.0", c.extract)
			f := test.Own()
			f.Compensated = c.comp
			f.SolutionTemperature = number[unit.Temperature](t, c.at)
			f.BlankTemperature = test.SolutionTemperature()
			l := judged(t, job, test)
			if l.Verdict != c.want || !slices.Equal(l.Reasons(), c.why) {
				t.Errorf("got %v %v, want %v %v", l.Verdict, l.Reasons(), c.want, c.why)
			}
			if l.At25().Known != c.known || math.Abs(float64(l.At25().Value)-c.at25) > 1e-9 {
				t.Errorf("at 25 °C: got %v %v, want %v %v", l.At25().Known, l.At25().Value, c.known, c.at25)
			}
			if math.Abs(float64(l.Judged().Value)-c.judgedAs) > 1e-9 {
				t.Errorf("judged %v, want %v", l.Judged().Value, c.judgedAs)
			}
		})
	}
}

// Under a guarded rule the value at 25 °C, and the upper bound of a reading
// written as "<…", have to keep their distance from the limit too. U is 8.
func TestGuardBandOfTheHigher(t *testing.T) {
	for _, c := range []struct {
		blank, extract, at string
		want               Verdict
		why                []Reason
	}{
		{"2.0", "9.0", "10.0", Pass, nil},                              // 28/0.7 = 40
		{"2.0", "10.0", "10.0", NotEstablished, []Reason{InGuardBand}}, // 32/0.7 = 45.7
		{"2.0", "12.0", "10.0", NotEstablished, []Reason{FailsAt25}},   // 40/0.7 = 57.1
		{"<1.0", "10.5", "25.0", Pass, nil},                            // at most 42
		{"<1.0", "10.6", "25.0", NotEstablished, []Reason{Censored}},   // at most 42.4
	} {
		job := newJob(t)
		job.Terms.DecisionRule = given(salt.Guarded)
		job.Terms.ExpandedUncertainty = number[unit.SurfaceDensity](t, "8")
		job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
		test := reading(t, c.blank, c.extract)
		f := test.Own()
		f.Compensated, f.SolutionTemperature = given(false), number[unit.Temperature](t, c.at)
		l := judged(t, job, test)
		if l.Verdict != c.want || !slices.Equal(l.Reasons(), c.why) {
			t.Errorf("%s and %s at %s °C: got %v %v, want %v %v", c.blank, c.extract, c.at, l.Verdict, l.Reasons(), c.want, c.why)
		}
	}
}

// Each reading is corrected at its own temperature: (12/0.7 − 2/0.9)·4, by
// hand. Without a temperature of the blank that of the extract is assumed,
// and said so.
func TestAt25OfEachReading(t *testing.T) {
	job := newJob(t)
	job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
	test := reading(t, "2.0", "12.0")
	f := test.Own()
	f.Compensated = given(false)
	f.SolutionTemperature = number[unit.Temperature](t, "10")
	f.BlankTemperature = number[unit.Temperature](t, "20")
	if got, want := float64(judged(t, job, test).At25().Value), (12/0.7-2/0.9)*4; math.Abs(got-want) > 1e-9 {
		t.Errorf("got %v, want %v", got, want)
	}
	f.BlankTemperature = record.Given[unit.Temperature]{}
	job.Tests = []record.Test{test}
	r := Run(job, nil)
	if len(r.Assumptions) != 1 || r.Assumptions[0].Key != "temperature of the blank" || r.Assumptions[0].Number != 1 {
		t.Errorf("got assumptions %+v, want that of the temperature of the blank", r.Assumptions)
	}
}

// What the digits decide: ±0.05 µS/cm on each reading is ±0.4 mg/m².
func TestDecided(t *testing.T) {
	for _, c := range []struct {
		extract string
		decided bool
	}{{"13.9", true}, {"14.0", true}, {"14.1", false}, {"14.2", false}, {"14.3", true}} {
		// 49.2 + 0.4, 49.6 + 0.4 = 50, 50 ± 0.4, 50.4 − 0.4 = 50 (within), 50.8 − 0.4
		if got := judged(t, newJob(t), reading(t, "1.6", c.extract)).Limits()[0].Decided; got != c.decided {
			t.Errorf("extract %s: decided %v, want %v", c.extract, got, c.decided)
		}
	}
}

func TestProceduralBlankIsNotSteel(t *testing.T) {
	test := reading(t, "1.0", "30.0")
	test.Own().Kind = given(record.ProceduralBlank)
	l := judged(t, newJob(t), test)
	if l.Verdict != NotEstablished || len(l.Limits()) != 0 || !l.Density.Known {
		t.Errorf("got %v with %d limits, density known %v; want a number and no judgement", l.Verdict, len(l.Limits()), l.Density.Known)
	}
}
