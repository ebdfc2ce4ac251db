package check

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

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
