package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"testing"
)

// A handmade workbook is written here part by part, for what no library
// writes.
type handmade struct {
	sheet   string // the XML of its one sheet
	strings string // the XML of its shared strings; "" for none
	styles  string // the XML of its styles; "" for none
	book    string // the properties element of the workbook
}

const (
	mainNS = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	relNS  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
)

// sheetOf wraps rows, and what follows them, into a worksheet.
func sheetOf(rows, after string) string {
	return `<worksheet ` + mainNS + `><sheetData>` + rows + `</sheetData>` + after + `</worksheet>`
}

func (h handmade) parts() map[string]string {
	rels := fmt.Sprintf(`<Relationship Id="rId1" Type="%s/worksheet" Target="worksheets/sheet1.xml"/>`, relNS)
	parts := map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
			`<Default Extension="xml" ContentType="application/xml"/></Types>`,
		"_rels/.rels": fmt.Sprintf(`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`+
			`<Relationship Id="rId1" Type="%s/officeDocument" Target="xl/workbook.xml"/></Relationships>`, relNS),
		"xl/workbook.xml": fmt.Sprintf(`<workbook %s xmlns:r="%s">%s<sheets><sheet name="log" sheetId="1" r:id="rId1"/></sheets></workbook>`,
			mainNS, relNS, h.book),
		"xl/worksheets/sheet1.xml": h.sheet,
	}
	if h.strings != "" {
		rels += fmt.Sprintf(`<Relationship Id="rId2" Type="%s/sharedStrings" Target="sharedStrings.xml"/>`, relNS)
		parts["xl/sharedStrings.xml"] = h.strings
	}
	if h.styles != "" {
		rels += fmt.Sprintf(`<Relationship Id="rId3" Type="%s/styles" Target="styles.xml"/>`, relNS)
		parts["xl/styles.xml"] = h.styles
	}
	parts["xl/_rels/workbook.xml.rels"] = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + rels + `</Relationships>`
	return parts
}

func (h handmade) bytes(t testing.TB) []byte { return zipped(t, h.parts()) }

// zipped zips parts in the order of their names.
func zipped(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	names := make([]string, 0, len(parts))
	for name := range parts {
		names = append(names, name)
	}
	slices.Sort(names)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range names {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(parts[name])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// read reads data or fails the test.
func read(t *testing.T, name string, data []byte) *File {
	t.Helper()
	f, err := Read(name, data, Options{})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return f
}

// write makes a workbook or fails the test.
func write(t testing.TB, pages ...Page) []byte {
	t.Helper()
	data, err := Write(Book{Pages: pages})
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// cellAt is the cell of a sheet by its name, "C14".
func cellAt(t *testing.T, s Sheet, name string) Cell {
	t.Helper()
	col, row, ok := parseCell(name)
	if !ok {
		t.Fatalf("%q is no cell", name)
	}
	if row > len(s.Rows) {
		return Cell{}
	}
	return s.Rows[row-1].Cell(col)
}

// checks lists the stable names of the notes of a file.
func checks(f *File) []string {
	var names []string
	for _, n := range f.Notes {
		names = append(names, n.Check)
	}
	return names
}

// texts lists what the rows of a sheet show.
func texts(s Sheet) [][]string {
	var all [][]string
	for _, r := range s.Rows {
		var row []string
		for _, c := range r.Cells() {
			row = append(row, c.Text)
		}
		all = append(all, row)
	}
	return all
}
