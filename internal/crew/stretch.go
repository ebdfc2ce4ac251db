package crew

// atOnce is how many things of a long list one processor takes before it takes
// the next: enough to be worth handing out.
const atOnce = 4096

// Share does the things 0 … n−1 of a long list side by side, in stretches of
// which each is done in its order.
func Share(n int, stretch func(from, to int)) {
	Do(stretches(n), func(k int) { stretch(k*atOnce, min((k+1)*atOnce, n)) })
}

// Gather is Share, and returns what each stretch comes to, in their order.
func Gather[T any](n int, stretch func(from, to int) T) []T {
	all := make([]T, stretches(n))
	Share(n, func(from, to int) { all[from/atOnce] = stretch(from, to) })
	return all
}

func stretches(n int) int { return (n + atOnce - 1) / atOnce }
