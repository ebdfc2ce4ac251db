// Make writes a job workbook for measuring; with -areas, one that has all its
// papers, and its photographs beside it; with -log, a long log of readings and
// nothing else, as CSV or as a workbook.
//
//	go run ./testdata/bench/make -readings 60 -days 1 -seed 1 OUT.xlsx
//	go run ./testdata/bench/make -readings 2000 -days 60 -areas 12 -photos 100 -seed 1 FOLDER/OUT.xlsx
//	go run ./testdata/bench/make -readings 1000000 -log OUT.csv
package main

import (
	"bytes"
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
	log := flag.Bool("log", false, "a long log and no job, on 28 days")
	seed := flag.Uint64("seed", 1, "seed")
	flag.Parse()
	if err := write(flag.Arg(0), bench.Closing{Readings: *readings, Days: *days, Areas: *areas, Photos: *photos, Seed: *seed}, *log); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	for n := 1; n <= *photos; n++ {
		data, err := bench.Photo(n, *width, *width*3/4, *seed)
		if err == nil {
			err = os.WriteFile(filepath.Join(filepath.Dir(flag.Arg(0)), fmt.Sprintf("photo-%d.jpg", n)), data, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

func write(name string, job bench.Closing, log bool) (err error) {
	var out bytes.Buffer
	switch l := (bench.Log{Rows: job.Readings, Seed: job.Seed}); {
	case log && filepath.Ext(name) == ".csv":
		err = l.CSV(&out)
	case log:
		err = l.Workbook(&out)
	case job.Areas > 0:
		err = book(&out, job.Book())
	default:
		err = book(&out, bench.Job(job.Readings, job.Days, job.Seed))
	}
	if err != nil {
		return err
	}
	return os.WriteFile(name, out.Bytes(), 0o644)
}

func book(out *bytes.Buffer, b table.Book) error {
	data, err := table.Write(b)
	out.Write(data)
	return err
}
