// Saltline turns field logs of soluble-salt readings on blast-cleaned steel
// into documents that can be signed, handed over and audited.
//
// Exit status: 0 done and nothing stands against it; 1 it could not be done;
// 2 wrong usage; 3 done, and something does not hold.
package main

import (
	"os"
	"runtime/debug"
)

func main() {
	room(0)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// room bounds the memory of a run by the size of its largest record, in bytes,
// once that is read and known to be one: what is refused must not take the memory
// of a log as long. It is never made less.
//
// The report of a day is made before it pays to collect what it leaves behind, and
// a dossier of two thousand tests with its photographs has room.
// A long log is kept near what it needs, some forty times its text (measured on
// narrow and wide ones): a lower bound would only keep the collector running.
func room(size int64) {
	const most, times = 320 << 20, 40
	debug.SetGCPercent(400)
	if limit := max(most, size*times); size == 0 || limit > debug.SetMemoryLimit(-1) {
		debug.SetMemoryLimit(limit)
	}
}
