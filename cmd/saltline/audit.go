package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/crew"
	"saltline/internal/doc"
	"saltline/internal/export"
	"saltline/internal/frame"
	"saltline/internal/pdf"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/workbook"
)

const auditUsage = `usage: saltline audit FILE… [OPTION]…

Recomputes every written density from the readings on its own row, says which
values do not follow and what would explain them, which verdicts change and
what to ask. FILE is a workbook (.xlsx), a folder of CSV files or one CSV; each
is a record by itself; so is a document of this program (.pdf), for it carries
the record that it was made from. -o names what is written:

  -o FILE.pdf     the audit report
  -o FILE.xlsx    the corrected workbook: what was received, beside it what was
                  recomputed, in live formulas
  -o DIR          both for each record, as NAME-audit.pdf and NAME-corrected.xlsx

Exit status 3 says that a value does not follow or a verdict changes, or that
one of them cannot be shown to hold.
`

// An auditRun holds the options of one run of the command.
type auditRun struct {
	jobReader
	documents
	making
	faces     *frame.Fonts // nil where no report is written
	outs      []string
	questions string
	together  bool // the files are one record
}

func runAudit(args []string, s stream) error {
	var r auditRun
	flags := pflag.NewFlagSet("audit", pflag.ContinueOnError)
	flags.StringArrayVarP(&r.outs, "output", "o", nil, `FILE.pdf, FILE.xlsx or a folder to write to (repeatable); "-" is standard output`)
	flags.BoolVar(&r.together, "together", false, "the files are of one job, and audited as one record")
	flags.StringVar(&r.questions, "questions", "", "write the questions to the contractor to this file, as plain text")
	r.jobReader.add(flags)
	r.documents.add(flags, "print the results as JSON, one object a line for each record")
	flags.Lookup("language").Usage = languageUsage("en")
	if err := parseFlags("audit", auditUsage, flags, args, s); err != nil {
		return err
	}
	files, err := expand(flags.Args())
	if err != nil {
		return err
	}
	if len(files) == 0 {
		return usageError("no record given", "saltline audit FILE…, where each FILE is a workbook, a folder of CSV files or one CSV")
	}
	return r.run(files, s)
}

// expand resolves patterns that the shell has left as they are.
func expand(args []string) ([]string, error) {
	var files []string
	for _, a := range args {
		if !strings.ContainsAny(a, "*?[") || standing(a) {
			files = append(files, a)
			continue
		}
		found, err := filepath.Glob(a)
		if err != nil {
			return nil, usageError(fmt.Sprintf("%s: %v", a, err), "name the files, or write the pattern as in logs/*.xlsx")
		}
		if len(found) == 0 {
			found = []string{a} // it is named as missing where it is opened
		}
		files = append(files, found...)
	}
	return files, nil
}

func (r *auditRun) run(files []string, s stream) (err error) {
	if r.making, err = r.ready(); err != nil {
		return err
	}
	// An audit speaks the language of whoever doubts the record, and not its own.
	if err := r.speak(record.Words{}, s); err != nil {
		return err
	}
	records := slices.Collect(slices.Chunk(files, 1))
	if r.records = files; r.together && len(files) > 1 {
		records, files = [][]string{files}, files[:1] // named after the first
	}
	r.archive = len(r.outs) == 0
	targets, err := r.targets(files)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(targets, func(t target) bool { return t.pdf == "-" }) {
		if err := refuseTerminal(s.out); err != nil {
			return err
		}
	}
	if slices.ContainsFunc(targets, func(t target) bool { return t.pdf != "" }) {
		if r.faces, err = frame.LoadFonts(fonts.Files); err != nil {
			return err
		}
	}
	// Loaded once, before records are worked on side by side.
	if r.json || r.faces != nil {
		if _, err = r.english(); err != nil {
			return err
		}
	}
	t := tally{run: r, s: s, of: len(files)}
	crew.InOrder(len(files), func(i int) outcome { return r.one(records[i], targets[i], len(files) > 1, s) }, t.take)
	return t.close()
}

// A target is where the documents of one record go; "" writes none.
type target struct{ pdf, xlsx string }

// targets settles what is written where, before anything is.
func (r *auditRun) targets(files []string) ([]target, error) {
	all := make([]target, len(files))
	var folder string
	named := map[string]string{} // what was named for a kind of document
	for _, o := range r.outs {
		kind := kindOf(o)
		if other, twice := named[kind]; twice {
			return nil, usageError(fmt.Sprintf("-o %s and -o %s name two places for one document", other, o), "name one of them")
		}
		named[kind] = o
		ext := strings.ToLower(filepath.Ext(o))
		switch {
		case kind == "":
			return nil, usageError(fmt.Sprintf("-o %s: an audit is written as .pdf or .xlsx", o), "end the name in one of these, or name a folder that exists")
		case o == "-" || ext == ".pdf" || ext == ".xlsx":
			if len(files) > 1 {
				return nil, usageError(fmt.Sprintf("%d records do not go into %s", len(files), o), "name a folder with -o")
			}
			if o == "-" && r.json {
				return nil, usageError("-o - and --json both want standard output", "name a folder or a file with -o")
			}
			if ext == ".xlsx" {
				all[0].xlsx = o
			} else {
				all[0].pdf = o
			}
		default:
			folder = o
		}
	}
	if folder != "" {
		taken := map[string]string{}
		for i, f := range files {
			name := stem(f)
			if other, twice := taken[name]; twice {
				return nil, usageError(fmt.Sprintf("%s and %s would both be written as %s-audit.pdf", other, f, name), "audit them in two runs, into two folders")
			}
			taken[name] = f
			all[i] = target{filepath.Join(folder, name+"-audit.pdf"), filepath.Join(folder, name+"-corrected.xlsx")}
		}
		if err := makeFolder(folder); err != nil {
			return nil, err
		}
	}
	var paths []string
	for _, t := range all {
		for _, p := range []string{t.pdf, t.xlsx} {
			if p != "" && p != "-" {
				paths = append(paths, p)
			}
		}
	}
	if r.questions != "" {
		paths = append(paths, r.questions)
	}
	return all, r.refuseExisting(paths)
}

