package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/memory"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A jobReader holds the options that say how a job is read.
type jobReader struct {
	set, maps          []string
	job, sheet         string
	dateOrder, decimal string
	large              bool
	archive            bool // the record is looked through and goes into no document
}

func (r *jobReader) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&r.set, "set", nil, `a job value, as in --set "volume=3 ml", or what a verdict word means, as in --set "verdict Over=fail" (repeatable)`)
	flags.StringVar(&r.job, "job", "", "a file with the job table, where the record has none")
	flags.StringVar(&r.sheet, "sheet", "", "read only the sheet of this name")
	flags.StringArrayVar(&r.maps, "map", nil, `what a heading means, as in --map "LF nachher=extract" (repeatable)`)
	flags.StringVar(&r.dateOrder, "date-order", "", "dmy, mdy or ymd, where a date can be read two ways")
	flags.BoolVar(&r.large, "large", false, largeUsage)
	flags.StringVar(&r.decimal, "decimal", "", `decimal sign, "." or ",", where a number can be read two ways`)
}

// how are the options that say how a job is read, but for the file of --job.
func (r *jobReader) how() []string {
	var all []string
	for _, s := range r.set {
		all = append(all, "--set="+s)
	}
	for _, m := range r.maps {
		all = append(all, "--map="+m)
	}
	for _, o := range [][2]string{{"sheet", r.sheet}, {"date-order", r.dateOrder}, {"decimal", r.decimal}} {
		if o[1] != "" {
			all = append(all, "--"+o[0]+"="+o[1])
		}
	}
	return all
}

// A reading is a job that was read and what there is to say of its files.
type reading struct {
	job     *record.Job
	files   []*table.File // as read
	inputs  []input
	paths   []string // that were read
	records []kept   // what lay there
	how     []string // they were read, as options
	named   string   // what the file of --job is called; "" for none
	digest  string   // SHA-256 of the record, hex
	stem    string   // names the documents made from it
	list    []diag.Diagnostic
	open    bool // a question or failure stands: no document may be made
}

// read reads the job at path: a workbook, a folder of CSV files or one CSV.
func (r *jobReader) read(path string) (*reading, error) {
	inputs, err := recordFiles(path, "")
	if err != nil {
		return nil, err
	}
	named, err := r.jobInput(inputs)
	if err != nil {
		return nil, err
	}
	spread(sizeOf(inputs), r.measure().times)
	out, err := r.bind(inputs, named, false)
	if err != nil {
		return nil, err
	}
	out.how = r.how()
	out.paths, out.records = []string{path}, []kept{keptAt(path, filepath.Base(path), inputs)}
	if named != nil {
		if out.named = named.name; !named.isOneOf(inputs) {
			inputs = append(inputs, *named)
		}
	}
	out.inputs, out.digest, out.stem = inputs, digest(inputs, r.set), stem(path)
	return out, nil
}

// recordFiles reads the files of the job at path, which are called by name where
// it is one of several: the file itself, or the folder that they lie in.
func recordFiles(path, name string) ([]input, error) {
	inputs, err := jobFiles(path)
	if err != nil || name == "" {
		return inputs, err
	}
	folder := isFolder(path)
	for i := range inputs {
		if folder {
			inputs[i].name = name + "/" + inputs[i].name
		} else {
			inputs[i].name = name
		}
	}
	return inputs, nil
}

// jobInput is the file that --job names, called otherwise than every other file
// among inputs; nil where none is named.
func (r *jobReader) jobInput(inputs []input) (*input, error) {
	if r.job == "" {
		return nil, nil
	}
	data, err := readRecord(anywhere{}, r.job, r.job, largestRecord)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, trouble(fmt.Sprintf("%s: no such file", r.job), "--job names a file with the job table: keys and values, one a row")
	}
	if err != nil {
		return nil, err
	}
	full, err := filepath.Abs(r.job)
	if err != nil {
		full = r.job
	}
	called := func(fits func(*input) bool) *input {
		for levels := 1; levels <= mostLevels; levels++ {
			if in := (&input{name: lastParts(filepath.ToSlash(full), levels), data: data}); fits(in) {
				return in
			}
		}
		return nil
	}
	if in := called(func(in *input) bool { return in.isOneOf(inputs) }); in != nil {
		return in, nil
	}
	in := called(func(in *input) bool {
		return !slices.ContainsFunc(inputs, func(o input) bool { return o.name == in.name })
	})
	return cmp.Or(in, &input{name: filepath.Base(r.job), data: data}), nil
}

