// Package pdf spells frames as PDF. It measures nothing, breaks nothing and
// chooses nothing, and it alone imports a PDF library.
package pdf

import (
	"fmt"
	"io"
	"time"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
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
}

// Write writes pages to w. The same pages, fonts and meta give the same bytes.
// On an error nothing useful has been written.
func Write(w io.Writer, pages []*frame.Frame, fonts *frame.Fonts, meta Meta) (err error) {
	// The library panics on some input that it cannot embed, and so does a
	// drawer, which is saved a check after every item.
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("pdf: %v", r)
		}
	}()
	if len(pages) == 0 {
		return fmt.Errorf("pdf: a document without pages")
	}
	if !isLanguageTag(meta.Lang) {
		return fmt.Errorf("pdf: %q is not a language tag", meta.Lang)
	}
	d := newDrawer(pages[0], fonts, meta)
	for _, page := range pages {
		d.page(page)
	}
	if err := d.loose(); err != nil {
		return err
	}
	if err := d.out.Output(w); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

func newDrawer(first *frame.Frame, fonts *frame.Fonts, meta Meta) *drawer {
	size := fpdf.SizeType{Wd: first.W, Ht: first.H}
	out := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: size})
	out.SetAutoPageBreak(false, 0)
	out.SetCompression(true)
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
	return &drawer{out: out, fonts: fonts, links: map[string]int{}, placed: map[string]bool{}, images: map[[32]byte]string{}}
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
