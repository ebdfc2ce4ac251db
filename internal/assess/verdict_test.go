package assess

import (
	"math/rand/v2"
	"slices"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// finds is a check that reports one finding against the given tests.
func finds(s Severity, tests ...int) *Check {
	return &Check{Name: "planted", Severity: s, Run: func(v *Review) { v.Report(Finding{Tests: tests}) }}
}

func TestWhatAFindingTakesAway(t *testing.T) {
	for _, c := range []struct {
		name     string
		extract  string // over 2.0: 12.0 is 40, 17.0 is 60
		severity []Severity
		want     Verdict
		doubtful bool
		lost     int
	}{
		{"nothing found", "12.0", nil, Pass, false, 0},
		{"housekeeping", "12.0", []Severity{Housekeeping}, Pass, false, 0},
		{"weakens", "12.0", []Severity{Weakens}, Pass, false, 0},
		{"changes a verdict", "12.0", []Severity{ChangesVerdict}, Pass, false, 0},
		{"unproven pass", "12.0", []Severity{UnprovenPass}, NotEstablished, false, 1},
		{"void", "12.0", []Severity{VoidsTest}, Void, false, 1},
		{"unproven, then void", "12.0", []Severity{UnprovenPass, VoidsTest}, Void, false, 1},
		{"void, then unproven", "12.0", []Severity{VoidsTest, UnprovenPass}, Void, false, 1},
		{"unproven fail", "17.0", []Severity{UnprovenPass}, Fail, false, 0},
		{"void fail", "17.0", []Severity{VoidsTest}, Fail, true, 0},
		{"void at the limit", "14.5", []Severity{VoidsTest}, Void, false, 1},
		{"void just above the limit", "14.6", []Severity{VoidsTest}, Fail, true, 0},
		{"void without a number", "", []Severity{VoidsTest}, Void, false, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			job.Tests = []record.Test{reading(t, "2.0", c.extract)}
			var checks []*Check
			for _, s := range c.severity {
				checks = append(checks, finds(s, 0))
			}
			r := Run(job, checks)
			l := &r.Lines[0]
			if l.Verdict != c.want || l.Doubtful != c.doubtful {
				t.Errorf("got %v (doubtful %v), want %v (doubtful %v)", l.Verdict, l.Doubtful, c.want, c.doubtful)
			}
			lost := 0
			for _, f := range r.Findings {
				lost = max(lost, f.LostPasses)
			}
			if lost != c.lost || len(l.Findings()) != len(c.severity) {
				t.Errorf("lost passes %d, findings %v; want %d and %d findings", lost, l.Findings(), c.lost, len(c.severity))
			}
		})
	}
}

// The log's own word "void" takes a pass away like a finding, and no fail.
func TestWrittenVoid(t *testing.T) {
	for extract, want := range map[string]Verdict{"12.0": Void, "17.0": Fail, "": Void} {
		test := reading(t, "2.0", extract)
		test.Own().RecordedVerdict = given(record.WrittenVoid)
		if got := judged(t, newJob(t), test).Verdict; got != want {
			t.Errorf("extract %q written void: got %v, want %v", extract, got, want)
		}
	}
}

// Without a limit nothing is at or below it, so nothing is void either.
func TestVoidNeedsALimit(t *testing.T) {
	job := newJob(t)
	job.Terms.Limits = nil
	job.Tests = []record.Test{reading(t, "2.0", "12.0")}
	if got := Run(job, []*Check{finds(VoidsTest, 0)}).Lines[0].Verdict; got != NotEstablished {
		t.Errorf("got %v, want NOT ESTABLISHED", got)
	}
}

// A pass lost at 25 °C is above the limit there: a leak makes no VOID of it.
func TestVoidNotAboveTheLimitAt25(t *testing.T) {
	job := newJob(t)
	job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
	test := reading(t, "2.0", "12.0")
	f := test.Own()
	f.Compensated, f.SolutionTemperature = given(false), number[unit.Temperature](t, "10")
	job.Tests = []record.Test{test}
	if got := Run(job, []*Check{finds(VoidsTest, 0)}).Lines[0].Verdict; got != NotEstablished {
		t.Errorf("got %v, want NOT ESTABLISHED", got)
	}
}

