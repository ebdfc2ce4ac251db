package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// standing judges a history as one area of 100 m² that needs three tests.
func standing(t *testing.T, history string, change func(*record.Job)) *Standing {
	t.Helper()
	r := parseHistory(t, history)
	job := r.Job
	job.Areas = []record.Area{{Size: number[unit.SteelArea](t, "100")}}
	job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 3})
	if change != nil {
		change(job)
	}
	var unproven, void []int
	for _, f := range r.Findings {
		switch f.Severity {
		case UnprovenPass:
			unproven = f.Tests
		case VoidsTest:
			void = f.Tests
		}
	}
	areas := Run(job, []*Check{finds(UnprovenPass, unproven...), finds(VoidsTest, void...)}).Standing(unit.Date{})
	if len(areas) != 1 {
		t.Fatalf("%d areas, want 1", len(areas))
	}
	return areas[0]
}

func kindsOf(s *Standing) string {
	var names []string
	for _, r := range s.Reasons {
		names = append(names, r.Kind.String())
	}
	return strings.Join(names, " ")
}

func TestStanding(t *testing.T) {
	const three = "1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3 original | 08:40 | c | 40\n"
	for _, c := range []struct {
		name, history string
		counts        string // valid, short; pass, fail, not established, void; as coated
		verdict       AreaVerdict
		reasons       string
	}{
		{"enough passes", three, "3 0; 3 0 0 0; 3", AcceptedForSalt, ""},
		{"one short", "1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n", "2 1; 2 0 0 0; 2", AreaNotEstablished, "too-few-tests"},
		{"adjacent, witness and retest do not count",
			"1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3 adjacent 1 | 08:40 | c | 8\n4 witness 1 | 08:40 | a | 8\n5 retest 1 | 08:50 | a | 8\n",
			"2 1; 5 0 0 0; 3", AreaNotEstablished, "too-few-tests"},
		{"void, not repeated", three[:strings.Index(three, "3")] + "3! original | 08:40 | c | 40\n", "2 1; 2 0 0 1; 2", AreaNotEstablished, "too-few-tests"},
		{"void, one more than enough", three + "4! original | 09:00 | d | 40\n", "3 0; 3 0 0 1; 3", AcceptedForSalt, ""},
		{"void and its repeat count once",
			"1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3! original | 08:40 | c | 40\n4 repeat 3 | 09:00 | c2 | 8\n5 repeat 3 | 09:20 | c3 | 8\n",
			"3 0; 4 0 0 1; 4", AcceptedForSalt, ""},
		{"void, its repeat void, and that one's repeat",
			"1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3! original | 08:40 | c | 40\n4! repeat 3 | 09:00 | c2 | 8\n5 repeat 4 | 09:20 | c3 | 8\n",
			"3 0; 3 0 0 2; 3", AcceptedForSalt, ""},
		{"repeat of a test that is not void adds nothing",
			"1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3 repeat 1 | 08:40 | a2 | 8\n",
			"2 1; 3 0 0 0; 3", AreaNotEstablished, "too-few-tests"},
		{"not established, though enough others", three + "4? original | 09:00 | d | 20\n", "3 0; 3 0 1 0; 3", AreaNotEstablished, "unproven-tests"},
		{"not established, repeated", three + "4? original | 09:00 | d | 20\n5 repeat 4 | 09:30 | d2 | 20\n", "4 0; 4 0 1 0; 4", AcceptedForSalt, ""},
		{"not established, its repeat not either", three + "4? original | 09:00 | d | 20\n5? repeat 4 | 09:30 | d2 | 20\n", "3 0; 3 0 2 0; 3", AreaNotEstablished, "unproven-tests"},
		{"not established, its repeat fails", three + "4? original | 09:00 | d | 20\n5 repeat 4 | 09:30 | d2 | 60\n", "4 0; 3 1 1 0; 4", NotAccepted, "open-fails"},
		{"a fail outweighs what is missing", "1 original | 08:00 | a | 20\n2? original | 08:20 | b | 24\n3 original | 08:40 | c | 60\n",
			"2 1; 1 1 1 0; 2", NotAccepted, "open-fails too-few-tests unproven-tests"},
		{"a mean within the limit accepts nothing", three + "4 original | 09:00 | d | 50.4\n", "4 0; 3 1 0 0; 4", NotAccepted, "open-fails"},
		{"treated is still open", three + "4 original | 09:00 | d | 60\nT 4 | 10:00-11:00\n", "4 0; 3 1 0 0; 3", NotAccepted, "open-fails"},
		{"cleared: the retest stands for the fail",
			three + "4 original | 09:00 | d | 60\nT 4 | 10:00-11:00\n5 retest 4 | 12:00 | d2 | 8\n6 adjacent 4 | 12:20 | d3 | 8\n7 adjacent 4 | 12:40 | d4 | 8\n",
			"4 0; 6 1 0 0; 6", AcceptedForSalt, ""},
		{"failed retest stands for the fail",
			three + "4 original | 09:00 | d | 60\nT 4 | 10:00-11:00\n5 retest 4 | 12:00 | d2 | 56\n",
			"4 0; 3 2 0 0; 4", NotAccepted, "open-fails"},
		{"unestablished retest of a cleared fail",
			three + "4 original | 09:00 | d | 60\nT 4 | 10:00-11:00\n5? retest 4 | 12:00 | d2 | 8\n8 retest 4 | 12:10 | d5 | 8\n" +
				"6 adjacent 4 | 12:20 | d3 | 8\n7 adjacent 4 | 12:40 | d4 | 8\n",
			"4 0; 6 1 1 0; 6", AcceptedForSalt, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := standing(t, c.history, nil)
			got := fmt.Sprintf("%d %d; %d %d %d %d; %d", s.Valid, s.Short, s.Passes, s.Fails, s.NotEstablished, s.Voids, s.AsCoated.N)
			if got != c.counts || s.Verdict != c.verdict || kindsOf(s) != c.reasons {
				t.Errorf("got %s, %v, %s; want %s, %v, %s", got, s.Verdict, kindsOf(s), c.counts, c.verdict, c.reasons)
			}
		})
	}
}

