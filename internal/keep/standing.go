package keep

import (
	"errors"
	"io/fs"
	"syscall"
)

// looks bounds how often a file is looked at that changes all the while.
const looks = 10

// standing returns what has the name path, nil if nothing has, and an error if
// that is not to be replaced.
func standing(sys system, path string, o Options) (fs.FileInfo, error) {
	for range looks {
		there, err := sys.Lstat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, nil
		case err != nil:
			return nil, err
		}
		steady, err := look(sys, path, there, o)
		switch {
		case err != nil:
			return nil, err
		case steady:
			return there, nil
		}
	}
	return nil, &Error{Path: path, Why: Changing}
}

// look reads the file that path leads to, through links, and returns an error
// if it is not to be replaced. Not steady is what was another file, or another
// content, when it had been read.
func look(sys system, path string, there fs.FileInfo, o Options) (steady bool, err error) {
	before := there
	if there.Mode()&fs.ModeSymlink != 0 {
		before, err = sys.Stat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ELOOP): // it leads nowhere
			return o.Overwrite, existing(path, o)
		case err != nil:
			return false, &Error{path, Unread, err}
		}
	}
	switch {
	case before.IsDir():
		return false, &Error{Path: path, Why: IsFolder}
	case !before.Mode().IsRegular():
		return false, &Error{Path: path, Why: NoFile}
	}
	isSealed, err := read(sys, path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil // it is gone: look again
	case err != nil && o.Overwrite:
		return false, &Error{path, Unread, err}
	case isSealed:
		return false, &Error{Path: path, Why: IsSealed}
	case !o.Overwrite:
		return false, existing(path, o)
	}
	after, err := sys.Stat(path)
	return err == nil && sys.Same(before, after) && before.Size() == after.Size() && before.ModTime().Equal(after.ModTime()), nil
}

// existing is the error that a file is there, if it is not to be replaced.
func existing(path string, o Options) error {
	if o.Overwrite {
		return nil
	}
	return &Error{Path: path, Why: Exists}
}

// read reports whether the file at path is sealed.
func read(sys system, path string) (bool, error) {
	f, err := sys.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close() // it was only read
	return sealed(f)
}
