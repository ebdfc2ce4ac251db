package table

import (
	"bytes"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/diag"
)

func TestWorkbookRoundTrip(t *testing.T) {
	data := write(t,
		Page{
			Name: "readings", Head: 1, Widths: []float64{12, 0, 20}, HiddenCols: []int{2, 9},
			Merged:  []string{"A4:A5", "B6:D6"},
			Choices: []Choice{{Range: "J2:J9", Values: []string{"pass", "fail"}}},
			Lines: []Line{
				{Bold: true, Cells: Texts("test", "blank", "extract").Cells},
				{Cells: []Entry{
					Words("0123"), Num(2.1, "0.0"), Num(14.25, ""), Day(2025, time.March, 11), Clock(8, 5),
					Moment(time.Date(2025, 3, 11, 23, 59, 30, 0, time.UTC), "dd/mm/yyyy hh:mm"), Yes(true), {}, Num(0.25, "0%"),
				}},
				{Hidden: true, Struck: true, Cells: []Entry{Words("struck"), Num(3, "")}},
				{Cells: []Entry{Words("Bay 7"), Num(1, "")}},
				{Cells: []Entry{{}, Num(2, "")}},
				{Cells: []Entry{Words("x"), Words("wide")}},
				{},
				{Cells: []Entry{{}, {value: "unseen", Faint: true}, Num(1024.5, "#,##0.0")}},
			},
		},
		Page{Name: "Søknad 2", Hidden: true, Lines: []Line{Texts("=SUM(A1)", "+1", "-", "@x", "a\nb", "  padded\u00a0")}},
	)
	f := read(t, "job.xlsx", data)
	if len(f.Sheets) != 2 || f.Sheets[0].Name != "readings" || f.Sheets[1].Name != "Søknad 2" {
		t.Fatalf("got sheets %v", f.Sheets)
	}
	s := f.Sheets[0]
	tests := []struct {
		cell      string
		kind      Kind
		text, raw string
		iso       string
	}{
		{"A1", Text, "test", "test", ""},
		{"A2", Text, "0123", "0123", ""},
		{"B2", Number, "2.1", "2.1", ""},
		{"C2", Number, "14.25", "14.25", ""},
		{"D2", Date, "2025-03-11", "45727", "2025-03-11"},
		{"E2", Date, "08:05", "0.3368055556", "08:05:00"},
		{"F2", Date, "11/03/2025 23:59", "45727.9996527778", "2025-03-11T23:59:30"},
		{"G2", Bool, "TRUE", "TRUE", ""},
		{"H2", Empty, "", "", ""},
		{"I2", Number, "25%", "0.25", ""},
		{"A5", Text, "Bay 7", "Bay 7", ""},
		{"C6", Text, "wide", "wide", ""},
		{"C8", Number, "1,024.5", "1024.5", ""},
	}
	for _, test := range tests {
		c := cellAt(t, s, test.cell)
		if c.Kind != test.kind || c.Text != test.text || c.Raw != test.raw || c.ISO() != test.iso {
			t.Errorf("%s: got %v %q %q %q, want %v %q %q %q", test.cell, c.Kind, c.Text, c.Raw, c.ISO(), test.kind, test.text, test.raw, test.iso)
		}
		if got := c.Pos.String(); got != "job.xlsx:readings!"+test.cell {
			t.Errorf("%s: stands at %s", test.cell, got)
		}
	}
	for i, r := range s.Rows {
		if r.Number != i+1 {
			t.Errorf("row %d has the number %d", i, r.Number)
		}
		if hidden := r.Number == 3; r.Hidden != hidden || r.Struck() != hidden {
			t.Errorf("row %d: hidden %v, struck %v", r.Number, r.Hidden, r.Struck())
		}
		if blank := r.Number == 7; r.Blank() != blank {
			t.Errorf("row %d: blank is %v", r.Number, r.Blank())
		}
	}
	if !slices.Equal(s.HiddenCols, []int{2, 9}) {
		t.Errorf("got hidden columns %v", s.HiddenCols)
	}
	for name, holder := range map[string]string{"A5": "A4", "C6": "B6", "D6": "B6"} {
		if got := cellAt(t, s, name).FillOf().Cell(); got != holder {
			t.Errorf("%s is filled from %q, want %s", name, got, holder)
		}
	}
	for _, name := range []string{"A4", "B6", "B5"} {
		if c := cellAt(t, s, name); !c.FillOf().IsZero() {
			t.Errorf("%s is filled from %v", name, c.FillOf())
		}
	}
	if !cellAt(t, s, "B8").Faint || cellAt(t, s, "C8").Faint {
		t.Errorf("B8 alone of its row is faint: %v", s.Rows[7])
	}
	if !f.Sheets[1].Hidden || s.Hidden {
		t.Errorf("the second sheet alone is hidden")
	}
	want := [][]string{{"=SUM(A1)", "+1", "-", "@x", "a\nb", "padded"}}
	if got := texts(f.Sheets[1]); !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	for _, c := range f.Sheets[1].Rows[0].Cells() {
		if c.Kind != Text || c.Formula() != "" {
			t.Errorf("%s became %v, formula %q", c.Pos.Cell(), c.Kind, c.Formula())
		}
	}
}

