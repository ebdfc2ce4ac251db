package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/export"
	"saltline/internal/layout"
	"saltline/internal/pdf"
	"saltline/internal/record"
	"saltline/internal/report"
)

const handoverUsage = `usage: saltline handover JOB… -o FILE.pdf [OPTION]…

Writes the handover dossier of a job: registers, certificates, daily reports,
trends, reconciliation and open points in one file. Where something is missing
it is written as NOT ISSUABLE, with everything that is missing on its first
page, and the command ends in 3. JOB is a workbook (.xlsx), a folder of CSV
files or one CSV; a job kept in several records is named by all of them.
`

// A handoverRun holds the options of one run of the command.
type handoverRun struct {
	jobRun
	costs bool
}

func runHandover(args []string, s stream) error {
	var r handoverRun
	flags := pflag.NewFlagSet("handover", pflag.ContinueOnError)
	flags.StringVarP(&r.out, "output", "o", "", `file to write; "-" is standard output`)
	flags.BoolVar(&r.costs, "costs", false, "print what the tests cost, which is not for every reader")
	r.jobReader.add(flags)
	r.documents.add(flags, "print the results as one JSON object; the dossier only where -o says")
	if err := parseFlags("handover", handoverUsage, flags, args, s); err != nil {
		return err
	}
	switch {
	case flags.NArg() == 0:
		return usageError("no job given", "saltline handover JOB -o FILE.pdf, where JOB is a workbook, a folder of CSV files or one CSV")
	case r.out == "" && !r.json:
		return usageError("no file given for the dossier", "name it with -o FILE.pdf")
	case r.out != "" && kindOf(r.out) != ".pdf":
		return usageError(fmt.Sprintf("-o %s: a dossier is written as .pdf", r.out), "end the name in that")
	case r.out == "-" && r.json:
		return usageError("-o - and --json both want standard output", "name a file with -o")
	}
	return r.run(flags.Args(), s)
}

func (r *handoverRun) run(paths []string, s stream) error {
	in, err := r.judgeWhole(paths, "no dossier is drawn up", s)
	if err != nil {
		return err
	}
	if r.out != "" && r.out != "-" {
		if err := r.refuseExisting([]string{r.out}); err != nil {
			return err
		}
	}
	of := dossier.Of(in.result, in.digest)
	if r.out != "" {
		record, err := r.composing(in, of.Reports, s)
		if err != nil {
			return err
		}
		l, err := r.pack(in.reading, r.making, s)
		if err != nil {
			return err
		}
		results, err := r.making.results(l, export.Input{Result: in.result, Certificates: of.Areas, Dossier: of})
		if err != nil {
			return err
		}
		files, err := l.with(results)
		if err != nil {
			return err
		}
		if err := r.write(report.Dossier{Record: record, Dossier: of, Costs: r.costs, Files: filesOf(in.inputs, in.job.Photos)}, files, s); err != nil {
			return err
		}
	}
	if r.json {
		if err := r.writeJSON(export.Input{Result: in.result, Certificates: of.Areas, Dossier: of}, s); err != nil {
			return err
		}
	}
	if !of.Issuable() {
		return &statusError{3, "the dossier is not issuable", "its first page lists what is missing and what to do"}
	}
	return nil
}

// write lays the dossier out and writes it.
func (r *handoverRun) write(d report.Dossier, files []*pdf.File, s stream) error {
	made, err := d.Compose()
	if err != nil {
		return err
	}
	odd := unshown{faces: d.Fonts}
	odd.read(&made.Volume.Document)
	for i := range made.Volume.Parts {
		p := &made.Volume.Parts[i]
		make := p.Make
		p.Make = func() (doc.Document, error) {
			d, err := make()
			if err == nil {
				odd.read(&d)
			}
			return d, err
		}
	}
	pages, err := layout.Bind(&made.Volume, r.style, d.Fonts, pdf.Ahead)
	if err != nil {
		return err
	}
	odd.print(s)
	front := &made.Volume.Document
	meta := r.meta(front, front.Number)
	meta.Files = files
	if err := r.writePages(pages, meta, d.Fonts, r.out, s); err != nil {
		return err
	}
	return r.announce(r.out, countOf(pages), made.Summary, s)
}

// filesOf are the files of a record and the photographs beside it, as the
// dossier lists them.
func filesOf(inputs []input, photos []record.Photo) []report.File {
	var files []report.File
	for i := range inputs {
		in := &inputs[i]
		files = append(files, report.File{Name: in.name, Size: len(in.data), SHA256: in.digest()})
	}
	for _, p := range photos {
		if p.SHA256 != "" {
			files = append(files, report.File{Name: p.File, SHA256: p.SHA256})
		}
	}
	return files
}
