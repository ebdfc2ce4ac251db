package main

import (
	"bytes"
	"errors"
	"fmt"
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
func (m *made) run(d *readback.Document) ([]byte, error) {
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
	var out, said bytes.Buffer
	err = command(args, stream{in: strings.NewReader(""), out: &out, err: &said, again: &again{m.Photos, d.Pictures()}})
	var known *statusError
	if err != nil && !(errors.As(err, &known) && known.code == 3) { // 3 is about what it says, not whether it was made
		return nil, errors.Join(err, errors.New(strings.TrimSpace(said.String())))
	}
	return out.Bytes(), nil
}

// job reads the record that a document carries, for who is in it.
func (m *made) job(d *readback.Document) (*record.Job, error) {
	folder, err := os.MkdirTemp("", "saltline-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	args, err := m.layOut(d, folder)
	if err != nil {
		return nil, err
	}
	// Of the options of the command, only those are wanted that say how a record
	// is read.
	var r jobReader
	flags := pflag.NewFlagSet(m.Command, pflag.ContinueOnError)
	flags.ParseErrorsAllowlist.UnknownFlags = true
	r.add(flags)
	if err := flags.Parse(args); err != nil {
		return nil, err
	}
	in, err := r.readAll(flags.Args())
	switch {
	case err != nil:
		return nil, err
	case in.open:
		return nil, errors.New("a question stands in the record that the document carries")
	}
	return in.job, nil
}

// layOut writes the record into a folder and returns the arguments of the
// command.
func (m *made) layOut(d *readback.Document, folder string) ([]string, error) {
	put := func(to, attached string) error {
		f := d.Attached(attached)
		if f == nil {
			return fmt.Errorf("it does not carry %q", attached)
		}
		return extractTo(folder, to, f.Data)
	}
	args := slices.Clone(m.Options)
	at := map[string]string{} // where each attached file of a record lies
	for i, k := range m.Records {
		base := strconv.Itoa(i)
		for _, name := range k.Files {
			to := base + "/" + k.Path
			if k.Folder {
				to += "/" + name[strings.LastIndexByte(name, '/')+1:]
			}
			if err := put(to, name); err != nil {
				return nil, err
			}
			at[name] = to
		}
		args = append(args, filepath.Join(folder, base, filepath.FromSlash(k.Path)))
	}
	if m.Job != "" {
		to, is := at[m.Job]
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
