package samples

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"saltline/internal/table"
)

const lockFolder = "quillmere-lock"

// lockTables are the tables of the job, in the order of its sheets.
var lockTables = []string{
	"job", "areas", "readings", "ambient", "meters", "checks", "water",
	"patches", "treatments", "extracts", "days", "people", "signatures", "concessions",
}

// rowsOf reads one CSV file.
func rowsOf(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// lockRows reads one table of the folder.
func lockRows(t *testing.T, name string) [][]string {
	t.Helper()
	return rowsOf(t, filepath.Join(lockFolder, name+".csv"))
}

// lockBook describes the workbook of the lock: one sheet a table.
func lockBook(t *testing.T) table.Book {
	t.Helper()
	book := table.Book{
		Title: "Quillmere sea lock, soluble-salt tests",
		Date:  time.Date(2026, time.April, 16, 0, 0, 0, 0, time.UTC),
	}
	for _, name := range lockTables {
		book.Pages = append(book.Pages, sheetOf(name, lockRows(t, name)))
	}
	return book
}

// sheetOf is the sheet that shows the rows of a CSV file.
func sheetOf(name string, rows [][]string) table.Page {
	page := table.Page{Name: name, Head: 1, Widths: widths(rows)}
	for i, row := range rows {
		line := table.Line{Bold: i == 0}
		for _, text := range row {
			line.Cells = append(line.Cells, typed(text))
		}
		page.Lines = append(page.Lines, line)
	}
	return page
}

var (
	plainNumber = regexp.MustCompile(`^(0|[1-9][0-9]*)(\.[0-9]+)?$`)
	isoDay      = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
	isoMoment   = regexp.MustCompile(`^\d{4}-\d{2}-\d{2} \d{2}:\d{2}$`)
	clockTime   = regexp.MustCompile(`^\d{2}:\d{2}$`)
)

// typed gives a text of the CSV files the type that a workbook has for it. A
// number keeps its decimals in its format, so that 14.0 is not shown as 14.
func typed(text string) table.Entry {
	switch {
	case plainNumber.MatchString(text):
		if v, err := strconv.ParseFloat(text, 64); err == nil {
			return table.Num(v, numberFormat(text))
		}
	case isoDay.MatchString(text):
		if d, err := time.Parse("2006-01-02", text); err == nil {
			return table.Moment(d, "yyyy-mm-dd")
		}
	case isoMoment.MatchString(text):
		if m, err := time.Parse("2006-01-02 15:04", text); err == nil {
			return table.Moment(m, "yyyy-mm-dd hh:mm")
		}
	case clockTime.MatchString(text):
		if c, err := time.Parse("15:04", text); err == nil {
			return table.Clock(c.Hour(), c.Minute())
		}
	case text == "":
		return table.Entry{}
	}
	return table.Words(text)
}

// numberFormat is the format code that shows the decimals of text.
func numberFormat(text string) string {
	_, decimals, _ := strings.Cut(text, ".")
	if decimals == "" {
		return "0"
	}
	return "0." + strings.Repeat("0", len(decimals))
}

// widths are the widths of the columns that show most of their texts.
func widths(rows [][]string) []float64 {
	const narrowest, widest = 6, 44 // characters
	var w []float64
	for _, row := range rows {
		for i, text := range row {
			if i == len(w) {
				w = append(w, narrowest)
			}
			w[i] = min(max(w[i], float64(utf8.RuneCountInString(text)+2)), widest)
		}
	}
	return w
}

// The workbook, read back, must show each cell as the folder writes it.
func TestLockWorkbookShowsWhatTheFolderHolds(t *testing.T) {
	tables := map[string][][]string{}
	for _, name := range lockTables {
		tables[name] = lockRows(t, name)
	}
	holdSheets(t, "quillmere-lock.xlsx", lockTables, tables)
}

// holdSheets holds the sheets of a workbook, in order, to the rows that they
// were made from.
func holdSheets(t *testing.T, name string, sheets []string, tables map[string][][]string) {
	t.Helper()
	file := readSample(t, name)
	if len(file.Sheets) != len(sheets) {
		t.Fatalf("%s: %d sheets, want %d", name, len(file.Sheets), len(sheets))
	}
	for i, want := range sheets {
		sheet, rows := file.Sheets[i], tables[want]
		if sheet.Name != want || len(sheet.Rows) != len(rows) {
			t.Errorf("%s: sheet %q with %d rows, want %q with %d", name, sheet.Name, len(sheet.Rows), want, len(rows))
			continue
		}
		for r, row := range rows {
			for c, want := range row {
				if got := sheet.Rows[r].Cell(c + 1); got.Text != want {
					t.Errorf("%s shows %q, the folder holds %q", got.Pos, got.Text, want)
				}
			}
		}
	}
}
