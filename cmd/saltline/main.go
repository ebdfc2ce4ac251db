// Saltline turns field logs of soluble-salt readings on blast-cleaned steel
// into documents that can be signed, handed over and audited.
//
// Exit status: 0 done and nothing stands against it; 1 it could not be done;
// 2 wrong usage; 3 done, and something does not hold.
package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"

	"saltline/internal/memory"
)

func main() {
	settle()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// settle says how much may lie about before it is collected: six times of what
// is left of the collection before, within a bound (see room).
func settle() {
	debug.SetGCPercent(600)
	debug.SetMemoryLimit(leastRoom)
	follow(new(collection))
}

// leastRoom is how much memory a run has whatever its records are, in bytes.
const leastRoom = 320 << 20

// spread has the heap stand on large pages (see memory), by the size of the
// records, in bytes, and how many times of it they take in the end. What is small
// beside a longer record changes nothing.
func spread(size, times int64) {
	const small = 64 << 10                 // some 250 tests
	const first, atFirst = 512 << 10, 1024 // what a packed record takes of its first half mebibyte
	if size >= small {
		ample.Do(func() {
			bound.Lock()
			defer bound.Unlock()
			memory.Large(int(max(min(size, first)*atFirst, size*times)))
		})
	}
}

var (
	ample sync.Once  // what is asked for once is used again and again
	bound sync.Mutex // of the memory: records are read side by side
)

// room bounds the memory of a run by the size of its largest record, in bytes,
// once that is read and known to be one: what is refused must not take the memory
// of a log as long. It is never made less.
//
// A dossier of two thousand tests with its photographs has room. What is alive is
// followed from there on: a bound near it would only keep the collector running
// (a dossier of 20,000 tests took twice its processor time).
func room(size int64) {
	const most, times = 480 << 20, 40
	raise(min(max(leastRoom, size*times), most))
}

func raise(limit int64) {
	bound.Lock()
	defer bound.Unlock()
	if limit > debug.SetMemoryLimit(-1) {
		debug.SetMemoryLimit(limit)
	}
}

// A collection is a thing that the next collection finds dead.
type collection struct{ _ *collection }

// follow is called after every collection. It keeps the bound of the memory at
// a good half more than what was found alive, with what the runtime takes itself.
func follow(next *collection) {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	raise(int64(live[0].Value.Uint64()) / 5 * 8)
	runtime.SetFinalizer(next, follow)
}
