package check_test

import (
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// TestTimeOfABlock: a time that one merged cell gives to several tests is
// that of the block, and says nothing of how far the tests lie apart. A sheet
// cannot hold merged cells.
func TestTimeOfABlock(t *testing.T) {
	at := func(row int) record.Given[unit.Clock] {
		return record.Given[unit.Clock]{Val: unit.ClockAt(8, 0), State: record.Known, Text: "8:00", Pos: diag.In("log.xlsx", "A").At(row, 3)}
	}
	day := record.Given[unit.Date]{Val: unit.Date{Year: 2026, Month: 3, Day: 3}, State: record.Known}
	meter := record.Words{Val: "K-1", Text: "K-1", State: record.Known}
	for _, c := range []struct {
		name string
		rows [2]int // of the cells that hold the times
		want int
	}{
		{"one cell for both", [2]int{2, 2}, 0},
		{"a cell for each", [2]int{2, 3}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			sets := func(n int) record.Given[int] { return record.Given[int]{Val: n, State: record.Known} }
			job := &record.Job{}
			for i, row := range c.rows {
				test := record.NewTest()
				f := test.Own()
				f.Row, f.Date, f.Read, f.Meter = diag.In("log.xlsx", "A").At(i+2, 0), day, at(row), meter
				job.Tests = append(job.Tests, test)
			}
			job.Terms.SetsInUse = sets(1)
			if got := found(job, "spacing-too-short"); got != c.want {
				t.Errorf("one set: %d findings, want %d", got, c.want)
			}
			job.Terms.SetsInUse = sets(2)
			if got := found(job, "read-within-a-minute"); got != c.want {
				t.Errorf("one meter: %d findings, want %d", got, c.want)
			}
		})
	}
}

// found counts what a check finds in a job.
func found(job *record.Job, name string) int {
	n := 0
	for _, f := range assess.Run(job, check.All()).Findings {
		if f.Check.Name == name {
			n++
		}
	}
	return n
}
