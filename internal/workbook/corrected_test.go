package workbook_test

import (
	"archive/zip"
	"bytes"
	"io"
	"io/fs"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/salt"
	"saltline/internal/table"
	"saltline/internal/wording"
	"saltline/internal/workbook"
	"saltline/templates"
)

// TestCorrected looks at the sheets of every record: they stand behind what
// was received, hold a row a test and a line a finding, and every formula
// gives what is stored beside it when it is computed again.
func TestCorrected(t *testing.T) {
	computed := 0
	look := func(t *testing.T, c workbook.Corrected) {
		data := made(t, c)
		if !bytes.Equal(data, made(t, c)) {
			t.Error("the same record gave other bytes")
		}
		p := open(t, c, data)
		if n := len(p.Sheets); p.Sheets[n-3].Name != p.recomputed.Name || p.Sheets[n-2].Name != p.findings.Name || p.Sheets[n-1].Name != p.assumptions.Name {
			t.Error("the sheets with the results are not the last three")
		}
		if got, want := len(p.recomputed.Rows)-headRow, len(c.Report.Lines); got != want {
			t.Errorf("%d rows for %d tests", got, want)
		}
		if got, want := len(p.findings.Rows)-3, max(1, len(c.Report.Findings)); got != want {
			t.Errorf("%d lines for %d findings", got, want)
		}
		for _, s := range []*table.Sheet{p.recomputed, p.findings, p.assumptions} {
			for _, row := range s.Rows {
				for _, cell := range row.Cells() {
					if cell.Stale {
						t.Errorf("%s: %s is stored as %q and computed as %q", cell.Pos, cell.Formula(), cell.Raw, cell.Fresh())
					}
					if cell.Kind == table.Error && !cell.NoCache { // a result of "" is stored as none
						t.Errorf("%s: %s gives %s", cell.Pos, cell.Formula(), cell.Text)
					}
				}
			}
		}
		for n, f := range c.Report.Findings {
			title, err := words(t).Say("checks/"+f.Check.Name+"/title", check.Filling(c.Report.Result, &f, words(t).List))
			if err != nil {
				t.Fatal(err)
			}
			at := slices.IndexFunc(p.findings.Rows, func(row table.Row) bool { return strings.HasPrefix(row.Cell(3).Text, title+": ") })
			if at < 0 || strings.HasPrefix(p.findings.Rows[at].Cell(1).Text, "P") != (f.Check.Group == assess.Integrity) {
				t.Errorf("finding %d, %q, is not there or has another mark", n, title)
			}
		}
		for i := range c.Report.Lines {
			l := &c.Report.Lines[i]
			if cell := p.cell(t, "density", i); l.Density.Known {
				computed++
				if cell.Formula() == "" {
					t.Errorf("test %d: the density is no formula", i)
				}
			}
			compare(t, p, l)
		}
	}
	everyRecord(t, look)
	everyVariant(t, look)
	if computed < 500 {
		t.Errorf("only %d densities were looked at", computed)
	}
}

// compare holds the row of a line to what was judged.
func compare(t *testing.T, p pages, l *assess.Line) {
	t.Helper()
	compareNumbers(t, p, l)
	compareWord(t, p, l, "after", verdictOf(l, l.Verdict))
	want := ""
	if was := l.AsWritten(); l.OfSteel() && was != assess.NotEstablished && was != l.Verdict {
		want = say(t, "mark-verdict", nil)
	}
	compareWord(t, p, l, "changed", want)
}

func verdictOf(l *assess.Line, v assess.Verdict) string {
	if !l.OfSteel() {
		return "–"
	}
	return v.String()
}

// compareWord holds the first word of a cell to what is wanted: behind it the
// cell may name a reason.
func compareWord(t *testing.T, p pages, l *assess.Line, key, want string) {
	t.Helper()
	cell := p.cell(t, key, l.Index)
	if got, _, _ := strings.Cut(cell.Text, ";"); got != want {
		t.Errorf("%s, %s: found %q, want %q", cell.Pos, key, cell.Text, want)
	}
}

