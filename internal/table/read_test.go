package table

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"saltline/internal/diag"
)

// refused reads data, which must be refused, and returns the refusal.
func refused(t *testing.T, data []byte, opts Options) *Refusal {
	t.Helper()
	f, err := Read("log.any", data, opts)
	var r *Refusal
	if !errors.As(err, &r) {
		t.Fatalf("got file %v and error %v, want a refusal", f, err)
	}
	if f != nil {
		t.Errorf("a refused file is returned all the same")
	}
	if r.Pos.File() != "log.any" || r.Check == "" || r.Found == "" || r.Wanted == "" || r.Hint == "" {
		t.Errorf("refusal is incomplete: %+v", r)
	}
	return r
}

func TestReadRefusesByContent(t *testing.T) {
	compound := "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1" + strings.Repeat("\x00", 504)
	wide := func(s string) string { return strings.Join(strings.Split(s, ""), "\x00") + "\x00" }
	inZip := func(name, body string) string { return string(zipped(t, map[string]string{name: body})) }
	tests := []struct{ name, data, check string }{
		{"nothing", "", "empty-file"},
		{"white space", " \r\n\t\n", "empty-file"},
		{"byte order mark alone", "\xEF\xBB\xBF", "empty-file"},
		{"encrypted", compound + wide("EncryptedPackage"), "encrypted-workbook"},
		{"old workbook", compound + wide("Workbook"), "old-workbook"},
		{"old document", compound + wide("WordDocument"), "not-a-table"},
		{"OpenDocument", inZip("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), "open-document"},
		{"binary workbook", inZip("xl/workbook.bin", "x"), "binary-workbook"},
		{"word processing", inZip("word/document.xml", "<x/>"), "not-a-table"},
		{"zipped CSV", inZip("readings.csv", "a,b"), "not-a-table"},
		{"cut-off zip", inZip("xl/workbook.xml", "<workbook/>")[:40], "damaged-file"},
		{"PDF", "%PDF-1.7\n", "not-a-table"},
		{"picture", "\x89PNG\r\n\x1a\n", "not-a-table"},
		{"web page named .xls", "\r\n<html><table>", "not-a-table"},
		{"XML", "<?xml version=\"1.0\"?><Workbook/>", "not-a-table"},
		{"rich text", `{\rtf1`, "not-a-table"},
		{"binary", "\x01\x02\x03\x04\x05\x06\x07\x08", "not-a-table"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if r := refused(t, []byte(test.data), Options{}); r.Check != test.check {
				t.Errorf("got %s (%v), want %s", r.Check, r, test.check)
			}
		})
	}
}

// Each limit is met exactly by one file and passed by its neighbour.
func TestReadKeepsLimits(t *testing.T) {
	sheet := func(cell, row string) []byte {
		return handmade{sheet: sheetOf(`<row r="`+row+`"><c r="`+cell+`"><v>1</v></c></row>`, "")}.bytes(t)
	}
	tests := []struct {
		name     string
		limits   Limits
		at, over []byte
		check    string
	}{
		{"bytes", Limits{Bytes: 4}, []byte("a,b\n"), []byte("a,b,c"), "file-too-large"},
		{"rows of text", Limits{Rows: 2}, []byte("a\nb\n"), []byte("a\nb\nc"), "sheet-too-large"},
		{"columns of text", Limits{Cols: 2}, []byte("a,b"), []byte("a,b,c"), "sheet-too-large"},
		{"cells of text", Limits{Cells: 3}, []byte("a,b\nc,"), []byte("a,b\nc,d"), "sheet-too-large"},
		{"line", Limits{Line: 4}, []byte("a,b\n"), []byte("a,bc\n"), "line-too-long"},
		{"rows of a workbook", Limits{Rows: 9}, sheet("A9", "9"), sheet("A10", "10"), "sheet-too-large"},
		{"columns of a workbook", Limits{Cols: 26}, sheet("Z1", "1"), sheet("AA1", "1"), "sheet-too-large"},
		{"cells of a workbook, gaps included", Limits{Cells: 3}, sheet("C1", "1"), sheet("D1", "1"), "sheet-too-large"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if _, err := Read("log.any", test.at, Options{Limits: test.limits}); err != nil {
				t.Errorf("at the limit: %v", err)
			}
			if r := refused(t, test.over, Options{Limits: test.limits}); r.Check != test.check {
				t.Errorf("over the limit: got %s, want %s", r.Check, test.check)
			}
		})
	}
}

