package memory

import (
	"bytes"
	"math"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"syscall"
	"unsafe"
)

// Large has the next n bytes of the heap stand on large pages, if the system gives
// these to those who ask. Nothing is touched: what is not used takes no memory.
//
// The heap has no place where it could be asked before it grows. So it is made to
// grow by one piece, which is let go again, and becomes what is used next; it costs
// two collections.
func Large(n int) { large(n, true) }

// large is Large. A program that has just begun collects nothing yet.
func large(n int, collects bool) {
	n = min(n, most())
	if !asked() || counted() || n <= 0 {
		return
	}
	// No collection may find the piece alive and take it for what the program needs:
	// none begins by itself, and one that is under way is waited for.
	percent, limit := debug.SetGCPercent(-1), debug.SetMemoryLimit(math.MaxInt64)
	if collects {
		runtime.GC()
	}
	from := uintptr(unsafe.Pointer(unsafe.StringData(untouched(n))))
	advise(from, from+uintptr(n))
	debug.FreeOSMemory() // and none of it counts as taken
	debug.SetGCPercent(percent)
	debug.SetMemoryLimit(limit)
}

// untouched begins a piece of the heap that nobody has written to: a slice that is
// made may lie half on what was used before, and is then cleared from end to end.
func untouched(n int) string {
	var piece strings.Builder
	piece.Grow(n)
	piece.WriteByte(0)
	return piece.String()
}

// first has what the heap began with stand on large pages too, as far as nothing
// of it is in use yet.
func first() {
	const piece = 4 << 20 // by which the heap grows, and at a multiple of which each begins
	if asked() {
		at := uintptr(unsafe.Pointer(ofHeap)) &^ (piece - 1)
		advise(at, at+piece)
	}
}

var ofHeap = new([64]byte)

// advise asks for large pages from one place to another, where nothing else but the
// heap lies. It does no harm where that is refused.
func advise(from, to uintptr) {
	const hugepage = 14 // MADV_HUGEPAGE, which package syscall has not on every machine
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, from, to-from, hugepage)
}

// asked reports whether the system gives large pages to those who ask: not to
// all, nor to none.
func asked() bool {
	mode, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	return err == nil && bytes.Contains(mode, []byte("[madvise]"))
}

// most is half of the memory that there is: the system refuses what it never has.
func most() int {
	var system syscall.Sysinfo_t
	if syscall.Sysinfo(&system) != nil {
		return 0
	}
	return int(uint64(system.Totalram) * uint64(system.Unit) / 2)
}

// counted reports whether memory counts as taken before it is used.
func counted() bool {
	if mode, err := os.ReadFile("/proc/sys/vm/overcommit_memory"); err != nil || bytes.HasPrefix(mode, []byte("2")) {
		return true
	}
	for _, of := range []int{syscall.RLIMIT_AS, syscall.RLIMIT_DATA} {
		var most syscall.Rlimit
		if syscall.Getrlimit(of, &most) != nil || most.Cur < 1<<40 {
			return true
		}
	}
	return false
}
