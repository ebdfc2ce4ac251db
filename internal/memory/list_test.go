package memory

import (
	"runtime"
	"testing"
)

// A list holds what is written to it, pointers too, however long it is and wherever
// it begins.
func TestMakeHoldsWhatIsWritten(t *testing.T) {
	for _, n := range []int{0, 1, 1000, 300_000, 1_000_000, 1_234_567} {
		list := Make[*int](n)
		if len(list) != n {
			t.Fatalf("a list of %d is %d long", n, len(list))
		}
		for i := range list {
			if list[i] != nil {
				t.Fatalf("a list of %d begins with something at %d", n, i)
			}
			if i%1000 == 0 {
				list[i] = &[]int{i}[0]
			}
		}
		runtime.GC()
		for i := range list {
			switch {
			case i%1000 != 0 && list[i] != nil, i%1000 == 0 && *list[i] != i:
				t.Fatalf("a list of %d holds something else at %d", n, i)
			}
		}
	}
}
