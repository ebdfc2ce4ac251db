// Package samples holds the sample jobs. Its tests make the workbooks from
// their sources, and fail when a committed one no longer equals what its
// source gives.
package samples

import _ "embed"

// Lock is the workbook of the sea lock, one sheet a table of the record.
//
//go:embed quillmere-lock.xlsx
var Lock []byte