func TestWriteIsDeterministic(t *testing.T) {
	book := fieldBook(20, 3)
	first, err := Write(book)
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		again, err := Write(book)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("the same book gave other bytes")
		}
	}
}

// What the cells of a handmade sheet say, each in its own way of storing it.
func TestWorkbookStoredCells(t *testing.T) {
	h := handmade{
		strings: `<sst ` + mainNS + `><si><t>plain</t></si>` +
			`<si><r><t>12 </t></r><r><rPr><strike/></rPr><t xml:space="preserve">14</t></r></si>` +
			`<si><r><rPr><strike val="1"/></rPr><t>gone</t></r><r><rPr><strike val="1"/></rPr><t> too</t></r></si>` +
			`<si><r><rPr><strike/></rPr><t>12</t></r><r><t> 14</t></r></si><si><t>漢</t><rPh sb="0" eb="1"><t>kan</t></rPh></si><si><t>a_x0001_b_x005F_</t></si></sst>`,
		styles: `<styleSheet ` + mainNS + `><numFmts count="3"><numFmt numFmtId="164" formatCode="0.0&quot; µm&quot;"/>` +
			`<numFmt numFmtId="165" formatCode=";;;"/><numFmt numFmtId="166" formatCode="dd\.mm\.yy"/></numFmts>` +
			`<fonts count="4"><font/><font><strike/></font><font><color rgb="00FFFFFF"/></font><font><color rgb="FFFFFFFF"/></font></fonts>` +
			`<fills count="3"><fill><patternFill patternType="none"><fgColor rgb="FF000080"/></patternFill></fill><fill><patternFill patternType="gray125"/></fill>` +
			`<fill><patternFill patternType="solid"><fgColor rgb="FF000080"/></patternFill></fill></fills>` +
			`<borders count="1"><border/></borders>` +
			`<cellXfs count="8"><xf numFmtId="0" fontId="0" fillId="0"/><xf numFmtId="164" fontId="0" fillId="0"/><xf numFmtId="165" fontId="0" fillId="0"/>` +
			`<xf numFmtId="14" fontId="0" fillId="0"/><xf numFmtId="0" fontId="1" fillId="0"/><xf numFmtId="0" fontId="2" fillId="0"/>` +
			`<xf numFmtId="0" fontId="3" fillId="2"/><xf numFmtId="166" fontId="0" fillId="0"/><xf numFmtId="0" fontId="3" fillId="0"/></cellXfs></styleSheet>`,
		sheet: sheetOf(`<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="C1" t="s"><v>2</v></c><c r="D1" t="s"><v>4</v></c><c r="E1" t="s"><v>5</v></c><c r="F1" t="s"><v>3</v></c></row>`+
			`<row r="2"><c r="A2" t="inlineStr"><is><r><t>in</t></r><r><t>line</t></r></is></c><c r="B2" t="str"><v>words</v></c><c r="C2" t="b"><v>0</v></c><c r="D2" t="e"><v>#REF!</v></c><c r="E2" t="d"><v>2025-03-11T08:05:00</v></c></row>`+
			`<row r="3"><c r="A3"><v>14.199999999999999</v></c><c r="B3" s="1"><v>12.3456</v></c><c r="C3" s="2"><v>7</v></c><c r="D3" s="3"><v>45727</v></c><c r="E3" s="7"><v>45727.9</v></c><c r="F3"><v>1.5E-2</v></c><c r="G3"><v>NaN</v></c></row>`+
			`<row r="4"><c r="A4" s="4"><v>1</v></c><c r="B4" s="5"><v>1</v></c><c r="C4" s="6"><v>1</v></c><c r="D4"><v>1</v></c><c r="E4" s="8"><v>1</v></c></row>`+
			`<row r="5"><c><v>1</v></c><c s="1"/><c><v>3</v></c></row><row><c><v>6</v></c></row>`+
			`<row r="7" ht="0"><c r="A7"><v>7</v></c></row>`, ""),
	}
	f := read(t, "log.xlsx", h.bytes(t))
	s := f.Sheets[0]
	tests := []struct {
		cell           string
		kind           Kind
		text, raw, iso string
	}{
		{"A1", Text, "plain", "plain", ""},
		{"B1", Text, "12 14", "12 14", ""},
		{"C1", Text, "gone too", "gone too", ""},
		{"D1", Text, "漢", "漢", ""},
		{"E1", Text, `a\x01b_`, "a\x01b_", ""},
		{"F1", Text, "12 14", "12 14", ""},
		{"A2", Text, "inline", "inline", ""},
		{"B2", Text, "words", "words", ""},
		{"C2", Bool, "FALSE", "FALSE", ""},
		{"D2", Error, "#REF!", "#REF!", ""},
		{"E2", Date, "2025-03-11T08:05:00", "2025-03-11T08:05:00", "2025-03-11T08:05:00"},
		{"A3", Number, "14.2", "14.199999999999999", ""},
		{"B3", Number, "12.3 µm", "12.3456", ""},
		{"C3", Number, "", "7", ""},
		{"E3", Date, "11.03.25", "45727.9", "2025-03-11"},
		{"F3", Number, "0.015", "1.5E-2", ""},
		{"G3", Text, "NaN", "NaN", ""},
		{"A5", Number, "1", "1", ""},
		{"B5", Empty, "", "", ""},
		{"C5", Number, "3", "3", ""},
		{"A6", Number, "6", "6", ""},
	}
	for _, test := range tests {
		c := cellAt(t, s, test.cell)
		if c.Kind != test.kind || c.Text != test.text || c.Raw != test.raw || c.ISO() != test.iso {
			t.Errorf("%s: got %v %q %q %q, want %v %q %q %q", test.cell, c.Kind, c.Text, c.Raw, c.ISO(), test.kind, test.text, test.raw, test.iso)
		}
	}
	if c := cellAt(t, s, "D3"); c.Kind != Date || c.ISO() != "2025-03-11" {
		t.Errorf("D3: got %v %q", c.Kind, c.ISO())
	}
	for cell, want := range map[string][2]bool{ // struck, faint
		"E4": {false, true}, "F1": {false, false}, "A1": {false, false}, "B1": {false, false}, "C1": {true, false}, "C3": {false, true}, "A4": {true, false},
		"B4": {false, true}, "C4": {false, false}, "D4": {false, false},
	} {
		if c := cellAt(t, s, cell); c.Struck != want[0] || c.Faint != want[1] {
			t.Errorf("%s: got struck %v and faint %v, want %v", cell, c.Struck, c.Faint, want)
		}
	}
	if !s.Rows[6].Hidden || s.Rows[5].Hidden {
		t.Errorf("the row of no height alone is hidden")
	}
	if got := checks(f); !slices.Equal(got, []string{"partly-struck", "partly-struck"}) {
		t.Errorf("got notes %v", f.Notes)
	}
}

