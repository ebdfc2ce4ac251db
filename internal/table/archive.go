package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"saltline/internal/diag"
)

// An archive is the zip file that a workbook is. Its parts are found by their
// names and unpacked one at a time, and only those that hold cells or say how
// cells are shown: pictures, macros, links and whatever else lies in it stay
// packed. Nothing is ever written under the name of a part.
type archive struct {
	parts map[string]*zip.File // by folded name
	left  int64                // bytes that may still be unpacked, of all parts together
}

// maxParts is how many parts a workbook may have. One of a sheet for each day
// of a year, with a picture on each, has some three thousand.
const maxParts = 20_000

// directoryEntry is what each entry of the directory of a zip file begins with.
const directoryEntry = "PK\x01\x02"

var errUnpacked = errors.New("it unpacks to more than the limit")

// openArchive reads the directory of a zip file, unless it is too long to be
// held in memory.
func openArchive(data []byte) (*zip.Reader, error) {
	if n := bytes.Count(data, []byte(directoryEntry)); n > maxParts {
		return nil, fmt.Errorf("it has %d parts, of which a workbook has at most %d", n, maxParts)
	}
	return zip.NewReader(bytes.NewReader(data), int64(len(data)))
}

// partName is the name of a part as names are compared: ISO/IEC 29500-2 tells
// no capitals from small letters (from memory), and some programs write the
// other slash.
func partName(name string) string { return strings.ToLower(strings.ReplaceAll(name, `\`, "/")) }

// openBook finds the parts of a workbook.
func (r *reader) openBook(data []byte) (*archive, error) {
	z, err := openArchive(data)
	if err != nil {
		return nil, r.refuseWorkbook(diag.Pos{}, err)
	}
	a := &archive{parts: make(map[string]*zip.File, len(z.File)), left: r.limits.Unpacked}
	for _, f := range z.File {
		name := partName(f.Name)
		if a.parts[name] != nil {
			return nil, r.refuseWorkbook(diag.Pos{}, fmt.Errorf("it holds %q twice", brief(f.Name)))
		}
		if f.Flags&1 != 0 { // APPNOTE of the zip format, 4.4.4
			return nil, r.refuseKind(isEncrypted)
		}
		a.parts[name] = f
	}
	return a, nil
}

// size is how large a part says that it is, in bytes, as far as that may be
// unpacked.
func (a *archive) size(name string) int64 {
	f := a.parts[partName(name)]
	if f == nil || f.UncompressedSize64 > uint64(a.left) {
		return 0
	}
	return int64(f.UncompressedSize64)
}

// open unpacks a part as it is read; nil where there is none of that name.
func (a *archive) open(name string) (io.ReadCloser, error) {
	f := a.parts[partName(name)]
	if f == nil {
		return nil, nil
	}
	rc, err := f.Open()
	if err != nil {
		return nil, err
	}
	part := &unpacking{rc, a}
	if f.UncompressedSize64 >= aheadFrom {
		return readAhead(part), nil
	}
	return part, nil
}

// An unpacking counts what comes out of a part.
type unpacking struct {
	io.ReadCloser
	of *archive
}

func (u *unpacking) Read(b []byte) (int, error) {
	n, err := u.ReadCloser.Read(b)
	if u.of.left -= int64(n); u.of.left < 0 {
		return 0, errUnpacked
	}
	return n, err
}

// whole is a small part in one piece; nil where there is none of that name.
func (a *archive) whole(name string) ([]byte, error) {
	rc, err := a.open(name)
	if rc == nil || err != nil {
		return nil, err
	}
	defer rc.Close()
	data, err := io.ReadAll(io.LimitReader(rc, largestPart+1))
	if err == nil && len(data) > largestPart {
		err = fmt.Errorf("%s is larger than %d bytes", name, largestPart)
	}
	return data, err
}
