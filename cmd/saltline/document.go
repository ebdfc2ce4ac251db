package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/keep"
	"saltline/internal/layout"
	"saltline/internal/pdf"
	"saltline/internal/record"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// documents holds the options that every command has that writes documents.
type documents struct {
	produced, paper, language, templates string
	json, quiet, overwrite               bool
	flags                                *pflag.FlagSet
	records                              []string // that the documents are made from
}

func (d *documents) add(flags *pflag.FlagSet, json string) {
	d.flags = flags
	flags.StringVar(&d.produced, "produced", "", "date to print as that of production (today)")
	flags.StringVar(&d.paper, "paper", "a4", "a4 or letter")
	flags.StringVar(&d.language, "language", "", languageUsage("that of the record, else en"))
	flags.StringVar(&d.templates, "templates", "", "a folder whose texts take the place of the built-in ones")
	flags.BoolVar(&d.json, "json", false, json)
	flags.BoolVar(&d.quiet, "quiet", false, "print no summary")
	flags.BoolVar(&d.overwrite, "overwrite", false, "replace files that exist")
}

// A making is what a document needs besides the record.
type making struct {
	style  layout.Style
	tongue tongue
	words  *wording.Words // nil until the language is settled
	date   unit.Date      // of production

	forPrograms *wording.Words // nil until they are wanted
}

// ready works out what the options say of the making of documents. Their
// words are loaded by speak, which may want to know the record.
func (d *documents) ready() (making, error) {
	style, err := paperStyle(d.paper)
	if err != nil {
		return making{}, err
	}
	produced, err := d.producedOn()
	if err != nil {
		return making{}, err
	}
	tongue, err := tongueOf(d.language, d.templates)
	return making{style: style, tongue: tongue, date: produced}, err
}

// speak settles the language, which the record decides where the command line
// does not, and loads its words.
func (m *making) speak(recorded record.Words, s stream) (err error) {
	m.words, err = m.tongue.words(recorded, s)
	return err
}

// english are the words of what programs read, which is English in every
// language of the documents.
func (m *making) english() (*wording.Words, error) {
	if m.words != nil && m.words.Lang() == "en" {
		return m.words, nil
	}
	var err error
	if m.forPrograms == nil {
		m.forPrograms, err = m.tongue.english()
	}
	return m.forPrograms, err
}

func paperStyle(paper string) (layout.Style, error) {
	switch strings.ToLower(paper) {
	case "a4":
		return layout.A4(), nil
	case "letter":
		return layout.Letter(), nil
	}
	return layout.Style{}, usageError(fmt.Sprintf("--paper: found %q, but wanted a4 or letter", paper), "write --paper a4 or --paper letter")
}

// producedOn is the date of production: as given, else today.
func (d *documents) producedOn() (unit.Date, error) {
	if d.produced == "" {
		now := time.Now()
		return unit.Date{Year: now.Year(), Month: int(now.Month()), Day: now.Day()}, nil
	}
	return dateFlag("produced", d.produced)
}

// refuseExisting finds all files that stand in the way before the first is
// written: sealed ones always, others without --overwrite.
func (d *documents) refuseExisting(targets []string) error {
	var sealed, existing []string
	for _, t := range targets {
		err := keep.Check(t, keep.Options{Overwrite: d.overwrite})
		switch {
		case isWhy(err, keep.IsSealed):
			sealed = append(sealed, t)
		case !d.overwrite && standing(t):
			existing = append(existing, t)
		}
	}
	switch {
	case len(sealed) > 0 && len(existing) > 0:
		return trouble(fmt.Sprintf("%s: sealed; %s: exists", strings.Join(sealed, ", "), strings.Join(existing, ", ")), "give another place with -o; a sealed file is never replaced")
	case len(sealed) == 1:
		return unwritten(&keep.Error{Path: sealed[0], Why: keep.IsSealed})
	case len(sealed) > 0:
		return trouble(strings.Join(sealed, ", ")+": sealed", "give another place with -o; a sealed file is never replaced")
	case len(existing) > 0:
		return trouble(strings.Join(existing, ", ")+": exists", "give another place with -o, or --overwrite")
	}
	return nil
}

