package table

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// parts are the parts of a workbook by their names.
func parts(t *testing.T, data []byte) map[string]string {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		all[f.Name] = string(body)
	}
	return all
}

func ferry(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("../../samples/faehre-lirra.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestAppendLeavesTheReceivedSheets(t *testing.T) {
	original := ferry(t)
	b := equipped()
	b.Pages[1].Name = "Salzprüfung" // taken
	data, err := Append(original, b)
	if err != nil {
		t.Fatal(err)
	}
	const sheet = "xl/worksheets/sheet1.xml"
	if was, is := parts(t, original)[sheet], parts(t, data)[sheet]; was != is || is == "" {
		t.Errorf("the received sheet has changed")
	}
	before, after := opened(t, original), opened(t, data)
	if got, want := strings.Join(after.GetSheetList(), "|"), "Salzprüfung|R&D 'a' <b>|Salzprüfung 2"; got != want {
		t.Errorf("sheets %s, want %s", got, want)
	}
	for n := range before.Styles.CellXfs.Xf {
		was, err1 := before.GetStyle(n)
		is, err2 := after.GetStyle(n)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		old, err1 := json.Marshal(was)
		now, err2 := json.Marshal(is)
		if err1 != nil || err2 != nil || !bytes.Equal(old, now) {
			t.Errorf("style %d has changed: %s, was %s", n, now, old)
		}
	}
	for range 3 {
		again, err := Append(original, b)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(data, again) {
			t.Fatal("one description gave two files")
		}
	}
}

// Stored results of the received formulas are evidence, so the workbook is
// computed anew only where a formula was added that has none.
func TestAppendComputesAnewOnlyWhereNeeded(t *testing.T) {
	for _, c := range []struct {
		entry Entry
		want  bool
	}{
		{Formula("1+1", ""), true},
		{Computed("1+1", 2.0, ""), false},
		{Num(2, ""), false},
	} {
		data, err := Append(ferry(t), Book{Pages: []Page{{Name: "more", Lines: []Line{{Cells: []Entry{c.entry}}}}}})
		if err != nil {
			t.Fatal(err)
		}
		props, err := opened(t, data).GetCalcProps()
		if err != nil {
			t.Fatal(err)
		}
		if got := props.FullCalcOnLoad != nil && *props.FullCalcOnLoad; got != c.want {
			t.Errorf("%+v: computed anew %v, want %v", c.entry, got, c.want)
		}
	}
}

func TestAppendKeepsTheCalendar(t *testing.T) {
	f := excelize.NewFile()
	late := true
	if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &late}); err != nil {
		t.Fatal(err)
	}
	var original bytes.Buffer
	if err := f.Write(&original); err != nil {
		t.Fatal(err)
	}
	line := Line{Cells: []Entry{Day(2026, time.April, 15), Clock(8, 5), Num(2000, "0.0")}}
	data, err := Append(original.Bytes(), Book{Pages: []Page{{Name: "dates", Lines: []Line{line}}}})
	if err != nil {
		t.Fatal(err)
	}
	file, err := Read("late.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	row := file.Sheets[1].Rows[0]
	if row.Cell(1).ISO() != "2026-04-15" || row.Cell(2).ISO() != "08:05:00" || row.Cell(3).Text != "2000.0" {
		t.Errorf("read back as %q, %q, %q", row.Cell(1).ISO(), row.Cell(2).ISO(), row.Cell(3).Text)
	}
}

func TestAppendLeavesMacrosOut(t *testing.T) {
	f := excelize.NewFile()
	f.Path = "log.xlsm"
	if err := f.SetCellValue("Sheet1", "A1", "kept"); err != nil {
		t.Fatal(err)
	}
	compound := append([]byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}, make([]byte, 504)...)
	if err := f.AddVBAProject(compound); err != nil {
		t.Fatal(err)
	}
	var original bytes.Buffer
	if err := f.Write(&original); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(parts(t, original.Bytes())["[Content_Types].xml"], "macroEnabled") {
		t.Fatal("the original has no macros")
	}
	data, err := Append(original.Bytes(), Book{Pages: []Page{{Name: "more"}}})
	if err != nil {
		t.Fatal(err)
	}
	for name, body := range parts(t, data) {
		if strings.Contains(name, "vba") || strings.HasSuffix(name, ".rels") && strings.Contains(body, "vba") || strings.Contains(body, "macroEnabled") {
			t.Errorf("%s is left of the macros", name)
		}
	}
	file, err := Read("log.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(file.Sheets) != 2 || file.Sheets[0].Rows[0].Cell(1).Text != "kept" {
		t.Errorf("read back %+v", file.Sheets)
	}
}

