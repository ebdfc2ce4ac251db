// Package keep writes files whole or not at all.
//
// What is written goes into a temporary file in the same folder, which is
// synced and only then takes the name that was asked for; then the folder is
// synced. Whatever stops the work, the name stands for the old file or for the
// new one, never for a part of either.
//
// A process that is killed may leave its temporary file behind. Such a file is
// called .saltline- with a number and .tmp, as no document is, and is of no use
// to anybody: it may be deleted when no saltline is at work. None is deleted
// here, for it cannot be told whether another process is still writing it.
//
// A sealed file, which is one that holds a signature, is never replaced. One
// gap remains that no call of the system closes: a file that is signed by
// another program in the instant between the last look at it and the renaming.
package keep

import (
	"errors"
	"io"
	"io/fs"
	"path/filepath"
)

// Options say how a file is written.
type Options struct {
	Overwrite bool // replace what has the name, unless it is sealed
}

// Write puts data at path. Without o.Overwrite nothing is replaced, not even
// what appears at path meanwhile. A symbolic link at path is replaced itself,
// and what it leads to stays as it is. A file that is replaced hands its
// permissions on; a new one can be read by all and written by its owner. Every
// error is an *Error.
func Write(path string, data []byte, o Options) error {
	return explained(path, write(host{}, path, data, o))
}

// Check reports, as an *Error, why Write would not replace what stands at
// path; nil if nothing is there, or it may be replaced.
func Check(path string, o Options) error {
	_, err := standing(host{}, path, o)
	return explained(path, err)
}

func write(sys system, path string, data []byte, o Options) error {
	old, err := standing(sys, path, o)
	if err != nil {
		return err
	}
	mode := fs.FileMode(0o644)
	if old != nil && old.Mode().IsRegular() {
		mode = old.Mode().Perm()
	}
	dir := folderOf(path)
	tmp, err := sys.Create(dir)
	if err != nil {
		return err
	}
	err = fill(tmp, data, mode)
	if err == nil {
		err = place(sys, tmp.Name(), path, o)
	}
	if err != nil {
		sys.Remove(tmp.Name()) // the first error is the one that counts
		return err
	}
	return settle(sys, dir, path)
}

// folderOf is the folder that path lies in, spelled as in path: to shorten
// link/.. would name another folder than the system finds there.
func folderOf(path string) string {
	dir, _ := filepath.Split(path)
	if dir == "" {
		return "."
	}
	return dir
}

// fill writes data to a new file, makes it last, and closes it.
func fill(f file, data []byte, mode fs.FileMode) (err error) {
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	n, err := f.Write(data)
	if err == nil && n < len(data) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return err
	}
	// Not every file system keeps permissions, those of memory sticks for one.
	if err := f.Chmod(mode); err != nil && !errors.Is(err, fs.ErrPermission) && !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	return f.Sync()
}

// place gives the finished file at tmp the name path.
func place(sys system, tmp, path string, o Options) error {
	if !o.Overwrite {
		// A link, unlike a rename, fails where a file has appeared meanwhile.
		if err := sys.Link(tmp, path); err == nil {
			sys.Remove(tmp) // what stays is a second name, like that of a killed process
			return nil
		}
		// Either a file is there, or the file system has no links. They answer
		// with many errors; what counts is whether something has the name.
	}
	if _, err := standing(sys, path, o); err != nil { // as late as possible
		return err
	}
	return sys.Rename(tmp, path)
}
