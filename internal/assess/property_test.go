package assess

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A log is a random job and what findings say against its tests.
type log struct {
	job            *record.Job
	unproven, void map[int]bool // by the row of the test
}

func (l *log) run() *Result {
	var unproven, void []int
	for i := range l.job.Tests {
		switch row := l.job.Tests[i].Row().Row(); {
		case l.unproven[row]:
			unproven = append(unproven, i)
		case l.void[row]:
			void = append(void, i)
		}
	}
	return Run(l.job, []*Check{finds(UnprovenPass, unproven...), finds(VoidsTest, void...)})
}

// String writes the log in the form of parseHistory, near enough to see it.
func (l *log) String() string {
	var b strings.Builder
	for i := range l.job.Tests {
		t := &l.job.Tests[i]
		fmt.Fprintf(&b, "row %d: %s kind %d of %q | %v %q | %q: %q | %v | %q | %q | unproven %v, void %v\n", t.Row().Row(), t.Number().Val, t.Kind().Val, t.OfTest().Val,
			t.Date().Val, clockText(t.Start()), t.Area().Val, t.Location().Val, t.Extract().Val, t.Remark().Val, t.Treatment().Val, l.unproven[t.Row().Row()], l.void[t.Row().Row()])
	}
	for _, t := range l.job.Treatments {
		fmt.Fprintf(&b, "T:%s %v | %v %q-%q\n", t.Name.Val, t.OfTests.Val, t.Date.Val, clockText(t.Started), clockText(t.Ended))
	}
	fmt.Fprintf(&b, "%d adjacent", l.job.Terms.Retest.Val.Adjacent)
	return b.String()
}

func clockText(c record.Given[unit.Clock]) string {
	if !c.Known() {
		return ""
	}
	m := int(c.Val.Minutes())
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// add puts a test behind the others; its row tells it apart for good.
func (l *log) add(t *testing.T, number string, kind record.TestKind, of string, day int, minutes int, density float64) *record.Test {
	test := reading(t, "2.0", "")
	row := 2
	for i := range l.job.Tests {
		row = max(row, l.job.Tests[i].Row().Row()+1)
	}
	f := test.Own()
	f.Row = diag.In("log.csv", "").At(row, 0)
	f.Number, f.Kind, f.OfTest = words(number), given(kind), words(of)
	f.Date = given(firstDay.Add(day + minutes/1440))
	f.Start, f.Read = given(unit.Clock(minutes%1440*60)), given(unit.Clock((minutes+10)%1440*60))
	f.Extract = given(unit.Conductivity(2 + density/4)) // K = 4
	f.Extract.Dec, _ = unit.FromFloat(float64(test.Extract().Val))
	l.job.Tests = append(l.job.Tests, test)
	return &l.job.Tests[len(l.job.Tests)-1]
}

func (l *log) treat(name string, of []string, day, from, to int) *record.Treatment {
	l.job.Treatments = append(l.job.Treatments, record.Treatment{Name: words(name), OfTests: given(of), What: words("fresh-water wash"), Date: given(firstDay.Add(day)),
		Started: given(unit.Clock(from % 1440 * 60)), Ended: given(unit.Clock(to % 1440 * 60))})
	return &l.job.Treatments[len(l.job.Treatments)-1]
}

func newLog(t *testing.T, rnd *rand.Rand) *log {
	l := &log{job: newJob(t), unproven: map[int]bool{}, void: map[int]bool{}}
	l.job.Terms.Retest = given(record.RetestRule{Beside: true, Adjacent: rnd.IntN(3)})
	l.job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 2})
	l.job.Areas = []record.Area{{Name: words("A")}}
	return l
}

// proper adds a fail that is washed and tested again as the rule says, by the
// numbers from first. It needs every one of its events.
func (l *log) proper(t *testing.T, rnd *rand.Rand, first, day int) {
	n := func(k int) string { return fmt.Sprint(first + k) }
	at := 480 + 5*rnd.IntN(120) // up to 18:00; what follows may go on into the night
	place := func(test *record.Test, location string, x float64) {
		f := test.Own()
		f.Location, f.X, f.Y = words(location), given(x), given(1.0)
		f.X.Unit, f.Y.Unit = "m", "m"
	}
	place(l.add(t, n(0), record.Original, "", day, at, 70), "L"+n(0), float64(10*first))
	l.treat("W"+n(0), []string{n(0)}, day, at+20, at+40)
	wait := 55 + rnd.IntN(400)
	place(l.add(t, n(1), record.Retest, n(0), day, at+wait, 20), "L"+n(0)+" b", float64(10*first)+0.1)
	for k := range l.job.Terms.Retest.Val.Adjacent {
		place(l.add(t, n(2+k), record.Adjacent, n(0), day, at+wait+15*k, 20), "L"+n(0)+" side "+n(k), float64(10*first)-0.5+float64(k))
	}
}