func TestStandingNeeds(t *testing.T) {
	const one = "1 original | 08:00 | a | 20\n"
	perArea := given(salt.SamplingRule{Form: salt.PerArea, First: 1, FirstArea: 100, Then: 1, Step: 100})
	for _, c := range []struct {
		name     string
		change   func(*record.Job)
		required int
		reasons  string
	}{
		{"no rule", func(j *record.Job) { j.Terms.Sampling = record.Given[salt.SamplingRule]{} }, 0, "no-sampling-rule"},
		{"no size", func(j *record.Job) {
			j.Terms.Sampling, j.Areas[0].Size = perArea, record.Given[unit.SteelArea]{}
		}, 0, "required-unknown"},
		{"exactly the first area", func(j *record.Job) { j.Terms.Sampling = perArea }, 1, ""},
		{"a part of a step more", func(j *record.Job) {
			j.Terms.Sampling, j.Areas[0].Size = perArea, number[unit.SteelArea](t, "100.1")
		}, 2, "too-few-tests"},
		{"the area's own rule", func(j *record.Job) {
			j.Areas[0].Sampling = given(salt.SamplingRule{Form: salt.PerItem, First: 1})
		}, 1, ""},
		{"spot types", func(j *record.Job) {
			j.Areas[0].Sampling = given(salt.SamplingRule{Form: salt.PerItem, First: 1})
			j.Terms.SpotTypes = given([]string{"weld", "edge"})
			j.Tests[0].Own().SpotType = words("Weld toe, ledge")
		}, 1, "spot-types-missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := standing(t, one, c.change)
			if s.Required != c.required || kindsOf(s) != c.reasons {
				t.Errorf("got %d required, %q; want %d, %q", s.Required, kindsOf(s), c.required, c.reasons)
			}
			if c.name == "spot types" && !slices.Equal(s.MissingSpotTypes, []string{"edge"}) {
				t.Errorf("missing %v, want edge", s.MissingSpotTypes)
			}
		})
	}
}

// A finding against an area as a whole keeps it from being accepted, if it
// is one that takes passes away.
func TestFindingAgainstAnArea(t *testing.T) {
	job := parseHistory(t, "1 original | 08:00 | a | 20\n").Job
	job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 1})
	later := firstDay
	later.Day++
	for _, c := range []struct {
		f    Finding
		want AreaVerdict
	}{
		{Finding{Severity: UnprovenPass, Areas: []string{""}}, AreaNotEstablished},
		{Finding{Severity: UnprovenPass, Areas: []string{"other"}}, AcceptedForSalt},
		{Finding{Severity: Weakens, Areas: []string{""}}, AcceptedForSalt},
		{Finding{Severity: UnprovenPass, Areas: []string{""}, Date: firstDay}, AreaNotEstablished},
		{Finding{Severity: UnprovenPass, Areas: []string{""}, Date: later}, AcceptedForSalt},
	} {
		check := &Check{Name: "planted", Severity: Weakens, Run: func(v *Review) { v.Report(c.f) }}
		if got := Run(job, []*Check{check}).Standing(firstDay)[0].Verdict; got != c.want {
			t.Errorf("%+v: got %v, want %v", c.f, got, c.want)
		}
	}
}