// isOneOf reports whether a file is among others, by its name and contents.
func (in *input) isOneOf(others []input) bool {
	return slices.ContainsFunc(others, func(o input) bool { return o.name == in.name && bytes.Equal(o.data, in.data) })
}

// bind reads the files of one record, and the file that --job names unless that
// is nil. again says that this is accounted for with another record.
func (r *jobReader) bind(inputs []input, named *input, again bool) (*reading, error) {
	opts, err := r.options()
	if err != nil {
		return nil, err
	}
	if err := r.bearText(inputs); err != nil {
		return nil, err
	}
	go heading.Prepare() // on another processor, while the files are read
	out := &reading{}
	var list diag.List
	take := func(in input, mayBeEmpty bool) *table.File {
		limits := r.measure().limits
		if r.large {
			limits = table.Limits{}
		}
		f, err := table.Read(in.name, in.data, table.Options{Large: r.large, Limits: limits})
		if err != nil {
			var refusal *table.Refusal
			if !errors.As(err, &refusal) {
				list.Add(diag.Diagnostic{Pos: diag.In(in.name, ""), Level: diag.Failure, Check: "cannot-read", Msg: err.Error()})
				return nil
			}
			d := refusal.Diagnostic()
			if refusal.Check == "empty-file" && mayBeEmpty {
				d.Level = diag.Problem // one table of a folder may hold nothing yet
			}
			list.Add(d)
			return nil
		}
		return f
	}
	for i := range inputs {
		if f := take(inputs[i], len(inputs) > 1); f != nil {
			inputs[i].sum = f.SHA256
			out.files = append(out.files, f)
		}
	}
	if named != nil {
		opts.JobFile, opts.JobAgain = take(*named, false), again
	}
	if err := r.bearRows(out.files); err != nil {
		return nil, err
	}
	if worst, any := list.Worst(); !any || worst < diag.Question {
		room(sizeOf(inputs))
		job, found := record.Bind(out.files, opts)
		out.job = job
		for _, d := range slices.Concat(found.Sorted(), mappedAway(job.Note.Headings, opts.Map)) {
			list.Add(d)
		}
	}
	out.take(list.Sorted())
	return out, nil
}

// sizeOf is how large files are together, in bytes.
func sizeOf(inputs []input) (n int64) {
	for _, in := range inputs {
		n += int64(len(in.data))
	}
	return n
}

// take adds what there is to say.
func (in *reading) take(ds []diag.Diagnostic) {
	var list diag.List
	for _, d := range slices.Concat(in.list, ds) {
		list.Add(d)
	}
	in.list = list.Sorted()
	worst, any := list.Worst()
	in.open = any && worst >= diag.Question
}

func (r *jobReader) options() (record.Options, error) {
	opts := record.Options{Sheet: r.sheet, Map: map[string]string{}}
	for _, s := range r.set {
		key, value, ok := strings.Cut(s, "=")
		if !ok || strings.TrimSpace(key) == "" {
			return opts, usageError(fmt.Sprintf("--set: found %q, but wanted KEY=VALUE", s), `write it as in --set "volume=3 ml"`)
		}
		key, value = strings.Join(strings.Fields(key), " "), strings.TrimSpace(value)
		for _, other := range opts.Set {
			if strings.EqualFold(other.Key, key) {
				return opts, usageError(fmt.Sprintf("--set gives %q twice: %q and %q", key, other.Value.Text, value), "give it once")
			}
		}
		opts.Set = append(opts.Set, record.Fact{
			Key:   key,
			Value: record.Words{Val: value, Text: value, State: record.Known},
		})
	}
	for _, m := range r.maps {
		heading, column, ok := mapped(m)
		if !ok {
			return opts, usageError(fmt.Sprintf("--map: found %q, but wanted HEADING=COLUMN", m), `write it as in --map "LF nachher=extract"`)
		}
		opts.Map[heading] = column
	}
	switch strings.ToLower(r.dateOrder) {
	case "":
	case "dmy":
		opts.DateOrder = unit.DMY
	case "mdy":
		opts.DateOrder = unit.MDY
	case "ymd":
		opts.DateOrder = unit.YMD
	default:
		return opts, usageError(fmt.Sprintf("--date-order: found %q, but wanted dmy, mdy or ymd", r.dateOrder), "name the order of day, month and year in the log")
	}
	if _, err := conventionFlag(r.decimal); err != nil {
		return opts, err
	}
	if r.decimal != "" {
		opts.Decimal = rune(r.decimal[0])
	}
	return opts, nil
}

