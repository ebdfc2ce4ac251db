package memory

import (
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
	"unsafe"
)

// What is used after Large stands on large pages, and nothing is kept of what was
// asked for.
func TestLarge(t *testing.T) {
	if !asked() || counted() {
		t.Skip("the system has large pages for all or for none, or counts memory before it is used")
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	Large(64 << 20)
	runtime.ReadMemStats(&after)
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); grown > 1<<20 {
		t.Errorf("%d bytes are kept", grown)
	}
	used := make([]byte, 32<<20)
	if flags := flagsAt(t, uintptr(unsafe.Pointer(&used[len(used)/2]))); !strings.Contains(flags, " hg") {
		t.Errorf("the heap stands on pages with the flags%s", flags)
	}
	runtime.KeepAlive(used)
}

// What the heap begins with stands on large pages too.
func TestFirst(t *testing.T) {
	if !asked() {
		t.Skip("the system has large pages for all or for none")
	}
	if flags := flagsAt(t, uintptr(unsafe.Pointer(ofHeap))); !strings.Contains(flags, " hg") {
		t.Errorf("the heap begins on pages with the flags%s", flags)
	}
}

// flagsAt are the flags of the mapping that holds an address, as proc_pid_smaps(5)
// lists them.
func flagsAt(t *testing.T, at uintptr) string {
	t.Helper()
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	within := false
	for line := range strings.Lines(string(maps)) {
		var from, to uintptr
		if n, _ := fmt.Sscanf(line, "%x-%x ", &from, &to); n == 2 {
			within = from <= at && at < to
		} else if flags, is := strings.CutPrefix(line, "VmFlags:"); is && within {
			return strings.TrimSuffix(flags, "\n")
		}
	}
	t.Fatal("the address is in no mapping")
	return ""
}
