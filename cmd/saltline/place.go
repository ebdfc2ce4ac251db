package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"saltline/internal/photo"
)

// What keeps a file from being read.
var (
	errNoFile   = errors.New("no file: a pipe, a device or a socket")
	errTooLarge = errors.New("too large")
	errWritten  = errors.New("written to while it was read")
)

// A place is where files are looked for: a folder and nothing outside it, or
// wherever a path leads.
type place interface {
	Stat(name string) (fs.FileInfo, error)
	Open(name string) (*os.File, error)
}

// anywhere is where the paths of the command line lead.
type anywhere struct{}

func (anywhere) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }
func (anywhere) Open(name string) (*os.File, error)    { return os.Open(name) }

// readRegular reads a file of at most so many bytes, if it is one: to open a pipe
// would be to wait for somebody to write to it, and a device may have no end. A
// file that changes meanwhile is half of something.
func readRegular(in place, name string, most int64) ([]byte, error) {
	before, err := in.Stat(name)
	switch {
	case err != nil:
		return nil, err
	case !before.Mode().IsRegular():
		return nil, errNoFile
	case before.Size() > most:
		return nil, errTooLarge
	}
	f, err := in.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data := make([]byte, before.Size()+1) // room to see that it is the end
	n, err := io.ReadFull(f, data)
	if err == nil {
		return nil, errWritten
	}
	if err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, err
	}
	after, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if int64(n) != before.Size() || after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, errWritten
	}
	return data[:n:n], nil
}

// Bounds on a record.
const (
	largestRecord = 128 << 20 // bytes, of all files of a folder together
	mostTables    = 1_000     // CSV files of a folder
)

// readRecord reads a file of a record, called as the user named it.
func readRecord(in place, name, called string, most int64) ([]byte, error) {
	data, err := readRegular(in, name, most)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, err
	case errors.Is(err, errTooLarge):
		return nil, trouble(fmt.Sprintf("%s: larger than %d MiB", called, largestRecord>>20), "split the record by day or by area")
	case errors.Is(err, errNoFile):
		return nil, trouble(fmt.Sprintf("%s: a pipe, a device or a socket, but wanted a file", called), "write the record to a file and name that")
	case errors.Is(err, errWritten):
		return nil, trouble(fmt.Sprintf("%s: somebody wrote to it while it was read", called), "wait until it is written, then try again")
	case errors.Is(err, fs.ErrPermission):
		return nil, trouble(fmt.Sprintf("%s: it may not be read", called), "ask whoever it belongs to for leave to read it")
	case err != nil && strings.Contains(err.Error(), "escapes"): // the error of os.Root has no name
		return nil, trouble(fmt.Sprintf("%s: it leads out of the folder of the record, and nothing outside is read", called), "put a copy of it into the folder")
	case err != nil:
		return nil, trouble(fmt.Sprintf("%s: %v", called, reasonOf(err)), "check that this is the file you meant")
	}
	return data, nil
}

// reasonOf is what kept a file from being read, without the path, which is said
// already.
func reasonOf(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// readTables reads the CSV files of a folder, and none that lies outside it: a
// link may lead anywhere.
func readTables(folder string) ([]input, error) {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, trouble(fmt.Sprintf("%s: %v", folder, reasonOf(err)), "give a workbook (.xlsx), a CSV file or a folder of CSV files")
	}
	defer root.Close()
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return nil, trouble(fmt.Sprintf("%s: %v", folder, reasonOf(err)), "give a workbook (.xlsx), a CSV file or a folder of CSV files")
	}
	var inputs []input
	left := int64(largestRecord)
	for _, e := range entries { // in the order of their names
		if e.IsDir() || !strings.EqualFold(filepath.Ext(e.Name()), ".csv") {
			continue
		}
		if len(inputs) == mostTables {
			return nil, trouble(fmt.Sprintf("%s: more than %d CSV files", folder, mostTables), "give a folder that holds one record; several are named one after the other")
		}
		data, err := readRecord(root, e.Name(), filepath.Join(folder, e.Name()), left)
		if err != nil {
			return nil, err
		}
		left -= int64(len(data))
		inputs = append(inputs, input{name: e.Name(), data: data})
	}
	return inputs, nil
}

// readImage reads a photograph, or the image of a signature.
func readImage(root *os.Root, name string) ([]byte, error) {
	data, err := readRegular(root, filepath.FromSlash(name), photo.MostBytes)
	if errors.Is(err, errTooLarge) {
		err = photo.ErrSize
	}
	return data, err
}