// mapped parts what --map says at its last sign: a heading may hold one, a
// column does not. It is false where there is no heading before a sign.
func mapped(text string) (heading, column string, ok bool) {
	i := strings.LastIndexByte(text, '=')
	if i <= 0 {
		return "", "", false
	}
	return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:]), true
}

// An input is one file, as named in documents: its name does not depend on
// the folder that the program was started in.
type input struct {
	name string
	data []byte
	sum  string // its SHA-256, hex, once it was taken
}

// digest is the SHA-256 of the file, hex.
func (in *input) digest() string {
	if in.sum == "" {
		in.sum = sha256Of(in.data)
	}
	return in.sum
}

// jobFiles reads the files of a job.
func jobFiles(path string) ([]input, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, trouble(fmt.Sprintf("%s: no such file or folder", path), "give a workbook (.xlsx), a CSV file or a folder of CSV files")
	}
	if err != nil {
		return nil, trouble(fmt.Sprintf("%s: %v", path, reasonOf(err)), "give a workbook (.xlsx), a CSV file or a folder of CSV files")
	}
	if !info.IsDir() {
		data, err := readRecord(anywhere{}, path, path, largestRecord)
		if err != nil {
			return nil, err
		}
		return []input{{name: filepath.Base(path), data: data}}, nil
	}
	inputs, err := readTables(path)
	if err != nil {
		return nil, err
	}
	if len(inputs) == 0 {
		if books, _ := filepath.Glob(filepath.Join(path, "*.xlsx")); len(books) > 0 {
			return nil, trouble(fmt.Sprintf("%s: no CSV file in this folder", path), fmt.Sprintf("the workbooks in it are records by themselves: give %s", filepath.Join(path, "*.xlsx")))
		}
		return nil, trouble(fmt.Sprintf("%s: no CSV file in this folder", path), "a job folder holds readings.csv and, if there are, job.csv, areas.csv and the other tables")
	}
	return inputs, nil
}

// largestFile bounds what is read into memory.
const largestFile = 512 << 20

// readFile reads a file that has a bearable size.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	size := 0
	if info.Mode().IsRegular() && info.Size() <= largestFile {
		size = int(info.Size())
	}
	data := bytes.NewBuffer(memory.Make[byte](size + bytes.MinRead)[:0]) // with room to meet the end
	if _, err := data.ReadFrom(io.LimitReader(f, largestFile+1)); err != nil {
		return nil, err
	}
	if data.Len() > largestFile {
		return nil, trouble(fmt.Sprintf("%s: larger than 512 MiB", path), "split the record by day or by area")
	}
	return data.Bytes(), nil
}

// digest is the SHA-256 of a record. Of a single file it is that of the file,
// so that any program can check it; where several files or values from the
// command line make up the record it is that of a list, one line a file,
// "digest  name", and one line a value, in order.
func digest(inputs []input, set []string) string {
	if len(inputs) == 1 && len(set) == 0 {
		return inputs[0].digest()
	}
	var list strings.Builder
	for i := range inputs {
		fmt.Fprintf(&list, "%s  %s\n", inputs[i].digest(), inputs[i].name)
	}
	for _, s := range set {
		fmt.Fprintf(&list, "--set %s\n", s)
	}
	return sha256Of([]byte(list.String()))
}

// sha256Of is the SHA-256 of a file, hex.
func sha256Of(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// stem is the name that documents made from path begin with.
func stem(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs // "." has a name too
	}
	base := filepath.Base(path)
	if ext := filepath.Ext(base); ext != "" && ext != base {
		base = strings.TrimSuffix(base, ext)
	}
	return base
}
