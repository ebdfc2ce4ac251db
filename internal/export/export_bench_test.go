package export_test

import (
	"fmt"
	"io"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/export"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/bench"
	"saltline/testdata/jobs"
)

// BenchmarkJSON writes the results of jobs that are read and judged.
func BenchmarkJSON(b *testing.B) {
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		b.Fatal(err)
	}
	for _, n := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := assess.Run(jobs.Book(b, bench.Job(n, n/333+1, 1)), check.All())
			b.ReportAllocs()
			for b.Loop() {
				if err := export.JSON(io.Discard, export.Input{Result: r, Words: words, Line: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