func TestReceivedCSVAsPages(t *testing.T) {
	const csv = "test;remark;extract\n1;\"two\nlines\";14,0\n2; =1+1;<1\n\n3;;007\n"
	file, err := Read("logs/bay: north.csv", []byte(csv), Options{})
	if err != nil {
		t.Fatal(err)
	}
	pages := Received(file)
	if len(pages) != 1 || pages[0].Name != "bay_ north" {
		t.Fatalf("%+v", pages)
	}
	back, err := Read("bay.xlsx", written(t, Book{Pages: pages}), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range file.Sheets[0].Rows {
		for i, c := range row.Cells() {
			got := back.Sheets[0].Rows[row.Number-1].Cell(i + 1)
			if got.Text != c.Text || got.Raw != c.Raw || got.Kind == Number {
				t.Errorf("row %d, column %d: %v %q, want the text %q", row.Number, i+1, got.Kind, got.Raw, c.Raw)
			}
		}
	}
}

// TestOfficeReadsTheBook has LibreOffice compute and save what is written
// here, and reads that back.
func TestOfficeReadsTheBook(t *testing.T) {
	if os.Getenv("SALTLINE_OUTSIDE") == "" {
		t.Skip("SALTLINE_OUTSIDE is not set")
	}
	b := equipped()
	b.Pages[1].Lines = append(b.Pages[1].Lines, Texts("=1+1", "+49", "-x", "@y"))
	alone := written(t, b)
	behind, err := Append(ferry(t), b)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"alone": alone, "behind": behind} {
		file := recalculated(t, name+".xlsx", data)
		pages := file.Sheets[len(file.Sheets)-2:]
		for _, c := range []struct {
			row  int
			want string
		}{{3, "0.0"}, {4, "14.4"}} {
			if got := pages[0].Rows[c.row-1].Cell(3); got.Text != c.want || got.NoCache {
				t.Errorf("%s: %s shows %q, want %q", name, got.Pos, got.Text, c.want)
			}
		}
		for i, want := range []string{"=1+1", "+49", "-x", "@y"} {
			if got := pages[1].Rows[2].Cell(i + 1); got.Kind != Text || got.Text != want || got.Formula() != "" {
				t.Errorf("%s: %s is %v %q, want the text %q", name, got.Pos, got.Kind, got.Text, want)
			}
		}
	}
}

// Every minute of a day must be shown as that minute, alone and behind a date.
func TestOfficeShowsEveryMinute(t *testing.T) {
	if os.Getenv("SALTLINE_OUTSIDE") == "" {
		t.Skip("SALTLINE_OUTSIDE is not set")
	}
	p := Page{Name: "minutes"}
	begin := time.Date(2026, time.April, 14, 0, 0, 0, 0, time.UTC)
	for m := range 24 * 60 {
		p.Lines = append(p.Lines, Line{Cells: []Entry{
			Clock(m/60, m%60), Moment(begin.Add(time.Duration(m)*time.Minute), "yyyy-mm-dd hh:mm"),
		}})
	}
	file := saved(t, "minutes.xlsx", written(t, Book{Pages: []Page{p}}), "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true")
	for m, row := range file.Sheets[0].Rows {
		at := begin.Add(time.Duration(m) * time.Minute)
		if row.Cell(1).Text != at.Format("15:04") || row.Cell(2).Text != at.Format("2006-01-02 15:04") {
			t.Errorf("minute %d is shown as %q and %q", m, row.Cell(1).Text, row.Cell(2).Text)
		}
	}
}

// recalculated is a workbook after LibreOffice opened, computed and saved it.
func recalculated(t *testing.T, name string, data []byte) *File {
	t.Helper()
	return saved(t, name, data, "xlsx:Calc MS Excel 2007 XML")
}

// saved is a workbook as LibreOffice saves it in another form.
func saved(t *testing.T, name string, data []byte, as string) *File {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, name), filepath.Join(dir, "out")
	if err := os.WriteFile(in, data, 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("soffice", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", as, "--outdir", out, in)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	form, _, _ := strings.Cut(as, ":")
	name = strings.TrimSuffix(name, filepath.Ext(name)) + "." + form
	saved, err := os.ReadFile(filepath.Join(out, name))
	if err != nil {
		t.Fatal(err)
	}
	file, err := Read(name, saved, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// What an exporter writes of styles may be next to nothing: all the parts of a
// stylesheet may be absent, and a font need not have a name.
func TestAppendToFewStyles(t *testing.T) {
	b := equipped()
	for _, styles := range []string{
		"", // no stylesheet
		`<styleSheet ` + mainNS + `/>`,
		`<styleSheet ` + mainNS + `><fonts count="0"/><cellXfs count="0"/></styleSheet>`,
		`<styleSheet ` + mainNS + `><fonts count="1"><font/></fonts><cellXfs count="1"><xf/></cellXfs></styleSheet>`,
		`<styleSheet ` + mainNS + `><fonts count="1"><font><name/></font></fonts><fills/><borders/><cellXfs count="1"><xf/></cellXfs></styleSheet>`,
		`<styleSheet ` + mainNS + `><fonts count="1"><font><sz val="9"/></font></fonts><numFmts/><cellStyleXfs/><cellXfs count="1"><xf numFmtId="2"/></cellXfs><cellStyles/><dxfs/></styleSheet>`,
	} {
		t.Run(styles, func(t *testing.T) {
			original := handmade{sheet: sheetOf(`<row r="1"><c r="A1" s="0"><v>2.25</v></c></row>`, ""), styles: styles}
			data, err := Append(original.bytes(t), b)
			if err != nil {
				t.Fatal(err)
			}
			if fonts := parts(t, data)["xl/styles.xml"]; strings.Contains(styles, "<font/>") && !strings.Contains(fonts, "<font></font>") {
				t.Errorf("the first font is no longer as it was received: %s", fonts)
			}
			file := read(t, "few.xlsx", data)
			if len(file.Sheets) != 1+len(b.Pages) || cellAt(t, file.Sheets[0], "A1").Raw != "2.25" {
				t.Errorf("read back %d sheets, the first as %v", len(file.Sheets), texts(file.Sheets[0]))
			}
		})
	}
}
