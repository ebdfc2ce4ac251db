// Package workbook describes the spreadsheets that are handed out: the empty
// job workbook to fill in on site, and the received record with what was
// recomputed beside it, in live formulas.
package workbook