// 20, 24, 40 and 56: mean 35, median 32, s = √(812/3) = 16.452, by hand; the
// maximum is an open fail.
func TestAsCoated(t *testing.T) {
	s := standing(t, "1 original | 08:00 | a | 40\n2 original | 08:20 | b | 24\n3 original | 08:40 | c | 56\n4 original | 09:00 | d | 20\n5? original | 09:10 | e | 4\n", nil)
	a := s.AsCoated
	if a.N != 4 || a.Min != 20 || a.Median != 32 || a.Mean != 35 || a.Max != 56 || a.MaxAt != 2 || math.Abs(a.SD-16.452) > 0.001 {
		t.Errorf("got %+v", a)
	}
	// Four established tests of 12.5 cm² on 100 m²: 0.005 m² in 100, by hand.
	if math.Abs(float64(s.Touched)-0.005) > 1e-12 {
		t.Errorf("touched %v %%, want 0.005", s.Touched)
	}
}

// p = 0.05^(1/n): 37 % for three (by the formula, to the per cent). It is
// said of spots chosen at random of which none ever failed, and of no others.
func TestCoverage(t *testing.T) {
	const three = "1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3 original | 08:40 | c | 40\n"
	random := func(j *record.Job) { j.Terms.SpotsChosen = given(record.AtRandom) }
	if got := standing(t, three, random).Coverage; math.Abs(got-0.37) > 0.005 {
		t.Errorf("got %v, want 0.37", got)
	}
	judgement := func(j *record.Job) { j.Terms.SpotsChosen = given(record.ByJudgement) }
	cleared := three + "4 original | 09:00 | d | 60\nT 4 | 10:00-11:00\n5 retest 4 | 12:00 | d2 | 8\n6 adjacent 4 | 12:20 | d3 | 8\n7 adjacent 4 | 12:40 | d4 | 8\n"
	for name, s := range map[string]*Standing{
		"by judgement": standing(t, three, judgement),
		"not stated":   standing(t, three, nil),
		"one failed":   standing(t, cleared, random),
	} {
		if !math.IsNaN(s.Coverage) {
			t.Errorf("%s: got %v, want none", name, s.Coverage)
		}
	}
}

// Areas come in the order of their table, then by first test; two spellings
// of a name are one area.
func TestOrderOfAreas(t *testing.T) {
	job := newJob(t)
	job.Areas = []record.Area{{Name: words("Hold 2")}, {Name: words("Hold 1")}, {Name: words("Bilge")}}
	for _, area := range []string{"Mast", "hold  1", "Hold 2", "", "mast"} {
		test := reading(t, "2.0", "12.0")
		test.Own().Area = words(area)
		job.Tests = append(job.Tests, test)
	}
	var got []string
	for _, s := range Run(job, nil).Standing(unit.Date{}) {
		got = append(got, fmt.Sprintf("%s %v", s.Name, s.Tests))
	}
	want := []string{"Hold 2 [2]", "Hold 1 [1]", "Bilge []", "Mast [0 4]", " [3]"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// One number in two areas means the test of one's own area.
func TestNumbersByArea(t *testing.T) {
	r := parseHistory(t, "1 original | 08:00 | a | 60\n1 original | 08:10 | b | 60\n2 repeat 1 | 09:00 | c | 60\n")
	for i, area := range []string{"A", "B", "A"} {
		r.Lines[i].Test.Own().Area = words(area)
	}
	if n, ok := r.Course().history(unit.Date{}).refer(" 1", 2); !ok || n.test != 0 || n.unclear {
		t.Errorf("in area A: got %+v, want test 0", n)
	}
	r.Lines[2].Test.Own().Area = words("B")
	if n, ok := r.Course().history(unit.Date{}).refer("1", 2); !ok || n.test != 1 || n.unclear {
		t.Errorf("in area B: got %+v, want test 1", n)
	}
}

func TestSuperseded(t *testing.T) {
	s := standing(t, "1! original | 08:00 | a | 20\n2 repeat 1 | 08:20 | a2 | 20\n3? original | 08:40 | c | 40\n"+
		"4? repeat 3 | 09:00 | c2 | 40\n5 original | 09:20 | d | 40\n6 repeat 5 | 09:40 | d2 | 40\n", nil)
	if !slices.Equal(s.Superseded, []int{0}) {
		t.Errorf("got %v, want the first alone", s.Superseded)
	}
}

// A repeat in another area establishes nothing here.
func TestRepeatInAnotherArea(t *testing.T) {
	for _, c := range []struct {
		area string
		want int
	}{{"A", 1}, {"B", 0}} {
		r := parseHistory(t, "1! original | 08:00 | A: L1 | 20\n2 repeat 1 | 08:20 | "+c.area+": L1 b | 20\n")
		if s := r.Standing(unit.Date{})[0]; s.Valid != c.want {
			t.Errorf("repeated in area %s: %d valid, want %d", c.area, s.Valid, c.want)
		}
	}
}