// randomLog is a log of fails that are followed properly, and of events that
// are not, with something or other changed, left out and shuffled.
func randomLog(t *testing.T, rnd *rand.Rand) *log {
	l := newLog(t, rnd)
	for k := range 1 + rnd.IntN(2) {
		l.proper(t, rnd, 1+5*k, rnd.IntN(2))
	}
	any := func() string { return fmt.Sprint(1 + rnd.IntN(12)) }
	kinds := []record.TestKind{record.Original, record.Repeat, record.Retest, record.Retest, record.Adjacent, record.Adjacent, record.Witness, record.ProceduralBlank}
	for range rnd.IntN(6) {
		test := l.add(t, any(), kinds[rnd.IntN(len(kinds))], any(), rnd.IntN(3), 420+20*rnd.IntN(40), []float64{20, 60}[rnd.IntN(2)])
		test.Own().Location = words(fmt.Sprintf("L%d%s", 1+rnd.IntN(7), []string{"", " b", " c"}[rnd.IntN(3)]))
	}
	for range rnd.IntN(3) {
		from := 420 + 20*rnd.IntN(50)
		l.treat("W"+any(), []string{any(), any()}, rnd.IntN(3), from, from+10*rnd.IntN(9))
	}
	for range rnd.IntN(6) {
		test := &l.job.Tests[rnd.IntN(len(l.job.Tests))]
		switch rnd.IntN(14) {
		case 0:
			f := test.Own()
			f.Start, f.Read = record.Given[unit.Clock]{}, record.Given[unit.Clock]{}
		case 1:
			test.Own().Date = record.Given[unit.Date]{}
		case 2:
			test.Own().Area = words([]string{"A", "B"}[rnd.IntN(2)])
		case 3:
			test.Own().OfTest = words([]string{any(), any() + ", " + any(), ""}[rnd.IntN(3)])
		case 4:
			test.Own().Number = words(any())
		case 5:
			test.Own().Remark = words([]string{"same spot", "beside the first footprint"}[rnd.IntN(2)])
		case 6:
			test.Own().Location = words([]string{"", "L1", "L1 b", "L6"}[rnd.IntN(4)])
		case 7:
			l.unproven[test.Row().Row()] = true
		case 8:
			l.void[test.Row().Row()] = true
		case 9:
			test.Own().Kind = given(kinds[rnd.IntN(len(kinds))])
		case 10:
			test.Own().Treatment = words("W" + any())
		case 11:
			test.Own().Date = given(firstDay.Add(rnd.IntN(3)))
		case 12: // the place of another, or one a little way off
			other := l.job.Tests[rnd.IntN(len(l.job.Tests))].X()
			f := test.Own()
			f.X = other
			f.X.Val += []float64{0, 0, 1, 2}[rnd.IntN(4)]
		case 13:
			f := test.Own()
			f.X, f.Y = record.Given[float64]{}, record.Given[float64]{}
		}
	}
	for range rnd.IntN(3) {
		tr := &l.job.Treatments[rnd.IntN(len(l.job.Treatments))]
		switch rnd.IntN(6) {
		case 0:
			tr.Ended = record.Given[unit.Clock]{}
		case 1:
			tr.Started = record.Given[unit.Clock]{}
		case 2:
			tr.Date = record.Given[unit.Date]{}
		case 3:
			tr.OfTests = given([]string{any()})
		case 5:
			tr.What = words([]string{"", "none", "steam"}[rnd.IntN(3)])
		case 4: // to the minute with a test
			test := &l.job.Tests[rnd.IntN(len(l.job.Tests))]
			tr.Date, tr.Ended = test.Date(), []record.Given[unit.Clock]{test.Start(), test.Read()}[rnd.IntN(2)]
		}
	}
	if rnd.IntN(2) == 0 {
		rnd.Shuffle(len(l.job.Tests), func(i, j int) { l.job.Tests[i], l.job.Tests[j] = l.job.Tests[j], l.job.Tests[i] })
	}
	return l
}

