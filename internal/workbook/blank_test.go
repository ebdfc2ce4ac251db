package workbook_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/internal/workbook"
	"saltline/samples"
	"saltline/templates"
)

func blank(t *testing.T) table.Book {
	t.Helper()
	b, err := workbook.Blank(words(t))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func sample(t *testing.T) table.Book {
	t.Helper()
	b, err := workbook.Sample(words(t), sampleFile(t))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func sampleFile(t *testing.T) *table.File {
	t.Helper()
	f, err := table.Read("quillmere-lock.xlsx", samples.Lock, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// back reads a book as it is written.
func back(t *testing.T, b table.Book) *table.File {
	t.Helper()
	data, err := table.Write(b)
	if err != nil {
		t.Fatal(err)
	}
	f, err := table.Read("job.xlsx", data, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// bound reads a job out of a file without a question.
func bound(t *testing.T, f *table.File) *record.Job {
	t.Helper()
	job, list := record.Bind([]*table.File{f}, record.Options{})
	if worst, any := list.Worst(); any && worst > diag.Problem {
		t.Errorf("%v", list.Sorted())
	}
	return job
}

func sheetOf(t *testing.T, f *table.File, name string) *table.Sheet {
	t.Helper()
	for i := range f.Sheets {
		if f.Sheets[i].Name == name {
			return &f.Sheets[i]
		}
	}
	t.Fatalf("no sheet %q", name)
	return nil
}

// under is the column whose heading begins with head.
func under(t *testing.T, s *table.Sheet, head string) int {
	t.Helper()
	for _, c := range s.Rows[0].Cells() {
		if c.Text == head || strings.HasPrefix(c.Text, head+" (") {
			return c.Pos.Col()
		}
	}
	t.Fatalf("%s: no heading %q", s.Name, head)
	return 0
}

// A filler writes into the cells of a book as a person or a program would.
type filler struct {
	t    *testing.T
	book table.Book
	read *table.File // the book as it was, for its headings and keys
}

func newFiller(t *testing.T) *filler { return &filler{t, blank(t), empty(t)} }

// empty is the blank workbook as it is read back.
func empty(t *testing.T) *table.File {
	t.Helper()
	emptyOnce.Do(func() { emptyFile = back(t, blank(t)) })
	return emptyFile
}

var (
	emptyOnce sync.Once
	emptyFile *table.File
)

func (f *filler) put(sheet string, row, col int, e table.Entry) {
	for i := range f.book.Pages {
		if p := &f.book.Pages[i]; p.Name == sheet {
			p.Lines[row-1].Cells[col-1] = e.As(table.Input)
		}
	}
}

func (f *filler) job(key string, e table.Entry) {
	f.t.Helper()
	s := sheetOf(f.t, f.read, "job")
	for _, row := range s.Rows {
		if text := row.Cell(1).Text; text == key || strings.HasPrefix(text, key+" (") {
			f.put("job", row.Number, 2, e)
			return
		}
	}
	f.t.Fatalf("no key %q", key)
}

// row fills a row of a form, given as heading and value in turn.
func (f *filler) row(sheet string, row int, pairs ...any) {
	f.t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		var e table.Entry
		switch v := pairs[i+1].(type) {
		case string:
			e = table.Words(v)
		case float64:
			e = table.Num(v, "")
		case table.Entry:
			e = v
		}
		f.put(sheet, row, under(f.t, sheetOf(f.t, f.read, sheet), pairs[i].(string)), e)
	}
}

// terms fills in what the formulas take from the job.
func (f *filler) terms() {
	f.job("limit", table.Num(50, ""))
	f.job("limit basis", table.Words("total salts"))
	f.job("limit comparison", table.Words("at most"))
	f.job("volume", table.Num(3, ""))
	f.job("patch area", table.Num(1250, ""))
	f.job("constant", table.Num(5, ""))
	f.job("dew point margin", table.Num(3, ""))
}

func TestBlankHoldsNoReadings(t *testing.T) {
	f := empty(t)
	for _, n := range f.Notes {
		t.Errorf("read with a note: %v", n)
	}
	job, list := record.Bind([]*table.File{f}, record.Options{})
	found := list.Sorted()
	if len(found) != 1 || found[0].Check != "no-readings" {
		t.Errorf("found %v, want nothing but that it holds no readings", found)
	}
	if len(job.Tests) != 0 || len(job.Ambient) != 0 || len(job.Note.Changes) != 0 {
		t.Errorf("%d tests, %d sets of ambient readings, changes %v", len(job.Tests), len(job.Ambient), job.Note.Changes)
	}
}

// Every heading must be read back as the column of its own name, but for
// those that are computed here and for the costs.
func TestBlankHeadingsAreRead(t *testing.T) {
	job, _ := record.Bind([]*table.File{empty(t)}, record.Options{})
	ours := map[string]string{"batch or id": "batch", "batch or source": "batch", "as found / as left": "found or left", "area or place": "place", "wind, weather": "weather", "data digest at signing": "data digest", "stops (from–to)": "stops"}
	extra := []string{"what to write", "water cost", "check solution cost", "syringes cost", "dew point by formula (°C)", "margin by formula (K)", "against the margin",
		"factor K (mg/m² per µS/cm)", "density by formula (mg/m²)", "limit in force (mg/m²)", "against that limit"}
	for _, h := range job.Note.Headings {
		want, _, _ := strings.Cut(h.Text, " (")
		if name, ok := ours[h.Text]; ok {
			want = name
		}
		for _, e := range extra {
			if h.Text == e {
				want = ""
			}
		}
		if h.Column != want {
			t.Errorf("%s: %q is read as %q, want %q", h.Pos, h.Text, h.Column, want)
		}
	}
}

// A day that a program fills in is read without a question, and what the
// formulas wrote follows from the readings.
func TestFilledDayIsRead(t *testing.T) {
	f := newFiller(t)
	f.terms()
	f.row("areas", 2, "area", "A", "size", 90.0, "substrate", "carbon steel")
	f.row("meters", 2, "meter", "K-1", "kind", "conductivity", "resolution", "0.1 µS/cm", "compensates", "on, 2 %/°C", "due", table.Day(2027, time.January, 9))
	extracts := []float64{20.4, 61.2, 33.6, 8.0, 12.9}
	densities := []float64{22.8, 71.76, 38.64, 7.92, 13.8} // 1.2 × (extract − 1.4)
	for i, extract := range extracts {
		f.row("readings", i+2, "area", "A", "location", fmt.Sprintf("bay %d", i+1), "date", table.Day(2026, time.April, 14),
			"start", table.Clock(9, 7*i), "read", table.Clock(9, 7*i+12), "meter", "K-1", "inspector", "A. Example", "blank", 1.4, "extract", extract, "compensated", "on")
	}
	job := bound(t, back(t, f.book))
	result := assess.Run(job, check.All())
	if len(result.Lines) != len(extracts) {
		t.Fatalf("%d tests, want %d", len(result.Lines), len(extracts))
	}
	for i := range result.Lines {
		l := &result.Lines[i]
		if math.Abs(float64(l.Density.Value)-densities[i]) > 1e-9 || l.Agreement != assess.Agrees {
			t.Errorf("test %s: density %v, %v", l.Test.Number().Val, l.Density.Value, l.Agreement)
		}
		want := record.WrittenPass
		if densities[i] > 50 {
			want = record.WrittenFail
		}
		if l.Test.RecordedVerdict().Val != want {
			t.Errorf("test %s: recorded verdict %v", l.Test.Number().Val, l.Test.RecordedVerdict())
		}
	}
	if n := job.Terms.Limits[0].Value; n.Val != 50 || n.Unit == "" {
		t.Errorf("limit read as %v", n)
	}
}

// Each formula must stay within what is recomputed when the file is read, and
// what it says within its column.
func TestMessagesFitTheirColumns(t *testing.T) {
	for _, of := range []struct {
		sheet, head string
		keys        []string
	}{
		{"ambient", "against the margin", []string{"kept", "short", "no-margin"}},
		{"readings", "against that limit", []string{"no-blank", "no-extract", "no-volume", "no-patch-area", "no-constant", "no-limit", "no-basis",
			"no-comparison", "other-basis", "other-rounding", "guarded", "several-limits", "below-blank", "not-compensated", "of-glass"}},
	} {
		b := blank(t)
		s := sheetOf(t, empty(t), of.sheet)
		for _, p := range b.Pages {
			if p.Name != of.sheet {
				continue
			}
			width := p.Widths[under(t, s, of.head)-1]
			for _, key := range of.keys {
				if got := text(t, key); float64(len([]rune(got))) > width+1 {
					t.Errorf("%q is wider than its column of %v", got, width)
				}
			}
		}
	}
}

func TestBlankGivesTheSameBytes(t *testing.T) {
	first, err := table.Write(blank(t))
	if err != nil {
		t.Fatal(err)
	}
	again, err := table.Write(blank(t))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, again) {
		t.Error("one description gave two files")
	}
}

// A text that no sheet says is left over.
func TestEveryTextOfTheBlankIsSaid(t *testing.T) {
	const name = "en/workbook-blank.txt"
	data, err := fs.ReadFile(templates.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	marked := fstest.MapFS{name: &fstest.MapFile{Data: regexp.MustCompile(`(?m)^= (.+)\n`).ReplaceAll(data, []byte("= $1\n‹$1› "))}}
	w, err := wording.Load(templates.Files, marked, "en")
	if err != nil {
		t.Fatal(err)
	}
	b, err := workbook.Blank(w)
	if err != nil {
		t.Fatal(err)
	}
	book, err := table.Write(b)
	if err != nil {
		t.Fatal(err)
	}
	parts, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, part := range parts.File {
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(&all, r); err != nil {
			t.Fatal(err)
		}
	}
	for _, key := range w.Keys("workbook-blank/") {
		if mark := "‹" + strings.TrimPrefix(key, "workbook-blank/") + "›"; !strings.Contains(all.String(), mark) {
			t.Errorf("nothing says %q", key)
		}
	}
}
