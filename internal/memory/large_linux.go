package memory

import (
	"bytes"
	"math"
	"os"
	"runtime/debug"
	"syscall"
)

// Large has the next n bytes of the heap stand on large pages, if the system gives
// these to those who ask. Nothing is touched: what is not used takes no memory.
//
// The heap has no place where it could be asked before it grows. So it is made to
// grow by one piece, which is let go again, and becomes what is used next; it costs
// one collection, of two milliseconds.
func Large(n int) {
	mode, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !bytes.Contains(mode, []byte("[madvise]")) {
		return // never, or always
	}
	// No collection may find the piece alive and take it for what the program needs.
	percent, limit := debug.SetGCPercent(-1), debug.SetMemoryLimit(math.MaxInt64)
	syscall.Madvise(make([]byte, n), syscall.MADV_HUGEPAGE) // no harm where it is refused
	debug.FreeOSMemory()                                    // and none of it counts as taken
	debug.SetGCPercent(percent)
	debug.SetMemoryLimit(limit)
}
