package check_test

import (
	"maps"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
)

// daysOfARecord is how many days a job of honest days has.
const daysOfARecord = 10

// integrityChecks are the checks that ask about patterns.
func integrityChecks() []*assess.Check {
	return slices.DeleteFunc(check.All(), func(c *assess.Check) bool { return c.Group != assess.Integrity })
}

// integrityOf are the findings of group Integrity.
func integrityOf(r *assess.Result) []*assess.Finding {
	var found []*assess.Finding
	for i := range r.Findings {
		if r.Findings[i].Check.Group == assess.Integrity {
			found = append(found, &r.Findings[i])
		}
	}
	return found
}

// TestHonestRecords puts the checks of group Integrity to jobs of several
// honest days: in more rows chance has more room. There are as many days as
// TestHonestDays makes.
func TestHonestRecords(t *testing.T) {
	rateOfPatterns(t, *honestDays/daysOfARecord, func(k uint64) []*honestDay {
		return newHonestRecord(*honestSeed+1, k, daysOfARecord)
	})
}

// TestUnusualHonestDays puts them to days of unusual steel: of next to no
// salt, so that the meter shows few different readings, and of nearly as much
// as the contract allows, so that densities crowd about the limit.
func TestUnusualHonestDays(t *testing.T) {
	for _, unusual := range []struct {
		name    string
		medians [2]float64
	}{
		{"little salt", [2]float64{0.01, 0.06}},
		{"near the limit", [2]float64{0.6, 0.9}},
	} {
		t.Run(unusual.name, func(t *testing.T) {
			rateOfPatterns(t, *honestDays/3, func(k uint64) []*honestDay {
				d := &honestDay{Rand: rand.New(rand.NewPCG(*honestSeed+2, k))}
				d.settle()
				d.medians = unusual.medians
				d.work()
				return []*honestDay{d}
			})
		})
	}
}

// rateOfPatterns counts on how many of the jobs a pattern is asked about: one
// in a hundred at the most.
func rateOfPatterns(t *testing.T, jobs int, days func(uint64) []*honestDay) {
	t.Helper()
	if testing.Short() {
		jobs = (jobs + 2) / 3
	}
	t.Logf("seed %d, %d jobs", *honestSeed, jobs)
	words := load(t)
	results, errs := make([]*assess.Result, jobs), make([]error, jobs)
	var working sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		working.Go(func() {
			for k := w; k < jobs; k += workers {
				job, _, err := bindHonest(days(uint64(k))...)
				if errs[k] = err; err == nil {
					results[k] = assess.Run(job, integrityChecks())
				}
			}
		})
	}
	working.Wait()
	spoken, tests := 0, 0
	by := map[string]int{}
	for k, r := range results {
		if errs[k] != nil {
			t.Fatal(errs[k])
		}
		tests += len(r.Lines)
		if len(r.Findings) == 0 {
			continue
		}
		spoken++
		for i := range r.Findings {
			f := &r.Findings[i]
			if by[f.Check.Name]++; by[f.Check.Name] <= 3 {
				t.Logf("job %d: %s: %s", k, f.Check.Name, plain(render(t, words, r, f)["found"]))
			}
		}
	}
	t.Logf("%d tests; a pattern is asked about on %d of %d jobs", tests, spoken, jobs)
	for _, name := range slices.Sorted(maps.Keys(by)) {
		t.Logf("%-30s %d findings", name, by[name])
	}
	if 100*spoken > jobs {
		t.Errorf("a pattern is asked about on %d of %d honest jobs, want one in a hundred at the most", spoken, jobs)
	}
}

// TestPlantedBlocks copies the readings of some rows of an honest day onto as
// many others of it, and counts how often that is found: always where they are
// eight and the meter shows tenths. Fewer rows, or whole units, chance may
// explain.
func TestPlantedBlocks(t *testing.T) {
	days := *honestDays / 6
	t.Logf("seed %d, up to %d days", *honestSeed+3, days)
	for _, length := range []int{3, 5, 8} {
		for _, coarse := range []bool{false, true} {
			planted, found := 0, 0
			for k := range days {
				d := newHonestDay(*honestSeed+3, uint64(k))
				tests := slices.DeleteFunc(slices.Clone(d.tests), func(h *honestTest) bool { return h == d.glass })
				free := len(tests) - 2*length
				if d.coarse != coarse || free < 1 {
					continue
				}
				from := d.IntN(free)
				to := from + length + d.IntN(free-from)
				onto := map[string]bool{}
				void := false
				for n := range length {
					tests[to+n].extract, tests[to+n].blank = tests[from+n].extract, tests[from+n].blank
					void = void || tests[to+n].void || tests[from+n].void
					onto[tests[to+n].number], onto[tests[from+n].number] = true, true
				}
				if void {
					continue
				}
				job, _, err := d.bind()
				if err != nil {
					t.Fatal(err)
				}
				planted++
				for _, f := range integrityOf(assess.Run(job, integrityChecks())) {
					if f.Check.Name != "copied-rows" {
						continue
					}
					found++
					touched := 0
					for _, i := range f.Tests {
						if onto[job.Tests[i].Number().Val] {
							touched++
						}
					}
					if touched != len(onto) {
						t.Errorf("day %d: %d of the %d rows of the block are found", k, touched, len(onto))
					}
				}
			}
			t.Logf("%d rows, whole units %t: found %d of %d", length, coarse, found, planted)
			if !coarse && length >= 8 && found < planted || planted == 0 {
				t.Errorf("%d rows, whole units %t: found %d of %d", length, coarse, found, planted)
			}
		}
	}
}
