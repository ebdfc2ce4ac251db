package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/export"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/pdf"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/templates"
)

const reportUsage = `usage: saltline report JOB [OPTION]…

Writes the daily report of each day that the record holds, as JOB-DATE.pdf in
the current folder or where -o says. JOB is a workbook (.xlsx), a folder of CSV
files or one CSV. A log with a question in it (a date or a number that reads in
two ways, two columns for one value) gets the question, and no report.
`

// A reportRun holds the options of one run of the command.
type reportRun struct {
	jobReader
	out       string
	dates     []string
	produced  string
	paper     string
	templates string
	json      bool
	quiet     bool
	overwrite bool
}

func runReport(args []string, s stream) error {
	var r reportRun
	flags := pflag.NewFlagSet("report", pflag.ContinueOnError)
	flags.StringVarP(&r.out, "output", "o", "", `folder or file to write to; "-" is standard output`)
	flags.StringArrayVar(&r.dates, "date", nil, "only the report of this day (repeatable)")
	r.jobReader.add(flags)
	flags.StringVar(&r.produced, "produced", "", "date to print as that of production (today)")
	flags.StringVar(&r.paper, "paper", "a4", "a4 or letter")
	flags.StringVar(&r.templates, "templates", "", "a folder whose texts take the place of the built-in ones")
	flags.BoolVar(&r.json, "json", false, "print the results as one JSON object; documents only where -o says")
	flags.BoolVar(&r.quiet, "quiet", false, "print no summary")
	flags.BoolVar(&r.overwrite, "overwrite", false, "replace files that exist")
	if err := parseFlags("report", reportUsage, flags, args, s); err != nil {
		return err
	}
	switch flags.NArg() {
	case 1:
		return r.run(flags.Arg(0), s)
	case 0:
		return usageError("no job given", "saltline report JOB, where JOB is a workbook, a folder of CSV files or one CSV")
	}
	return usageError(fmt.Sprintf("%d jobs given, but wanted one", flags.NArg()), "make the report of each job by itself")
}

func (r *reportRun) run(path string, s stream) error {
	style, err := paperStyle(r.paper)
	if err != nil {
		return err
	}
	produced, err := r.producedOn()
	if err != nil {
		return err
	}
	words, err := loadWords(r.templates)
	if err != nil {
		return err
	}
	in, err := r.read(path)
	if err != nil {
		return err
	}
	printDiagnostics(s, in.list)
	if in.open {
		return trouble(fmt.Sprintf("%s: no report is written before this is settled", path), "")
	}
	result := assess.Run(in.job, check.All())
	printMissing(s, result)
	days, err := r.pick(report.Days(result))
	if err != nil {
		return err
	}
	targets, err := r.targets(in.stem, days)
	if err != nil {
		return err
	}
	if len(targets) > 0 {
		faces, err := frame.LoadFonts(fonts.Files)
		if err != nil {
			return err
		}
		job := report.Daily{Result: result, Words: words, Fonts: faces, Width: style.TextWidth(), Tool: tool,
			Digest: in.digest, Produced: produced, Image: announced(s, imagesBeside(path))}
		if err := r.writeReports(job, style, days, targets, s); err != nil {
			return err
		}
	}
	if r.json {
		return export.JSON(s.out, export.Input{Result: result, Words: words, Tool: tool})
	}
	return nil
}

// writeReports writes the report of each day as soon as it is made, so that a
// job of a year needs no more room than one of a day.
func (r *reportRun) writeReports(job report.Daily, style layout.Style, days []unit.Date, targets []string, s stream) error {
	job, err := job.Indexed()
	if err != nil {
		return err
	}
	for i, day := range days {
		job.Date = day
		summary, err := r.writeReport(job, style, targets[i], s)
		switch {
		case err != nil && i > 0:
			return trouble(fmt.Sprintf("the report of %s could not be made: %v", dayFileName(day), err),
				fmt.Sprintf("written before it: %s to %s; mend the cause, then make them all again with --overwrite", targets[0], targets[i-1]))
		case err != nil:
			return err
		}
		if !r.json && !r.quiet && r.out != "-" {
			if _, err := fmt.Fprintln(s.out, summary); err != nil {
				return err
			}
		}
	}
	return nil
}

// writeReport makes and writes the report of one day, and returns what there
// is to say of it.
func (r *reportRun) writeReport(d report.Daily, style layout.Style, target string, s stream) (summary string, err error) {
	pages, meta, summary, err := layOut(d, style, s)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, pages, d.Fonts, meta); err != nil {
		return "", err
	}
	if target == "-" {
		return "", writeStdout(s.out, b.Bytes())
	}
	return fmt.Sprintf("%s (%d pages)\n%s", target, len(pages), summary), writeFile(target, b.Bytes(), r.overwrite)
}

