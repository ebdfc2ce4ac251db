package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/doc"
	"saltline/internal/export"
	"saltline/internal/frame"
	"saltline/internal/papers"
	"saltline/internal/pdf"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
)

const reportUsage = `usage: saltline report JOB… [OPTION]…

Writes the daily report of each day that the record holds, as JOB-DATE.pdf in
the current folder or where -o says. JOB is a workbook (.xlsx), a folder of CSV
files or one CSV; a job kept in several records is named by all of them, so that
each day knows what the days before it left open. A log with a question in it (a date or a number that reads in
two ways, two columns for one value) gets the question, and no report.
`

// A reportRun holds the options of one run of the command.
type reportRun struct {
	jobRun
	dates   []string
	luggage *luggage
}

func runReport(args []string, s stream) error {
	var r reportRun
	flags := pflag.NewFlagSet("report", pflag.ContinueOnError)
	flags.StringVarP(&r.out, "output", "o", "", `folder or file to write to; "-" is standard output`)
	flags.StringArrayVar(&r.dates, "date", nil, "only the report of this day (repeatable)")
	r.jobReader.add(flags)
	r.documents.add(flags, "print the results as one JSON object; documents only where -o says")
	if err := parseFlags("report", reportUsage, flags, args, s); err != nil {
		return err
	}
	if flags.NArg() == 0 {
		return usageError("no job given", "saltline report JOB, where JOB is a workbook, a folder of CSV files or one CSV")
	}
	return r.run(flags.Args(), s)
}

func (r *reportRun) run(paths []string, s stream) error {
	in, err := r.judge(paths, "no report is written", s)
	if err != nil {
		return err
	}
	days, err := r.pick(report.Days(in.result))
	if err != nil {
		return err
	}
	targets, err := r.targets(in, days)
	if err != nil {
		return err
	}
	if len(targets) > 0 {
		job, err := r.composing(in, nil, s)
		if err != nil {
			return err
		}
		if r.luggage, err = r.pack(in.reading, r.making, s); err != nil {
			return err
		}
		if err := r.writeReports(job, days, targets, s); err != nil {
			return err
		}
	}
	if r.json {
		return r.writeJSON(export.Input{Result: in.result}, s)
	}
	return nil
}

// writeReports writes the report of each day as soon as it is made, so that a
// job of a year needs no more room than one of a day.
func (r *reportRun) writeReports(job report.Record, days []unit.Date, targets []string, s stream) error {
	for i, day := range days {
		count, summary, err := r.writeReport(report.Daily{Record: job, Date: day}, targets[i], s)
		switch {
		case err != nil && i > 0:
			return trouble(fmt.Sprintf("the report of %s could not be made: %v", dayFileName(day), err),
				fmt.Sprintf("written before it: %s to %s; mend the cause, then make them all again with --overwrite", targets[0], targets[i-1]))
		case err != nil:
			return err
		}
		if err := r.announce(targets[i], count, summary, s); err != nil {
			return err
		}
	}
	return nil
}

// writeReport makes and writes the report of one day, and returns what there
// is to say of it.
func (r *reportRun) writeReport(d report.Daily, target string, s stream) (count, summary string, err error) {
	pages, meta, made, err := r.layOut(d, s)
	if err != nil {
		return "", "", err
	}
	results, err := r.making.results(r.luggage, export.Input{Result: d.Result, Day: d.On(d.Date), Standing: made.Standing})
	if err != nil {
		return "", "", err
	}
	if meta.Files, err = r.luggage.with(results, dayOption(d.Date)); err != nil {
		return "", "", err
	}
	return countOf(pages), made.Summary, r.writePages(pages, meta, d.Fonts, target, s)
}

// layOut makes the pages of a report. Its document is not kept: that of many
// tests is large, and so is what comes of the pages.
func (r *reportRun) layOut(d report.Daily, s stream) (pages frame.Print, meta pdf.Meta, made report.Report, err error) {
	if made, err = d.Compose(); err != nil {
		return pages, meta, made, err
	}
	pages, meta, err = r.making.layOut(&made.Document, d.Fonts, s)
	made.Document = doc.Document{}
	return pages, meta, made, err
}

