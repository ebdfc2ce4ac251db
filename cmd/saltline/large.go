package main

import (
	"bytes"
	"fmt"

	"saltline/internal/table"
)

// A measure is how much of a record a command takes.
type measure struct {
	rows, text int          // text in bytes of CSV files
	limits     table.Limits // of one file
	times      int64        // of the size of a long record: the memory that all takes in the end
}

// What is read and made within 512 MiB of memory, as logs are (measured: an audit
// of a million rows of eight columns, as text or as a workbook, and one of 250,000
// rows of 23 columns; reports, audits and dossiers of 25,000 tests). A record of
// more comes from somebody who knows that it does, or from a stranger: it is
// taken with --large.
//
// A document needs some tests and not an archive. What is no log at all, with a
// thing of its own in every cell, is refused for its length before that costs.
var (
	forDocument = measure{rows: 250_000, text: 16 << 20, times: 170}
	forTerminal = measure{rows: 1 << 20, text: 64 << 20, limits: table.LongLimits(), times: 10}
)

const mostTests = 25_000 // in a document

const largeUsage = "take a record so large that it needs more than 512 MiB of memory: some 500 bytes to 2 KiB a row, and 10 to 20 KiB for each test in a document"

// measure is how much is taken without --large.
func (r *jobReader) measure() *measure {
	if r.archive {
		return &forTerminal
	}
	return &forDocument
}

// zipped reports whether a file begins as a workbook does.
func zipped(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// bearText refuses more text than is read without --large.
func (r *jobReader) bearText(inputs []input) error {
	size := 0
	for _, in := range inputs {
		if !zipped(in.data) { // what a workbook unfolds to is bounded where it does
			size += len(in.data)
		}
	}
	most := r.measure().text
	if r.large || size <= most {
		return nil
	}
	return trouble(fmt.Sprintf("found %d MiB of text, but wanted at most %d: more needs more than 512 MiB of memory", (size+1<<20-1)>>20, most>>20),
		"give the record in parts, by day or by area, or all of it with --large")
}

// bearRows refuses more rows than are read without --large.
func (r *jobReader) bearRows(files []*table.File) error {
	rows := 0
	for _, f := range files {
		for i := range f.Sheets {
			rows += len(f.Sheets[i].Rows)
		}
	}
	most := r.measure().rows
	if r.large || rows <= most {
		return nil
	}
	return trouble(fmt.Sprintf("found %d rows, but wanted at most %d: more need more than 512 MiB of memory", rows, most),
		"give the record in parts, by day or by area, or all of it with --large")
}

// bearTests refuses more tests than go into a document without --large.
func (r *jobReader) bearTests(tests int) error {
	if r.large || tests <= mostTests {
		return nil
	}
	return trouble(fmt.Sprintf("found %d tests, but wanted at most %d for a document: more need more than 512 MiB of memory", tests, mostTests),
		"make it from a part of the record, by day or by area, or from all of it with --large")
}
