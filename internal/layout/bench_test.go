package layout_test

import (
	"fmt"
	"io"
	"os"
	"testing"
	"time"

	"saltline/internal/doc"
	"saltline/internal/layout"
	"saltline/internal/pdf"
)

// longTable fills about a thousand pages.
func longTable() *doc.Document { return table(41_000) }

// table is a register of so many tests.
func table(tests int) *doc.Document {
	return &doc.Document{
		Title: "Register of tests", Words: doc.English(),
		Blocks: []doc.Block{doc.TabulateBy(func(s spot) string { return s.area }, spotCols, spots(tests), weigh)},
	}
}

func BenchmarkPagesOfTables(b *testing.B) {
	fonts := loadFonts(b)
	d := longTable()
	pages := 0
	for b.Loop() {
		out, err := layout.Pages(d, layout.A4(), fonts)
		if err != nil {
			b.Fatal(err)
		}
		pages = len(out.Pages)
	}
	b.ReportMetric(float64(pages), "pages")
}

func BenchmarkPages(b *testing.B) {
	fonts := loadFonts(b)
	for _, n := range []int{60, 1000, 20_000, 200_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			if n > 20_000 && os.Getenv("SALTLINE_LARGE") == "" {
				b.Skip("takes a gigabyte: SALTLINE_LARGE=1 asks for it")
			}
			d := table(n)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := layout.Pages(d, layout.A4(), fonts); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkDailyReport(b *testing.B) {
	fonts := loadFonts(b)
	d := demo(22)
	for b.Loop() {
		if _, err := layout.Pages(d, layout.A4(), fonts); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteDailyReport(b *testing.B) {
	fonts := loadFonts(b)
	pages, err := layout.Pages(demo(22), layout.A4(), fonts)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := pdf.Write(io.Discard, pages, fonts, pdf.Meta{Created: time.Unix(0, 0)}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteThousandPages(b *testing.B) {
	fonts := loadFonts(b)
	pages, err := layout.Pages(longTable(), layout.A4(), fonts)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := pdf.Write(io.Discard, pages, fonts, pdf.Meta{Created: time.Unix(0, 0)}); err != nil {
			b.Fatal(err)
		}
	}
}
