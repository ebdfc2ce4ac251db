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
	// The report of a day is made before it pays to collect what it leaves
	// behind; a long record is kept within the memory of a small machine.
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(400 << 20)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