// compareNumbers holds what formulas give to what was judged.
func compareNumbers(t *testing.T, p pages, l *assess.Line) {
	t.Helper()
	i := l.Index
	number := func(key string, known bool, want float64) {
		cell := p.cell(t, key, i)
		got, err := strconv.ParseFloat(cell.Raw, 64)
		if known != (err == nil) {
			t.Errorf("%s, %s: found %q, but known is %v", cell.Pos, key, cell.Raw, known)
		} else if known && math.Abs(got-want) > 1e-9*max(1, math.Abs(want)) {
			t.Errorf("%s, %s: found %v, want %v", cell.Pos, key, got, want)
		}
	}
	test := l.Test
	number("density", l.Density.Known, float64(l.Density.Value))
	number("difference", test.Blank().Known() && test.Extract().Known(), float64(l.Difference()))
	number("factor", l.Factor() > 0, l.Factor())
	bounds := l.Density.Known || l.Density.Bounded
	low, high := l.Span()
	number("low", bounds, float64(low))
	number("high", bounds, float64(high))
	number("off", l.Density.Known && test.Recorded().Known(), float64(test.Recorded().Val-l.Density.Value))
	if l.At25().Known {
		number("at-25", true, float64(l.At25().Value))
	}
	for _, j := range l.Limits() {
		if j.Limit.Basis == salt.SodiumChloride && l.Density.Known && !l.At25().Known {
			number("as-sodium-chloride", true, float64(j.Value))
		}
	}
	compareWord(t, p, l, "agreement", say(t, "agreement-"+strings.ReplaceAll(l.Agreement.String(), " ", "-"), nil))
	compareWord(t, p, l, "by-number", verdictOf(l, l.ByNumber))
}

// cellsOfRows lets rows be compared by what they hold.
var cellsOfRows = cmp.Transformer("cells", func(r table.Row) any {
	return struct {
		Number int
		Hidden bool
		Cells  []table.Cell
	}{r.Number, r.Hidden, r.Cells()}
})

// TestReceived sees that the received sheets stand in the corrected workbook
// as they were.
func TestReceived(t *testing.T) {
	workbooks := 0
	everyRecord(t, func(t *testing.T, c workbook.Corrected) {
		p := open(t, c, made(t, c))
		if c.Original != nil {
			workbooks++
			was := readBytes(t, "corrected.xlsx", c.Original)
			if got, want := len(p.Sheets), len(was.Sheets)+3; got != want {
				t.Fatalf("%d sheets, want %d", got, want)
			}
			for i := range was.Sheets {
				if diff := cmp.Diff(was.Sheets[i], p.Sheets[i], cmpopts.EquateComparable(diag.Pos{}), cellsOfRows, cmp.AllowUnexported(table.Cell{})); diff != "" {
					t.Errorf("%s (-received +corrected):\n%s", was.Sheets[i].Name, diff)
				}
			}
			return
		}
		for i, f := range c.Files {
			s := p.Sheets[i]
			for _, row := range f.Sheets[0].Rows {
				for k, cell := range row.Cells() {
					var got table.Cell
					if row.Number <= len(s.Rows) {
						got = s.Rows[row.Number-1].Cell(k + 1)
					}
					if got.Text != cell.Text || got.Formula() != "" || got.Text != "" && got.Kind != table.Text {
						t.Errorf("%s: found %q (%v), want the text %q", cell.Pos, got.Text, got.Kind, cell.Text)
					}
				}
			}
		}
	})
	if workbooks < 5 {
		t.Errorf("only %d workbooks", workbooks)
	}
}

// ofText is a log whose texts begin as formulas do.
const ofText = `test,area,location,date,blank (µS/cm),extract (µS/cm),volume (ml),patch area (mm²),recorded (mg/m²),remark
=1+1,@area,"=HYPERLINK(""http://example.org"",""x"")",2026-03-02,1.0,11.0,3,1250,12.0,+1 day
-2,+area,-location,2026-03-02,1.0,12.0,3,1250,14.0,=cmd
`

// TestTextStaysText sees that a text that begins like a formula is written as
// text, on the received sheet and on ours.
func TestTextStaysText(t *testing.T) {
	f := readBytes(t, "log.csv", []byte(ofText))
	c, ok := corrected(t, []*table.File{f}, nil)
	if !ok || len(c.Report.Lines) != 2 {
		t.Fatal("the log was not read")
	}
	textStays(t, c, open(t, c, made(t, c)))
}

func textStays(t *testing.T, c workbook.Corrected, p pages) {
	t.Helper()
	for i := range c.Report.Lines {
		test := c.Report.Lines[i].Test
		for key, want := range map[string]string{"test": test.Number().Text, "area-name": test.Area().Text, "location": test.Location().Text} {
			if cell := p.cell(t, key, i); cell.Kind != table.Text || cell.Formula() != "" || cell.Text != want {
				t.Errorf("%s: found %v %q with formula %q, want the text %q", key, cell.Kind, cell.Text, cell.Formula(), want)
			}
		}
	}
	for _, row := range p.Sheets[0].Rows {
		for _, cell := range row.Cells() {
			if cell.Formula() != "" || cell.Kind == table.Number {
				t.Errorf("%s: found %v %q with formula %q, want text", cell.Pos, cell.Kind, cell.Text, cell.Formula())
			}
		}
	}
}