// standing reports whether a file of that name stands.
func standing(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// layOut makes the pages of a document.
func (m making) layOut(d *doc.Document, faces *frame.Fonts, s stream) (frame.Print, pdf.Meta, error) {
	odd := unshown{faces: faces}
	odd.read(d)
	odd.print(s)
	pages, err := layout.Pages(d, m.style, faces)
	return pages, m.meta(d, d.Scope), err
}

// meta is what the file of a document says of it; of tells it from the others
// of its kind.
func (m making) meta(d *doc.Document, of string) pdf.Meta {
	var title []string
	for _, part := range []string{d.Title, d.Number, d.Revision, of} {
		if part != "" && !slices.Contains(title, part) {
			title = append(title, part)
		}
	}
	return pdf.Meta{
		Title: strings.Join(title, ", "), Subject: d.Job, Lang: d.Lang, Producer: tool,
		Created: time.Date(m.date.Year, time.Month(m.date.Month), m.date.Day, 0, 0, 0, 0, time.UTC),
	}
}

// announce says what a document came to that was written, where standard output
// is not wanted for other things.
func (d *documents) announce(target, count, summary string, s stream) error {
	if d.json || d.quiet || target == "-" {
		return nil
	}
	_, err := fmt.Fprintf(s.out, "%s%s\n%s\n", plain(target), count, plain(strings.ReplaceAll(summary, softHyphen, "")))
	return err
}

// countOf is the number of pages, as it stands behind the name of a file.
func countOf(p frame.Print) string { return fmt.Sprintf(" (%d pages)", len(p.Pages)) }

// writePages writes pages as a PDF to a file, or to standard output for "-".
func (d *documents) writePages(pages frame.Print, meta pdf.Meta, faces *frame.Fonts, target string, s stream) error {
	var b bytes.Buffer
	meta.Once = true
	if err := pdf.Write(&b, pages, faces, meta); err != nil {
		return err
	}
	if target == "-" {
		return writeStdout(s.out, b.Bytes())
	}
	return d.write(target, b.Bytes())
}

// write writes a file, but never over the record that it is made from.
func (d *documents) write(target string, data []byte) error {
	for _, record := range d.records {
		if isRecord(target, record) {
			return trouble(fmt.Sprintf("%s is the record itself", target), "give another name with -o; a record is never replaced by what is made from it")
		}
	}
	return writeFile(target, data, d.overwrite)
}

// isRecord reports whether a file is a record, or one of the tables in the
// folder of one.
func isRecord(path, record string) bool {
	file, err := os.Stat(path)
	if err != nil {
		return false
	}
	of, err := os.Stat(record)
	if err != nil {
		return false
	}
	if !of.IsDir() {
		return os.SameFile(file, of)
	}
	folder, err := os.Stat(filepath.Dir(path))
	return err == nil && os.SameFile(folder, of) && strings.EqualFold(filepath.Ext(path), ".csv")
}

// kindOf is what -o names: a document by its kind, or a folder. A name that
// ends like that of another kind of file is neither, unless it is a folder.
func kindOf(o string) string {
	switch ext := strings.ToLower(filepath.Ext(o)); {
	case o == "-", ext == ".pdf":
		return ".pdf"
	case ext == ".xlsx":
		return ext
	case ext == "" || isFolder(o) || strings.HasSuffix(o, string(filepath.Separator)) || strings.Trim(o, "./") == "":
		return "folder"
	}
	return ""
}

// isFolder reports whether there is a folder at path.
func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// makeFolder makes the folder that documents are written to.
func makeFolder(path string) error { return unmade(keep.Folder(path)) }