// dateFlag reads a date of the command line, which must read in one way.
func dateFlag(flag, text string) (unit.Date, error) {
	readings, err := unit.ParseDate(text)
	if err != nil || len(readings) != 1 || readings[0].Date.Year == 0 {
		return unit.Date{}, usageError(fmt.Sprintf("--%s: found %q, but wanted a date that reads in one way", flag, text), "write it as in 2026-03-09")
	}
	return readings[0].Date, nil
}

// pick keeps of the days those that were asked for.
func (r *reportRun) pick(days []unit.Date) ([]unit.Date, error) {
	if len(r.dates) == 0 {
		return days, nil
	}
	var picked []unit.Date
	for _, text := range r.dates {
		var d unit.Date
		if text != dayFileName(d) { // of the tests without a date
			var err error
			if d, err = dateFlag("date", text); err != nil {
				return nil, err
			}
		}
		if !slices.Contains(days, d) {
			var have []string
			for _, day := range days {
				have = append(have, dayFileName(day))
			}
			return nil, trouble(fmt.Sprintf("the record holds no test of %s", dayFileName(d)), "it holds tests of "+strings.Join(have, ", "))
		}
		if !slices.Contains(picked, d) {
			picked = append(picked, d)
		}
	}
	return picked, nil
}

// dayFileName is how a day stands in a file name.
func dayFileName(d unit.Date) string {
	if d.IsZero() {
		return "undated"
	}
	return d.ISO()
}

// targets names the file of each day, and of its revision where it is not the
// first: a report that was issued is not to be written over by the next. With
// --json and no -o there are none.
func (r *reportRun) targets(in *judged, days []unit.Date) ([]string, error) {
	if r.out == "" && r.json {
		return nil, nil
	}
	kind := kindOf(r.out)
	single := kind == ".pdf"
	switch {
	case !single && kind != "folder":
		return nil, usageError(fmt.Sprintf("-o %s: a report is written as .pdf", r.out), "end the name in that, or name a folder that exists")
	case r.out == "-" && r.json:
		return nil, usageError("-o - and --json both want standard output", "name a folder or a file with -o")
	case single && len(days) > 1:
		return nil, usageError(fmt.Sprintf("%d reports do not go into one file", len(days)), "name a folder with -o, or one day with --date")
	case single:
		return []string{r.out}, nil
	}
	if r.out != "" {
		if err := makeFolder(r.out); err != nil {
			return nil, err
		}
	}
	targets := make([]string, len(days))
	for i, d := range days {
		name := in.stem + "-" + dayFileName(d)
		if revision := revisionOf(in.job, d); record.CompareRevisions(revision, "0") > 0 {
			words := strings.Fields(strings.ReplaceAll(revision, ".", " ")) // "rev. 1"
			name += "-rev-" + fileName(words[len(words)-1])
		}
		targets[i] = filepath.Join(r.out, name+".pdf")
	}
	return targets, r.refuseExisting(targets)
}

// revisionOf is the revision of the report of a day.
func revisionOf(job *record.Job, day unit.Date) string {
	var rows []*record.Day
	for i := range job.Days {
		if d := &job.Days[i]; d.Date.Known() && d.Date.Val == day {
			rows = append(rows, d)
		}
	}
	if latest := papers.Latest(rows); latest != nil {
		return latest.Revision.OrZero()
	}
	return ""
}

// imagesBeside reads images that the record names, from the folder of the
// record and no other.
func imagesBeside(path string) func(string) ([]byte, error) {
	dir := path
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		dir = filepath.Dir(path)
	}
	return func(name string) ([]byte, error) {
		if !filepath.IsLocal(name) {
			return nil, errors.New("outside the folder of the record")
		}
		root, err := os.OpenRoot(dir)
		if err != nil {
			return nil, err
		}
		defer root.Close()
		return readImage(root, filepath.ToSlash(name))
	}
}
