package table

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"saltline/internal/diag"
)

// Read finds the cells of one file. It goes by the content of data, never by
// the name, which only says where things are. A file that cannot be read is a
// *Refusal; nothing in data makes Read panic.
func Read(name string, data []byte, opts Options) (file *File, err error) {
	r := newReader(name, data, opts)
	sum := make(chan [sha256.Size]byte, 1)
	go func() { sum <- sha256.Sum256(data) }() // beside the reading, which takes longer
	defer func() {
		if p := recover(); p != nil { // from the workbook library, on a damaged file
			file, err = nil, r.refuse(diag.Pos{}, "damaged-file",
				fmt.Sprintf("a damaged file (%v)", p), wantedFile,
				"open it in the program that made it, save it again and read that")
		}
	}()
	if err := r.read(data); err != nil {
		return nil, err
	}
	r.countNotes()
	digest := <-sum
	r.file.SHA256 = hex.EncodeToString(digest[:])
	return r.file, nil
}

// A reader holds what one call of Read shares between its steps.
type reader struct {
	file    *File
	opts    Options
	limits  Limits
	cells   int            // counted against limits.Cells
	letters int            // of the texts and formulas of a workbook, in bytes, counted against limits.Letters
	noted   map[string]int // how often, by check
	careful bool           // nothing is taken the fast way, which a test holds against this
}

func newReader(name string, data []byte, opts Options) *reader {
	return &reader{
		file:   &File{Name: name},
		opts:   opts,
		limits: opts.Limits.or(DefaultLimits()),
		noted:  map[string]int{},
	}
}

// read reads data into r.file.
func (r *reader) read(data []byte) error {
	kind := sniff(data)
	switch {
	case kind == isText:
		r.limits = r.opts.Limits.or(TextLimits())
	case r.opts.Large:
		r.limits = r.opts.Limits.or(LargeLimits())
	}
	if n := int64(len(data)); n > r.limits.Bytes && (kind == isText || kind == isWorkbook) {
		return r.tooLarge(n, r.limits.Bytes, kind)
	}
	switch kind {
	case isWorkbook:
		return r.readWorkbook(data)
	case isText:
		return r.readCSV(data)
	}
	return r.refuseKind(kind)
}

// tooLarge is the refusal of a file for its bytes.
func (r *reader) tooLarge(n, most int64, kind content) *Refusal {
	hint := "split the record by day or by area"
	if kind == isWorkbook {
		hint = "give the sheets of the job alone, without pictures"
	}
	return r.refuse(diag.Pos{}, "file-too-large", fmt.Sprintf("%d bytes", n), fmt.Sprintf("at most %d", most), hint)
}

// refuse makes a Refusal at pos, whose File it fills in.
func (r *reader) refuse(pos diag.Pos, check, found, wanted, hint string) *Refusal {
	pos = diag.In(r.file.Name, pos.Sheet()).At(pos.Row(), pos.Col())
	return &Refusal{Pos: pos, Check: check, Found: found, Wanted: wanted, Hint: hint}
}

// maxNotes is how often a check is noted; what comes after is only counted.
const maxNotes = 50

// quiet are the notes of which nothing needs to come.
var quiet = map[string]bool{
	"encoding-assumed": true, "formulas-not-recomputed": true, "sheet-without-cells": true, "partly-struck": true,
}

func levelOf(check string) diag.Level {
	if quiet[check] {
		return diag.Note
	}
	return diag.Problem
}

// note adds a finding on how the file was read.
func (r *reader) note(pos diag.Pos, check, msg, hint string) {
	if r.noted[check]++; r.noted[check] > maxNotes {
		return
	}
	pos = diag.In(r.file.Name, pos.Sheet()).At(pos.Row(), pos.Col())
	r.file.Notes = append(r.file.Notes, diag.Diagnostic{
		Pos: pos, Level: levelOf(check), Check: check, Msg: msg, Hint: hint,
	})
}

// countNotes adds how many more there were of the checks that were not all
// noted.
func (r *reader) countNotes() {
	for _, check := range slices.Sorted(maps.Keys(r.noted)) {
		if more := r.noted[check] - maxNotes; more > 0 {
			r.file.Notes = append(r.file.Notes, diag.Diagnostic{
				Pos: diag.In(r.file.Name, ""), Level: levelOf(check), Check: check,
				Msg: fmt.Sprintf("found %d more of the same", more),
			})
		}
	}
}

// room refuses a place beyond the limits.
func (r *reader) room(sheet string, row, col int) error {
	if row <= r.limits.Rows && col <= r.limits.Cols && r.cells <= r.limits.Cells {
		return nil
	}
	pos := diag.In("", sheet).At(row, col)
	const hint = "delete what stands far below or beside the table, then save and read again"
	switch {
	case row > r.limits.Rows:
		return r.refuse(pos, "sheet-too-large", fmt.Sprintf("row %d", row),
			fmt.Sprintf("at most %d rows", r.limits.Rows), hint)
	case col > r.limits.Cols:
		return r.refuse(pos, "sheet-too-large", fmt.Sprintf("something in column %d", col),
			fmt.Sprintf("at most %d columns", r.limits.Cols), hint)
	}
	return r.refuse(pos, "sheet-too-large", fmt.Sprintf("more than %d cells", r.limits.Cells), "a field log", hint)
}

// brief is a text as far as a message quotes it.
func brief(s string) string {
	const longest = 60 // characters
	n := 0
	for i := range s {
		if n++; n > longest {
			return s[:i] + "…"
		}
	}
	return s
}

// stem is a file name without its folder and its extension. Both kinds of
// slash count, as the name may come from another system.
func stem(name string) string {
	base := path.Base(strings.ReplaceAll(name, `\`, "/"))
	return strings.TrimSuffix(base, path.Ext(base))
}
