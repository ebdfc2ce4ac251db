package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/export"
	"saltline/internal/frame"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/report"
)

// readAll reads the records of one job, which may be kept in several: a
// workbook a day, say. They become one.
func (r *jobReader) readAll(paths []string) (*reading, error) {
	if len(paths) == 1 {
		return r.read(paths[0])
	}
	for i, path := range paths {
		for _, other := range paths[:i] {
			if filepath.Clean(path) == filepath.Clean(other) {
				return nil, usageError(fmt.Sprintf("%s is named twice", path), "name each record of the job once")
			}
		}
	}
	all := &reading{}
	var parts []*record.Job
	var found [][]diag.Diagnostic
	names := apart(paths)
	inputs := make([][]input, len(paths))
	for i, path := range paths {
		var err error
		if inputs[i], err = recordFiles(path, names[i]); err != nil {
			return nil, err
		}
		all.inputs = append(all.inputs, inputs[i]...)
		if err := r.bearText(all.inputs); err != nil {
			return nil, err
		}
		all.records = append(all.records, keptAt(path, names[i], inputs[i]))
	}
	all.paths, all.how = paths, r.how()
	named, err := r.jobInput(all.inputs)
	if err != nil {
		return nil, err
	}
	spread(sizeOf(all.inputs), r.measure().times)
	holder := 0 // of the record with which the file of --job is accounted for
	if named != nil {
		all.named = named.name
		if i := slices.IndexFunc(inputs, named.isOneOf); i >= 0 {
			holder = i
		} else {
			all.inputs = append(all.inputs, *named)
		}
	}
	for i := range paths {
		in, err := r.bind(inputs[i], named, i != holder)
		if err != nil {
			return nil, err
		}
		all.files = append(all.files, in.files...)
		if err := r.bearRows(all.files); err != nil {
			return nil, err
		}
		found = append(found, in.list)
		if in.job == nil {
			in.job = &record.Job{} // a failure stands, and is in the list
		}
		parts = append(parts, in.job)
	}
	if err := oneJob(parts, paths); err != nil {
		return nil, err
	}
	all.take(together(found, parts))
	all.take(record.Astray(parts))
	all.digest = digest(all.inputs, r.set)
	all.stem = stem(paths[0])
	if !all.open {
		all.job = record.Join(parts)
		if number := all.job.Terms.JobNumber; number.Known() {
			all.stem = fileName(number.Val) // the files may be named after their days
		}
	}
	return all, nil
}

// together is what there is to say of several records as one job. Tables that
// stand without readings go with those of another record, and a heading that
// --map names need not stand in all of them.
func together(found [][]diag.Diagnostic, parts []*record.Job) []diag.Diagnostic {
	tests := slices.ContainsFunc(parts, func(p *record.Job) bool { return len(p.Tests) > 0 })
	unmatched := map[string]int{}
	for _, ds := range found {
		for _, d := range ds {
			if d.Check == mappingUnmatched {
				unmatched[d.Msg]++
			}
		}
	}
	var all []diag.Diagnostic
	alone, refused := 0, false
	for _, ds := range found {
		for _, d := range ds {
			switch {
			case d.Check == record.TablesAlone:
				alone++
			case d.Check == mappingUnmatched && unmatched[d.Msg] < len(found):
			default:
				all = append(all, d)
				refused = refused || d.Level > diag.Problem
			}
		}
	}
	if alone > 0 && !tests && !refused {
		all = append(all, diag.Diagnostic{Level: diag.Failure, Check: "no-readings",
			Msg:  fmt.Sprintf("found tables and no readings in the %d records, but wanted a heading with at least blank, extract and volume in one of them, and rows below it", len(parts)),
			Hint: "name the log that these tables go with, too"})
	}
	return all
}

// mappingUnmatched is the check of a heading that --map names and that is not
// there.
const mappingUnmatched = "mapping-unmatched"

