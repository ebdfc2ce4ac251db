// Package readback reads a document back: what it carries, what its pages say,
// and how that differs from another.
package readback

import (
	"bytes"
	"compress/zlib"
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"

	"saltline/internal/objects"
)

// A Document is a PDF file taken apart.
type Document struct {
	*objects.File
	Title    string
	Producer string // the program that wrote it, with its version
	Files    []File // that it carries, in the order of the file
	Says     []Said // in the order of reading
	Pages    int

	stamps  [][]string     // the texts that stand on each page outside what is said
	strokes []int          // how often each page fills, strokes or places something
	named   map[string]int // places in Files
}

// A File is attached to a document.
type File struct {
	Name string
	Kind string // its relation to the document, such as "Source"
	Says string // its description
	Data []byte
}

// A Said is what one part of a document says: a paragraph, a cell.
type Said struct {
	Kind string // structure type, such as "TD"
	Page int    // on which it begins, from 1; 0 where it is on none
	Text string
	Row  int // number of the row of a table that it is in, through the document; 0 for none
}

// Bounds on what the streams of a file unfold to, in bytes: strangers write files
// that unfold to a thousand times their size, and lead to one stream from many
// pages. A document of this program unfolds to a few times its size.
const (
	mostText  = 64 << 20  // one stream of a page
	pageRoom  = 128 << 20 // all pages
	pageTimes = 32        // the size of the file, for its pages, where that is more
	fileRoom  = 128 << 20 // all attachments
	fileTimes = 8         // the size of the file, for them, where that is more
	mostFiles = 512 << 20
)

// ErrUntagged is the error of a file that does not say what its pages say, as
// every document of this program does.
var ErrUntagged = errors.New("its pages are not tagged")

// Open takes a file apart. It fails on one that is damaged or not tagged.
func Open(data []byte) (*Document, error) {
	f, err := objects.Read(data)
	if err != nil {
		return nil, err
	}
	return Of(f)
}

// Of takes apart a file that was read, as it stood after some update. Of one that
// is not tagged it gives all but what its pages say.
func Of(f *objects.File) (*Document, error) {
	info := f.Dict(f.Trailer()["Info"])
	d := &Document{File: f, named: map[string]int{}, Title: f.String(info["Title"]).Text(), Producer: f.String(info["Producer"]).Text()}
	if err := d.attached(); err != nil {
		return nil, err
	}
	return d, d.read()
}

// attached finds the attached files. What the file says of them has to agree
// with what they are.
func (d *Document) attached() error {
	room := min(max(fileRoom, fileTimes*d.Len()), mostFiles)
	reached := map[objects.Ref]bool{}
	for _, v := range d.Array(d.Catalog()["AF"]) {
		spec := d.Dict(v)
		f := File{Name: d.String(spec["UF"]).Text(), Kind: string(d.Name(spec["AFRelationship"])), Says: d.String(spec["Desc"]).Text()}
		content := d.Dict(spec["EF"])["UF"]
		s := d.Stream(content)
		if f.Name == "" || s == nil {
			return fmt.Errorf("attachment %q has no name or no content", f.Name)
		}
		params := d.Dict(s.Dict["Params"])
		size, ok := d.Int(params["Size"])
		if ok && size > room {
			return fmt.Errorf("attachment %q is said to have %d bytes, and a file of %d is not unpacked to more than %d", f.Name, size, d.Len(), room)
		}
		var err error
		if f.Data, err = unfolded(s, size); err != nil && !errors.Is(err, errSize) {
			return fmt.Errorf("attachment %q: %w", f.Name, err)
		}
		room -= len(f.Data)
		sum := md5.Sum(f.Data)
		if !ok || err != nil || !bytes.Equal(d.String(params["CheckSum"]), sum[:]) {
			return fmt.Errorf("attachment %q is not the file whose size and checksum the document gives", f.Name)
		}
		if !strings.Contains(f.Says, f.SHA256()) {
			return fmt.Errorf("attachment %q is not the file whose SHA-256 the document gives", f.Name)
		}
		if d.Attached(f.Name) != nil {
			return fmt.Errorf("two attachments are called %q", f.Name)
		}
		if r, is := content.(objects.Ref); is {
			reached[r] = true
		}
		d.named[f.Name] = len(d.Files)
		d.Files = append(d.Files, f)
	}
	for _, r := range d.Refs() {
		if !reached[r] && d.isEmbedded(r) {
			return fmt.Errorf("a file is attached (object %d) that is not among those that the document names as its own", r.Number)
		}
	}
	return nil
}

var errSize = errors.New("the stream has another size")

// unfolded is the content of a stream of a known size, in no more memory than it
// takes.
func unfolded(s *objects.Stream, size int) ([]byte, error) {
	if s.Dict["Filter"] != objects.Name("FlateDecode") || s.Dict["DecodeParms"] != nil || s.Dict["F"] != nil {
		data, err := s.Data(max(size, 0))
		if errors.Is(err, objects.ErrLong) || err == nil && len(data) != size {
			err = errSize
		}
		return data, err
	}
	r, err := zlib.NewReader(bytes.NewReader(s.Raw))
	if err != nil {
		return nil, fmt.Errorf("the packed bytes are damaged: %w", err)
	}
	data := make([]byte, max(size, 0))
	if n, err := io.ReadFull(r, data); err != nil {
		return data[:n], errSize
	}
	if n, err := r.Read(make([]byte, 1)); n > 0 {
		return data, errSize
	} else if err != nil && err != io.EOF {
		return nil, fmt.Errorf("the packed bytes are damaged: %w", err)
	}
	return data, nil
}

// isEmbedded reports whether an object is an attached file.
func (d *Document) isEmbedded(r objects.Ref) bool {
	s, is := d.Get(r).(*objects.Stream)
	return is && s.Dict["Type"] == objects.Name("EmbeddedFile")
}

// SHA256 is the digest of the file, hex.
func (f File) SHA256() string {
	sum := sha256.Sum256(f.Data)
	return hex.EncodeToString(sum[:])
}

// Attached is the attached file of a name; nil for none.
func (d *Document) Attached(name string) *File {
	if i, is := d.named[name]; is {
		return &d.Files[i]
	}
	return nil
}

// Pictures are the photographs that the pages show, as JPEG files, by their
// SHA-256 in hex.
func (d *Document) Pictures() map[string][]byte {
	all := map[string][]byte{}
	for _, r := range d.Refs() {
		s, is := d.Get(r).(*objects.Stream)
		if !is || s.Dict["Subtype"] != objects.Name("Image") || s.Dict["Filter"] != objects.Name("DCTDecode") {
			continue
		}
		all[File{Data: s.Raw}.SHA256()] = s.Raw
	}
	return all
}