func TestWorkbookCalendars(t *testing.T) {
	sheet := sheetOf(`<row r="1"><c r="A1" s="1"><v>0</v></c><c r="B1" s="1"><v>44265</v></c></row>`, "")
	styles := `<styleSheet ` + mainNS + `><cellXfs><xf/><xf numFmtId="14"/></cellXfs></styleSheet>`
	for book, want := range map[string][2]string{
		``:                               {"", "2021-03-10"},
		`<workbookPr date1904="1"/>`:     {"1904-01-01", "2025-03-11"},
		`<workbookPr date1904="false"/>`: {"", "2021-03-10"},
	} {
		s := read(t, "log.xlsx", handmade{sheet: sheet, styles: styles, book: book}.bytes(t)).Sheets[0]
		if got := [2]string{cellAt(t, s, "A1").ISO(), cellAt(t, s, "B1").ISO()}; got != want {
			t.Errorf("%s: got %q, want %q", book, got, want)
		}
		if s.Date1904 != (want[0] != "") {
			t.Errorf("%s: Date1904 is %v", book, s.Date1904)
		}
	}
}

// The rows that are there are read, whatever the sheet says of its size, and
// in whatever order it holds them.
func TestWorkbookReadsEveryRow(t *testing.T) {
	rows := `<row r="3"><c r="A3"><v>3</v></c></row><row r="1"><c r="A1"><v>1</v></c></row>`
	sheet := strings.Replace(sheetOf(rows, ""), "<sheetData>", `<dimension ref="A1"/><sheetData>`, 1)
	s := read(t, "log.xlsx", handmade{sheet: sheet}.bytes(t)).Sheets[0]
	if got, want := texts(s), [][]string{{"1"}, nil, {"3"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A library that reads on in spite of these would return fewer rows than the
// file has.
func TestWorkbookRefusesDamage(t *testing.T) {
	row := func(n string) string { return `<row r="` + n + `"><c r="A` + n + `"><v>1</v></c></row>` }
	good := sheetOf(row("1")+row("2"), "")
	if got := len(read(t, "log.xlsx", handmade{sheet: good}.bytes(t)).Sheets[0].Rows); got != 2 {
		t.Fatalf("the sound sheet has %d rows, want 2", got)
	}
	tests := []struct {
		name string
		book handmade
		at   diag.Pos
	}{
		{"cut off", handmade{sheet: good[:len(good)-30]}, diag.In("", "log").At(2, 0)},
		{"cut off between rows", handmade{sheet: `<worksheet ` + mainNS + `><sheetData>` + row("1")}, diag.In("", "log").At(1, 0)},
		{"wrong end", handmade{sheet: sheetOf(row("1")+`<row r="2"><c r="A2"><v>1</c></v></row>`, "")}, diag.In("", "log").At(2, 0)},
		{"stray ampersand", handmade{sheet: sheetOf(row("1")+`<row r="2"><c r="A2" t="str"><v>a & b</v></c></row>`+row("3"), "")}, diag.In("", "log").At(2, 0)},
		{"row twice", handmade{sheet: sheetOf(row("1")+row("1"), "")}, diag.In("", "log").At(1, 0)},
		{"row number", handmade{sheet: sheetOf(`<row r="x"/>`, "")}, diag.In("", "log")},
		{"row 0", handmade{sheet: sheetOf(`<row r="0"/>`, "")}, diag.In("", "log")},
		{"cell of another row", handmade{sheet: sheetOf(`<row r="1"><c r="A2"><v>1</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"cell twice", handmade{sheet: sheetOf(`<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>1</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"missing text", handmade{sheet: sheetOf(`<row r="1"><c r="A1" t="s"><v>0</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"text beyond the table", handmade{strings: `<sst ` + mainNS + `><si><t>a</t></si></sst>`, sheet: sheetOf(`<row r="1"><c r="A1" t="s"><v>1</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"unknown type", handmade{sheet: sheetOf(`<row r="1"><c r="A1" t="x"><v>1</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"shared formula that is nowhere", handmade{sheet: sheetOf(`<row r="1"><c r="A1"><f t="shared" si="0"/><v>1</v></c></row>`, "")}, diag.In("", "log").At(1, 0)},
		{"nested without end", handmade{sheet: strings.Repeat("<a>", maxXMLDepth+1)}, diag.In("", "log")},
		{"texts cut off", handmade{strings: `<sst ` + mainNS + `><si>`, sheet: good}, diag.Pos{}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := refused(t, test.book.bytes(t), Options{})
			at := diag.In("log.any", test.at.Sheet()).At(test.at.Row(), test.at.Col())
			if r.Check != "damaged-workbook" || r.Pos != at {
				t.Errorf("got %s at %v, want damaged-workbook at %v (%v)", r.Check, r.Pos, at, r)
			}
		})
	}
}

func TestWorkbookMissingParts(t *testing.T) {
	for name, check := range map[string]string{
		"xl/worksheets/sheet1.xml":   "damaged-workbook",
		"xl/_rels/workbook.xml.rels": "damaged-workbook",
		"xl/sharedStrings.xml":       "damaged-workbook",
	} {
		parts := handmade{sheet: sheetOf("", ""), strings: `<sst ` + mainNS + `/>`}.parts()
		delete(parts, name)
		if r := refused(t, zipped(t, parts), Options{}); r.Check != check {
			t.Errorf("without %s: got %s, want %s", name, r.Check, check)
		}
	}
	parts := handmade{}.parts()
	parts["xl/workbook.xml"] = `<workbook ` + mainNS + `><sheets/></workbook>`
	if r := refused(t, zipped(t, parts), Options{}); r.Check != "no-sheet" {
		t.Errorf("without sheets: got %s", r.Check)
	}
}

// Chart sheets have no cells; a note says that one was there.
func TestWorkbookPassesOverCharts(t *testing.T) {
	parts := handmade{sheet: sheetOf("", "")}.parts()
	parts["xl/workbook.xml"] = strings.Replace(parts["xl/workbook.xml"], "<sheets>",
		`<sheets><sheet name="curve" sheetId="2" r:id="rId9"/>`, 1)
	parts["xl/_rels/workbook.xml.rels"] = strings.Replace(parts["xl/_rels/workbook.xml.rels"], "<Relationship ",
		`<Relationship Id="rId9" Type="`+relNS+`/chartsheet" Target="chartsheets/sheet1.xml"/><Relationship `, 1)
	f := read(t, "log.xlsx", zipped(t, parts))
	if len(f.Sheets) != 1 || f.Sheets[0].Name != "log" || !slices.Equal(checks(f), []string{"sheet-without-cells"}) {
		t.Errorf("got sheets %v and notes %v", f.Sheets, f.Notes)
	}
}

// Merged ranges far beyond the table cost nothing; a value under one is told.
func TestWorkbookMergedRanges(t *testing.T) {
	h := handmade{sheet: sheetOf(
		`<row r="1"><c r="A1" t="str"><v>title</v></c></row><row r="2"><c r="A2"><f>1+0</f><v>1</v></c><c r="B2"><v>2</v></c></row><row r="3"><c r="B3"><v>3</v></c></row>`,
		`<mergeCells><mergeCell ref="A1:XFD1"/><mergeCell ref="A2:A1048576"/><mergeCell ref="C5:D9"/><mergeCell ref="nonsense"/></mergeCells>`)}
	f := read(t, "log.xlsx", h.bytes(t))
	if got, want := texts(f.Sheets[0]), [][]string{{"title", "title"}, {"1", "2"}, {"1", "3"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if holder, filled := cellAt(t, f.Sheets[0], "A2"), cellAt(t, f.Sheets[0], "A3"); holder.Formula() == "" || filled.Formula() != "" {
		t.Errorf("the formula belongs to A2 alone: %+v %+v", holder, filled)
	}
	h.sheet = sheetOf(`<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>2</v></c></row>`, `<mergeCells><mergeCell ref="A1:B1"/></mergeCells>`)
	f = read(t, "log.xlsx", h.bytes(t))
	if got := cellAt(t, f.Sheets[0], "B1"); got.Text != "1" || !slices.Equal(checks(f), []string{"covered-by-merge"}) {
		t.Errorf("got %q and notes %v", got.Text, f.Notes)
	}
}

// testdata/table/field.xlsx is a small log that LibreOffice 7.4 computed and
// saved, so its layout of the parts, its styles and its stored results are not
// ours. Every result that is recomputed here must agree with it.
func TestWorkbookSavedElsewhere(t *testing.T) {
	data, err := os.ReadFile("../../testdata/table/field.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	f := read(t, "field.xlsx", data)
	if len(f.Sheets) != 2 || f.Sheets[0].Name != "Søknad 7" || !f.Sheets[1].Hidden {
		t.Fatalf("got sheets %v", f.Sheets)
	}
	s := f.Sheets[0]
	formulas := 0
	for _, r := range s.Rows {
		for _, c := range r.Cells() {
			if c.Formula() == "" {
				continue
			}
			formulas++
			if c.Stale || c.NoCache {
				t.Errorf("%s: =%s is stored as %q, computed as %q", c.Pos, c.Formula(), c.Raw, c.Fresh())
			}
		}
	}
	if formulas != 39 {
		t.Errorf("got %d formulas, want 39", formulas)
	}
	for name, want := range map[string]string{
		"A1": "Leitfähigkeit, µS/cm  —  Bay 7", "B4": "2025-03-11", "C4": "08:20", "D6": "2.0", "G4": "1,250",
		"H4": "4.1", "I4": "49", "J4": "pass", "I11": "#DIV/0!", "N11": "FALSE",
	} {
		if got := cellAt(t, s, name).Text; got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	if !s.Rows[6].Hidden || !s.Rows[7].Struck() || s.Rows[7].Hidden || s.Rows[6].Struck() {
		t.Errorf("row 7 is hidden and row 8 struck through")
	}
	if got := cellAt(t, s, "A5"); got.FillOf().Cell() != "A4" || got.Text != "T1" {
		t.Errorf("A5: got %+v", got)
	}
}

// The counts that a hostile sheet could drive up, at their bound and above.
func TestWorkbookCounts(t *testing.T) {
	merged := func(n int) handmade {
		return handmade{sheet: sheetOf("", `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1"/>`, n)+`</mergeCells>`)}
	}
	hidden := func(n int) handmade {
		return handmade{sheet: `<worksheet ` + mainNS + `><cols>` + strings.Repeat(`<col min="1" max="1" hidden="1"/>`, n) + `</cols><sheetData/></worksheet>`}
	}
	const long = 1 << 14 // bytes of a formula
	maxMoved := DefaultLimits().Letters
	shared := func(n int) handmade {
		var rows strings.Builder
		rows.WriteString(`<row r="1"><c r="A1"><f t="shared" ref="A1:A9" si="0">` + strings.Repeat("1", long) + `</f><v>1</v></c></row>`)
		for i := range n {
			fmt.Fprintf(&rows, `<row r="%d"><c r="A%d"><f t="shared" si="0"/><v>1</v></c></row>`, i+2, i+2)
		}
		return handmade{sheet: sheetOf(rows.String(), "")}
	}
	for name, test := range map[string][2]handmade{
		"merged ranges":   {merged(maxMerged), merged(maxMerged + 1)},
		"hidden columns":  {hidden(lastColumn), hidden(lastColumn + 1)},
		"shared formulas": {shared(maxMoved / long), shared(maxMoved/long + 1)},
	} {
		read(t, name, test[0].bytes(t))
		if r := refused(t, test[1].bytes(t), Options{}); r.Check != "damaged-workbook" {
			t.Errorf("%s: got %s", name, r.Check)
		}
	}
	texts := handmade{sheet: sheetOf("", ""), strings: `<sst ` + mainNS + `>` + strings.Repeat("<si/>", 4) + `</sst>`}
	if _, err := Read("x", texts.bytes(t), Options{Limits: Limits{Cells: 4}}); err != nil {
		t.Errorf("four texts: %v", err)
	}
	if r := refused(t, texts.bytes(t), Options{Limits: Limits{Cells: 3}}); r.Check != "sheet-too-large" {
		t.Errorf("four texts where three may be: got %s", r.Check)
	}
}

// A formula element without a formula is no formula; an empty stored text is
// a result.
func TestWorkbookStoredResults(t *testing.T) {
	rows := `<row r="1"><c r="A1"><f/><v>5</v></c><c r="B1" t="str"><f>IF(Z9="","",1)</f><v></v></c>` +
		`<c r="C1" t="inlineStr"><f>IF(Z9="","dry",1)</f><is><t>dry</t></is></c><c r="D1" t="str"><f>NOW()</f></c></row>`
	s := read(t, "x.xlsx", handmade{sheet: sheetOf(rows, "")}.bytes(t)).Sheets[0]
	for name, want := range map[string]struct {
		kind    Kind
		formula bool
		noCache bool
	}{
		"A1": {Number, false, false}, "B1": {Empty, true, false}, "C1": {Text, true, false}, "D1": {Error, true, true},
	} {
		c := cellAt(t, s, name)
		if c.Kind != want.kind || (c.Formula() != "") != want.formula || c.NoCache != want.noCache || c.Stale {
			t.Errorf("%s: got %+v", name, c)
		}
	}
}
