package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/readback"
	"saltline/internal/record"
)

// documentCommands are the commands whose documents can be made again, by the
// names that made.json has for them.
var documentCommands = map[string]func([]string, stream) error{
	"report": runReport, "certificate": runCertificate, "handover": runHandover, "audit": runAudit,
}

// again is what a document that is made again takes from the one that there is.
type again struct {
	seen   []seenPhoto
	prints map[string][]byte // by their SHA-256, hex
}

// run makes a document again: its record is laid out in a folder of its own, as
// it lay when it was read, and the command is run on it that made the document.
func (m *made) run(d *readback.Document, large bool) ([]byte, error) {
	command := documentCommands[m.Command]
	if command == nil {
		return nil, fmt.Errorf("%s names the command %q, which is none that writes documents", madeName, m.Command)
	}
	folder, err := os.MkdirTemp("", "saltline-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	args, err := m.layOut(d, folder)
	if err != nil {
		return nil, err
	}
	if large {
		args = append(args, "--large")
	}
	var out, said bytes.Buffer
	err = command(args, stream{in: strings.NewReader(""), out: &out, err: &said, again: &again{m.Photos, d.Pictures()}})
	var known *statusError
	if err != nil && !(errors.As(err, &known) && known.code == 3) { // 3 is about what it says, not whether it was made
		return nil, errors.New(m.asNamed(folder, strings.TrimSpace(err.Error()+"\n"+said.String())))
	}
	return out.Bytes(), nil
}

// asNamed is a text in which files are called as the record calls them, and not
// as they lie in a folder that will be gone.
func (m *made) asNamed(folder, text string) string {
	for i := range m.Records {
		text = strings.ReplaceAll(text, filepath.Join(folder, strconv.Itoa(i))+string(filepath.Separator), "")
	}
	return strings.ReplaceAll(text, folder+string(filepath.Separator), "")
}

// namingFiles are the options of the commands that name files, and the one that
// lets them take more memory. None of a document does: what it was made of, it
// carries, and how much is borne is for whoever verifies it to say.
var namingFiles = []string{"output", "questions", "overwrite", "job", "templates", "json", "large"}

// options are those that a document says it was made with. A stranger may have
// written them: none may name a file to be read or written.
func (m *made) options() ([]string, error) {
	for _, o := range m.Options {
		name, _, valued := strings.Cut(o, "=")
		name, long := strings.CutPrefix(name, "--")
		if !long || !valued || name == "" || slices.Contains(namingFiles, name) {
			return nil, fmt.Errorf("%s gives the option %q, which no document is made with", madeName, o)
		}
	}
	return slices.Clone(m.Options), nil
}

// job reads the record that a document carries, for who is in it.
func (m *made) job(d *readback.Document, large bool) (*record.Job, error) {
	r, paths, done, err := m.reader(d)
	defer done()
	r.large = large
	if err != nil {
		return nil, err
	}
	in, err := r.readAll(paths)
	switch {
	case err != nil:
		return nil, err
	case in.open:
		return nil, errors.New("a question stands in the record that the document carries")
	}
	return in.job, nil
}

// reader is how the record of a document was read, and where it lies until done
// is called.
func (m *made) reader(d *readback.Document) (r jobReader, paths []string, done func(), err error) {
	folder, err := os.MkdirTemp("", "saltline-")
	if err != nil {
		return r, nil, func() {}, err
	}
	done = func() { os.RemoveAll(folder) }
	args, err := m.layOut(d, folder)
	if err != nil {
		return r, nil, done, err
	}
	// Of the options of the command, only those are wanted that say how a record
	// is read.
	flags := pflag.NewFlagSet(m.Command, pflag.ContinueOnError)
	flags.ParseErrorsAllowlist.UnknownFlags = true
	r.add(flags)
	err = flags.Parse(args)
	return r, flags.Args(), done, err
}

// layOut writes the record into a folder and returns the arguments of the
// command.
func (m *made) layOut(d *readback.Document, folder string) ([]string, error) {
	put := func(to, attached string) error {
		f := carriedAs(d, attached)
		if f == nil {
			return fmt.Errorf("it does not carry %q", attached)
		}
		path, err := below(folder, to)
		if err != nil {
			return err
		}
		if standing(path) {
			return fmt.Errorf("%s lays two files in one place, %q", madeName, to)
		}
		return os.WriteFile(path, f.Data, 0o600) // it is gone in a moment, whatever happens
	}
	args, err := m.options()
	if err != nil {
		return nil, err
	}
	if len(m.Records) == 0 {
		return nil, fmt.Errorf("%s names no record", madeName)
	}
	at := map[string]string{} // where each attached file of a record lies
	for i, k := range m.Records {
		base := strconv.Itoa(i)
		if len(k.Files) == 0 { // what lies there would be read, whoever put it there
			return nil, fmt.Errorf("%s names no file of the record %q", madeName, k.Path)
		}
		for i, name := range k.Files {
			to := base + "/" + k.Path
			if k.Folder {
				to += "/" + k.lay(i)
			}
			if err := put(to, name); err != nil {
				return nil, err
			}
			at[name] = to
		}
		args = append(args, filepath.Join(folder, base, filepath.FromSlash(k.Path)))
	}
	if m.Job != "" {
		to, is := at[attachedAs(m.Job)]
		if !is {
			to, is = at[m.Job]
		}
		if !is {
			to = "job/" + m.Job
			if err := put(to, m.Job); err != nil {
				return nil, err
			}
		}
		args = append(args, "--job="+filepath.Join(folder, filepath.FromSlash(to)))
	}
	for _, name := range m.Texts {
		if err := put(textsFolder+name, textsFolder+name); err != nil {
			return nil, err
		}
	}
	if len(m.Texts) > 0 {
		args = append(args, "--templates="+filepath.Join(folder, textsFolder))
	}
	if len(m.Images) > 0 && len(m.Records) > 0 {
		beside := "0/" + m.Records[0].Path
		if !m.Records[0].Folder {
			beside = beside[:strings.LastIndexByte(beside, '/')]
		}
		for _, name := range m.Images {
			if err := put(beside+"/"+name, imageFolder+name); err != nil {
				return nil, err
			}
		}
	}
	return append(args, "--output=-"), nil
}

// lay is what file i of a record was called where it lay. Documents of version
// 0.3.0 and before say so in its name as attached.
func (k *kept) lay(i int) string {
	if i < len(k.Names) {
		return k.Names[i]
	}
	return k.Files[i][strings.LastIndexByte(k.Files[i], '/')+1:]
}

// carriedAs is an attached file by the name that made.json has for it; nil for
// none. Up to version 0.3.0 names kept their folders.
func carriedAs(d *readback.Document, name string) *readback.File {
	if f := d.Attached(attachedAs(name)); f != nil {
		return f
	}
	return d.Attached(name)
}

// digest is that of the record, as the foot of the document has it.
func (m *made) digest(d *readback.Document) string {
	var inputs []input
	names := map[string]bool{}
	add := func(name, attached string) {
		if f := carriedAs(d, attached); f != nil && !names[attached] {
			names[attached] = true
			inputs = append(inputs, input{name: name, data: f.Data})
		}
	}
	for _, k := range m.Records {
		for i, attached := range k.Files {
			name := k.Path
			switch {
			case len(m.Records) == 1 && k.Folder:
				name = k.lay(i)
			case k.Folder:
				name += "/" + k.lay(i)
			}
			add(name, attached)
		}
	}
	if m.Job != "" {
		add(m.Job, m.Job)
	}
	var set []string
	for _, o := range m.Options {
		if s, is := strings.CutPrefix(o, "--set="); is {
			set = append(set, s)
		}
	}
	return digest(inputs, set)
}

// received reads the record at the paths, or the one that a document carries: as
// it was read for the document, but for what the command line says otherwise.
// What was laid out for it stands until done is called.
func (r *auditRun) received(paths []string, s stream) (*reading, stream, func(), error) {
	none := func() {}
	path := paths[0]
	if len(paths) > 1 || !isPDF(path) {
		in, err := r.readAll(paths)
		return in, s, none, err
	}
	data, err := readFile(path)
	if err != nil {
		return nil, s, none, err
	}
	_, d, m, err := openDocument(path, data)
	if err != nil {
		return nil, s, none, err
	}
	as, paths, done, err := m.reader(d)
	if err != nil {
		return nil, s, done, err
	}
	in, err := as.but(&r.jobReader).readAll(paths)
	if in != nil {
		in.stem = stem(path)
	}
	s.again = &again{m.Photos, d.Pictures()}
	fmt.Fprintf(s.err, "saltline: the record that %s carries is audited; whether the document follows from it, and its signatures, saltline verify says\n", path)
	return in, s, done, err
}

// but is how a record is read where another says otherwise.
func (r jobReader) but(other *jobReader) *jobReader {
	key := func(s string) string { k, _, _ := strings.Cut(s, "="); return record.Folded(k) }
	r.set = slices.DeleteFunc(slices.Clone(r.set), func(s string) bool {
		return slices.ContainsFunc(other.set, func(o string) bool { return key(o) == key(s) })
	})
	r.set = append(r.set, other.set...)
	r.maps = slices.Concat(r.maps, other.maps)
	r.large = other.large
	r.job, r.sheet = cmp.Or(other.job, r.job), cmp.Or(other.sheet, r.sheet)
	r.dateOrder, r.decimal = cmp.Or(other.dateOrder, r.dateOrder), cmp.Or(other.decimal, r.decimal)
	return &r
}

// isPDF reports whether a file begins as a PDF does.
func isPDF(path string) bool {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 5)
	_, err = io.ReadFull(f, head)
	return err == nil && string(head) == "%PDF-"
}
