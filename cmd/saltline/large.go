package main

import (
	"bytes"
	"fmt"

	"saltline/internal/table"
)

// What is read and made within 512 MiB of memory (measured: audits of 250,000
// rows of text in 12 MB, reports and audits of 25,000 tests in a document,
// dossiers of 10,000). A record of more comes from somebody who knows that it
// does, or from a stranger: it is taken with --large.
const (
	mostRecordRows   = 250_000
	mostRecordText   = 16 << 20 // bytes of CSV files
	mostTests        = 25_000
	mostDossierTests = 10_000
)

const largeUsage = "take a record so large that it needs more than 512 MiB of memory: some 2 KiB a row, and 20 to 50 KiB for each test in a document"

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
	if r.large || size <= mostRecordText {
		return nil
	}
	return trouble(fmt.Sprintf("found %d MiB of text, but wanted at most %d: more needs more than 512 MiB of memory", (size+1<<20-1)>>20, mostRecordText>>20),
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
	if r.large || rows <= mostRecordRows {
		return nil
	}
	return trouble(fmt.Sprintf("found %d rows, but wanted at most %d: more need more than 512 MiB of memory", rows, mostRecordRows),
		"give the record in parts, by day or by area, or all of it with --large")
}

// bearTests refuses more tests than go into a document without --large.
func (r *jobReader) bearTests(tests, most int) error {
	if r.large || tests <= most {
		return nil
	}
	return trouble(fmt.Sprintf("found %d tests, but wanted at most %d for a document: more need more than 512 MiB of memory", tests, most),
		"make it from a part of the record, by day or by area, or from all of it with --large")
}
