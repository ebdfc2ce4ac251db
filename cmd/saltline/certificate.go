package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/certificate"
	"saltline/internal/export"
	"saltline/internal/papers"
	"saltline/internal/pdf"
	"saltline/internal/report"
)

const certificateUsage = `usage: saltline certificate JOB… [OPTION]…

Writes the certificate of each area, as JOB-certificate-AREA.pdf in the current
folder or where -o says. An area whose record does not carry one gets a sheet
that says so, with every reason and what to do, and the command ends in 3. JOB
is a workbook (.xlsx), a folder of CSV files or one CSV; a job kept in several
records is named by all of them.
`

// A certificateRun holds the options of one run of the command.
type certificateRun struct {
	jobRun
	areas []string
}

func runCertificate(args []string, s stream) error {
	var r certificateRun
	flags := pflag.NewFlagSet("certificate", pflag.ContinueOnError)
	flags.StringVarP(&r.out, "output", "o", "", `folder to write to, or a file for one area; "-" is standard output`)
	flags.StringArrayVar(&r.areas, "area", nil, "only the certificate of this area (repeatable)")
	r.jobReader.add(flags)
	r.documents.add(flags, "print the results as one JSON object; documents only where -o says")
	if err := parseFlags("certificate", certificateUsage, flags, args, s); err != nil {
		return err
	}
	if flags.NArg() == 0 {
		return usageError("no job given", "saltline certificate JOB, where JOB is a workbook, a folder of CSV files or one CSV")
	}
	return r.run(flags.Args(), s)
}

func (r *certificateRun) run(paths []string, s stream) error {
	in, err := r.judgeWhole(paths, "no certificate is drawn up", s)
	if err != nil {
		return err
	}
	reports := papers.Reports(in.result)
	all, err := r.pick(certificate.On(reports, in.result))
	if err != nil {
		return err
	}
	targets, err := r.targets(in.stem, all)
	if err != nil {
		return err
	}
	var record report.Record
	var l *luggage
	if len(targets) > 0 {
		if record, err = r.composing(in, reports, s); err != nil {
			return err
		}
		if l, err = r.pack(in.reading, r.making, s); err != nil {
			return err
		}
	}
	refused := 0
	for i := range all {
		if all[i].Refused() {
			refused++
		}
		if targets == nil {
			continue
		}
		results, err := r.making.results(l, export.Input{Result: in.result, Certificates: all[i : i+1]})
		if err != nil {
			return err
		}
		files, err := l.with(results, "--area="+all[i].Standing.Name)
		if err != nil {
			return err
		}
		if err := r.write(report.Certificate{Record: record, Area: &all[i]}, files, targets[i], s); err != nil {
			return err
		}
	}
	if r.json {
		if err := r.writeJSON(export.Input{Result: in.result, Certificates: all}, s); err != nil {
			return err
		}
	}
	if refused > 0 {
		return &statusError{3, fmt.Sprintf("%d of %d certificates not issued", refused, len(all)), "each sheet lists its reasons and what to do"}
	}
	return nil
}

// write writes the certificate of one area.
func (r *certificateRun) write(d report.Certificate, files []*pdf.File, target string, s stream) error {
	made, err := d.Compose()
	if err != nil {
		return err
	}
	pages, meta, err := r.layOut(&made.Document, d.Fonts, s)
	if err != nil {
		return err
	}
	meta.Files = files
	if err := r.writePages(pages, meta, d.Fonts, target, s); err != nil {
		return err
	}
	return r.announce(target, "", made.Summary, s)
}

// pick keeps of the areas those that were asked for.
func (r *certificateRun) pick(all []certificate.Certificate) ([]certificate.Certificate, error) {
	if len(r.areas) == 0 {
		return all, nil
	}
	var picked []certificate.Certificate
	for _, name := range r.areas {
		if slices.ContainsFunc(picked, func(c certificate.Certificate) bool {
			return strings.EqualFold(c.Standing.Name, strings.TrimSpace(name))
		}) {
			continue
		}
		i := slices.IndexFunc(all, func(c certificate.Certificate) bool {
			return strings.EqualFold(c.Standing.Name, strings.TrimSpace(name))
		})
		if i < 0 {
			var have []string
			for k := range all {
				have = append(have, fmt.Sprintf("%q", all[k].Standing.Name))
			}
			return nil, trouble(fmt.Sprintf("the record has no area %q", name), "it has "+strings.Join(have, ", "))
		}
		picked = append(picked, all[i])
	}
	return picked, nil
}

// targets names the file of each area. With --json and no -o there are none.
func (r *certificateRun) targets(stem string, all []certificate.Certificate) ([]string, error) {
	switch {
	case r.out == "" && r.json:
		return nil, nil
	case r.out == "-" && r.json:
		return nil, usageError("-o - and --json both want standard output", "name a folder or a file with -o")
	case kindOf(r.out) == ".pdf" && len(all) != 1:
		return nil, usageError(fmt.Sprintf("%d certificates do not go into one file", len(all)), "name a folder with -o, or one area with --area")
	case r.out == "-":
		return []string{r.out}, nil
	case kindOf(r.out) == ".pdf":
		return []string{r.out}, r.refuseExisting([]string{r.out})
	}
	folder, err := r.folder()
	if err != nil {
		return nil, err
	}
	targets := make([]string, len(all))
	taken := map[string]bool{} // A/1 and A-1 are two areas
	for i := range all {
		name := stem + "-certificate-" + fileName(all[i].Standing.Name)
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-certificate-%s-%d", stem, fileName(all[i].Standing.Name), n)
		}
		taken[strings.ToLower(name)] = true
		targets[i] = filepath.Join(folder, name+".pdf")
	}
	return targets, r.refuseExisting(targets)
}

// fileName is a name as part of a file name: letters, digits and hyphens.
func fileName(name string) string {
	s := strings.Join(strings.FieldsFunc(name, func(c rune) bool { return !isFileRune(c) }), "-")
	if s == "" {
		return "area"
	}
	return s
}

func isFileRune(c rune) bool {
	return c == '_' || c == '.' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c > 0x7f
}
