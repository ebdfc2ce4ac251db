package table

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// corpus calls see with every workbook of the samples and of the tests.
func corpus(t *testing.T, see func(name string, data []byte)) {
	t.Helper()
	n := 0
	for _, folder := range []string{"../../samples", "../../testdata"} {
		err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || !strings.HasPrefix(filepath.Ext(path), ".xls") {
				return err
			}
			data, err := os.ReadFile(path)
			if err == nil {
				n++
				see(path, data)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 10 {
		t.Errorf("%d workbooks, want ten at least", n)
	}
	for name, book := range map[string]Book{"field book": fieldBook(200, 4), "wide book": wideBook(300, 25)} {
		data, err := Write(book)
		if err != nil {
			t.Fatal(err)
		}
		see(name, data)
	}
}

// TestBooksTheFastWay holds the two ways of reading a part against each other.
func TestBooksTheFastWay(t *testing.T) {
	corpus(t, func(name string, data []byte) { agree(t, name, data, Options{}) })
	for i, xml := range oddSheets {
		agree(t, fmt.Sprintf("odd sheet %d", i), handmade{sheet: xml, strings: oddStrings, styles: oddStyles}.bytes(t), Options{})
	}
	r := seeded(t)
	for i := range 600 {
		h := handmade{sheet: randomSheet(r), strings: randomStrings(r), styles: oddStyles}
		if r.IntN(4) == 0 {
			h.book = `<workbookPr date1904="1"/>`
		}
		if r.IntN(3) == 0 {
			h.sheet = damaged(r, h.sheet)
		}
		if r.IntN(6) == 0 {
			h.strings = damaged(r, h.strings)
		}
		opts := Options{}
		if r.IntN(8) == 0 {
			opts.Limits = Limits{Cols: 1 + r.IntN(6), Cells: 1 + r.IntN(60), Rows: 1 + r.IntN(12)}
		}
		agree(t, fmt.Sprintf("random book %d\n%s\n%s\n", i, h.sheet, h.strings), h.bytes(t), opts)
	}
}

// TestBooksAsTheLibraryReadsThem holds cells against what the workbook library
// says of them, where it says what is stored.
func TestBooksAsTheLibraryReadsThem(t *testing.T) {
	cells := 0
	corpus(t, func(name string, data []byte) {
		f, err := Read(name, data, Options{})
		if err != nil {
			return // a workbook that must be refused
		}
		book, err := open(data, 1<<30)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		defer book.Close()
		for _, s := range f.Sheets {
			for _, row := range s.Rows {
				for i, c := range row.Cells() {
					if !c.FillOf().IsZero() || c.NoCache || c.Kind == Empty {
						continue
					}
					cells++
					at, _ := excelize.CoordinatesToCellName(i+1, row.Number)
					sheet := nameInBook(book, s.Name)
					raw, err := book.GetCellValue(sheet, at, excelize.Options{RawCellValue: true})
					if err != nil {
						t.Fatalf("%s: %v: %v", name, c.Pos, err)
					}
					if c.Kind == Bool {
						raw = map[string]string{"1": "TRUE", "0": "FALSE", "TRUE": "TRUE", "FALSE": "FALSE"}[raw]
					}
					if number, err := strconv.ParseFloat(c.Raw, 64); err == nil && (c.Kind == Number || c.Kind == Date) {
						if theirs, err := strconv.ParseFloat(raw, 64); err != nil || theirs != number {
							t.Errorf("%s: %v is %q here and %q there", name, c.Pos, c.Raw, raw)
						}
					} else if strings.ReplaceAll(c.Raw, "\r\n", "\n") != strings.ReplaceAll(raw, "\r\n", "\n") {
						t.Errorf("%s: %v is %q here and %q there", name, c.Pos, c.Raw, raw)
					}
					formula, err := book.GetCellFormula(sheet, at)
					if err != nil {
						t.Fatalf("%s: %v: %v", name, c.Pos, err)
					}
					if formula = strings.TrimPrefix(formula, "="); formula != c.Formula() {
						t.Errorf("%s: %v has the formula %q here and %q there", name, c.Pos, c.Formula(), formula)
					}
				}
			}
		}
	})
	if cells < 5_000 {
		t.Errorf("%d cells were compared, want thousands", cells)
	}
}

// nameInBook is the name of a sheet as the workbook spells it.
func nameInBook(book *excelize.File, name string) string {
	for _, n := range book.GetSheetList() {
		if brief(clean(n)) == name {
			return n
		}
	}
	return name
}

const oddStyles = `<styleSheet ` + mainNS + `><numFmts><numFmt numFmtId="164" formatCode="[h]:mm;@"/><numFmt numFmtId="165" formatCode="0.0"/><numFmt numFmtId="166" formatCode="yyyy\-mm\-dd"/><numFmt numFmtId="167" formatCode="#,##0.00"/></numFmts>` +
	`<fonts><font/><font><strike/></font><font><color rgb="FFFFFFFF"/></font></fonts><fills><fill/></fills><borders><border/></borders>` +
	`<cellXfs><xf/><xf numFmtId="164"/><xf numFmtId="22"/><xf numFmtId="165"/><xf numFmtId="166"/><xf numFmtId="167"/><xf fontId="1"/><xf fontId="2"/><xf numFmtId="1"/><xf numFmtId="9"/></cellXfs></styleSheet>`

const oddStrings = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\r\n" + `<sst ` + mainNS + `><si><t>plain</t></si><si><t xml:space="preserve"> a &amp; b&#10;c&#x9; </t></si>` +
	`<si><r><rPr><strike/></rPr><t>gone</t></r></si><si><r><rPr><strike/></rPr><t>gone</t></r><r><t> kept</t></r></si><si><t>東京</t><rPh sb="0" eb="1"><t>トウ</t></rPh></si><si/><si><t>_x000D_x</t></si><si><t>  </t></si></sst>`

// oddSheets are sheets as some program writes them, or none.
var oddSheets = func() []string {
	row := func(cells string) string { return sheetOf(`<row r="1">`+cells+`</row>`, "") }
	return []string{
		"",
		"<worksheet/>",
		"\xEF\xBB\xBF" + `<?xml version="1.0" encoding="utf-8"?>` + row(`<c r="A1"><v>1</v></c>`),
		"\xFF\xFE<\x00w\x00",
		`<?xml version='1.0' encoding='UTF-8' standalone='yes'?>` + row(`<c r='A1' t='s'><v>0</v></c>`),
		`<?xml version="1.0" encoding="UTF-16"?>` + row(""),
		`<?xml version="1.0' encoding='utf-8"?>` + row(`<c r="A1"><v>1</v></c>`),
		`<?xml version="1.1"?>` + row(""),
		`<?xml version="1.0" encoding="ISO-8859-1"?>` + row(""),
		`<?odd thing?>` + row(`<c r="A1"><v>1</v></c>`),
		`<!DOCTYPE x>` + row(""),
		`<!-- said -->` + row(`<c r="A1"><!-- said --><v>1<!-- said -->2</v></c>`),
		`<!-- a -- b -->` + row(""),
		row(`<c r="A1" t="str"><v><![CDATA[a < b]]> c</v></c>`),
		row(`<c r="A1" t="str"><v>a ]]> b</v></c>`),
		row(`<c r="A1" t="str"><v>a > b ]] &gt;</v></c>`),
		row(`<c r="A1" t="str"><v>&lt;&gt;&quot;&apos;&amp;&#65;&#x41;&#13;&#10;</v></c>`),
		row(`<c r="A1" t="str"><v>&x;</v></c>`), row(`<c r="A1" t="str"><v>&#1;</v></c>`), row(`<c r="A1" t="str"><v>&#xD800;</v></c>`),
		row(`<c r="A1" t="str"><v>&#xFFFE;</v></c>`), row(`<c r="A1" t="str"><v>&#;</v></c>`), row(`<c r="A1" t="str"><v>&#x1F600;&#99999999;</v></c>`),
		row(`<c r="A1" t="str"><v>& b</v></c>`), row(`<c r="A1" t="str"><v>&amp</v></c>`), row("<c r=\"A1\" t=\"str\"><v>a\r\nb\rc\n</v></c>"),
		row("<c r=\"A1\" t=\"str\"><v>\x01</v></c>"), row("<c r=\"A1\" t=\"str\"><v>\xff</v></c>"), row("<c r=\"A1\" t=\"str\"><v>\xEF\xBF\xBF</v></c>"), row("<c r=\"A1\" t=\"str\"><v>\xED\xA0\x80</v></c>"),
		row(`<c r="A1" t="s"><v> 1 </v></c><c r="B1" t="s"><v>2</v></c><c r="C1" t="s"><v>3</v></c><c r="D1" t="s"><v>4</v></c><c r="E1" t="s"><v>5</v></c><c r="F1" t="s"><v>6</v></c><c r="G1" t="s"><v>7</v></c><c r="H1" t="s" s="6"><v>0</v></c><c r="I1" t="s" s="7"><v>0</v></c>`),
		row(`<c r="A1"><v>1</v></c><c r="B1" s="3"><v>1</v></c><c r="C1" s="3"><v>1</v></c><c r="D1" s="4"><v>45000.5</v></c><c r="E1" s="1"><v>1.25</v></c><c r="F1" s="5"><v>1234.567</v></c><c r="G1" s="9"><v>.25</v></c><c r="H1" s="7"><v>3</v></c>`),
		row(`<c r="A1" s="4294967300"><v>45000</v></c><c r="B1" s="4"><v>45000</v></c>`), // no style, and one that ends in the same bits
		row(`<c r="A1" s="3"><v>1</v></c><c r="B1" s="3"><v>01</v></c><c r="C1" s="3"><v>1.0</v></c><c r="D1" s="3"><v>1e3</v></c><c r="E1" s="3"><v>x</v></c><c r="F1" s="3"><v>NaN</v></c><c r="G1"><v>-0</v></c>`),
		row(`<c r="A1" t="b"><v>1</v></c><c r="B1" t="b"><v>true</v></c><c r="C1" t="b"><v>0</v></c><c r="D1" t="e"><v>#N/A</v></c><c r="E1" t="d"><v>2025-03-11</v></c><c r="F1" t="n"><v>7</v></c>`),
		row(`<c r="A1" t="inlineStr"><is><t>a</t></is></c><c r="B1" t="inlineStr"><is><r><t>b</t></r><r><rPr><strike val="0"/></rPr><t>c</t></r></is></c><c r="C1" t="inlineStr"><is/></c>`),
		row(`<c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>A1</f></c><c r="C1" t="str"><f>""</f><v></v></c><c r="D1"><f t="array" ref="D1">A1</f><v>2</v></c>`),
		sheetOf(`<row r="1"><c r="A1"><f t="shared" ref="A1:A2" si="0">B1&amp;"x"</f><v>2</v></c></row><row r="2"><c r="A2"><f t="shared" si="0"/><v>3</v></c></row>`, ""),
		sheetOf(`<row><c><v>1</v></c><c><v>2</v></c></row><row hidden="1"><c/></row><row ht="0"><c><v>3</v></c></row><row r="9" hidden="true"/>`, ""),
		sheetOf(`<row r="3"><c r="A3"><v>1</v></c></row><row r="1"><c r="A1"><v>2</v></c></row>`, ""),
		sheetOf(`<row r="1"><c r="A1"><v>1</v></c></row><row r="1"/>`, ""), sheetOf(`<row r="0"/>`, ""), sheetOf(`<row r="x"/>`, ""),
		row(`<c r="B1"><v>1</v></c><c r="A1"><v>2</v></c>`), row(`<c r="A2"><v>1</v></c>`), row(`<c r="A1" t="s"><v>99</v></c>`), row(`<c r="A1" t="s"><v>x</v></c>`), row(`<c r="A1" t="odd"><v>x</v></c>`),
		row(`<c r="A1"><f t="shared" si="4"/><v>x</v></c>`),
		sheetOf(`<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>2</v></c></row>`, `<mergeCells><mergeCell ref="A1:B2"/><mergeCell ref="x"/></mergeCells>`),
		`<worksheet ` + mainNS + `><cols><col min="2" max="3" hidden="1"/></cols><sheetData><row r="1"><c r="C1"><v>1</v></c></row></sheetData></worksheet>`,
		`<x:worksheet xmlns:x="u"><x:sheetData><x:row r="1"><x:c r="A1" x:s="3"><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>`,
		`<a:b:worksheet/>`, `<:worksheet/>`, `<worksheet:/>`, `<1/>`, `<wörksheet/>`, `< worksheet/>`, `<worksheet`, `<worksheet>`, `<worksheet></sheet>`, `</worksheet>`, `<worksheet/><`, `<worksheet/>x`, "<worksheet/>\v", "<worksheet/>\u00a0",
		`<worksheet a=b/>`, `<worksheet a/>`, `<worksheet a="1"b="2"/>`, `<worksheet a = "1"/>`, `<worksheet a="<"/>`, `<worksheet a=">"/>`, `<worksheet a="&amp;]]>"/>`, `<worksheet a="&x;"/>`, `<worksheet / >`, `<worksheet a="1" a="2"/>`, "<worksheet\ta\r\n=\n'1'\n/>", `<worksheet></worksheet >`, `<worksheet></worksheet x>`,
		sheetOf(`<row r="1"><c r="A1" t="str"><v>`+strings.Repeat("x", longestPlain+1)+`</v></c></row>`, ""),
		sheetOf(`<row r="1"><c r="A1" `+strings.Repeat(" ", longestPlain+1)+`><v>1</v></c></row>`, ""),
		sheetOf(`<row r="1"><c r="A1" t="str"><v>`+strings.Repeat("µ", 30_000)+`</v></c></row>`, ""),
		sheetOf(`<row r="1"><c r="A1" t="str"><v>`+strings.Repeat("&#181;", 40_000)+`</v></c></row>`, ""),
		strings.Repeat("<a>", 101), strings.Repeat("<a>", 99) + strings.Repeat("</a>", 99),
		row(`<c r="A1" t="str"><v>1<x/>2</v>3</c>`), row(`text<c r="A1"><v>1</v>text</c>`), row(`<c r="A1"><v>1</v><v>2</v></c>`), row(`<c r="A1"><row r="1"><c r="B1"><v>1</v></c></row></c>`),
	}
}()

// randomSheet is a sheet as a program might write it, with some oddities.
func randomSheet(r *rand.Rand) string {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	var rows strings.Builder
	number := 0
	for range r.IntN(12) {
		number += 1 + r.IntN(2)*r.IntN(3)
		at := fmt.Sprintf(` r="%d"`, number)
		if r.IntN(30) == 0 {
			at = pick("", ` r="1"`)
		}
		fmt.Fprintf(&rows, "<row%s%s>", at, pick("", "", "", ` hidden="1"`, ` ht="0"`, ` spans="1:9"`, ` s='3' customFormat="1"`))
		col := 0
		for range r.IntN(9) {
			col += 1 + r.IntN(2)*r.IntN(2)
			name, _ := excelize.CoordinatesToCellName(col, number)
			at := fmt.Sprintf(pick(` r="%s"`, ` r="%s"`, ` r='%s'`), name)
			if r.IntN(40) == 0 {
				at = ""
			}
			style := pick("", "", fmt.Sprintf(` s="%d"`, r.IntN(12)))
			space := pick("", "", "", "\n", "\r\n  ")
			switch r.IntN(9) {
			case 0:
				fmt.Fprintf(&rows, `<c%s%s/>`, at, style)
			case 1:
				fmt.Fprintf(&rows, `<c%s%s t="s">%s<v>%d</v></c>`, at, style, space, r.IntN(9))
			case 2:
				fmt.Fprintf(&rows, `<c%s t="inlineStr"%s><is>%s<t%s>%s</t></is></c>`, at, style, space, pick("", ` xml:space="preserve"`), pick("a", " b ", "&lt;x&gt;", "", "µS/cm", "_x0041_", "&#10;"))
			case 3:
				fmt.Fprintf(&rows, `<c%s%s><f>%s</f>%s<v>%d</v></c>`, at, style, pick("A1+1", "SUM(A1:B3)", `A1&amp;"x"`, "B1*2"), space, r.IntN(9))
			case 4:
				fmt.Fprintf(&rows, `<c%s%s t="str"><f>A1</f></c>`, at, style)
			case 5:
				fmt.Fprintf(&rows, `<c%s%s t="%s"><v>%s</v></c>`, at, style, pick("b", "e", "d", "n", "str"), pick("1", "0", "#N/A", "2025-03-11", "x"))
			default:
				fmt.Fprintf(&rows, `<c%s%s>%s<v>%s</v></c>%s`, at, style, space, pick("1", "2", "42.5", "45000.25", "1e-5", " 7 ", "0.1", "-3", "x", strconv.FormatFloat(r.Float64()*100, 'f', -1, 64)), space)
			}
		}
		rows.WriteString("</row>")
	}
	head := pick("", `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`+"\r\n")
	after := pick("", "", `<mergeCells count="1"><mergeCell ref="A1:B2"/></mergeCells>`, `<mergeCells><mergeCell ref="B2:B4"/></mergeCells><pageMargins left="0.7"/>`)
	return head + sheetOf(rows.String(), after)
}

// randomStrings is a table of nine texts.
func randomStrings(r *rand.Rand) string {
	var b strings.Builder
	for range 9 {
		b.WriteString([]string{
			`<si><t>a</t></si>`, `<si><t>Bay 7</t></si>`, `<si/>`, `<si><t xml:space="preserve"> x </t></si>`, `<si><t>&amp;</t></si>`,
			`<si><r><t>a</t></r><r><rPr><strike/></rPr><t>b</t></r></si>`, `<si><r><rPr><strike val="1"/></rPr><t>b</t></r></si>`, `<si><t>µ</t><rPh><t>p</t></rPh></si>`,
		}[r.IntN(8)])
	}
	return `<sst ` + mainNS + ` count="9">` + b.String() + `</sst>`
}

// damaged is an XML text with something put in, taken out or changed.
func damaged(r *rand.Rand, xml string) string {
	const odd = "<>&;\"'/=!?[]-: \r\n\tx\x00\x01\xB5\xFF0"
	i := r.IntN(len(xml))
	switch r.IntN(4) {
	case 0:
		return xml[:i] + xml[i+1:]
	case 1:
		return xml[:i]
	case 2:
		k := r.IntN(len(odd))
		return xml[:i] + odd[k:k+1] + xml[i+1:]
	}
	return xml[:i] + []string{"<!-- x -->", "<![CDATA[x]]>", "]]>", "&amp;", "&#9;", "\r\n", "é", "<x/>", "<?x y?>"}[r.IntN(9)] + xml[i:]
}
