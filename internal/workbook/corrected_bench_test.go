package workbook_test

import (
	"fmt"
	"testing"

	"saltline/internal/table"
	"saltline/internal/workbook"
)

// manyTests is a received workbook of so many rows, of which every tenth has a
// written value that does not follow.
func manyTests(b *testing.B, rows int) []byte {
	b.Helper()
	page := table.Page{Name: "log", Lines: []table.Line{
		table.Texts("test", "area", "location", "date", "blank (µS/cm)", "extract (µS/cm)", "volume (ml)", "patch area (mm²)", "recorded (mg/m²)", "verdict"),
	}}
	for i := range rows {
		blank, extract := float64(10+i%7)/10, float64(60+i%311)/10
		written, verdict := 1.2*(extract-blank), "pass"
		if i%10 == 9 {
			written /= 2
		}
		if written > 50 {
			verdict = "fail"
		}
		page.Lines = append(page.Lines, table.Line{Cells: []table.Entry{
			table.Num(float64(i+1), "0"), table.Words(fmt.Sprintf("Bay %d", i/100+1)), table.Words(fmt.Sprintf("frame %d", i)),
			table.Day(2026, 3, 1+i/1000), table.Num(blank, "0.0"), table.Num(extract, "0.0"), table.Num(3, "0"), table.Num(1250, "0"),
			table.Num(written, "0.0"), table.Words(verdict),
		}})
	}
	original, err := table.Write(table.Book{Pages: []table.Page{page}})
	if err != nil {
		b.Fatal(err)
	}
	return original
}

// BenchmarkCorrected describes and writes the corrected workbook of a record
// that is read and judged.
func BenchmarkCorrected(b *testing.B) {
	for _, rows := range []int{60, 2000, 20000} {
		b.Run(fmt.Sprintf("%d tests", rows), func(b *testing.B) {
			original := manyTests(b, rows)
			c, ok := corrected(b, []*table.File{readBytes(b, "log.xlsx", original)}, original, limit...)
			if !ok || len(c.Report.Lines) != rows {
				b.Fatal("the log was not read")
			}
			b.ReportAllocs()
			b.ResetTimer()
			for range b.N {
				made(b, c)
			}
		})
	}
}

// BenchmarkReadBlank reads the blank workbook back, which costs what its formulas
// cost.
func BenchmarkReadBlank(b *testing.B) {
	book, err := workbook.Blank(words(b))
	if err != nil {
		b.Fatal(err)
	}
	data, err := table.Write(book)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "blank.xlsx", data)
	}
}
