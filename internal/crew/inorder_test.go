package crew

import "testing"

func TestInOrderTakesEachPartInItsTurn(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		next := 0
		InOrder(n, func(k int) int { return k * k }, func(k, came int) {
			if k != next || came != k*k {
				t.Fatalf("of %d parts, %d came as %d where %d was next", n, k, came, next)
			}
			next++
		})
		if next != n {
			t.Errorf("of %d parts, %d were taken", n, next)
		}
	}
}

func TestInOrderPanicsInTurn(t *testing.T) {
	taken := 0
	defer func() {
		if p := recover(); p != "part 7" || taken != 7 {
			t.Errorf("caught %v after %d parts, want the fault of part 7 after 7", p, taken)
		}
	}()
	InOrder(20, func(k int) int {
		if k >= 7 {
			panic([...]string{7: "part 7", 19: ""}[k])
		}
		return k
	}, func(int, int) { taken++ })
}