// An outcome is what became of one record: what is printed of it, in its turn.
type outcome struct {
	file      string
	counts    audit.Counts
	stands    audit.Outcome
	err       error  // it could not be audited
	messages  []byte // for standard error
	says      []byte // for standard output
	questions string
}

// one audits one record. What is printed of one among several waits for its
// turn; that of a single one goes out as it comes, for its JSON may be long.
func (r *auditRun) one(paths []string, to target, several bool, s stream) (o outcome) {
	o.file = strings.Join(paths, ", ")
	var out, errOut bytes.Buffer
	if several {
		s.out, s.err = &out, &errOut
	}
	defer func() {
		if p := recover(); p != nil { // one record never stops the rest
			o.err = trouble(fmt.Sprintf("%s: a fault of the program stopped its audit: %v", o.file, p), "the record is untouched; report the fault with the command line")
		}
		o.messages, o.says = errOut.Bytes(), out.Bytes()
	}()
	in, s, done, err := r.received(paths, s)
	defer done()
	if err != nil {
		o.err = err
		return o
	}
	printDiagnostics(s, in.list)
	if in.open {
		o.err = trouble(fmt.Sprintf("%s: it is not audited before this is settled", o.file), "")
		return o
	}
	if to.xlsx == "" {
		in.files = nil // only the corrected workbook shows again what was received
		if to.pdf == "" {
			in.inputs = nil // and only the report carries it
		}
	}
	s.findPhotos(in.paths, in.job, size{})
	conclude := audit.Of
	if r.countsOnly(to, several) {
		conclude = audit.Counted
	}
	a := conclude(assess.Run(in.job, check.All()))
	printMissing(s, a.Result)
	o.counts, o.stands = a.Counts, a.Outcome()
	if to.pdf != "" || to.xlsx != "" {
		if o.err = r.bearTests(len(in.job.Tests)); o.err != nil {
			return o
		}
	}
	o.questions, o.err = r.write(a, in, to, several, s)
	return o
}

// countsOnly reports whether nothing is said of a record but its counts and how
// it stands.
func (r *auditRun) countsOnly(to target, several bool) bool {
	return (r.quiet || several) && to.pdf == "" && to.xlsx == "" && r.questions == "" && !r.json
}

// write writes the documents of one audit and what the terminal shows of it,
// and returns its questions.
func (r *auditRun) write(a *audit.Report, in *reading, to target, several bool, s stream) (questions string, err error) {
	said := report.Audit{Report: a, Words: r.words, Fonts: r.faces, Width: r.style.TextWidth(), Tool: tool, Digest: in.digest, Produced: r.date}
	whole := said // what is no page
	whole.Words = r.words.Whole()
	if to.xlsx != "" {
		data, err := workbook.Corrected{Report: a, Words: whole.Words, Files: in.files, Original: in.original(), Tool: tool, Digest: in.digest, Produced: r.date}.Bytes()
		if err != nil {
			return "", err
		}
		if err := r.documents.write(to.xlsx, data); err != nil {
			return "", err
		}
	}
	if to.pdf != "" {
		made, err := said.Compose()
		if err != nil {
			return "", err
		}
		pages, meta, err := r.layOut(&made.Document, r.faces, s)
		if err != nil {
			return "", err
		}
		if meta.Files, err = r.carried(in, a, s); err != nil {
			return "", err
		}
		if err := r.writePages(pages, meta, r.faces, to.pdf, s); err != nil {
			return "", err
		}
	}
	if r.questions != "" {
		if questions, err = whole.Questions(); err != nil {
			return "", err
		}
	}
	switch {
	case r.json:
		english, err := r.english()
		if err != nil {
			return "", err
		}
		return questions, export.JSON(s.out, export.Input{Result: a.Result, Audit: a, Words: english, Tool: tool, Line: true})
	case r.quiet, several, to.pdf == "-":
		return questions, nil
	}
	return questions, r.print(s.out, whole)
}

// carried is what travels with the report of an audit.
func (r *auditRun) carried(in *reading, a *audit.Report, s stream) ([]*pdf.File, error) {
	l, err := r.pack(in, r.making, s)
	if err != nil {
		return nil, err
	}
	results, err := r.making.results(l, export.Input{Result: a.Result, Audit: a})
	if err != nil {
		return nil, err
	}
	if len(in.paths) > 1 {
		return l.with(results, "--together")
	}
	return l.with(results)
}

// original is the received workbook, nil where the record is none or is made
// of several files.
func (in *reading) original() []byte {
	if len(in.inputs) == 1 && zipped(in.inputs[0].data) {
		return in.inputs[0].data
	}
	return nil
}

// mostRows bounds how many rows the terminal shows of one audit.
const mostRows = 100

// print shows an audit on the terminal: the result in words, and the rows of
// which there is something to say.
func (r *auditRun) print(w io.Writer, a report.Audit) error {
	summary, t, err := a.Terminal()
	if err != nil {
		return err
	}
	if more := len(t.Rows) - mostRows; more > 0 {
		text, err := r.words.Say("terminal/more-rows", more)
		if err != nil {
			return err
		}
		t.Rows, t.Notes = t.Rows[:mostRows], append([]doc.Item{doc.Entry("", doc.Plain(text))}, t.Notes...)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n\n", summary)
	if err := t.WriteText(&b); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}
