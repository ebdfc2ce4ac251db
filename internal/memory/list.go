package memory

import "unsafe"

// Make makes a list of n zero values that is soon written from end to end.
//
// It stands on large pages as far as it fills them, so that it takes no more
// memory: 46 MiB read from a file took 0.24 s of processor time on small ones and
// 0.04 s on large ones.
func Make[T any](n int) []T {
	list := make([]T, n)
	if size := uintptr(n) * unsafe.Sizeof(*new(T)); size >= 2*pageSize {
		start := uintptr(unsafe.Pointer(&list[0]))
		from := (start + pageSize - 1) &^ (pageSize - 1)
		to := (start + size) &^ (pageSize - 1)
		advise(from, to)
	}
	return list
}

// pageSize is how large a large page is, in bytes.
const pageSize = 2 << 20
