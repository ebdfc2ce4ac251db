package jobs

import (
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// Book reads a workbook that is only described as a job, as the command reads
// its file with --large. A question or failure fails the test.
func Book(t testing.TB, book table.Book) *record.Job {
	t.Helper()
	data, err := table.Write(book)
	if err != nil {
		t.Fatal(err)
	}
	f, err := table.Read("job.xlsx", data, table.Options{Large: true})
	if err != nil {
		t.Fatal(err)
	}
	job, list := record.Bind([]*table.File{f}, record.Options{})
	if worst, found := list.Worst(); found && worst > diag.Problem {
		t.Fatalf("the workbook cannot be read: %v", list.Sorted())
	}
	return job
}