// A fail that the log states does not vanish: 10 ml on 1250 mm² is 4 mg/m² for
// each µS/cm, the blank 2.0, the limit 50.
func TestWrittenFailIsKept(t *testing.T) {
	for _, c := range []struct {
		name, extract, recorded string
		word                    record.WrittenVerdict
		want                    Verdict
	}{
		{"blank not subtracted: the value alone is wrong", "13.0", "52", record.WrittenFail, Pass},
		{"the same without a word", "13.0", "52", record.NoVerdict, Pass},
		{"digits of the value swapped", "8.5", "62", record.WrittenFail, Pass},                   // 26 and 62
		{"the extract may be the wrong one", "12.6", "78.4", record.WrittenFail, NotEstablished}, // 42.4; 21.6 gives 78.4
		{"factor of 15 ml: the volume may be the wrong one", "12.0", "60", record.WrittenFail, NotEstablished},
		{"no slip explains it", "12.0", "57.3", record.WrittenFail, NotEstablished},
		{"no slip explains it, without a word", "12.0", "57.3", record.NoVerdict, NotEstablished},
		{"marked as a fail within the limit", "12.0", "40", record.WrittenFail, NotEstablished},
		{"nothing to compute from", "", "72", record.NoVerdict, Fail},
		{"nothing to compute from, by its word", "", "", record.WrittenFail, Fail},
		{"nothing to compute from, and within the limit", "", "40", record.WrittenPass, NotEstablished},
		{"a pass that agrees", "12.0", "40", record.WrittenPass, Pass},
	} {
		t.Run(c.name, func(t *testing.T) {
			test := reading(t, "2.0", c.extract)
			if c.recorded != "" {
				test.Own().Recorded = number[unit.SurfaceDensity](t, c.recorded)
			}
			test.Own().RecordedVerdict = given(c.word)
			l := judged(t, newJob(t), test)
			if l.Verdict != c.want {
				t.Errorf("got %v %v (%v), want %v", l.Verdict, l.Reasons(), l.Explanations(), c.want)
			}
		})
	}
}

// Total salts of 51.6 are a fail by the log; as sodium chloride they are 48.4,
// and the limit speaks of that (3 ml: a rise of 43.0 µS/cm).
func TestWrittenFailOnAnotherBasis(t *testing.T) {
	job := newJob(t)
	job.Terms.Limits[0].Basis = given(salt.SodiumChloride)
	job.Terms.Volume = number[unit.Volume](t, "3")
	for value, want := range map[string]Verdict{"51.6": Pass, "58.9": NotEstablished} {
		test := reading(t, "1.0", "44.0")
		f := test.Own()
		f.Volume = record.Given[unit.Volume]{}
		f.Recorded = number[unit.SurfaceDensity](t, value)
		f.RecordedVerdict = given(record.WrittenFail)
		if l := judged(t, job, test); l.Verdict != want {
			t.Errorf("%s: got %v %v, want %v", value, l.Verdict, l.Reasons(), want)
		}
	}
}

// What leaves the numbers open is doubt, and takes no fail in words away. The
// factor is 4 mg/m² for each µS/cm, the limit 50; U is stated as 5 mg/m².
func TestWrittenFailStandsWhereNumbersAreOpen(t *testing.T) {
	inGuardBand := func(job *record.Job) {
		job.Terms.DecisionRule = given(salt.Guarded)
		job.Terms.ExpandedUncertainty = number[unit.SurfaceDensity](t, "5")
	}
	for _, c := range []struct {
		name, blank, extract, recorded string
		word                           record.WrittenVerdict
		change                         func(*record.Job)
		want                           Verdict
	}{
		{"in the guard band", "2.0", "14.0", "48", record.WrittenFail, inGuardBand, Fail},
		{"in the guard band, called a pass", "2.0", "14.0", "48", record.WrittenPass, inGuardBand, NotEstablished},
		{"in the guard band, without a word", "2.0", "14.0", "48", record.NoVerdict, inGuardBand, NotEstablished},
		{"in the guard band, by a value with the blank left in", "2.0", "14.0", "56", record.WrittenFail, inGuardBand, NotEstablished},
		{"chloride can only be bounded", "2.0", "82.0", "320", record.WrittenFail, func(job *record.Job) {
			job.Terms.Limits[0].Basis = given(salt.ChlorideIon)
		}, Fail},
		{"the value alone is above a chloride limit", "2.0", "82.0", "320", record.NoVerdict, func(job *record.Job) {
			job.Terms.Limits[0].Basis = given(salt.ChlorideIon)
		}, NotEstablished},
		{"the blank was not read", "", "14.0", "", record.WrittenFail, nil, Fail},
		{"the extract reads lower than the blank", "5.0", "2.0", "", record.WrittenFail, nil, Fail},
		{"no basis of the limit", "2.0", "14.0", "48", record.WrittenFail, func(job *record.Job) {
			job.Terms.Limits[0].Basis = record.Given[salt.Basis]{}
		}, NotEstablished},
		{"no limit", "2.0", "14.0", "48", record.WrittenFail, func(job *record.Job) { job.Terms.Limits = nil }, NotEstablished},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := newJob(t)
			if c.change != nil {
				c.change(job)
			}
			test := reading(t, c.blank, c.extract)
			f := test.Own()
			f.Recorded = number[unit.SurfaceDensity](t, c.recorded)
			f.RecordedVerdict = given(c.word)
			if l := judged(t, job, test); l.Verdict != c.want {
				t.Errorf("got %v %v, want %v", l.Verdict, l.Reasons(), c.want)
			}
		})
	}
}

