// Bare is what reading a workbook and writing its cells costs without a
// thought in between: the same two libraries as saltline, one embedded font,
// every cell that is not empty written once.
//
//	go run ./testdata/bench/bare IN.xlsx OUT.pdf
package main

import (
	"fmt"
	"os"

	"github.com/go-pdf/fpdf"
	"github.com/xuri/excelize/v2"

	"saltline/fonts"
)

func main() {
	if err := run(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(in, out string) error {
	book, err := excelize.OpenFile(in)
	if err != nil {
		return err
	}
	defer book.Close()
	font, err := fonts.Files.ReadFile("IBMPlexSansCondensed-Regular.ttf")
	if err != nil {
		return err
	}
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.AddUTF8FontFromBytes("plex", "", font)
	pdf.SetFont("plex", "", 8)
	pdf.AddPage()
	cells := 0
	for _, sheet := range book.GetSheetList() {
		rows, err := book.GetRows(sheet)
		if err != nil {
			return err
		}
		for _, row := range rows {
			for _, cell := range row {
				if cell != "" {
					pdf.CellFormat(12, 4, cell, "", 0, "L", false, 0, "")
					cells++
				}
			}
			pdf.Ln(4)
		}
	}
	fmt.Println(cells, "cells")
	return pdf.OutputFileAndClose(out)
}
