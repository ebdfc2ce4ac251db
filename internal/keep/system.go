package keep

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// A system is what writing asks of a file system: host, or in tests one that
// fails, stops or forgets at any call.
type system interface {
	Lstat(path string) (fs.FileInfo, error)
	Stat(path string) (fs.FileInfo, error)
	Same(a, b fs.FileInfo) bool         // whether both are of one file
	Open(path string) (file, error)     // a file to read, or a folder to sync
	Create(folder string) (file, error) // a new file under a temporary name
	Link(from, to string) error         // fails where to is there
	Rename(from, to string) error       // replaces what is at to
	Remove(path string) error
}

// A file is an open one, or an open folder.
type file interface {
	io.ReadWriteCloser
	Name() string
	Stat() (fs.FileInfo, error)
	Chmod(fs.FileMode) error
	Sync() error
}

// host is the file system of the machine.
type host struct{}

func (host) Lstat(path string) (fs.FileInfo, error) { return os.Lstat(path) }
func (host) Stat(path string) (fs.FileInfo, error)  { return os.Stat(path) }
func (host) Same(a, b fs.FileInfo) bool             { return os.SameFile(a, b) }
func (host) Link(from, to string) error             { return os.Link(from, to) }
func (host) Rename(from, to string) error           { return os.Rename(from, to) }
func (host) Remove(path string) error               { return os.Remove(path) }

func (host) Open(path string) (file, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err // and no file that is a nil pointer
	}
	return f, nil
}

func (host) Create(folder string) (file, error) {
	f, err := os.CreateTemp(folder, ".saltline-*.tmp")
	if err != nil {
		return nil, err
	}
	return f, nil
}

// settle makes the new name of a file last. There are systems that cannot sync
// a folder, and folders that may be written to and not opened.
func settle(sys system, dir, path string) error {
	d, err := sys.Open(dir)
	if err == nil {
		err = d.Sync()
		d.Close() // it was only read
	}
	switch {
	case err == nil, errors.Is(err, fs.ErrPermission), errors.Is(err, errors.ErrUnsupported), errors.Is(err, syscall.EINVAL):
		return nil
	}
	return &Error{path, Unsettled, err}
}

// Folder makes the folder at path and those above it, where they are not
// there, so that they last. Every error is an *Error.
func Folder(path string) error {
	var above []string // the folders in which one is made
	for dir, parent := path, ""; ; dir = parent {
		parent = filepath.Dir(dir)
		if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) || parent == dir { // a drive that is not there
			break
		}
		above = append(above, parent)
	}
	if err := os.MkdirAll(path, 0o755); err != nil {
		return explained(path, err)
	}
	for _, dir := range above {
		if err := settle(host{}, dir, path); err != nil {
			return err
		}
	}
	return nil
}
