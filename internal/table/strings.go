package table

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"saltline/internal/diag"
)

// A sharedString is one text of the table of texts that the cells of a
// workbook refer to. A rich text has its own fonts and so its own strikes.
type sharedString struct {
	text   string
	struck strike
}

// A strike says how much of a text is struck through by the text itself.
type strike int

const (
	noStrike strike = iota
	someStruck
	allStruck
)

// readStrings reads the part that holds the shared strings.
func (b *workbook) readStrings(path string) error {
	data, ok := b.part(path)
	if !ok {
		return b.refuseWorkbook(diag.Pos{}, errors.New("its table of texts is missing"))
	}
	w := newXMLWalker(data)
	var rich richText
	for {
		start, end, err := w.next()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, err))
		case start != nil && start.Name.Local == "si":
			rich = richText{}
		case start != nil:
			rich.start(w, start.Name.Local, attribute(start, "val"))
		case len(b.strings) > b.limits.Cells:
			return b.refuse(diag.Pos{}, "sheet-too-large", fmt.Sprintf("more than %d texts", b.limits.Cells),
				"a field log", "give the sheets of the job alone")
		case end == "si":
			b.strings = append(b.strings, rich.done())
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
}

func (r *richText) start(w *xmlWalker, name, val string) {
	switch {
	case name == "r":
		r.runStruck = false
	case name == "strike" && w.parent(2) == "rPr":
		r.runStruck = val == "" || isTrue(val)
	}
}

func (r *richText) end(w *xmlWalker, name string) {
	if name != "t" || w.parent(1) == "rPh" {
		return
	}
	run := unescape(w.text.String())
	r.text.WriteString(run)
	if n := len(strings.TrimSpace(run)); r.runStruck {
		r.struck += n
	} else {
		r.plain += n
	}
}

func (r *richText) done() sharedString {
	s := sharedString{text: r.text.String()}
	switch {
	case r.struck > 0 && r.plain > 0:
		s.struck = someStruck
	case r.struck > 0:
		s.struck = allStruck
	}
	return s
}
