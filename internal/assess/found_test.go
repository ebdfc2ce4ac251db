package assess

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// Found at first test are 40, 70 and 30 (the repeat of the void test): median
// 40, one above the limit. As coated the steel has 40, 30, the retest 16 and
// the adjacent 20 and 24: mean 26, median 24. By hand.
func TestFirstAndAsCoated(t *testing.T) {
	s := standing(t, "1 original | 08:00 | L1 | 40\n2 original | 08:15 | L2 | 70\n4! original | 08:30 | L4 | 30\n5 repeat 4 | 08:45 | L4 b | 30\n"+
		"6? original | 09:00 | L6 | 10\nT 2 | 10:00-11:00\n3 retest 2 | 12:00 | L2 b | 16\n8 adjacent 2 | 12:15 | l | 20\n9 adjacent 2 | 12:30 | r | 24\n"+
		"7 witness 1 | 13:00 | L1 w | 12\n", nil)
	for _, c := range []struct {
		what      string
		got, want []float64
	}{
		{"first", []float64{float64(s.First.N), s.First.Min, s.First.Median, s.First.Max, float64(len(s.First.Above))}, []float64{3, 30, 40, 70, 1}},
		{"as coated", []float64{float64(s.AsCoated.N), s.AsCoated.Min, s.AsCoated.Median, s.AsCoated.Mean, s.AsCoated.Max, float64(len(s.AsCoated.Above))}, []float64{5, 16, 24, 26, 40, 0}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if !slices.Equal(s.First.Above, []int{1}) || s.First.MaxAt != 1 || s.AsCoated.MaxAt != 0 {
		t.Errorf("above %v, highest at first %d and as coated %d; want [1], 1 and 0", s.First.Above, s.First.MaxAt, s.AsCoated.MaxAt)
	}
}

// Tests at spots that had been treated show nothing of what was there before;
// a fail that names the treatment that it got does.
func TestFirstIsBeforeTreatment(t *testing.T) {
	for _, c := range []struct {
		name, history string
		want          []int
	}{
		{"treated before it was ever tested", "T:W | 07:00-07:30\n1 original | 08:00 | L1 | 20 | | W\n2 original | 08:20 | L2 | 20\n", []int{1}},
		{"void, washed, repeated", "1! original | 08:00 | L1 | 20\nT 1 | 08:15-08:30\n2 repeat 1 | 09:00 | L1 b | 20\n", nil},
		{"void, repeated, washed", "1! original | 08:00 | L1 | 20\n2 repeat 1 | 08:20 | L1 b | 60\nT 2 | 09:00-09:30\n", []int{1}},
		{"a fail that names what was done about it", "1 original | 08:00 | L1 | 70 | | W\nT:W | 09:00-09:30\n", []int{0}},
		{"a doubtful fail and its repeat", "1! original | 08:00 | L1 | 70\n2 repeat 1 | 08:20 | L1 b | 20\n", []int{0}},
		{"void twice, then a pass", "1! original | 08:00 | L1 | 20\n2! repeat 1 | 08:20 | L1 b | 20\n3 repeat 2 | 08:40 | L1 c | 24\n", []int{2}},
		{"two repeats: the first of them", "1! original | 08:00 | L1 | 20\n3 repeat 1 | 08:40 | L1 c | 24\n2 repeat 1 | 08:20 | L1 b | 20\n", []int{2}},
	} {
		if got := standing(t, c.history, nil).First.Tests; !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// Extracts of "<1.0" over a blank of 0.5 bound the density by 2 (K is 4, and the
// extract may hold nothing): of 2, 2, 8, 12 and 16 the median is 8 and the
// highest 16, and of the lowest only the bound is known.
func TestBounded(t *testing.T) {
	job := newJob(t)
	for _, extract := range []string{"<1.0", "2.5", "<1.0", "3.5", "4.5"} {
		job.Tests = append(job.Tests, reading(t, "0.5", extract))
	}
	r := Run(job, nil)
	f := r.Standing(unit.Date{})[0].AsCoated
	if f.N != 5 || f.Bounded != 2 || f.Median != 8 || f.Max != 16 || f.MaxAt != 4 || !math.IsNaN(f.Min) || f.Order.Min.High != 2 {
		t.Errorf("got %+v", f)
	}
	if !math.IsNaN(f.Mean) || !math.IsNaN(f.SD) {
		t.Errorf("a mean of %v and a deviation of %v of values that are not known", f.Mean, f.SD)
	}
}

// zonesOf are the zones of a job of tests with these densities and spot types.
func zonesOf(t *testing.T, densities []float64, types []string) []Zone {
	t.Helper()
	job := newJob(t)
	for i, d := range densities {
		test := reading(t, "2.0", "")
		f := test.Own()
		f.Extract = given(unit.Conductivity(2 + d/4)) // K = 4
		f.Extract.Dec, _ = unit.FromFloat(2 + d/4)
		if types != nil {
			f.SpotType = words(types[i])
		}
		job.Tests = append(job.Tests, test)
	}
	r := Run(job, nil)
	return r.Standing(unit.Date{})[0].Zones(r)
}

// Eight values 4, 8 … 32: mean 18, s = √96, k = 3.187 by the printed table, so
// 18 + 3.187·9.798 = 49.23. Eight values 4·2^e with e twice 0, 1, 2 and 3: in
// logarithms to the base 2 mean 1.5 and s = √(10/7), so 4·2^(1.5 + 3.187·1.19523)
// = 158.6. By hand.
func TestUpperLimits(t *testing.T) {
	z := zonesOf(t, []float64{4, 8, 12, 16, 20, 24, 28, 32}, nil)
	if len(z) != 1 || z[0].Without != HasLimit || math.Abs(float64(z[0].Normal)-49.23) > 0.01 || math.Abs(z[0].Factor-3.187) > 0.001 {
		t.Errorf("got %+v, want a limit of 49.23", z)
	}
	z = zonesOf(t, []float64{4, 4, 8, 8, 16, 16, 32, 32}, nil)
	if math.Abs(float64(z[0].LogNormal)-158.6) > 0.1 {
		t.Errorf("by logs: got %v, want 158.6", z[0].LogNormal)
	}
	z = zonesOf(t, []float64{4, 8, 12, 16, 20, 24, 28}, nil)
	if z[0].Without != FewValues || !math.IsNaN(float64(z[0].Normal)) {
		t.Errorf("seven values: got %+v, want no limit", z[0])
	}
	z = zonesOf(t, []float64{0, 8, 12, 16, 20, 24, 28, 32}, nil)
	if z[0].Without != HasLimit || z[0].WithoutLogs != ZeroOrBelow || !math.IsNaN(float64(z[0].LogNormal)) || math.IsNaN(float64(z[0].Normal)) {
		t.Errorf("a zero: got %+v, want no limit by logs", z[0])
	}
}

// Spot types are kept apart, and what is too small stays without a limit.
func TestZones(t *testing.T) {
	types := []string{"plate", "weld", "Plate", "", "plate", "plate", "plate", "plate", "plate", "plate"}
	z := zonesOf(t, []float64{4, 40, 8, 44, 12, 16, 20, 24, 28, 32}, types)
	want := []struct {
		spot    string
		n       int
		without NoLimitReason
	}{{"plate", 8, HasLimit}, {"weld", 1, FewValues}, {"", 1, FewValues}}
	if len(z) != len(want) {
		t.Fatalf("%d zones, want %d", len(z), len(want))
	}
	for i, w := range want {
		if z[i].SpotType != w.spot || z[i].N != w.n || z[i].Without != w.without {
			t.Errorf("zone %d: got %q, %d values, %v; want %+v", i, z[i].SpotType, z[i].N, z[i].Without, w)
		}
	}
	if math.Abs(float64(z[0].Normal)-49.23) > 0.01 {
		t.Errorf("got %v, want the limit of the plates alone, 49.23", z[0].Normal)
	}
}

// By 0.95^n ≤ 0.05: 59 tests for 95 %, 29 for 90 %; after three 56 and 26 more.
func TestFurther(t *testing.T) {
	const three = "1 original | 08:00 | a | 20\n2 original | 08:20 | b | 24\n3 original | 08:40 | c | 40\n"
	s := standing(t, three, func(j *record.Job) { j.Terms.SpotsChosen = given(record.AtRandom) })
	for share, want := range map[float64]int{0.95: 56, 0.90: 26, 0.3: 0} {
		if got, ok := s.Further(share); !ok || got != want {
			t.Errorf("%v: got %d, %v; want %d", share, got, ok, want)
		}
	}
	if n, ok := standing(t, three, nil).Further(0.95); ok {
		t.Errorf("spots not known to be random: %d", n)
	}
}

// What is asked of a sample that has no logarithms is refused.
func TestNoLogarithm(t *testing.T) {
	if _, err := stat.UpperLimitByLogs([]float64{1, 0}, 0.95, 0.95); !errors.Is(err, stat.ErrNotPositive) {
		t.Errorf("got %v", err)
	}
}

// The counts of a standing are those of its lines, counted again one by one.
func TestCountsAreThoseOfTheLines(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 4))
	for n := range 1500 {
		l := randomLog(t, rnd)
		if n%3 == 0 {
			l = &log{job: randomCourse(t, rnd)}
		}
		r := l.run()
		steel := 0
		for i := range r.Lines {
			if r.Lines[i].OfSteel() {
				steel++
			}
		}
		for _, s := range r.Standing(unit.Date{}) {
			steel -= len(s.Tests)
			counts := map[Verdict]int{}
			valid, most := 0, 0 // originals that came out, and those that a repeat may have brought out
			begun := map[int]bool{}
			for _, c := range slices.Concat(s.Open, s.Cleared) {
				if begun[c.Fail] || !slices.Contains(s.Tests, c.Fail) || r.Lines[c.Fail].Verdict != Fail {
					t.Fatalf("seed %d, log %d, area %q: row %d begins a chain twice, of no fail or of another area:\n%v", seed, n, s.Name, r.Lines[c.Fail].Test.Row().Row(), l)
				}
				begun[c.Fail] = true
			}
			for _, i := range s.Tests {
				v := r.Lines[i].Verdict
				counts[v]++
				came := v == Pass || v == Fail
				if original := r.Lines[i].Test.Kind().Val == record.Original; original && came {
					valid++
				} else if original && slices.ContainsFunc(s.Tests, func(k int) bool { return r.Lines[k].Test.Kind().Val == record.Repeat }) {
					most++
				}
				if v == Fail && !begun[i] && r.Lines[i].Test.Kind().Val != record.Retest && r.Lines[i].Test.Kind().Val != record.Repeat {
					t.Fatalf("seed %d, log %d, area %q: the fail of row %d is in no chain:\n%v", seed, n, s.Name, r.Lines[i].Test.Row().Row(), l)
				}
			}
			switch {
			case s.Passes != counts[Pass], s.Fails != counts[Fail], s.NotEstablished != counts[NotEstablished], s.Voids != counts[Void]:
				t.Fatalf("seed %d, log %d, area %q: %d, %d, %d, %d; the lines have %v:\n%v", seed, n, s.Name, s.Passes, s.Fails, s.NotEstablished, s.Voids, counts, l)
			case s.Valid < valid, s.Valid > valid+most:
				t.Fatalf("seed %d, log %d, area %q: %d valid, want %d, and at most %d more by repeats:\n%v", seed, n, s.Name, s.Valid, valid, most, l)
			case s.RequiredKnown && s.Short != max(0, s.Required-s.Valid):
				t.Fatalf("seed %d, log %d, area %q: %d short of %d with %d", seed, n, s.Name, s.Short, s.Required, s.Valid)
			case len(s.First.Tests) > s.Valid, len(s.First.Above) > s.Fails:
				t.Fatalf("seed %d, log %d, area %q: %d and %d above at first test, with %d valid and %d fails:\n%v", seed, n, s.Name, len(s.First.Tests), len(s.First.Above), s.Valid, s.Fails, l)
			case len(s.AsCoated.Tests) > s.Passes+s.Fails:
				t.Fatalf("seed %d, log %d, area %q: %d as coated of %d", seed, n, s.Name, len(s.AsCoated.Tests), s.Passes+s.Fails)
			}
		}
		if steel != 0 {
			t.Fatalf("seed %d, log %d: %d tests on steel are in no area or in two:\n%v", seed, n, steel, l)
		}
	}
}