// A density equal to a limit that is not said to hold "at most" or "less
// than" is neither within nor above it; its neighbours are.
func TestComparisonNotStated(t *testing.T) {
	job := newJob(t)
	job.Terms.Limits[0].Comparison = record.Given[salt.Comparison]{}
	for extract, want := range map[string]Verdict{"14.4": Pass, "14.5": NotEstablished, "14.6": Fail} {
		l := judged(t, job, reading(t, "2.0", extract))
		if l.Verdict != want {
			t.Errorf("extract %s: got %v, want %v", extract, l.Verdict, want)
		}
		if want == NotEstablished && !slices.Equal(l.Reasons(), []Reason{NoComparison}) {
			t.Errorf("extract %s: reasons %v", extract, l.Reasons())
		}
	}
}

// A verdict in a word that is not understood is none of ours to guess: 10 ml on
// 1250 mm² is 4 mg/m² for each µS/cm, the blank 2.0, the limit 50.
func TestUnreadVerdict(t *testing.T) {
	unread := record.Given[record.WrittenVerdict]{State: record.Unreadable, Text: "amber"}
	for _, c := range []struct {
		name, extract, recorded string
		want                    Verdict
	}{
		{"value and readings within the limit", "12.0", "40", Pass},
		{"value and readings above it", "17.0", "60", Fail},
		{"the value within, the readings above", "17.0", "40", Fail},
		{"the value above, and no slip explains it", "12.0", "57.3", NotEstablished},
		{"no value", "12.0", "", Pass},
		{"no readings, and the value above the limit", "", "72", Fail},
		{"no readings, and the value within it", "", "40", NotEstablished},
	} {
		t.Run(c.name, func(t *testing.T) {
			test := reading(t, "2.0", c.extract)
			f := test.Own()
			f.Recorded = number[unit.SurfaceDensity](t, c.recorded)
			f.RecordedVerdict = unread
			job := newJob(t)
			job.Tests = []record.Test{test}
			r := Run(job, nil)
			l := &r.Lines[0]
			if !l.UnreadVerdict() || l.AsWritten() != NotEstablished || l.Verdict != c.want || r.Changes != (Changes{}) {
				t.Errorf("unread %v, as written %v, verdict %v, changes %+v; want true, %v, %v and none",
					l.UnreadVerdict(), l.AsWritten(), l.Verdict, r.Changes, NotEstablished, c.want)
			}
		})
	}
	for name, g := range map[string]record.Given[record.WrittenVerdict]{
		"a dash": {State: record.NotDone, Text: "-"}, "nothing": {}, "a pass": given(record.WrittenPass),
	} {
		test := reading(t, "2.0", "12.0")
		f := test.Own()
		f.Recorded = number[unit.SurfaceDensity](t, "40")
		f.RecordedVerdict = g
		if l := judged(t, newJob(t), test); l.UnreadVerdict() || l.AsWritten() != Pass {
			t.Errorf("%s: unread %v, as written %v", name, l.UnreadVerdict(), l.AsWritten())
		}
	}
	blank := reading(t, "2.0", "2.0")
	f := blank.Own()
	f.RecordedVerdict = unread
	f.Kind = given(record.ProceduralBlank)
	if l := judged(t, newJob(t), blank); l.UnreadVerdict() {
		t.Error("a procedural blank has a verdict")
	}
}

func TestChanges(t *testing.T) {
	job := newJob(t)
	for _, c := range []struct {
		extract, recorded string
		verdict           record.WrittenVerdict
	}{
		{"17.0", "40", record.WrittenPass}, // 0: 60, pass to fail
		{"17.0", "40", record.NoVerdict},   // 1: the same by the written value
		{"13.0", "52", record.NoVerdict},   // 2: 44, the blank was not subtracted: fail to pass
		{"12.0", "40", record.WrittenPass}, // 3: pass to not established, by a finding
		{"12.0", "40", record.WrittenPass}, // 4: pass to void
		{"12.0", "40", record.WrittenFail}, // 5: a fail by the log, kept from passing
		{"12.0", "40", record.WrittenPass}, // 6: stands
		{"12.0", "", record.NoVerdict},     // 7: nothing written
	} {
		test := reading(t, "2.0", c.extract)
		f := test.Own()
		f.Recorded = number[unit.SurfaceDensity](t, c.recorded)
		f.RecordedVerdict = given(c.verdict)
		job.Tests = append(job.Tests, test)
	}
	r := Run(job, []*Check{finds(ChangesVerdict, 0, 1, 6), finds(VoidsTest, 4, 0), finds(UnprovenPass, 3, 7)})
	if want := (Changes{PassToFail: 2, FailToPass: 1, PassToNotEstablished: 1, PassToVoid: 1}); r.Changes != want {
		t.Errorf("got %+v, want %+v", r.Changes, want)
	}
	for i, want := range []struct{ lost, changed int }{{0, 2}, {1, 1}, {2, 1}} {
		if f := r.Findings[i]; f.LostPasses != want.lost || f.Changed != want.changed {
			t.Errorf("finding %d (%v): lost %d, changed %d; want %+v", i, f.Severity, f.LostPasses, f.Changed, want)
		}
	}
}