// TestNamesTaken gives a received workbook whose sheets are called as ours
// are: ours get other names, and the formulas refer to them.
func TestNamesTaken(t *testing.T) {
	log := readBytes(t, "log.csv", []byte(ofText))
	received := table.Received(log)
	received[0].Name = "assumptions"
	original, err := table.Write(table.Book{Pages: []table.Page{received[0], {Name: "Findings", Lines: []table.Line{table.Texts("none")}}}})
	if err != nil {
		t.Fatal(err)
	}
	c, ok := corrected(t, []*table.File{readBytes(t, "log.xlsx", original)}, original)
	if !ok {
		t.Fatal("the log was not read")
	}
	p := open(t, c, made(t, c))
	if p.assumptions.Name != "assumptions 2" || p.findings.Name != "findings 2" {
		t.Errorf("sheets %q and %q", p.findings.Name, p.assumptions.Name)
	}
	if f := p.cell(t, "constant", 0).Formula(); !strings.HasPrefix(f, "'assumptions 2'!") {
		t.Errorf("the constant is %q", f)
	}
	if f := p.cell(t, "place", 0).Formula(); !strings.Contains(f, "#'assumptions'!A2") {
		t.Errorf("the row leads to %q", f)
	}
}

// TestOtherUnits sees that numbers in other units are taken live from their
// cells, times what lies between the units.
func TestOtherUnits(t *testing.T) {
	c := otherUnits(t)
	p := open(t, c, made(t, c))
	for key, want := range map[string]string{
		"blank":      "'Bay 7''s log'!$D$2",
		"extract":    "'Bay 7''s log'!$E$2*10",
		"volume":     "IF(ISNUMBER('assumptions'!$B$6),'assumptions'!$B$6,Z5)",
		"own-volume": "'Bay 7''s log'!$F$2/1000",
		"area":       "'Bay 7''s log'!$G$2*100",
		"written":    "'Bay 7''s log'!$H$2*10",
		"place":      `HYPERLINK("#'Bay 7''s log'!A2","row 2")`,
	} {
		if got := p.cell(t, key, 0).Formula(); got != want {
			t.Errorf("%s: found %s, want %s", key, got, want)
		}
	}
}

// TestJobBeside gives a workbook with its job in another file: the workbook
// stays as it was, and the job stands behind it as text.
func TestJobBeside(t *testing.T) {
	files, original := read(t, "samples/faehre-lirra.xlsx")
	files = append(files, readBytes(t, "job.csv", []byte("key,value\nvolume,15 ml\n")))
	c, ok := corrected(t, files, original)
	if !ok {
		t.Fatal("the record was not read")
	}
	p := open(t, c, made(t, c))
	if len(p.Sheets) != 5 || p.Sheets[1].Name != "job" {
		t.Errorf("%d sheets, the second %q", len(p.Sheets), p.Sheets[1].Name)
	}
	if f := p.cell(t, "extract", 0).Formula(); !strings.HasPrefix(f, "'"+p.Sheets[0].Name+"'!") {
		t.Errorf("γ₂ is %q", f)
	}
}

// TestEveryText sees every text filled at least once: each is marked with its
// key, and the marks are looked for in all parts of the workbooks.
func TestEveryText(t *testing.T) {
	const name = "en/workbook.txt"
	data, err := fs.ReadFile(templates.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	begin := regexp.MustCompile(`(?m)^= (\S+)\n`)
	marked := fstest.MapFS{name: &fstest.MapFile{Data: begin.ReplaceAll(data, []byte("= $1\n‹$1› "))}}
	w, err := wording.Load(templates.Files, marked, "en")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]bool{}
	look := func(t *testing.T, c workbook.Corrected) {
		c.Words = w
		data := made(t, c)
		parts, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range parts.File {
			r, err := part.Open()
			if err != nil {
				t.Fatal(err)
			}
			text, err := io.ReadAll(r)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range regexp.MustCompile(`‹([a-z0-9-]+)›`).FindAllSubmatch(text, -1) {
				said[string(m[1])] = true
			}
		}
	}
	everyRecord(t, look)
	everyVariant(t, look)
	for _, k := range begin.FindAllSubmatch(data, -1) {
		if key := string(k[1]); !said[key] && !strings.HasPrefix(key, "sheet-") { // those are cut as names of sheets
			t.Errorf("no workbook says %q", key)
		}
	}
}
