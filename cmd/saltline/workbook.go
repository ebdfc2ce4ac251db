package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/internal/workbook"
	"saltline/samples"
)

const workbookUsage = `usage: saltline workbook -o FILE.xlsx [--sample] [OPTION]…

Writes the empty job workbook to fill in on site: a sheet for each part of the
record, with the units in the headings, lists to choose from, and the density,
the dew point and the verdict computed beside the readings. What is filled in
is read back by saltline report and saltline audit. --sample fills it with the
sample job.
`

func runWorkbook(args []string, s stream) error {
	var out, language, texts string
	var sample, overwrite bool
	flags := pflag.NewFlagSet("workbook", pflag.ContinueOnError)
	flags.StringVarP(&out, "output", "o", "", `file to write; "-" is standard output`)
	flags.BoolVar(&sample, "sample", false, "filled with the sample job")
	flags.StringVar(&language, "language", "", languageUsage("en"))
	flags.StringVar(&texts, "templates", "", "a folder whose texts take the place of the built-in ones")
	flags.BoolVar(&overwrite, "overwrite", false, "replace a file that exists")
	if err := parseFlags("workbook", workbookUsage, flags, args, s); err != nil {
		return err
	}
	switch {
	case flags.NArg() > 0:
		return usageError(fmt.Sprintf("%q given, but nothing is read", flags.Arg(0)), "saltline workbook -o FILE.xlsx")
	case out == "":
		return usageError("no file given", "saltline workbook -o FILE.xlsx")
	case out != "-" && !strings.EqualFold(filepath.Ext(out), ".xlsx"):
		return usageError(fmt.Sprintf("%s: a workbook is written as .xlsx", out), "give it a name that ends in .xlsx")
	}
	tongue, err := tongueOf(language, texts)
	if err != nil {
		return err
	}
	w, err := tongue.words(record.Words{}, s)
	if err != nil {
		return err
	}
	book, err := jobBook(w.Whole(), sample)
	if err != nil {
		return err
	}
	data, err := table.Write(book)
	if err != nil {
		return err
	}
	if out == "-" {
		return writeStdout(s.out, data)
	}
	return writeFile(out, data, overwrite)
}

// jobBook describes the job workbook, empty or filled with the sample job.
func jobBook(w *wording.Words, sample bool) (table.Book, error) {
	if !sample {
		return workbook.Blank(w)
	}
	job, err := table.Read("sample.xlsx", samples.Lock, table.Options{})
	if err != nil {
		return table.Book{}, err
	}
	return workbook.Sample(w, job)
}
