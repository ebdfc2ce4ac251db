// Package crew does the parts of a work side by side on all processors.
package crew

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Do does the parts 0 … n−1 of a work and returns when all are done. They are
// taken up in their order and finished in any. What a part panics with Do
// panics with itself, where the caller can catch it.
func Do(n int, part func(k int)) {
	var next atomic.Int64
	var fault atomic.Pointer[any]
	var working sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		working.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fault.Store(&p)
				}
			}()
			for k := next.Add(1) - 1; k < int64(n); k = next.Add(1) - 1 {
				part(int(k))
			}
		})
	}
	working.Wait()
	if p := fault.Load(); p != nil {
		panic(*p)
	}
}
