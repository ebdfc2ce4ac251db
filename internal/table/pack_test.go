package table

import (
	"bytes"
	"fmt"
	"testing"
)

// Twelve pages: a map of so many is hardly ever walked twice in one order.
func TestWriteOfManyPagesGivesTheSameBytes(t *testing.T) {
	var book Book
	for i := range 12 {
		book.Pages = append(book.Pages, Page{
			Name:  fmt.Sprintf("page %d", i+1),
			Lines: []Line{Texts("test", "extract"), {Cells: []Entry{Num(1, ""), Num(14.0, "0.0")}}},
		})
	}
	first, err := Write(book)
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		again, err := Write(book)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("one description gave two files")
		}
	}
	file, err := Read("pages.xlsx", first, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(file.Sheets) != len(book.Pages) {
		t.Errorf("%d sheets read back, want %d", len(file.Sheets), len(book.Pages))
	}
}