// clearedRows are the rows of the fails that are cleared.
func clearedRows(r *Result) map[int]bool {
	rows := map[int]bool{}
	for _, s := range r.Standing(unit.Date{}) {
		for _, c := range s.Cleared {
			rows[r.Lines[c.Fail].Test.Row().Row()] = true
		}
	}
	return rows
}

// Whatever happens in a log, a fail is cleared only by what an outsider finds
// in it as well, and no fail gets lost.
func TestNothingElseClears(t *testing.T) {
	const logs = 4000
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	cleared := 0
	for n := range logs {
		l := randomLog(t, rnd)
		r := l.run()
		o := newOracle(r)
		held := map[int]bool{}
		for _, s := range r.Standing(unit.Date{}) {
			for _, c := range slices.Concat(s.Open, s.Cleared) {
				held[c.Fail] = true
				for _, i := range c.Retests {
					held[i] = true
				}
			}
			for _, c := range s.Cleared {
				cleared++
				if why := o.lacks(&c); why != "" {
					t.Fatalf("seed %d, log %d: row %d is cleared by row %d without %s:\n%v", seed, n, o.row(c.Fail), o.row(c.ClearedBy), why, l)
				}
			}
			if len(s.Open) > 0 && s.Verdict != NotAccepted {
				t.Fatalf("seed %d, log %d: area %q is %v with an open fail:\n%v", seed, n, s.Name, s.Verdict, l)
			}
		}
		for i := range r.Lines {
			if r.Lines[i].OfSteel() && r.Lines[i].Verdict == Fail && !held[i] {
				t.Fatalf("seed %d, log %d: the fail of row %d is in no chain:\n%v", seed, n, o.row(i), l)
			}
		}
	}
	t.Logf("%d logs, %d fails cleared", logs, cleared)
	if cleared < logs/4 {
		t.Errorf("only %d of some %d fails are cleared: the logs show little", cleared, logs)
	}
}

// A failing neighbour more, or a treatment less, never clears a fail.
func TestDoubtNeverClears(t *testing.T) {
	const logs = 1500
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	for n := range logs {
		l := randomLog(t, rnd)
		before := clearedRows(l.run())
		check := func(what string) {
			for row := range clearedRows(l.run()) {
				if !before[row] {
					t.Fatalf("seed %d, log %d: %s clears the fail of row %d:\n%v", seed, n, what, row, l)
				}
			}
		}
		tests := l.job.Tests
		l.job.Tests = slices.Clone(tests)
		l.add(t, "99", record.Adjacent, fmt.Sprint(1+rnd.IntN(12)), rnd.IntN(3), 600+rnd.IntN(600), 60).Own().Location = words("far")
		check("an adjacent test above the limit")
		l.job.Tests = tests
		k := rnd.IntN(len(l.job.Treatments))
		l.job.Treatments = slices.Delete(slices.Clone(l.job.Treatments), k, k+1)
		check("a treatment less")
	}
}

// Of a fail that is cleared as the rule says every event is needed.
func TestEveryEventIsNeeded(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 3))
	for range 300 {
		l := newLog(t, rnd)
		l.proper(t, rnd, 1, rnd.IntN(3))
		rnd.Shuffle(len(l.job.Tests), func(i, j int) { l.job.Tests[i], l.job.Tests[j] = l.job.Tests[j], l.job.Tests[i] })
		if len(clearedRows(l.run())) != 1 {
			t.Fatalf("seed %d: not cleared:\n%v", seed, l)
		}
		tests, treatments := l.job.Tests, l.job.Treatments
		for k := range tests {
			if tests[k].Kind().Val == record.Original {
				continue
			}
			l.job.Tests = slices.Delete(slices.Clone(tests), k, k+1)
			if len(clearedRows(l.run())) > 0 {
				t.Errorf("seed %d: cleared without test %s:\n%v", seed, tests[k].Number().Val, l)
			}
		}
		l.job.Tests, l.job.Treatments = tests, nil
		if len(clearedRows(l.run())) > 0 {
			t.Errorf("seed %d: cleared without a treatment:\n%v", seed, l)
		}
		l.job.Treatments = treatments
	}
}