// oneJob refuses records that say that they are of different jobs.
func oneJob(parts []*record.Job, paths []string) error {
	first, at := "", 0
	for i, p := range parts {
		number := p.Terms.JobNumber
		switch {
		case !number.Known():
		case first == "":
			first, at = number.Val, i
		case !strings.EqualFold(strings.TrimSpace(number.Val), strings.TrimSpace(first)):
			return trouble(fmt.Sprintf("%s is of job %s, and %s of job %s", paths[at], first, paths[i], number.Val),
				"name the records of one job; of several, make the documents of each by themselves")
		}
	}
	return nil
}

// mostLevels bounds how many folders a name is made of.
const mostLevels = 40

// apart names the records so that no two are called the same: by the name of
// their file or folder, with the folder that it lies in where that is needed.
func apart(paths []string) []string {
	names := make([]string, len(paths))
	for levels := 1; ; levels++ {
		seen := map[string]bool{}
		for i, p := range paths {
			abs, err := filepath.Abs(p)
			if err != nil {
				abs = p
			}
			names[i] = lastParts(filepath.ToSlash(abs), levels)
			seen[names[i]] = true
		}
		if len(seen) == len(paths) || levels > mostLevels {
			return names
		}
	}
}

// lastParts are the last parts of a path with slashes.
func lastParts(path string, levels int) string {
	at := len(path)
	for range levels {
		i := strings.LastIndexByte(path[:at], '/')
		if i < 0 {
			return path
		}
		at = i
	}
	return path[at+1:]
}

// A jobRun is what the commands have in common that write documents of one job,
// kept in one record or in several.
type jobRun struct {
	jobReader
	documents
	making
	out string
}

// judged is a job that was read and judged.
type judged struct {
	*reading
	result *assess.Result
}

// judge reads and judges the job. what is not done before its questions are
// settled: "no certificate is drawn up".
func (r *jobRun) judge(paths []string, what string, s stream) (*judged, error) {
	var err error
	if r.making, err = r.ready(); err != nil {
		return nil, err
	}
	r.records = paths
	in, err := r.readAll(paths)
	if err != nil {
		return nil, err
	}
	printDiagnostics(s, in.list)
	if in.open {
		return nil, trouble(fmt.Sprintf("%s: %s before this is settled", strings.Join(paths, ", "), what), "")
	}
	in.files = nil // the job holds all that is wanted of them
	if err := r.speak(in.job.Terms.Language, s); err != nil {
		return nil, err
	}
	s.findPhotos(paths, in.job, photoSize(r.style))
	result := assess.Run(in.job, check.All())
	printMissing(s, result)
	return &judged{in, result}, nil
}

// composing is the job made ready for its documents. reports are those of its
// days, where they are known already.
func (r *jobRun) composing(in *judged, reports []papers.Report, s stream) (report.Record, error) {
	if err := r.bearTests(len(in.job.Tests)); err != nil {
		return report.Record{}, err
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		return report.Record{}, err
	}
	return report.Record{Result: in.result, Words: r.words, Fonts: faces, Width: r.style.TextWidth(), Tool: tool,
		Digest: in.digest, Produced: r.date, Reports: reports, Image: announced(s, imagesBesideAny(in.paths))}.Indexed()
}

// writeJSON writes the results for other programs.
func (r *jobRun) writeJSON(in export.Input, s stream) error {
	var err error
	if in.Words, err = r.english(); err != nil {
		return err
	}
	in.Tool = tool
	return export.JSON(plainWriter{s.out}, in)
}

// imagesBesideAny looks for an image beside each of the records.
func imagesBesideAny(paths []string) func(string) ([]byte, error) {
	return func(name string) (data []byte, err error) {
		for _, p := range paths {
			if data, err = imagesBeside(p)(name); err == nil {
				return data, nil
			}
		}
		return nil, err
	}
}

// folder is the folder that -o names, made where it is not there; "" is the
// current one.
func (r *jobRun) folder() (string, error) {
	if r.out == "" {
		return "", nil
	}
	if kindOf(r.out) != "folder" {
		return "", usageError(fmt.Sprintf("-o %s: wanted a folder", r.out), "end the name without a kind of file")
	}
	return r.out, makeFolder(r.out)
}
