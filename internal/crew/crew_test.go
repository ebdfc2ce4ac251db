package crew

import "testing"

func TestDoDoesEachPartOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		done := make([]int, n)
		Do(n, func(k int) { done[k]++ })
		for k, times := range done {
			if times != 1 {
				t.Errorf("of %d parts, part %d was done %d times", n, k, times)
			}
		}
	}
}

func TestDoPanicsWhereItIsCalled(t *testing.T) {
	defer func() {
		if p := recover(); p != "part 7" {
			t.Errorf("caught %v, want the fault of part 7", p)
		}
	}()
	Do(20, func(k int) {
		if k == 7 {
			panic("part 7")
		}
	})
}