func TestOrderOfFindings(t *testing.T) {
	job := newJob(t)
	for i := range 3 {
		test := reading(t, "2.0", "12.0")
		test.Own().Row = test.Row().At(10-i, 0)
		job.Tests = append(job.Tests, test)
	}
	at := &Check{Name: "placed", Severity: Weakens, Run: func(v *Review) {
		v.Report(Finding{Tests: []int{0}})
		v.Report(Finding{Places: []diag.Pos{diag.In("log.csv", "").At(9, 0), diag.In("log.csv", "").At(3, 0)}})
		v.Report(Finding{Severity: UnprovenPass, Tests: []int{1, 2}})
	}}
	r := Run(job, []*Check{at})
	var rows []int
	for _, f := range r.Findings {
		rows = append(rows, r.place(f).Row())
	}
	if len(rows) != 3 || rows[0] != 9 || rows[1] != 3 || rows[2] != 10 {
		t.Errorf("rows %v, want 9 (the weightier), 3, 10", rows)
	}
}

// The ground rule: whatever doubt is added, no FAIL is taken away and
// nothing becomes a PASS; and no area is accepted because passes were found
// unproven. (A finding that voids a test may end in acceptance all the same:
// a fail that was no valid extraction is cleared by its proper repeat.)
func TestDoubtTakesNoFailAway(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	kinds := []record.TestKind{record.Original, record.Original, record.Original, record.Repeat, record.Retest, record.Adjacent, record.Witness, record.ProceduralBlank}
	severities := []Severity{ChangesVerdict, VoidsTest, UnprovenPass, Weakens, Housekeeping}
	pick := func(list ...string) string { return list[rnd.IntN(len(list))] }
	for range 400 {
		job := newJob(t)
		job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 3})
		job.Terms.Correction = given(salt.Correction{Kind: salt.Linear, Alpha: 2})
		job.Terms.Retest = given(record.RetestRule{Adjacent: 1})
		for i := range 12 {
			test := reading(t, pick("2.0", "1.6", "", "<1.0", "??"), pick("12.0", "14.1", "14.5", "17.0", "<9.0", "1.0", ""))
			f := test.Own()
			f.Number, f.Area = words(string(rune('a'+i))), words(pick("A", "B"))
			f.Kind = given(kinds[rnd.IntN(len(kinds))])
			f.OfTest = words(string(rune('a' + rnd.IntN(12))))
			f.Location = words(pick("L1", "L2", "L3"))
			f.Start, f.Read = clock(t, pick("08:00", "11:00", "15:00")), clock(t, "")
			f.Compensated = given(rnd.IntN(2) == 0)
			f.SolutionTemperature = number[unit.Temperature](t, pick("10", "24", ""))
			job.Tests = append(job.Tests, test)
		}
		job.Treatments = []record.Treatment{{
			Date: given(firstDay), Started: clock(t, "12:00"), Ended: clock(t, "13:00"),
			OfTests: given([]string{"a", "b", "c", "d"}), What: words("fresh-water wash"),
		}}
		var checks []*Check
		var before *Result
		for range 4 {
			after := Run(job, checks)
			if before != nil {
				compareDoubt(t, before, after, checks[len(checks)-1].Severity)
			}
			before = after
			checks = append(checks, finds(severities[rnd.IntN(len(severities))], rnd.IntN(12), rnd.IntN(12)))
		}
		if t.Failed() {
			return
		}
	}
}

// compareDoubt compares a job with the same job under one more doubt.
func compareDoubt(t *testing.T, before, after *Result, added Severity) {
	t.Helper()
	for i := range before.Lines {
		was, is := before.Lines[i].Verdict, after.Lines[i].Verdict
		if was == Fail && is != Fail || was != Pass && is == Pass {
			t.Errorf("test %d: %v became %v", i, was, is)
		}
	}
	if added == VoidsTest {
		return
	}
	areas := after.Standing(unit.Date{})
	for k, s := range before.Standing(unit.Date{}) {
		if s.Verdict != AcceptedForSalt && areas[k].Verdict == AcceptedForSalt {
			t.Errorf("area %q: %v became %v", s.Name, s.Verdict, areas[k].Verdict)
		}
	}
}