// A sheet that unpacks to far more than its size is refused before it fills
// the memory.
func TestReadRefusesBomb(t *testing.T) {
	data := handmade{sheet: sheetOf("", strings.Repeat(" ", 1<<20))}.bytes(t)
	if len(data) > 10_000 {
		t.Fatalf("the bomb has %d bytes, it should be small", len(data))
	}
	if r := refused(t, data, Options{Limits: Limits{Unpacked: 1 << 19}}); r.Check != "file-too-large" {
		t.Errorf("got %s, want file-too-large", r.Check)
	}
	read(t, "log.xlsx", data)
}

func TestReadDigest(t *testing.T) {
	// SHA-256 of "abc", FIPS 180-2 appendix B.1.
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := read(t, "x.csv", []byte("abc")).SHA256; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestRefusalSpelling(t *testing.T) {
	r := &Refusal{Pos: diag.In("a.xlsx", "log").At(3, 2), Check: "damaged-workbook", Found: "X", Wanted: "Y", Hint: "do it"}
	if got, want := r.Error(), "a.xlsx:log!B3: found X, but wanted Y"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	d := r.Diagnostic()
	if got, want := d.String(), "a.xlsx:log!B3: found X, but wanted Y [damaged-workbook]"; got != want || d.Level != diag.Failure || d.Hint != "do it" {
		t.Errorf("got %q %v %q", got, d.Level, d.Hint)
	}
}

func TestStem(t *testing.T) {
	for name, want := range map[string]string{
		"readings.csv": "readings", "a/b/areas.CSV": "areas", `C:\log\day.1.csv`: "day.1", "plain": "plain",
	} {
		if got := stem(name); got != want {
			t.Errorf("%q: got %q, want %q", name, got, want)
		}
	}
}

// Every slip is told up to a number, and beyond it the count of the rest.
func TestReadCountsNotes(t *testing.T) {
	for _, n := range []int{maxNotes, maxNotes + 2} {
		f := read(t, "x.csv", []byte("a,b\n"+strings.Repeat("\"c\"x,d\n", n)))
		want := maxNotes
		if n > maxNotes {
			want++
			if got := f.Notes[maxNotes].Msg; got != "found 2 more of the same" {
				t.Errorf("%d slips: the last note says %q", n, got)
			}
		}
		if len(f.Notes) != want {
			t.Errorf("%d slips: got %d notes, want %d", n, len(f.Notes), want)
		}
		if len(f.Sheets[0].Rows) != n+1 {
			t.Errorf("%d slips: got %d rows", n, len(f.Sheets[0].Rows))
		}
	}
}

// A CSV file may hold more rows than a workbook.
func TestLongText(t *testing.T) {
	rows := DefaultLimits().Rows + 1
	f, err := Read("long.csv", bytes.Repeat([]byte("1,2\n"), rows), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(f.Sheets[0].Rows); n != rows {
		t.Errorf("%d rows, want %d", n, rows)
	}
}

// A log of years may have a delimiter between the marks of each line. What is so
// long and no table is refused.
func TestTextsOfYears(t *testing.T) {
	const head = "test,location,blank,extract\n"
	for _, c := range []struct {
		name, line string
		refused    bool
	}{
		{"plain", "1,frame 1,1.0,9.0\n", false},
		{"quoted", "1,\"frame 1, left\",1.0,9.0\n", false},
		{"words", "wet\n", true},
	} {
		f, err := Read("log.csv", []byte(head+strings.Repeat(c.line, mostUneven+1)), Options{})
		switch {
		case c.refused:
			if err == nil || !strings.Contains(err.Error(), "not cut alike") {
				t.Errorf("%s: %v", c.name, err)
			}
		case err != nil:
			t.Errorf("%s: %v", c.name, err)
		case len(f.Sheets[0].Rows) != mostUneven+2 || f.Sheets[0].Rows[mostUneven].Cell(4).Text != "9.0":
			t.Errorf("%s: %d rows, the last cell is %q", c.name, len(f.Sheets[0].Rows), f.Sheets[0].Rows[mostUneven].Cell(4).Text)
		}
	}
}

// A workbook that is longer than most is read for somebody who knows it.
func TestLargeBook(t *testing.T) {
	data := handmade{sheet: sheetOf(`<row r="200001"><c r="A200001"><v>1</v></c></row>`, "")}.bytes(t)
	if r := refused(t, data, Options{}); r.Check != "sheet-too-large" {
		t.Errorf("refused by %s", r.Check)
	}
	f, err := Read("x.xlsx", data, Options{Large: true})
	if err != nil {
		t.Fatal(err)
	}
	if rows := f.Sheets[0].Rows; len(rows) != 200_001 || rows[200_000].Cell(1).Raw != "1" {
		t.Errorf("%d rows", len(rows))
	}
}
