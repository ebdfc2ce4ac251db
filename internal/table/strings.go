package table

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"saltline/internal/diag"
)

// A tableText is one text of the table of texts that the cells of a workbook
// refer to, as a cell in no place.
type tableText struct {
	ref    uint32
	struck strike
}

// A cellText is the text of a cell. A rich text has its own fonts and so its own
// strikes.
type cellText struct {
	text   string
	shown  string // cleaned
	struck strike
}

// longestText is the longest text of a cell, in characters, that any program
// writes; the format allows no more.
const longestText = 32_767

// cell is the text in no place.
func (t cellText) cell() Cell {
	c := Cell{Text: t.shown, Raw: t.text}
	if c.Text != "" {
		c.Kind = Text
	}
	return c
}

// A strike says how much of a text is struck through by the text itself.
type strike uint8

const (
	noStrike strike = iota
	someStruck
	allStruck
)

// readStrings reads the part that holds the shared strings.
func (b *workbook) readStrings(path string) error {
	return b.walk(func(by walkers) error { return b.stringsOf(path, by) })
}

// stringsOf reads the shared strings by a walker.
func (b *workbook) stringsOf(path string, by walkers) error {
	part, err := b.archive.open(path)
	if err == nil && part == nil {
		err = errors.New("its table of texts is missing")
	}
	if err != nil {
		return b.refuseWorkbook(diag.Pos{}, err)
	}
	defer part.Close()
	w := by(part)
	var rich richText
	for {
		start, end, err := w.next()
		switch {
		case err == io.EOF:
			return nil
		case err == errNotPlain:
			return err
		case err != nil:
			return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, err))
		case start != nil && start.name == "si":
			rich = richText{}
			if b.letters > b.limits.Letters {
				return b.refuse(diag.Pos{}, "sheet-too-large", fmt.Sprintf("texts of more than %d bytes", b.limits.Letters),
					"a field log", "give the sheets of the job alone")
			}
		case start != nil:
			rich.start(w, start.name, start.attribute("val"))
		case len(b.strings) > b.limits.Cells:
			return b.refuse(diag.Pos{}, "sheet-too-large", fmt.Sprintf("more than %d texts", b.limits.Cells),
				"a field log", "give the sheets of the job alone")
		case end == "si":
			s, err := rich.done()
			if err != nil {
				return b.refuseWorkbook(diag.Pos{}, err)
			}
			b.letters += len(s.text) + len(s.shown)
			b.strings = append(b.strings, tableText{b.bank.put(s.cell()), s.struck})
		default:
			rich.end(w, end)
		}
	}
}

// A richText gathers the runs of one text, in a shared string or inside a
// cell: <t> alone, or <r><rPr/><t/></r> several times. Phonetic readings
// (<rPh>) are not part of it.
type richText struct {
	text          strings.Builder
	runStruck     bool
	plain, struck int // bytes
	long          bool
}

func (r *richText) start(w walker, name, val string) {
	switch {
	case name == "r":
		r.runStruck = false
	case name == "strike" && w.parent(2) == "rPr":
		r.runStruck = val == "" || isTrue(val)
	}
}

func (r *richText) end(w walker, name string) {
	if name != "t" || w.parent(1) == "rPh" {
		return
	}
	run := unescape(string(w.content()))
	if r.long = r.long || r.text.Len()+len(run) > 4*longestText; r.long {
		return
	}
	r.text.WriteString(run)
	if n := len(strings.TrimSpace(run)); r.runStruck {
		r.struck += n
	} else {
		r.plain += n
	}
}

// done is the text, unless it is longer than a cell may hold.
func (r *richText) done() (cellText, error) {
	s := cellText{text: r.text.String()}
	if r.long || tooLong(s.text) {
		return s, errLong
	}
	s.shown = clean(s.text)
	switch {
	case r.struck > 0 && r.plain > 0:
		s.struck = someStruck
	case r.struck > 0:
		s.struck = allStruck
	}
	return s, nil
}

var errLong = fmt.Errorf("a text of more than %d characters", longestText)

// tooLong reports whether a text is longer than a cell may hold. A program may
// count the units of UTF-16, which are up to twice as many.
func tooLong(s string) bool { return len(s) > longestText && utf8.RuneCountInString(s) > longestText }
