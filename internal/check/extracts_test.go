package check

import (
	"math/rand/v2"
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
