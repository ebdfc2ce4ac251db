package crew

import "testing"

func TestShareDoesEachThingOnce(t *testing.T) {
	for _, n := range []int{0, 1, atOnce - 1, atOnce, atOnce + 1, 5*atOnce + 7} {
		done := make([]int, n)
		Share(n, func(from, to int) {
			for i := from; i < to; i++ {
				done[i]++
			}
		})
		for i, times := range done {
			if times != 1 {
				t.Fatalf("of %d things, thing %d was done %d times", n, i, times)
			}
		}
	}
}

func TestGatherKeepsTheOrder(t *testing.T) {
	for _, n := range []int{0, 1, atOnce, 5*atOnce + 7} {
		next := 0
		for _, s := range Gather(n, func(from, to int) [2]int { return [2]int{from, to} }) {
			if s[0] != next || s[1] <= s[0] {
				t.Fatalf("of %d things, a stretch is %d to %d after %d", n, s[0], s[1], next)
			}
			next = s[1]
		}
		if next != n {
			t.Errorf("of %d things, %d were gathered", n, next)
		}
	}
}
