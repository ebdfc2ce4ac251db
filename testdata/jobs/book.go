package jobs

import (
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// large are limits beyond those of the command, for measuring.
var large = table.Limits{Unpacked: 4 << 30, Rows: 2_000_000, Cells: 20_000_000}

// Book reads a workbook that is only described as a job, as the command reads
// its file. A question or failure fails the test.
func Book(t testing.TB, book table.Book) *record.Job {
	t.Helper()
	data, err := table.Write(book)
	if err != nil {
		t.Fatal(err)
	}
	f, err := table.Read("job.xlsx", data, table.Options{Limits: large})
	if err != nil {
		t.Fatal(err)
	}
	job, list := record.Bind([]*table.File{f}, record.Options{})
	if worst, found := list.Worst(); found && worst > diag.Problem {
		t.Fatalf("the workbook cannot be read: %v", list.Sorted())
	}
	return job
}
