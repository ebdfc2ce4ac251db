package report_test

import (
	"fmt"
	"testing"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/dossier"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/report"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/bench"
	"saltline/testdata/jobs"
)

// benchSizes are the readings of the jobs that composing is measured with.
var benchSizes = []int{60, 1_000, 20_000, 200_000}

// BenchmarkCompose composes, of jobs that are read and judged, the daily report
// of all readings on one day and the dossier of a job of 333 readings a day and
// 1,667 an area. Every document is let go before the next.
func BenchmarkCompose(b *testing.B) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		b.Fatal(err)
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		b.Fatal(err)
	}
	of := func(r *assess.Result) report.Record {
		return report.Record{Result: r, Words: words, Fonts: faces, Width: layout.A4().TextWidth(), Tool: "saltline"}
	}
	for _, n := range benchSizes {
		b.Run(fmt.Sprintf("day/%d", n), func(b *testing.B) {
			r := assess.Run(jobs.Book(b, bench.Job(n, 1, 1)), check.All())
			day := report.Daily{Record: of(r), Date: report.Days(r)[0]}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := day.Compose(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/reading")
		})
	}
	for _, n := range benchSizes {
		b.Run(fmt.Sprintf("dossier/%d", n), func(b *testing.B) {
			book := bench.Closing{Readings: n, Days: n/333 + 1, Areas: n/1_667 + 1, Seed: 1}.Book()
			r := assess.Run(jobs.Book(b, book), check.All())
			b.ReportAllocs()
			for b.Loop() {
				whole, record := dossier.Of(r, ""), of(r)
				record.Reports = whole.Reports
				bound, err := report.Dossier{Record: record, Dossier: whole}.Compose()
				if err != nil {
					b.Fatal(err)
				}
				for _, p := range bound.Volume.Parts {
					if made, err := p.Make(); err != nil || len(made.Blocks) == 0 {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/reading")
		})
	}
}
