package check

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// The median of extracts that are counted is that of the list of them.
func TestMedianOfExtracts(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	counted := 0
	for range 200 {
		job := &record.Job{}
		different := 1 + rnd.Int64N(40)
		for range 1 + rnd.IntN(60) {
			test := record.NewTest()
			d := unit.Decimal{Coef: rnd.Int64N(different), Exp: -1}
			test.Own().Extract = record.Given[unit.Conductivity]{Val: unit.Conductivity(d.Float()), Dec: d, State: record.Known}
			job.Tests = append(job.Tests, test)
		}
		v := assess.NewReview(assess.Run(job, nil))
		read := extractsRead(v)
		var tests []int
		var values []float64
		for i := range job.Tests {
			if i == 0 || rnd.IntN(4) > 0 {
				tests, values = append(tests, i), append(values, float64(job.Tests[i].Extract().Val))
			}
		}
		if len(tests) >= len(read.values) {
			counted++
		}
		if got, want := read.median(tests), stat.Median(values); got != want {
			t.Fatalf("seed %d: the median of %v is %v, want %v", seed, values, got, want)
		}
	}
	if counted < 50 || counted > 190 {
		t.Errorf("%d of 200 were counted", counted)
	}
}

// Every sum that occurs again is found to be like others, and few that do not.
func TestSieveKeepsWhatOccursAgain(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	for _, n := range []int{0, 1, 2, 30, 5000} {
		sums := make([]uint64, n)
		for k := range sums {
			sums[k] = rnd.Uint64()
		}
		for range n / 10 {
			sums[rnd.IntN(n)] = sums[rnd.IntN(n)]
		}
		like := likeOthers(sums)
		alone := 0
		for k, sum := range sums {
			switch again := slices.Contains(sums[:k], sum) || slices.Contains(sums[k+1:], sum); {
			case again && !like.has(sum):
				t.Errorf("seed %d: of %d sums the %d-th occurs again and is passed over", seed, n, k)
			case !again && like.has(sum):
				alone++
			}
		}
		if 4*alone > n {
			t.Errorf("seed %d: %d of %d sums are held to be like others and are not", seed, alone, n)
		}
	}
}
