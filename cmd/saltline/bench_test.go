package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/table"
	"saltline/testdata/bench"
)

// BenchmarkReport makes all reports of a job, from the bytes of its workbook
// to files.
func BenchmarkReport(b *testing.B) {
	for _, size := range []struct{ readings, days int }{{60, 1}, {1000, 20}, {20000, 334}} {
		b.Run(fmt.Sprintf("readings=%d", size.readings), func(b *testing.B) {
			data, err := table.Write(bench.Job(size.readings, size.days, 1))
			if err != nil {
				b.Fatal(err)
			}
			dir := b.TempDir()
			path := filepath.Join(dir, "job.xlsx")
			if err := os.WriteFile(path, data, 0o644); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				args := []string{"report", path, "-o", filepath.Join(dir, "out"), "--overwrite", "--quiet"}
				if status := run(args, strings.NewReader(""), io.Discard, io.Discard); status != 0 {
					b.Fatalf("status %d", status)
				}
			}
		})
	}
}
