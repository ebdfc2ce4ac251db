package crew

import "runtime"

// InOrder does the parts 0 … n−1 of a work side by side and hands over what came
// of each, in their order and where it is called. No more than a few parts are
// ahead of their turn, so that memory does not grow with n. What a part panics
// with InOrder panics with itself, in the turn of that part.
func InOrder[T any](n int, do func(k int) T, take func(k int, came T)) {
	type turn struct {
		came  T
		fault any
	}
	workers := min(n, runtime.GOMAXPROCS(0))
	turns := make(chan chan turn, workers)
	stopped := make(chan struct{}) // nobody takes what is still to come
	defer close(stopped)
	go func() {
		defer close(turns)
		free := make(chan struct{}, workers)
		for k := range n {
			mine := make(chan turn, 1)
			select {
			case turns <- mine:
			case <-stopped:
				return
			}
			free <- struct{}{}
			go func() {
				var t turn
				defer func() {
					t.fault = recover()
					mine <- t
					<-free
				}()
				t.came = do(k)
			}()
		}
	}()
	k := 0
	for mine := range turns {
		t := <-mine
		if t.fault != nil {
			panic(t.fault)
		}
		take(k, t.came)
		k++
	}
}
