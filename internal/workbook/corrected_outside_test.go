package workbook_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/table"
	"saltline/internal/workbook"
	"saltline/testdata/outside"
)

// A calculation is what a spreadsheet program made of workbooks. It is told to
// compute every formula anew, whatever result is stored beside it.
type calculation struct {
	dir   string
	names []string
}

// add puts a workbook among those to be computed.
func (k *calculation) add(t *testing.T, data []byte) (name string) {
	t.Helper()
	name = fmt.Sprintf("%03d.xlsx", len(k.names))
	k.names = append(k.names, name)
	if err := os.WriteFile(filepath.Join(k.dir, name), data, 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// always is the setting of LibreOffice that has it compute a workbook anew
// when it is opened.
const always = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// run computes all of them in one run of the program.
func (k *calculation) run(t *testing.T, soffice string) {
	t.Helper()
	settings := filepath.Join(k.dir, "profile", "user")
	if err := os.MkdirAll(settings, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(settings, "registrymodifications.xcu"), []byte(always), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"-env:UserInstallation=file://" + filepath.Join(k.dir, "profile"),
		"--headless", "--convert-to", "xlsx", "--outdir", filepath.Join(k.dir, "computed")}
	for _, name := range k.names {
		args = append(args, filepath.Join(k.dir, name))
	}
	if out, err := exec.Command(soffice, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
}

func (k *calculation) computed(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(k.dir, "computed", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestOutside has another program compute the formulas of every record and
// holds what it gives to what was judged, row by row. Then it changes the
// volume of the job, or that for all rows, among the assumptions and holds the
// rows to the record judged with that volume.
func TestOutside(t *testing.T) {
	soffice := outside.Program(t, "soffice")
	k := &calculation{dir: t.TempDir()}

	// A formula with a wrong result beside it: only a program that computes
	// gives the right one.
	probe, err := table.Write(table.Book{Pages: []table.Page{{Name: "probe", Lines: []table.Line{
		{Cells: []table.Entry{table.Computed("1+1", 3.0, "")}}}}}})
	if err != nil {
		t.Fatal(err)
	}
	probed := k.add(t, probe)

	type one struct {
		name string
		c    workbook.Corrected
		test string
	}
	var all []one
	take := func(t *testing.T, c workbook.Corrected) {
		all = append(all, one{k.add(t, made(t, c)), c, t.Name()})
	}
	everyRecord(t, take)
	everyVariant(t, take)

	texts := readBytes(t, "log.csv", []byte(ofText))
	ofText, _ := corrected(t, []*table.File{texts}, nil)
	ofTextName := k.add(t, made(t, ofText))

	var moved []one
	move := func(name string, files []*table.File, original []byte, volume string, ml float64, sets ...string) {
		c, ok := corrected(t, files, original, sets...)
		as, okAs := corrected(t, files, original, append(sets, "volume="+volume)...)
		if !ok || !okAs {
			t.Fatalf("%s was not read", name)
		}
		book, err := c.Book()
		if err != nil {
			t.Fatal(err)
		}
		const volumeRow = 5 // of the sheet of assumptions
		book.Pages[len(book.Pages)-1].Lines[volumeRow-1].Cells[1] = table.Num(ml, "0")
		data, err := table.Write(book)
		if original != nil {
			data, err = table.Append(original, book)
		}
		if err != nil {
			t.Fatal(err)
		}
		moved = append(moved, one{k.add(t, data), as, name + " with " + volume})
	}
	files, original := read(t, "samples/faehre-lirra.xlsx")
	move("faehre-lirra.xlsx", files, original, "15 ml", 15)
	move("no-volume.csv", []*table.File{readBytes(t, "no-volume.csv", []byte(written["no-volume.csv"]))}, nil, "3 ml", 3, limit...)

	ten := written["ties.csv"]
	fifteen := strings.ReplaceAll(ten, ",10,1250,", ",15,1250,")
	own, _ := corrected(t, []*table.File{readBytes(t, "ties.csv", []byte(ten))}, nil, limit...)
	other, _ := corrected(t, []*table.File{readBytes(t, "ties.csv", []byte(fifteen))}, nil, limit...)
	book, err := own.Book()
	if err != nil {
		t.Fatal(err)
	}
	const allRows = 6 // of the sheet of assumptions
	book.Pages[len(book.Pages)-1].Lines[allRows-1].Cells[1] = table.Num(15, "0")
	data, err := table.Write(book)
	if err != nil {
		t.Fatal(err)
	}
	moved = append(moved, one{k.add(t, data), other, "rows with their own volume"})

	k.run(t, soffice)

	if got := readBytes(t, probed, k.computed(t, probed)).Sheets[0].Rows[0].Cell(1).Raw; got != "2" {
		t.Fatalf("the program gives %s for 1+1: it does not compute", got)
	}
	rows := 0
	for _, o := range all {
		t.Run(o.test, func(t *testing.T) {
			p := open(t, o.c, k.computed(t, o.name))
			for i := range o.c.Report.Lines {
				compare(t, p, &o.c.Report.Lines[i])
				rows++
			}
		})
	}
	for _, o := range moved {
		t.Run(o.test, func(t *testing.T) {
			p := open(t, o.c, k.computed(t, o.name))
			for i := range o.c.Report.Lines {
				compareNumbers(t, p, &o.c.Report.Lines[i])
				rows++
			}
		})
	}
	textStays(t, ofText, open(t, ofText, k.computed(t, ofTextName)))
	t.Logf("%d rows computed by another program", rows)
	if rows < 1000 {
		t.Errorf("only %d rows were looked at", rows)
	}
}
