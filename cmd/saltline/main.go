// Saltline turns field logs of soluble-salt readings on blast-cleaned steel
// into documents that can be signed, handed over and audited.
//
// Exit status: 0 done and nothing stands against it; 1 it could not be done;
// 2 wrong usage; 3 done, and something does not hold.
package main

import (
	"os"
	"path/filepath"
	"runtime/debug"
)

func main() {
	room(largest(os.Args[1:]))
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// room bounds the memory of a run by the size of its largest record, in bytes.
//
// The report of a day is made before it pays to collect what it leaves behind, and
// a dossier of two thousand tests with its photographs has room.
// A long log is kept near what it needs, some forty times its text (measured on
// narrow and wide ones): a lower bound would only keep the collector running.
func room(size int64) {
	const most, times = 320 << 20, 40
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(max(most, size*times))
}

// largest is the size of the largest file or folder of files among arguments;
// those that name none count nothing.
func largest(args []string) int64 {
	most := int64(0)
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil {
			continue
		}
		size := info.Size()
		if info.IsDir() {
			size = 0
			inside, _ := filepath.Glob(filepath.Join(a, "*.csv"))
			for _, f := range inside {
				if info, err := os.Stat(f); err == nil {
					size += info.Size()
				}
			}
		}
		most = max(most, size)
	}
	return most
}
