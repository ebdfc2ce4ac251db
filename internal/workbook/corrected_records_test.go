package workbook_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/internal/workbook"
	"saltline/templates"
)

const root = "../../"

// records are the records that the corrected workbook is made of: the samples,
// the jobs of the tests and the logs as people keep them.
func records(t *testing.T) []string {
	t.Helper()
	list := []string{
		"samples/faehre-lirra.xlsx", "samples/faehre-lirra.csv", "samples/quillmere-lock", "samples/quillmere-lock.xlsx",
		"testdata/jobs/crowded", "testdata/jobs/every", "testdata/jobs/quiet",
	}
	for _, pattern := range []string{"testdata/jobs/*.csv", "testdata/logs/*.csv", "testdata/logs/*.xlsx"} {
		found, err := filepath.Glob(root + pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("%s: %d files (%v)", pattern, len(found), err)
		}
		for _, path := range found {
			list = append(list, strings.TrimPrefix(path, root))
		}
	}
	return list
}

// read reads the files of a record: a workbook, one CSV file or a folder of
// them. Original is nil where it is no workbook.
func read(t *testing.T, path string) (files []*table.File, original []byte) {
	t.Helper()
	names := []string{root + path}
	if info, err := os.Stat(root + path); err != nil {
		t.Fatal(err)
	} else if info.IsDir() {
		if names, err = filepath.Glob(root + path + "/*.csv"); err != nil || len(names) == 0 {
			t.Fatalf("%s: no CSV files (%v)", path, err)
		}
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, readBytes(t, filepath.Base(name), data))
		if filepath.Ext(name) == ".xlsx" {
			original = data
		}
	}
	return files, original
}

func readBytes(t testing.TB, name string, data []byte) *table.File {
	t.Helper()
	f, err := table.Read(name, data, table.Options{})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return f
}

// corrected is the corrected workbook of files, judged with values as --set
// gives them, each "key=value". It is false where the record has a question
// that is not answered.
func corrected(t testing.TB, files []*table.File, original []byte, sets ...string) (workbook.Corrected, bool) {
	t.Helper()
	var opts record.Options
	for _, s := range sets {
		if s == tiesToEven {
			continue
		}
		key, value, _ := strings.Cut(s, "=")
		opts.Set = append(opts.Set, record.Fact{Key: key, Value: record.Words{Val: value, Text: value, State: record.Known}})
	}
	job, list := record.Bind(files, opts)
	if worst, found := list.Worst(); found && worst > diag.Problem {
		return workbook.Corrected{}, false
	}
	if slices.Contains(sets, tiesToEven) {
		job.Terms.Limits[0].Rounding.Val.ToEven = true
	}
	result := assess.Run(job, check.All())
	return workbook.Corrected{
		Report: audit.Of(result), Words: words(t), Files: files, Original: original,
		Tool: "saltline 0.0.0", Digest: strings.Repeat("0123456789abcdef", 4), Produced: unit.Date{Year: 2026, Month: 4, Day: 17},
	}, true
}

var english = sync.OnceValues(func() (*wording.Words, error) { return wording.Load(templates.Files, nil, "en") })

