package keep

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"
)

// An Error says why a file was not written.
type Error struct {
	Path string // as it was given
	Why  Reason
	Err  error // of the system; nil where it had none
}

// A Reason is a kind of error that something can be done about.
type Reason int

const (
	Other     Reason = iota // what the system says
	Exists                  // something has the name
	IsSealed                // a sealed file has the name
	IsFolder                // a folder has the name, or a link to one
	NoFile                  // a device, a pipe or a socket has the name, or a link to one
	Unread                  // what has the name cannot be read, so that it may be sealed
	Changing                // what has the name changes all the while it is looked at
	NoFolder                // the folder is not there
	Forbidden               // the folder may not be written to
	ReadOnly                // the file system takes no writing
	Full                    // the disk is full, or a share of it
	LongName                // the name is too long for the file system
	Unsettled               // the file is written whole; its name may be lost with the power
)

var reasons = [...]string{
	Other:     "not written",
	Exists:    "it exists",
	IsSealed:  "it is sealed",
	IsFolder:  "it is a folder",
	NoFile:    "it is a device, a pipe or a socket",
	Unread:    "it cannot be read",
	Changing:  "it keeps changing",
	NoFolder:  "its folder is not there",
	Forbidden: "its folder may not be written to",
	ReadOnly:  "its file system is read-only",
	Full:      "the disk is full",
	LongName:  "its name is too long",
	Unsettled: "it is written, but its name may be lost with the power",
}

func (r Reason) String() string { return reasons[r] }

func (e *Error) Error() string {
	if e.Err == nil {
		return fmt.Sprintf("%s: %v", e.Path, e.Why)
	}
	return fmt.Sprintf("%s: %v: %v", e.Path, e.Why, e.Err)
}

func (e *Error) Unwrap() error { return e.Err }

// explained gives an error of the system its reason.
func explained(path string, err error) error {
	var known *Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	return &Error{path, reason(err), err}
}

func reason(err error) Reason {
	is := func(targets ...error) bool {
		for _, t := range targets {
			if errors.Is(err, t) {
				return true
			}
		}
		return false
	}
	switch {
	case is(syscall.EROFS):
		return ReadOnly
	case is(syscall.ENOSPC, syscall.EDQUOT):
		return Full
	case is(syscall.ENAMETOOLONG):
		return LongName
	case is(syscall.EISDIR):
		return IsFolder
	case is(fs.ErrExist):
		return Exists
	case is(fs.ErrNotExist, syscall.ENOTDIR):
		return NoFolder
	case is(fs.ErrPermission):
		return Forbidden
	}
	return Other
}
