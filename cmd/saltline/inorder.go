package main

import "runtime"

// eachInOrder does n pieces of work on all cores and hands over what came of
// each in their order. No more than a few pieces are ahead of their turn, so
// that memory does not grow with n.
func eachInOrder[T any](n int, do func(int) T, take func(int, T)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	turns := make(chan chan T, workers)
	go func() {
		defer close(turns)
		free := make(chan struct{}, workers)
		for i := range n {
			turn := make(chan T, 1)
			turns <- turn
			free <- struct{}{}
			go func() {
				turn <- do(i)
				<-free
			}()
		}
	}()
	i := 0
	for turn := range turns {
		take(i, <-turn)
		i++
	}
}