func words(t testing.TB) *wording.Words {
	t.Helper()
	w, err := english()
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func made(t testing.TB, c workbook.Corrected) []byte {
	t.Helper()
	data, err := c.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// pages are the sheets of a corrected workbook, read back.
type pages struct {
	*table.File
	recomputed, findings, assumptions *table.Sheet
	book                              table.Book
}

func open(t *testing.T, c workbook.Corrected, data []byte) pages {
	t.Helper()
	book, err := c.Book()
	if err != nil {
		t.Fatal(err)
	}
	f := readBytes(t, "corrected.xlsx", data)
	p := pages{File: f, book: book}
	last := book.Pages[len(book.Pages)-3:]
	for i, into := range []**table.Sheet{&p.recomputed, &p.findings, &p.assumptions} {
		for k := range f.Sheets {
			if f.Sheets[k].Name == last[i].Name {
				*into = &f.Sheets[k]
			}
		}
		if *into == nil {
			t.Fatalf("no sheet %q", last[i].Name)
		}
	}
	return p
}

// headRow is where the headings of the recomputed sheet stand.
const headRow = 4

// cell is the cell of a column in the row of test i. It is an empty one where
// the sheet has no such column.
func (p pages) cell(t *testing.T, key string, i int) table.Cell {
	t.Helper()
	head, err := words(t).Say("workbook/head-"+key, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range p.recomputed.Rows[headRow-1].Cells() {
		if c.Text == head {
			return p.recomputed.Rows[headRow+i].Cell(c.Pos.Col())
		}
	}
	return table.Cell{}
}

func say(t *testing.T, key string, fill any) string {
	t.Helper()
	s, err := words(t).Say("workbook/"+key, fill)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// tiesToEven is a way of rounding that a record cannot state yet.
const tiesToEven = "ties=to even"

// variants are values of the command line that judge the lock in other ways.
var variants = [][]string{
	{"procedure=beaker return", "volume=15 ml"},
	{"decision rule=guarded"},
	{"decision rule=guarded", "expanded uncertainty="},
	{"decision rule=guarded rejection", "limit rounding=to 1 mg/m2"},
	{"decision rule=guarded rejection"},
	{"limit comparison=less than", "temperature correction=natural water"},
	{"limit basis=conductivity of sodium chloride", "temperature correction=none"},
	{"limit basis=conductivity of sodium chloride"},
	{"limit basis=chloride ion", "limit=30 mg/m2"},
	{"limit 2=20 mg/m2", "limit basis="},
	{"limit 2=20 mg/m2", "limit 2 basis=conductivity of sodium chloride", "temperature correction=none"},
	{"limit rounding=to 1 mg/m2"},
	{"limit rounding=to 1 mg/m2", tiesToEven},
	{"limit comparison="},
	{"limit=38.4 mg/m2", "limit comparison="},
}

// written are small records for what no other holds: readings written as "<",
// a written value so, a volume that is not there, ties of rounding, and limits
// of single rows.
var written = map[string]string{
	"bounds.csv": `test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),patch area (mm²),recorded (mg/m²),verdict
1,a,2026-03-02,<1,11.0,3,1250,12.0,pass
2,b,2026-03-02,-,60.0,3,1250,70.8,fail
3,c,2026-03-02,1.0,<2,3,1250,<2,pass
4,d,2026-03-02,1.0,1.5,3,1250,<5,pass
5,e,2026-03-02,1.0,9.0,3,1250,<5,pass
6,f,2026-03-02,1,5,3,1250,<4.8,pass
7,g,2026-03-02,3.0,1.0,3,1250,-2.4,pass
`,
	"ties.csv": `test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),patch area (mm²),recorded (mg/m²),verdict,limit (mg/m²)
1,a,2026-03-02,1.000,2.125,10,1250,4,pass,4.5
2,b,2026-03-02,1.000,2.125,10,1250,5,fail,4.4
3,c,2026-03-02,1.000,2.375,10,1250,5,pass,
4,d,2026-03-02,1.000,2.375,10,1250,6,pass,5.5
5,e,2026-03-02,1.0,13.5,10,1250,50,pass,
6,f,2026-03-02,1.0,13.6,10,1250,50.4,fail,50.4
7,g,2026-03-02,1.0,13.6,10,1250,5.04 µg/cm²,fail,
`,
	"no-volume.csv": `test,location,date,blank (µS/cm),extract (µS/cm),recorded (mg/m²),verdict
1,a,2026-03-02,2,44.5,51.0,fail
2,b,2026-03-02,2.0,42.0,48.0,pass
3,c,2026-03-02,1.5,12.1,12.7,pass
4,d,2026-03-02,1.5,12.1,<20,pass
`,
}

// limit is what they are judged by.
var limit = []string{"limit=50 mg/m2", "limit basis=total salts", "limit comparison=at most"}

// everyRecord calls do for every record that can be judged.
func everyRecord(t *testing.T, do func(*testing.T, workbook.Corrected)) {
	t.Helper()
	for _, path := range records(t) {
		files, original := read(t, path)
		if c, ok := corrected(t, files, original); ok {
			t.Run(path, func(t *testing.T) { do(t, c) })
		}
	}
}

// everyVariant calls do for the lock judged in other ways and for the small
// records.
func everyVariant(t *testing.T, do func(*testing.T, workbook.Corrected)) {
	t.Helper()
	files, original := read(t, "samples/quillmere-lock.xlsx")
	for _, sets := range variants {
		if c, ok := corrected(t, files, original, sets...); ok {
			t.Run(strings.Join(sets, ", "), func(t *testing.T) { do(t, c) })
		}
	}
	for _, name := range slices.Sorted(maps.Keys(written)) {
		c, ok := corrected(t, []*table.File{readBytes(t, name, []byte(written[name]))}, nil, limit...)
		if !ok || len(c.Report.Lines) < 4 {
			t.Fatalf("%s was not read", name)
		}
		t.Run(name, func(t *testing.T) { do(t, c) })
	}
	t.Run("other units", func(t *testing.T) { do(t, otherUnits(t)) })
}

// otherUnits is a workbook whose numbers are in other units than those that
// are calculated with.
func otherUnits(t *testing.T) workbook.Corrected {
	t.Helper()
	page := table.Page{Name: "Bay 7's log", Lines: []table.Line{
		table.Texts("test", "location", "date", "blank (µS/cm)", "extract (mS/m)", "volume (µl)", "patch area (cm²)", "recorded (µg/cm²)", "verdict"),
	}}
	for i, extract := range []float64{1.4, 4.12, 5.3} {
		page.Lines = append(page.Lines, table.Line{Cells: []table.Entry{
			table.Num(float64(i+1), "0"), table.Words("plate"), table.Day(2026, 3, 2), table.Num(1.4, "0.0"), table.Num(extract, "0.00"),
			table.Num(3000, "0"), table.Num(12.5, "0.0"), table.Num(4.78, "0.00"), table.Words("pass"),
		}})
	}
	original, err := table.Write(table.Book{Pages: []table.Page{page}})
	if err != nil {
		t.Fatal(err)
	}
	c, ok := corrected(t, []*table.File{readBytes(t, "units.xlsx", original)}, original, limit...)
	if !ok || len(c.Report.Lines) != 3 {
		t.Fatal("the workbook was not read")
	}
	return c
}
