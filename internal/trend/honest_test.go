package trend_test

import (
	"flag"
	"runtime"
	"sync"
	"testing"

	"saltline/internal/trend"
)

var (
	honestSeed = flag.Uint64("honest-seed", 20261128, "seed of the honest jobs")
	honestJobs = flag.Int("honest-jobs", 250, "how many honest jobs are made")
	honestLong = flag.Int("honest-days", 20, "how many days each has")
)

// TestHonest puts all questions to jobs on which nothing is the matter: no
// flag may be raised on more than two of a hundred.
func TestHonest(t *testing.T) {
	jobs := *honestJobs
	t.Logf("seed %d, %d jobs of %d days", *honestSeed, jobs, *honestLong)
	found := make([]trend.Trends, jobs)
	var working sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		working.Go(func() {
			for n := w; n < jobs; n += workers {
				found[n] = trend.Of(judged(plan{seed: *honestSeed, job: uint64(n), days: *honestLong}.make()))
			}
		})
	}
	working.Wait()
	raised, silent := map[trend.Kind]int{}, map[trend.Kind]int{}
	for n := range found {
		on, off := map[trend.Kind]bool{}, map[trend.Kind]bool{}
		for _, f := range found[n].Flags {
			on[f.Kind] = true
			if raised[f.Kind] < 3 {
				t.Logf("job %d: %+v", n, f)
			}
		}
		for _, s := range found[n].TooFew {
			off[s.Kind] = true
		}
		for k := range on {
			raised[k]++
		}
		for k := range off {
			silent[k]++
		}
	}
	for _, k := range trend.Kinds() {
		t.Logf("%-22s raised on %d, too few values on %d of %d jobs", k, raised[k], silent[k], jobs)
		if 100*raised[k] > 2*jobs {
			t.Errorf("%s is raised on %d of %d honest jobs", k, raised[k], jobs)
		}
	}
}
