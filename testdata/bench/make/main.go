// Make writes a job workbook for measuring; with -areas, one that has all its
// papers, and its photographs beside it.
//
//	go run ./testdata/bench/make -readings 60 -days 1 -seed 1 OUT.xlsx
//	go run ./testdata/bench/make -readings 2000 -days 60 -areas 12 -photos 100 -seed 1 FOLDER/OUT.xlsx
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"saltline/internal/table"
	"saltline/testdata/bench"
)

func main() {
	readings := flag.Int("readings", 60, "number of readings")
	days := flag.Int("days", 1, "number of days")
	areas := flag.Int("areas", 0, "number of areas of a job with all its papers; 0 for readings alone")
	photos := flag.Int("photos", 0, "number of photographs, of such a job")
	width := flag.Int("width", 2000, "pixels across a photograph, which is three quarters as high")
	seed := flag.Uint64("seed", 1, "seed")
	flag.Parse()
	book := bench.Job(*readings, *days, *seed)
	if *areas > 0 {
		book = bench.Closing{Readings: *readings, Days: *days, Areas: *areas, Photos: *photos, Seed: *seed}.Book()
	}
	data, err := table.Write(book)
	if err == nil {
		err = os.WriteFile(flag.Arg(0), data, 0o644)
	}
	for n := 1; n <= *photos && err == nil; n++ {
		if data, err = bench.Photo(n, *width, *width*3/4, *seed); err == nil {
			err = os.WriteFile(filepath.Join(filepath.Dir(flag.Arg(0)), fmt.Sprintf("photo-%d.jpg", n)), data, 0o644)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
