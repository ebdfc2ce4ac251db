package keep

import (
	"bytes"
	"io"
)

// mark is the name of a PDF file that says which of its bytes a signature
// covers (ISO 32000-1, 12.8.1, table 252). Every signature of a field and every
// time stamp of a document has it, whoever made it.
const mark = "ByteRange"

// sealed reports whether what r holds is sealed: whether the name /ByteRange
// stands anywhere in its plain bytes, also with characters of it written as #xx
// (ISO 32000-1, 7.3.5).
//
// It errs towards yes, since a file that is wrongly taken for sealed costs no
// more than another name: a file prepared for a signature and not yet signed, a
// text that speaks of the name, a sealed file that lies unpacked in another one
// all count. A damaged file counts as before, for no other sign of a PDF is
// asked for. What is not seen is a signature beside the file, one in another kind
// of file, such as a workbook, and one whose dictionary lies packed in a stream:
// the bytes that a signature leaves out of itself have to stand in the file
// plainly, so that what signs writes its dictionary plainly too.
func sealed(r io.Reader) (bool, error) {
	const longest = 3 * len(mark) // every character as #xx
	buf := make([]byte, 64<<10)
	kept := 0 // bytes of a mark that may go on in what is read next
	for {
		n, err := r.Read(buf[kept:])
		window := buf[:kept+n]
		for rest := window; ; {
			i := bytes.IndexByte(rest, '/')
			if i < 0 {
				break
			}
			rest = rest[i+1:]
			if marked(rest) {
				return true, nil
			}
		}
		if err == io.EOF {
			return false, nil
		}
		if err != nil {
			return false, err
		}
		kept = copy(buf, window[max(0, len(window)-longest):])
	}
}

// marked reports whether name, which stands behind a slash, begins with the
// mark.
func marked(name []byte) bool {
	for i := range len(mark) {
		if len(name) == 0 {
			return false
		}
		c, size := name[0], 1
		if c == '#' && len(name) >= 3 {
			c, size = digit(name[1])<<4|digit(name[2]), 3
		}
		if c != mark[i] {
			return false
		}
		name = name[size:]
	}
	return true
}

// digit is the value of a hexadecimal digit, and 0 for what is none: no letter
// of the mark is spelled with a 0 that could stand in its place but P (#50), and
// the mark has no P.
func digit(c byte) byte {
	switch {
	case '0' <= c && c <= '9':
		return c - '0'
	case 'a' <= c && c <= 'f':
		return c - 'a' + 10
	case 'A' <= c && c <= 'F':
		return c - 'A' + 10
	}
	return 0
}
