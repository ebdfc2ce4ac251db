package main

import (
	"fmt"
	"io"
	"strings"
	"testing"
)

// TestBooksOfStrangers reads workbooks whose XML is made to fill the memory, to
// take for ever or to mean something else.
func TestBooksOfStrangers(t *testing.T) {
	const sheet, main = "xl/worksheets/sheet1.xml", "xl/workbook.xml"
	in := func(rows, after string) recipe { return honest().with(sheet, of(sheetOf(bookRows+rows, after))).zip() }
	row := func(cells string) recipe { return in(`<row r="4">`+cells+`</row>`, "") }
	large := func(head, text string, n int, tail string) recipe {
		return honest().with(sheet, times(head, text, n, tail)).zip()
	}
	open, shut := `<worksheet `+xmlns+`><sheetData>`+bookRows, `</sheetData></worksheet>`
	book := func(xml string) recipe { return honest().with(main, of(xml)).zip() }
	rels := func(more string) recipe { return honest().with("xl/_rels/workbook.xml.rels", of(linksOf(more))).zip() }
	laughs := func() string {
		var b strings.Builder
		b.WriteString(`<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY l0 "lol">`)
		for i := range 10 {
			fmt.Fprintf(&b, `<!ENTITY l%d "%s">`, i+1, strings.Repeat(fmt.Sprintf("&l%d;", i), 10))
		}
		return b.String() + `]>`
	}()
	formulas := func(formula func(i int) string, n int) recipe {
		return honest().with(sheet, func(w io.Writer) error {
			if _, err := io.WriteString(w, open); err != nil {
				return err
			}
			for i := range n {
				if _, err := fmt.Fprintf(w, `<row r="%d"><c r="Z%d" t="str"><f>%s</f><v>1</v></c></row>`, i+4, i+4, formula(i)); err != nil {
					return err
				}
			}
			_, err := io.WriteString(w, shut)
			return err
		}).zip()
	}
	shift := func(text string, n int) recipe { // a formula shared by n cells
		return honest().with(sheet, func(w io.Writer) error {
			fmt.Fprintf(w, `%s<row r="4"><c r="Z4"><f t="shared" ref="Z4:Z99999" si="0">%s</f><v>1</v></c></row>`, open, text)
			for i := range n {
				if _, err := fmt.Fprintf(w, `<row r="%d"><c r="Z%d"><f t="shared" si="0"/><v>1</v></c></row>`, i+5, i+5); err != nil {
					return err
				}
			}
			_, err := io.WriteString(w, shut)
			return err
		}).zip()
	}
	const mend = "let that repair it"
	all(t, []stranger{
		{"laughs in a sheet.xlsx", honest().with(sheet, of(laughs+strings.Replace(sheetOf(bookRows, ""), "12.6", "&l10;", 1))).zip(), 1, "declares a document type", mend},
		{"laughs in the list of sheets.xlsx", book(laughs + bookOf(`<sheet name="&l10;" sheetId="1" r:id="rId1"/>`)), 1, "declares a document type", mend},
		{"laughs in styles.xlsx", honest().with("xl/styles.xml", of(laughs+`<styleSheet `+xmlns+`>&l10;</styleSheet>`)).zip(), 1, "declares a document type", mend},
		{"an entity from outside.xlsx", honest().with(sheet, of(`<!DOCTYPE x [<!ENTITY x SYSTEM "file:///etc/passwd">]>`+strings.Replace(sheetOf(bookRows, ""), "12.6", "&x;", 1))).zip(), 1, "declares a document type", mend},
		{"an entity that nobody declares.xlsx", row(`<c r="A4" t="inlineStr"><is><t>&x;</t></is></c>`), 1, "invalid character entity &x;", mend},
		{"deep nesting.xlsx", row(`<c r="A4">` + strings.Repeat("<is>", 5_000) + strings.Repeat("</is>", 5_000) + `</c>`), 1, "nested too deep", mend},
		{"deep nesting of styles.xlsx", honest().with("xl/styles.xml", of(strings.Repeat("<styleSheet>", 20_000))).zip(), 1, "damaged", ""},
		{"not UTF-8.xlsx", row("<c r=\"A4\" t=\"inlineStr\"><is><t>\xff\xfe</t></is></c>"), 1, "invalid UTF-8", mend},
		{"UTF-16.xlsx", honest().with(sheet, of("\xFF\xFE<\x00w\x00o\x00r\x00k\x00")).zip(), 1, "invalid UTF-8", mend},
		{"UTF-16 by its word.xlsx", honest().with(sheet, of(`<?xml version="1.0" encoding="UTF-16"?>`+sheetOf(bookRows, ""))).zip(), 1, "UTF-16", mend},
		{"a huge attribute.xlsx", row(`<c r="` + strings.Repeat("A", 2<<20) + `"/>`), 1, "a tag or a text of more than", mend},
		{"a huge tag.xlsx", row(`<` + strings.Repeat("c", 2<<20) + `/>`), 1, "a tag or a text of more than", mend},
		{"a million attributes.xlsx", row(`<c ` + strings.Repeat(`a="" `, 1_000_000) + `/>`), 1, "a tag or a text of more than", mend},
		{"a control character by its number.xlsx", row(`<c r="A4" t="inlineStr"><is><t>&#27;[2J</t></is></c>`), 1, "illegal character code", mend},
		{"an escaped control character.xlsx", row(`<c r="D4" t="inlineStr"><is><t>_x001B_[2J</t></is></c>`), 0, "", ""},
		{"a sheet that turns the reading round.xlsx", book(bookOf("<sheet name=\"\u202egol\u009b2J\" sheetId=\"1\" r:id=\"rId1\"/>")), 0, "", ""},
		{"a sheet with a long name.xlsx", book(bookOf(`<sheet name="` + strings.Repeat("log ", 100_000) + `" sheetId="1" r:id="rId1"/>`)), 0, "", ""},

		{"an absurd dimension.xlsx", honest().with(sheet, of(strings.Replace(sheetOf(bookRows, ""), "<sheetData>", `<dimension ref="A1:XFD1048576"/><sheetData>`, 1))).zip(), 0, "", ""},
		{"a cell beyond everything.xlsx", row(`<c r="ZZZZ99999999"><v>1</v></c>`), 1, `a cell "ZZZZ99999999" in row 4`, mend},
		{"a cell of another row.xlsx", row(`<c r="A5"><v>1</v></c>`), 1, `a cell "A5" in row 4`, mend},
		{"the last cell.xlsx", in(`<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`, ""), 1, "row 1048576, but wanted at most 200000 rows", "delete what stands far"},
		{"row 0.xlsx", in(`<row r="0"/>`, ""), 1, `a row numbered "0"`, mend},
		{"row below 0.xlsx", in(`<row r="-4"/>`, ""), 1, `a row numbered "-4"`, mend},
		{"a row of 30 digits.xlsx", in(`<row r="`+strings.Repeat("9", 30)+`"/>`, ""), 1, "a row numbered", mend},
		{"rows out of order.xlsx", honest().with(sheet, of(sheetOf(rowOf(9, "3", "2026-03-03", "1.5", "14.0", "3", "15.0")+bookRows, ""))).zip(), 0, "", ""},
		{"a row twice.xlsx", in(rowOf(3, "9"), ""), 1, "row 3 stands there twice", mend},
		{"a cell twice.xlsx", row(`<c r="A4"><v>1</v></c><c r="A4"><v>2</v></c>`), 1, "cell A4 stands there twice or out of order", mend},
		{"a text that is not there.xlsx", row(`<c r="A4" t="s"><v>99</v></c>`), 1, `refers to text "99"`, mend},
		{"a text below 0.xlsx", row(`<c r="A4" t="s"><v>-1</v></c>`), 1, `refers to text "-1"`, mend},
		{"a style that is not there.xlsx", row(`<c r="A4" s="999999"><v>3</v></c>`), 0, "", ""},
		{"a style below 0.xlsx", row(`<c r="A4" s="-5"><v>3</v></c>`), 0, "", ""},
		{"styles that lead nowhere.xlsx", honest().with("xl/styles.xml", of(`<styleSheet `+xmlns+`><cellXfs><xf fontId="-1" fillId="9" borderId="-7" numFmtId="-3"/></cellXfs></styleSheet>`)).
			with(sheet, of(sheetOf(bookRows+`<row r="4"><c r="A4" s="0"><v>3</v></c></row>`, ""))).zip(), 0, "", ""},
		{"a calendar of nonsense.xlsx", book(strings.Replace(bookOf(`<sheet name="log" sheetId="1" r:id="rId1"/>`), "<sheets>", `<workbookPr date1904="sometimes"/><sheets>`, 1)), 1, "damaged workbook", mend},
		{"an unknown kind of cell.xlsx", row(`<c r="A4" t="owned"><v>1</v></c>`), 1, `of an unknown type "owned"`, mend},
		{"numbers that are none.xlsx", row(`<c r="D4"><v>1e999999</v></c><c r="E4"><v>NaN</v></c>`), 0, "", ""},
		{"16,384 columns.xlsx", large(open+`<row r="4">`, `<c><v>1</v></c>`, 16_384, `</row>`+shut), 1, "something in column 1025", "delete what stands far"},
		{"16,385 empty columns.xlsx", large(open+`<row r="4">`, `<c s="1"/>`, 16_385, `</row>`+shut), 1, "a cell beyond column 16384", mend},
		{"one merged range over all.xlsx", in("", `<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>`), 1, "", ""},
		{"30,000 merged ranges.xlsx", in("", `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1:B2"/>`, 30_000)+`</mergeCells>`), 1, "more than 20000 merged ranges", mend},
		{"a merged range of nonsense.xlsx", in("", `<mergeCells><mergeCell ref="ZZZZ1:A-1"/><mergeCell ref=""/></mergeCells>`), 0, "", ""},
		{"a text of 40,000 characters.xlsx", row(`<c r="G4" t="inlineStr"><is><t>` + strings.Repeat("x", 40_000) + `</t></is></c>`), 1, "a text of more than 32767 characters", mend},
		{"a text of 32,767 characters.xlsx", row(`<c r="A4"><v>3</v></c><c r="G4" t="inlineStr"><is><t>` + strings.Repeat("x", 32_767) + `</t></is></c>`), 0, "", ""},

		{"names that refer to files.xlsx", book(strings.Replace(bookOf(`<sheet name="log" sheetId="1" r:id="rId1"/>`), "</sheets>", `</sheets><definedNames><definedName name="x">'file:///etc/[passwd]x'!A1</definedName></definedNames>`, 1)), 0, "", ""},
		{"links to other files.xlsx", honest().with("xl/externalLinks/externalLink1.xml", of(`<externalLink `+xmlns+`><externalBook r:id="rId1"/></externalLink>`)).with(sheet, of(sheetOf(bookRows+`<row r="4"><c r="F4"><f>[1]x!A1</f><v>15.0</v></c></row>`, ""))).zip(), 0, "", ""},
		{"DDE.xlsx", row(`<c r="A4"><f>cmd|'/C calc'!A0</f><v>3</v></c>`), 0, "", ""},
		{"WEBSERVICE.xlsx", row(`<c r="A4"><f>_xlfn.WEBSERVICE("http://127.0.0.1:1/?"&amp;A2)</f><v>3</v></c>`), 0, "", ""},
		{"HYPERLINK.xlsx", row(`<c r="A4" t="str"><f>HYPERLINK("file:///etc/passwd","3")</f><v>3</v></c>`), 0, "", ""},
		{"a formula of itself.xlsx", row(`<c r="F4"><f>F4+1</f></c>`), 0, "", ""},
		{"formulas of each other.xlsx", row(`<c r="E4"><f>F4</f></c><c r="F4"><f>E4</f></c>`), 0, "", ""},
		{"a chain of 5,000 formulas.xlsx", formulas(func(i int) string { return fmt.Sprintf("Z%d+1", i+5) }, 5_000), 0, "", ""},
		{"a formula of 40,000 characters.xlsx", row(`<c r="A4"><f>` + strings.Repeat("1+", 20_000) + `1</f><v>3</v></c>`), 1, "a text of more than 32767 characters", mend},
		{"a shared formula that is nowhere.xlsx", row(`<c r="A4"><f t="shared" si="7"/><v>1</v></c>`), 1, "shares a formula that is nowhere", mend},
		{"array formulas.xlsx", row(`<c r="A4"><f t="array" ref="A4:XFD1048576">ROW(A1:A1048576)</f><v>3</v></c>`), 0, "", ""},
		{"functions that nobody knows.xlsx", row(`<c r="A4"><f>EXEC("calc")</f><v>3</v></c>`), 0, "", ""},

		{"macros.xlsm", honest().with("xl/vbaProject.bin", of("\xD0\xCF\x11\xE0macros")).zip(), 0, "", ""},
		{"a signed workbook.xlsx", honest().with("_xmlsignatures/origin.sigs", of("")).with("_xmlsignatures/sig1.xml", of("<Signature/>")).zip(), 0, "", ""},
		{"images in cells.xlsx", row(`<c r="G4" t="e" vm="1"><v>#VALUE!</v></c>`), 0, "", ""},
		{"the binary format.xlsb", honest().with("xl/workbook.bin", of("\x83\x01\x00")).without(main).zip(), 1, "binary format (.xlsb)", "save it as .xlsx"},
		{"an OpenDocument table.ods", parcel{"mimetype": of("application/vnd.oasis.opendocument.spreadsheet"), "content.xml": of("<x/>")}.zip(), 1, "OpenDocument", "save it as .xlsx"},
		{"nothing but charts.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(strings.Replace(linksOf(""), "/worksheet\"", "/chartsheet\"", 1))).zip(), 1, "a workbook without a sheet of cells", "check that this is the workbook"},
		{"no sheets.xlsx", book(bookOf("")), 1, "a workbook without a sheet of cells", "check that this is the workbook"},
		{"no list of sheets.xlsx", book("<owned/>"), 1, "a workbook without a sheet of cells", "check that this is the workbook"},
		{"a hidden sheet.xlsx", book(bookOf(`<sheet name="log" state="veryHidden" sheetId="1" r:id="rId1"/>`)), 0, "", ""},
		{"a sheet of the system.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(links+`<Relationship Id="rId1" TargetMode="External" Type="`+office+`/worksheet" Target="file:///etc/passwd"/></Relationships>`)).zip(), 1, "a sheet that the workbook lists but does not hold", mend},
		{"a sheet outside.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(links+`<Relationship Id="rId1" Type="`+office+`/worksheet" Target="../../x"/></Relationships>`)).zip(), 1, "a sheet that the workbook lists but does not hold", mend},
		{"texts outside.xlsx", rels(`<Relationship Id="rId2" Type="` + office + `/sharedStrings" Target="/etc/passwd"/>`), 1, "its table of texts is missing", mend},
		{"no links.xlsx", honest().with("xl/_rels/workbook.xml.rels", of("")).zip(), 1, "damaged workbook", mend},
	})
	grand(t, []stranger{
		{"a format of 100 kB.xlsx", honest().with("xl/styles.xml", of(`<styleSheet `+xmlns+`><numFmts><numFmt numFmtId="200" formatCode="`+strings.Repeat("0", 100_000)+`"/></numFmts><cellXfs><xf numFmtId="200"/></cellXfs></styleSheet>`)).
			with(sheet, of(sheetOf(bookRows+`<row r="4"><c r="A4" s="0"><v>3</v></c></row>`, ""))).zip(), 0, "", ""},
		{"a million empty rows.xlsx", large(open, `<row s="1" customFormat="1"/>`, 1_000_000, shut), 0, "", ""},
		{"3 million cells.xlsx", large(open, `<row>`+strings.Repeat(`<c><v>1</v></c>`, 1_000)+`</row>`, 3_000, shut), 1, "more than 2000000 cells", "delete what stands far"},
		{"3 million formulas.xlsx", large(open, `<row>`+strings.Repeat(`<c><f>A1+1</f><v>1</v></c>`, 1_000)+`</row>`, 3_000, shut), 1, "more than 2000000 cells", "delete what stands far"},
		{"20,000 merged ranges over each other.xlsx", in(rowOf(20_000, "x"), `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1:G20000"/>`, 20_000)+`</mergeCells>`), 1, "more than 2000000 cells", "delete what stands far"},
		{"a text in a million runs.xlsx", row(`<c r="G4" t="inlineStr"><is>` + strings.Repeat(`<r><t>x</t></r>`, 1_000_000) + `</is></c>`), 1, "a text of more than 32767 characters", mend},
		{"a chain of 10,000 formulas.xlsx", formulas(func(i int) string { return fmt.Sprintf("Z%d+1", i+5) }, 10_000), 0, "", ""},
		{"texts that double.xlsx", formulas(func(i int) string { return fmt.Sprintf("Z%d&amp;Z%d", i+3, i+3) }, 5_000), 0, "", ""},
		{"spaces in formulas.xlsx", formulas(func(int) string { return "1" + strings.Repeat(" ", 8_000) + "+1" }, 5_000), 0, "", ""},
		{"long sums.xlsx", formulas(func(int) string { return "A1" + strings.Repeat("+A1", 2_700) }, 5_000), 0, "", ""},
		{"nested choices.xlsx", formulas(func(int) string { return strings.Repeat("IF(1,", 1_000) + "1" + strings.Repeat(",2)", 1_000) }, 5_000), 0, "", ""},
		{"nested brackets.xlsx", formulas(func(int) string { return strings.Repeat("(", 8_000) }, 5_000), 0, "", ""},
		{"many signs.xlsx", formulas(func(int) string { return strings.Repeat("-", 8_000) + "1" }, 5_000), 0, "", ""},
		{"sums of everything.xlsx", formulas(func(int) string { return "SUM(A1:XFD1048576)" + strings.Repeat("+SUM(A1:Y9000)", 500) }, 5_000), 0, "", ""},
		{"compared texts.xlsx", honest().with(sheet, of(sheetOf(bookRows+func() string {
			var b strings.Builder
			b.WriteString(`<row r="4"><c r="Y4" t="inlineStr"><is><t>` + strings.Repeat("x ", 16_000) + `</t></is></c><c r="Z4" t="inlineStr"><is><t>` + strings.Repeat("x ", 15_999) + `y</t></is></c></row>`)
			for i := range 4_000 {
				fmt.Fprintf(&b, `<row r="%d"><c r="Z%d" t="str"><f>IF($Y$4=$Z$4,1,2)%s</f><v>1</v></c></row>`, i+5, i+5, strings.Repeat("+IF($Y$4=$Z$4,1,2)", 20))
			}
			return b.String()
		}(), ""))).zip(), 0, "", ""},
		{"shared formulas.xlsx", shift(strings.Repeat("A1+", 2_000)+"A1", 50_000), 1, "shared formulas of more than", mend},
	})
}
