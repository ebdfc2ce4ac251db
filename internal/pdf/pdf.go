// Package pdf spells frames as PDF. It measures nothing, breaks nothing and
// chooses nothing, and it alone imports a PDF library.
package pdf

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// Meta is what a file says about itself.
type Meta struct {
	Title    string
	Author   string
	Subject  string
	Keywords string
	Lang     string    // language tag, such as "en-GB"
	Producer string    // program that made it, with its version
	Created  time.Time // as stated in the file; nothing here reads a clock
	Files    []*File   // that travel with it

	// Once says that the pages are not wanted afterwards: each is let go when it
	// is drawn, for those of a long log take much memory.
	Once bool

	plain bool // PDF/A-1b, for judges that know no other
}

// A File is attached to a document, byte for byte.
type File struct {
	Name string // with slashes; no two of a document are the same
	Says string // what it is
	MIME string
	Kind Relation
	Data []byte

	// Writes writes what stands for Data where it is not nil: the results of a
	// long log are written while its pages are drawn, and only what they are packed
	// into is kept.
	Writes func(io.Writer) error

	once     sync.Once // one file may travel with many documents
	failed   error
	size     int64
	deflated *objects.Stream
	md5      [md5.Size]byte
	sha256   [sha256.Size]byte
}

// A Relation is what a file is to the document (ISO 19005-3, 6.8).
type Relation string

const (
	Source     Relation = "Source"     // what the document was made from
	Results    Relation = "Data"       // what it says, for programs
	Supplement Relation = "Supplement" // what goes with it
)

// Write writes p to w as PDF/A-3u (ISO 19005-3) and, where p has what it says,
// as PDF/UA-1 (ISO 14289-1). The same pages, fonts and meta give the same
// bytes. On an error nothing useful has been written.
func Write(w io.Writer, p frame.Print, fonts *frame.Fonts, meta Meta) (err error) {
	defer caught(&err)
	if len(p.Pages) == 0 {
		return fmt.Errorf("pdf: a document without pages")
	}
	if !isLanguageTag(meta.Lang) {
		return fmt.Errorf("pdf: %q is not a language tag", meta.Lang)
	}
	go func() { // while the pages are drawn: to pack the results of a long log takes as long
		for _, file := range meta.Files {
			file.ready()
		}
	}()
	d, drawn, err := draw(p, fonts, meta)
	if err != nil {
		return err
	}
	if room, is := w.(interface{ Grow(int) }); is {
		room.Grow(d.about(len(drawn), meta.Files))
	}
	if err := finish(w, drawn, d, p.Says, meta); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

// caught makes an error of a panic. The library panics on some input that it
// cannot embed, and so does a speller, which is saved a check after every item.
func caught(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("pdf: %v", r)
	}
}

// draw draws all pages, and gives what the library makes of all but their
// contents.
func draw(p frame.Print, fonts *frame.Fonts, meta Meta) (*drawer, handed, error) {
	d := newDrawer(p.Pages[0], fonts, meta)
	d.press = newPress(len(p.Pages))
	defer d.press.stop()
	if p.Says != nil {
		d.tagger = newTagger(&d.now)
	}
	for i, page := range p.Pages {
		d.page(page)
		if meta.Once {
			p.Pages[i] = nil
		}
	}
	if d.tagger != nil {
		d.tagger.own(d.fields)
	}
	if err := d.loose(); err != nil {
		return nil, nil, err
	}
	d.embed(len(p.Pages))
	var drawn handed
	if err := d.out.Output(&drawn); err != nil {
		return nil, nil, fmt.Errorf("pdf: %w", err)
	}
	d.out = nil // it holds the pictures once more
	return d, drawn, nil
}

// handed is what the library hands over. It writes all of its file at once, and
// nothing afterwards: the pages of a long log need no copy.
type handed []byte

func (h *handed) Write(p []byte) (int, error) {
	if *h != nil {
		return 0, errors.New("the library writes its file in pieces")
	}
	*h = p
	return len(p), nil
}

func newDrawer(first *frame.Frame, fonts *frame.Fonts, meta Meta) *drawer {
	size := fpdf.SizeType{Wd: first.W, Ht: first.H}
	out := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: size})
	out.SetAutoPageBreak(false, 0)
	out.SetCompression(false) // the press packs pages, and the finisher the rest
	// Without these the library writes maps in their order and the time of day.
	out.SetCatalogSort(true)
	out.SetCreationDate(meta.Created)
	out.SetModificationDate(meta.Created)
	out.SetProducer(meta.Producer, true)
	out.SetTitle(meta.Title, true)
	out.SetAuthor(meta.Author, true)
	out.SetSubject(meta.Subject, true)
	out.SetKeywords(meta.Keywords, true)
	out.SetLang(meta.Lang)
	d := &drawer{speller: speller{fonts: fonts}, out: out, links: map[string]int{}, placed: map[string]bool{}, images: map[[32]byte]string{}}
	d.picture = d.nameOf
	opening := d.spelled(func(*fpdf.Tpl) {})
	const width = " w\n" // the last of the lines, and colours are behind it
	at := bytes.Index(opening, []byte(width)) + len(width)
	d.lines, d.colours = opening[:at], opening[at:]
	return d
}

// isLanguageTag reports whether s has the form of a tag of BCP 47: letters and
// digits in parts joined by hyphens. The empty tag is allowed and left out.
func isLanguageTag(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9'
		if !letter && (r != '-' || i == 0 || i == len(s)-1) {
			return false
		}
	}
	return true
}
