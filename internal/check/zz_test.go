package check_test

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
)

func TestZZ(t *testing.T) {
	job := bind(t, filepath.Join(samples, "quillmere-lock/*.csv"))
	once := job.Tests
	for day := 1; len(job.Tests) < 20_000; day++ {
		for _, x := range once {
			x.Date.Val = x.Date.Val.Add(3 * day)
			x.Row.Row += len(job.Tests)
			if testing.Verbose() {
				x.Number.Val = fmt.Sprint(len(job.Tests))
				x.Number.Text = x.Number.Val
				x.Remark = record.Words{Val: "patch reseated, second attempt held well; slight wind, no leak, steel dry", Text: "x", State: record.Known}
			}
			job.Tests = append(job.Tests, x)
		}
	}
	for _, c := range check.All() {
		t0 := time.Now()
		r := assess.Run(job, nil)
		base := time.Since(t0)
		t0 = time.Now()
		r = assess.Run(job, []*assess.Check{c})
		d := time.Since(t0)
		if d-base > 20*time.Millisecond {
			fmt.Println(c.Name, d-base, len(r.Findings))
		}
	}
	t0 := time.Now()
	r := assess.Run(job, check.All())
	fmt.Println("all", time.Since(t0), len(r.Findings))
}
