package check_test

import (
	"path/filepath"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
)

// BenchmarkAll puts all checks to the lock's job grown to some 20 000 tests,
// as an audit of a long job would be.
func BenchmarkAll(b *testing.B) {
	job := bind(b, filepath.Join(samples, "quillmere-lock/*.csv"))
	once := job.Tests
	for day := 1; len(job.Tests) < 20_000; day++ {
		for _, t := range once {
			t.Date.Val = t.Date.Val.Add(3 * day)
			t.Row.Row += len(job.Tests)
			job.Tests = append(job.Tests, t)
		}
	}
	b.Run("assess alone", func(b *testing.B) { run(b, job, nil) })
	b.Run("with checks", func(b *testing.B) { run(b, job, check.All()) })
}

func run(b *testing.B, job *record.Job, checks []*assess.Check) {
	for b.Loop() {
		assess.Run(job, checks)
	}
}
