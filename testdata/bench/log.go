package bench

import (
	"archive/zip"
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
)

// A Log is a long log of tests and nothing else, as an owner's archive is: 200
// locations, 28 days, and one row in 97 whose blank was not taken off.
type Log struct {
	Rows int
	Seed uint64
}

var logHeads = [...]string{"test", "location", "date", "blank (µS/cm)", "extract (µS/cm)", "volume (ml)", "recorded (mg/m2)", "verdict"}

// A logged row has its numbers in tenths.
type logged struct {
	test, location, day      int
	blank, extract, recorded int
	verdict                  string
}

func (l Log) each(row func(logged) error) error {
	rnd := rand.New(rand.NewPCG(l.Seed, 2))
	for i := 1; i <= l.Rows; i++ {
		r := logged{test: i, location: i % 200, day: i%28 + 1, blank: 8 + rnd.IntN(18), verdict: "fail"}
		rise := 10 + rnd.IntN(591)
		r.extract = r.blank + rise
		if i%97 == 6 {
			rise = r.extract
		}
		// 3 ml under 1250 mm²: 1.2 mg/m² for each µS/cm.
		if r.recorded = (12*rise + 5) / 10; r.recorded <= 500 {
			r.verdict = "pass"
		}
		if err := row(r); err != nil {
			return err
		}
	}
	return nil
}

func tenths(n int) string { return strconv.Itoa(n/10) + "." + strconv.Itoa(n%10) }

// CSV writes the log as text.
func (l Log) CSV(w io.Writer) error {
	out := bufio.NewWriter(w)
	for i, head := range logHeads {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString(head)
	}
	out.WriteByte('\n')
	err := l.each(func(r logged) error {
		_, err := fmt.Fprintf(out, "%d,frame %d,2026-03-%02d,%s,%s,3,%s,%s\n",
			r.test, r.location, r.day, tenths(r.blank), tenths(r.extract), tenths(r.recorded), r.verdict)
		return err
	})
	if err != nil {
		return err
	}
	return out.Flush()
}

// Workbook writes the log as a workbook, in the form in which spreadsheet
// programs save one: texts shared, dates as serials under a format, numbers
// bare. It holds one row at a time.
func (l Log) Workbook(w io.Writer) error {
	z := zip.NewWriter(w)
	part := func(name string, write func(out *bufio.Writer) error) error {
		p, err := z.Create(name)
		if err != nil {
			return err
		}
		out := bufio.NewWriter(p)
		fmt.Fprintln(out, `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`)
		if err := write(out); err != nil {
			return err
		}
		return out.Flush()
	}
	for _, p := range []struct{ name, text string }{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="readings" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/><Relationship Id="rId3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`},
		{"xl/styles.xml", `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="2"><numFmt numFmtId="164" formatCode="0.0"/><numFmt numFmtId="165" formatCode="yyyy\-mm\-dd"/></numFmts><fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="3"><xf/><xf numFmtId="164" applyNumberFormat="1"/><xf numFmtId="165" applyNumberFormat="1"/></cellXfs></styleSheet>`},
	} {
		if err := part(p.name, func(out *bufio.Writer) error { _, err := out.WriteString(p.text); return err }); err != nil {
			return err
		}
	}
	// Shared: the headings, then the two verdicts, then the locations.
	const verdicts, locations = len(logHeads), len(logHeads) + 2
	err := part("xl/worksheets/sheet1.xml", func(out *bufio.Writer) error {
		fmt.Fprintf(out, `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><dimension ref="A1:H%d"/><sheetData><row r="1">`, l.Rows+1)
		for i := range logHeads {
			fmt.Fprintf(out, `<c r="%c1" t="s"><v>%d</v></c>`, 'A'+i, i)
		}
		out.WriteString("</row>")
		err := l.each(func(r logged) error {
			n, verdict := r.test+1, verdicts
			if r.verdict == "fail" {
				verdict++
			}
			_, err := fmt.Fprintf(out, `<row r="%d"><c r="A%d"><v>%d</v></c><c r="B%d" t="s"><v>%d</v></c><c r="C%d" s="2"><v>%d</v></c><c r="D%d" s="1"><v>%s</v></c><c r="E%d" s="1"><v>%s</v></c><c r="F%d"><v>3</v></c><c r="G%d" s="1"><v>%s</v></c><c r="H%d" t="s"><v>%d</v></c></row>`,
				n, n, r.test, n, locations+r.location, n, march+r.day, n, tenths(r.blank), n, tenths(r.extract), n, n, tenths(r.recorded), n, verdict)
			return err
		})
		out.WriteString("</sheetData></worksheet>")
		return err
	})
	if err != nil {
		return err
	}
	err = part("xl/sharedStrings.xml", func(out *bufio.Writer) error {
		out.WriteString(`<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`)
		for _, text := range append(append([]string{}, logHeads[:]...), "pass", "fail") {
			fmt.Fprintf(out, "<si><t>%s</t></si>", text)
		}
		for i := range 200 {
			fmt.Fprintf(out, "<si><t>frame %d</t></si>", i)
		}
		out.WriteString("</sst>")
		return nil
	})
	if err != nil {
		return err
	}
	return z.Close()
}

// march is the serial of the day before 1 March 2026.
const march = 46081
