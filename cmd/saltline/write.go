package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// writeFile puts data at path, whole or not at all: into a temporary file in
// the same folder, synced and renamed, and the folder synced. Without
// overwrite an existing file stays and is an error.
func writeFile(path string, data []byte, overwrite bool) (err error) {
	if !overwrite {
		if _, err := os.Lstat(path); err == nil {
			return trouble(fmt.Sprintf("%s exists", path), "give another name with -o, or --overwrite")
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	dir := filepath.Dir(path)
	tmp, err := os.CreateTemp(dir, ".saltline-*.tmp")
	if errors.Is(err, fs.ErrNotExist) {
		return trouble(fmt.Sprintf("%s: there is no folder %s", path, dir), "make the folder, or name another with -o")
	}
	if errors.Is(err, fs.ErrPermission) {
		return trouble(fmt.Sprintf("%s: the folder %s may not be written to", path, dir), "name another folder with -o")
	}
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			tmp.Close() // may be closed already; the first error is the one that counts
			os.Remove(tmp.Name())
		}
	}()
	if _, err := tmp.Write(data); err != nil {
		return err
	}
	if err := tmp.Chmod(0o644); err != nil {
		return err
	}
	if err := tmp.Sync(); err != nil {
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	if overwrite {
		err = os.Rename(tmp.Name(), path)
	} else {
		// A link, unlike a rename, fails where a file has appeared meanwhile.
		if err = os.Link(tmp.Name(), path); err == nil {
			err = os.Remove(tmp.Name())
		} else if !errors.Is(err, fs.ErrExist) {
			err = os.Rename(tmp.Name(), path) // a file system without links
		}
	}
	if err != nil {
		return err
	}
	return syncDir(dir)
}

// syncDir makes a rename in dir last. Some systems cannot sync a folder; the
// file itself is synced already.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	d.Sync()
	return d.Close()
}

// writeStdout writes a document to standard output unless that is a terminal.
func writeStdout(out io.Writer, data []byte) error {
	if err := refuseTerminal(out); err != nil {
		return err
	}
	_, err := out.Write(data)
	return err
}

// refuseTerminal refuses a terminal, which a document would only upset.
func refuseTerminal(out io.Writer) error {
	if isTerminal(out) {
		return usageError("a document is not written to a terminal", "redirect standard output, or name a file with -o")
	}
	return nil
}

// isTerminal reports whether w is a terminal.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
