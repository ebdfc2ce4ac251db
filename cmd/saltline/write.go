package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"saltline/internal/keep"
)

// writeFile puts data at path, whole or not at all. Without overwrite an
// existing file stays and is an error; a sealed one always.
func writeFile(path string, data []byte, overwrite bool) error {
	return unwritten(keep.Write(path, data, keep.Options{Overwrite: overwrite}))
}

// isWhy reports whether a file was not written for this reason.
func isWhy(err error, why keep.Reason) bool {
	var known *keep.Error
	return errors.As(err, &known) && known.Why == why
}

// unwritten says why a file was not written, and what to do about it.
func unwritten(err error) error {
	var known *keep.Error
	if !errors.As(err, &known) {
		return err
	}
	path := known.Path
	switch known.Why {
	case keep.Exists:
		return trouble(fmt.Sprintf("%s exists", path), "give another name, or --overwrite")
	case keep.IsSealed:
		return trouble(fmt.Sprintf("%s is sealed", path), "give another name; a sealed file is never replaced")
	case keep.IsFolder:
		return trouble(fmt.Sprintf("%s is a folder", path), "give the name of a file in it")
	case keep.NoFile:
		return trouble(fmt.Sprintf("%s is a device, a pipe or a socket", path), `give the name of a file, or "-" for standard output`)
	case keep.Unread:
		return trouble(fmt.Sprintf("%s is not replaced: it cannot be read, and may be sealed: %v", path, plainly(known.Err)), "give another name, or make it readable")
	case keep.Changing:
		return trouble(fmt.Sprintf("%s is not replaced: another program is changing it", path), "give another name, or wait until that program is done")
	case keep.NoFolder:
		return trouble(fmt.Sprintf("%s: there is no folder %s", path, filepath.Dir(path)), "make the folder, or name another")
	case keep.LongName:
		return trouble(fmt.Sprintf("%s: the name is too long for the file system", path), "give a shorter one")
	case keep.Unsettled:
		return trouble(fmt.Sprintf("%s is written, but may be lost if the power goes: %v", path, plainly(known.Err)), "see that the disk is sound, and write it again")
	}
	return refused(known, filepath.Dir(path))
}

// unmade says why a folder could not be made.
func unmade(err error) error {
	var known *keep.Error
	if !errors.As(err, &known) {
		return err
	}
	switch known.Why {
	case keep.NoFolder, keep.Exists:
		return trouble(fmt.Sprintf("%s is no folder, or lies in what is none", known.Path), "name another folder with -o")
	case keep.LongName:
		return trouble(fmt.Sprintf("%s: the name is too long for the file system", known.Path), "give a shorter one")
	case keep.Unsettled:
		return trouble(fmt.Sprintf("the folder %s is made, but may be lost if the power goes: %v", known.Path, plainly(known.Err)), "see that the disk is sound, and try again")
	}
	return refused(known, filepath.Dir(filepath.Clean(known.Path)))
}

// refused says of a file or a folder why the system does not take it.
func refused(e *keep.Error, folder string) error {
	switch e.Why {
	case keep.Forbidden:
		return trouble(fmt.Sprintf("%s: the folder %s may not be written to", e.Path, folder), "name another folder")
	case keep.ReadOnly:
		return trouble(fmt.Sprintf("%s: its file system is read-only", e.Path), "name a place on another disk")
	case keep.Full:
		return trouble(fmt.Sprintf("%s: the disk is full, or your share of it", e.Path), "make room, or name a place on another disk; what was there before is untouched")
	}
	return trouble(fmt.Sprintf("%s could not be written: %v", e.Path, plainly(e.Err)), "name another place")
}

// plainly is an error of the system without the call and the temporary name
// that it came of.
func plainly(err error) error {
	var path *os.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
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
