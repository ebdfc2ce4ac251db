package assess

import (
	"sync/atomic"
	"testing"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// A fault in a check comes out where Run was called, so that a caller who has
// other records to judge can go on.
func TestFaultOfACheckCanBeCaught(t *testing.T) {
	defer func() {
		if p := recover(); p != "at fault" {
			t.Errorf("caught %v", p)
		}
	}()
	fine := &Check{Name: "fine", Run: func(*Review) {}}
	Run(&record.Job{}, []*Check{fine, {Name: "faulty", Run: func(*Review) { panic("at fault") }}, fine})
	t.Error("nothing was caught")
}

// What checks share is worked out once for all of them, and anew for each
// record.
func TestSharedOnce(t *testing.T) {
	var worked atomic.Int64
	tests := Shared(func(v *Review) int {
		worked.Add(1)
		return len(v.Lines)
	})
	asked := make([]*Check, 20)
	for i := range asked {
		asked[i] = &Check{Name: "asked", Run: func(v *Review) { v.Report(Finding{Args: map[string]any{"Tests": tests(v)}}) }}
	}
	for rows := 1; rows <= 2; rows++ {
		job := &record.Job{}
		for range rows {
			job.Tests = append(job.Tests, record.NewTest())
		}
		r := Run(job, asked)
		for _, f := range r.Findings {
			if f.Args["Tests"] != rows {
				t.Errorf("%d rows: shared %v", rows, f.Args)
			}
		}
		if n := worked.Load(); n != int64(rows) || len(r.Findings) != len(asked) {
			t.Errorf("worked out %d times for %d records, %d findings", n, rows, len(r.Findings))
		}
	}
}

// Assumptions are numbered by the first test that rests on them, however the
// lines are shared out: here the second thousand assumes what the first does
// not.
func TestAssumptionsInTheOrderOfTheTests(t *testing.T) {
	job := &record.Job{}
	for i := range 2000 {
		test := record.NewTest()
		if i < 1000 {
			test.Own().PatchArea = record.Given[unit.PatchArea]{Val: 1250, Dec: unit.Int(1250), State: record.Known}
		}
		job.Tests = append(job.Tests, test)
	}
	r := Run(job, nil)
	for _, i := range []int{0, 999, 1000, 1999} {
		key := ""
		if n := r.Lines[i].PatchArea().Assumed; n > 0 {
			key = r.Assumptions[n-1].Key
		}
		if want := map[bool]string{true: "patch area"}[i >= 1000]; key != want {
			t.Errorf("test %d rests on %q, want %q", i, key, want)
		}
	}
	if got := r.Assumptions[len(r.Assumptions)-1].Key; got != "patch area" {
		t.Errorf("the last assumption is %q", got)
	}
}
