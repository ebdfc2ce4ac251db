// Make writes a job workbook for measuring.
//
//	go run ./testdata/bench/make -readings 60 -days 1 -seed 1 OUT.xlsx
package main

import (
	"flag"
	"fmt"
	"os"

	"saltline/internal/table"
	"saltline/testdata/bench"
)

func main() {
	readings := flag.Int("readings", 60, "number of readings")
	days := flag.Int("days", 1, "number of days")
	seed := flag.Uint64("seed", 1, "seed")
	flag.Parse()
	data, err := table.Write(bench.Job(*readings, *days, *seed))
	if err == nil {
		err = os.WriteFile(flag.Arg(0), data, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
