package main

import (
	"fmt"
	"path/filepath"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/frame"
	"saltline/internal/record"
	"saltline/internal/report"
)

// readAll reads the records of one job, which may be kept in several: a
// workbook a day, say. They become one.
func (r *jobReader) readAll(paths []string) (*reading, error) {
	if len(paths) == 1 {
		return r.read(paths[0])
	}
	all := &reading{stem: stem(paths[0])}
	var parts []*record.Job
	var list diag.List
	names := apart(paths)
	for i, path := range paths {
		in, err := r.readNamed(path, names[i])
		if err != nil {
			return nil, err
		}
		all.files = append(all.files, in.files...)
		all.inputs = append(all.inputs, in.inputs...)
		all.open = all.open || in.open
		for _, d := range in.list {
			list.Add(d)
		}
		if in.job != nil {
			parts = append(parts, in.job)
		}
	}
	all.list = list.Sorted()
	all.digest = digest(all.inputs, r.set)
	if !all.open {
		all.job = record.Join(parts)
	}
	return all, nil
}

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
		if len(seen) == len(paths) || levels > 40 {
			return names
		}
	}
}

// lastParts are the last parts of a path with slashes.
func lastParts(path string, levels int) string {
	at := len(path)
	for range levels {
		i := lastSlash(path[:at])
		if i < 0 {
			return path
		}
		at = i
	}
	return path[at+1:]
}

func lastSlash(s string) int {
	for i := len(s) - 1; i >= 0; i-- {
		if s[i] == '/' {
			return i
		}
	}
	return -1
}

// A closing is what the commands have in common that close a job or an area:
// they take one job, kept in one record or in several.
type closing struct {
	jobReader
	documents
	making
	out string
}

// judged is a job, judged and ready to be written about.
type judged struct {
	*reading
	result *assess.Result
	record report.Record
}

// judge reads and judges the job. what is not done before its questions are
// settled: "no certificate is issued".
func (c *closing) judge(paths []string, what string, s stream) (*judged, error) {
	var err error
	if c.making, err = c.ready(); err != nil {
		return nil, err
	}
	in, err := c.readAll(paths)
	if err != nil {
		return nil, err
	}
	printDiagnostics(s, in.list)
	if in.open {
		return nil, trouble(what+" before this is settled", "")
	}
	if err := c.speak(in.job.Terms.Language, s); err != nil {
		return nil, err
	}
	findPhotos(paths, in.job, photoSize(c.style))
	result := assess.Run(in.job, check.All())
	printMissing(s, result)
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		return nil, err
	}
	made, err := report.Record{Result: result, Words: c.words, Fonts: faces, Width: c.style.TextWidth(), Tool: tool,
		Digest: in.digest, Produced: c.date, Image: announced(s, imagesBesideAny(paths))}.Indexed()
	return &judged{in, result, made}, err
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
func (c *closing) folder() (string, error) {
	if c.out == "" {
		return "", nil
	}
	if kindOf(c.out) != "folder" {
		return "", usageError(fmt.Sprintf("-o %s: wanted a folder", c.out), "end the name without a kind of file")
	}
	return c.out, makeFolder(c.out)
}