// layOut makes the pages of a report. Its document is not kept: that of many
// tests is large, and so is what comes of the pages.
func layOut(d report.Daily, style layout.Style, s stream) (pages []*frame.Frame, meta pdf.Meta, summary string, err error) {
	made, err := d.Compose()
	if err != nil {
		return nil, meta, "", err
	}
	document := &made.Document
	printUnshown(s, document, d.Fonts)
	meta = pdf.Meta{
		Title: document.Title + ", " + document.Scope, Subject: document.Job, Lang: document.Lang, Producer: tool,
		Created: time.Date(d.Produced.Year, time.Month(d.Produced.Month), d.Produced.Day, 0, 0, 0, 0, time.UTC),
	}
	pages, err = layout.Pages(document, style, d.Fonts)
	return pages, meta, made.Summary, err
}

func paperStyle(paper string) (layout.Style, error) {
	switch strings.ToLower(paper) {
	case "a4":
		return layout.A4(), nil
	case "letter":
		return layout.Letter(), nil
	}
	return layout.Style{}, usageError(fmt.Sprintf("--paper: found %q, but wanted a4 or letter", paper), "write --paper a4 or --paper letter")
}

// producedOn is the date of production: as given, else today.
func (r *reportRun) producedOn() (unit.Date, error) {
	if r.produced == "" {
		now := time.Now()
		return unit.Date{Year: now.Year(), Month: int(now.Month()), Day: now.Day()}, nil
	}
	return dateFlag("produced", r.produced)
}

// dateFlag reads a date of the command line, which must read in one way.
func dateFlag(flag, text string) (unit.Date, error) {
	readings, err := unit.ParseDate(text)
	if err != nil || len(readings) != 1 || readings[0].Date.Year == 0 {
		return unit.Date{}, usageError(fmt.Sprintf("--%s: found %q, but wanted a date that reads in one way", flag, text), "write it as in 2026-03-09")
	}
	return readings[0].Date, nil
}

func loadWords(dir string) (*wording.Words, error) {
	var over fs.FS
	if dir != "" {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return nil, usageError(fmt.Sprintf("--templates: %s is no folder", dir), "give a folder that holds texts as in en/report.txt")
		}
		over = os.DirFS(dir)
	}
	return wording.Load(templates.Files, over, "en")
}

// pick keeps of the days those that were asked for.
func (r *reportRun) pick(days []unit.Date) ([]unit.Date, error) {
	if len(r.dates) == 0 {
		return days, nil
	}
	var picked []unit.Date
	for _, text := range r.dates {
		d, err := dateFlag("date", text)
		if err != nil {
			return nil, err
		}
		if !slices.Contains(days, d) {
			var have []string
			for _, day := range days {
				have = append(have, dayFileName(day))
			}
			return nil, trouble(fmt.Sprintf("the record holds no test of %s", d.ISO()), "it holds tests of "+strings.Join(have, ", "))
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

// targets names the file of each day. With --json and no -o there are none.
func (r *reportRun) targets(stem string, days []unit.Date) ([]string, error) {
	if r.out == "" && r.json {
		return nil, nil
	}
	single := r.out == "-" || strings.EqualFold(filepath.Ext(r.out), ".pdf")
	switch {
	case r.out == "-" && r.json:
		return nil, usageError("-o - and --json both want standard output", "name a folder or a file with -o")
	case single && len(days) > 1:
		return nil, usageError(fmt.Sprintf("%d reports do not go into one file", len(days)), "name a folder with -o, or one day with --date")
	case single:
		return []string{r.out}, nil
	}
	if r.out != "" {
		if err := os.MkdirAll(r.out, 0o755); err != nil {
			return nil, err
		}
	}
	targets := make([]string, len(days))
	for i, d := range days {
		targets[i] = filepath.Join(r.out, stem+"-"+dayFileName(d)+".pdf")
	}
	return targets, r.refuseExisting(targets)
}

// refuseExisting finds all files that stand in the way before the first is
// written.
func (r *reportRun) refuseExisting(targets []string) error {
	if r.overwrite {
		return nil
	}
	var standing []string
	for _, t := range targets {
		if _, err := os.Lstat(t); err == nil {
			standing = append(standing, t)
		}
	}
	if len(standing) == 0 {
		return nil
	}
	return trouble(strings.Join(standing, ", ")+": exists", "give another folder with -o, or --overwrite")
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
		return fs.ReadFile(root.FS(), filepath.ToSlash(name))
	}
}
