package table

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
)

// Cells and areas as spreadsheets spell them; the last column and row are
// those of ISO/IEC 29500-1.
func TestParseArea(t *testing.T) {
	tests := []struct {
		in   string
		want area
		ok   bool
	}{
		{"A1", area{1, 1, 1, 1}, true},
		{"$C$14", area{3, 14, 3, 14}, true},
		{"b2:AA10", area{2, 2, 27, 10}, true},
		{"C9:A1", area{1, 1, 3, 9}, true},
		{"XFD1048576", area{16384, 1048576, 16384, 1048576}, true},
		{"XFE1", area{}, false},
		{"A1048577", area{}, false},
		{"A0", area{}, false},
		{"A", area{}, false},
		{"12", area{}, false},
		{"A1B", area{}, false},
		{"AAAA1", area{}, false},
		{"A99999999999999999999", area{}, false},
		{"A1:", area{}, false},
		{"", area{}, false},
	}
	for _, test := range tests {
		got, ok := parseArea(test.in)
		if ok != test.ok || ok && got != test.want {
			t.Errorf("%q: got %v %v, want %v %v", test.in, got, ok, test.want, test.ok)
		}
	}
}

func TestPiecesJoinToTheFormula(t *testing.T) {
	for _, f := range []string{
		`IF(E5="","",'Bay 7''s'!$D5-[1]log!A1)`, `"open`, `'open`, `[open`, `Table1[[#This Row],[a]]*2`, `µ+é1`, `1.5E-3`, ``,
	} {
		var b strings.Builder
		for _, p := range pieces(f) {
			b.WriteString(p.text)
		}
		if b.String() != f {
			t.Errorf("%q became %q", f, b.String())
		}
	}
}

// A shared formula written in B2, as it reads one row below and two columns to
// the right.
func TestSharedFormulaMoves(t *testing.T) {
	for in, want := range map[string]string{
		`A1*$A1*A$1*$A$1`:    `C2*$A2*C$1*$A$1`,
		`SUM(A1:B9)`:         `SUM(C2:D10)`,
		`LOG10(A1)`:          `LOG10(C2)`,
		`"A1"&A1`:            `"A1"&C2`,
		`'A1'!A1+A1!A1`:      `'A1'!C2+A1!C2`,
		`XFC1`:               `#REF!`,
		`A1048576`:           `#REF!`,
		`rate*2`:             `rate*2`,
		`Table1[A1]`:         `Table1[A1]`,
		`IF(A1="","",A1-B1)`: `IF(C2="","",C2-D2)`,
	} {
		if got := (sharedFormula{text: in, col: 2, row: 2}).at(4, 3); got != want {
			t.Errorf("%s: got %s, want %s", in, got, want)
		}
	}
}

func TestReferences(t *testing.T) {
	one := func(s string) area { a, _ := parseArea(s); return a }
	tests := []struct {
		formula string
		want    []reference
		ok      bool
	}{
		{`(E5-D5)*5*F5/G5*1000`, []reference{{"", one("E5")}, {"", one("D5")}, {"", one("F5")}, {"", one("G5")}}, true},
		{`IF(A1="","",ROUND(A1*1.5E-3,0))`, []reference{{"", one("A1")}, {"", one("A1")}}, true},
		{`AVERAGE($A$1:B9)`, []reference{{"", one("A1:B9")}}, true},
		{`job!B2+'Bay 7''s'!C3+A1`, []reference{{"job", one("B2")}, {"Bay 7's", one("C3")}, {"", one("A1")}}, true},
		{`_xlfn.STDEV.S(A1:A2)`, []reference{{"", one("A1:A2")}}, true},
		{`"A1"&TRUE`, nil, true},
		{`.5+1`, nil, true},
		{`NOW()`, nil, false},
		{`INDIRECT("A1")`, nil, false},
		{`VLOOKUP(A1,B1:C9,2)`, nil, false},
		{`IF(A1,,2)`, nil, false},
		{`(A1,B1)`, nil, false},
		{`1 2`, nil, false},
		{`A1=<B1`, nil, false},
		{`A1 <= -B1%`, []reference{{"", one("A1")}, {"", one("B1")}}, true},
		{`rate*2`, nil, false},
		{`SUM(A:A)`, nil, false},
		{`SUM(1:1)`, nil, false},
		{`[1]log!A1`, nil, false},
		{`'[other.xlsx]log'!A1`, []reference{{"[other.xlsx]log", one("A1")}}, true}, // a sheet that no workbook has
		{`Table1[a]`, nil, false},
		{`{1,2}`, nil, false},
		{`@A1`, nil, false},
		{`#REF!+1`, nil, false},
		{`A1:B2:C3`, nil, false},
		{`job!`, nil, false},
		{`SUM(A1:B2 B1)`, nil, false},
		{`( A1  +  B1 )`, []reference{{"", one("A1")}, {"", one("B1")}}, true},
		{`job!SUM(A1)`, nil, false},
	}
	for _, test := range tests {
		e, ok := parse(test.formula)
		var got []reference
		if ok {
			got = e.references()
		}
		if ok != test.ok || ok && !reflect.DeepEqual(got, test.want) {
			t.Errorf("%s: got %v %v, want %v %v", test.formula, got, ok, test.want, test.ok)
		}
	}
}

// Formulas that hold no result are computed; the expected values are
// arithmetic, done by hand, or the behaviour that ISO/IEC 29500-1 18.17
// describes (a rounded half goes away from zero, an empty cell equals "").
func TestRecomputeWithoutResult(t *testing.T) {
	inputs := []Entry{Num(2, ""), Num(14.5, ""), Num(3, ""), Num(1250, ""), Words("x"), {}, Yes(true)} // A1 … G1; F1 is empty
	tests := []struct {
		formula, format string
		kind            Kind
		text            string
	}{
		{`(B1-A1)*5*C1/D1*1000`, "0.0", Number, "150.0"},
		{`ROUND(16.5,0)`, "", Number, "17"},
		{`ROUND(2.675,2)`, "", Number, "2.68"},
		{`ROUND(-2.5,0)`, "", Number, "-3"},
		{`STDEV(2,4,4,4,5,5,7,9)^2*7`, "", Number, "32"},
		{`MEDIAN(A1:D1)`, "", Number, "8.75"},
		{`COUNT(A1:F1)`, "", Number, "4"},
		{`COUNTA(A1:G1)`, "", Number, "6"},
		{`IF(F1="","",1)`, "", Empty, ""},
		{`IF(F1<>"",1,IF(E1<>"","word",2))`, "", Text, "word"},
		{`AND(A1<3,B1>14)`, "", Bool, "TRUE"},
		{`F1+1`, "", Number, "1"},
		{`A1/F1`, "", Error, "#DIV/0!"},
		{`IFERROR(A1/F1,7)`, "", Number, "7"},
		{`45727+A1`, "yyyy-mm-dd", Date, "2025-03-13"},
		{`-2^2+2^3^2`, "", Number, "68"},
		{`50%*D1`, "", Number, "625"},
		{`"ρ "&B1&E1`, "", Text, "ρ 14.5x"},
		{`G1*2`, "", Number, "2"},
		{`ROUNDUP(-2.01,1)+ROUNDDOWN(-2.09,1)`, "", Number, "-4.1"},
		{`INT(-2.5)+MOD(-7,3)`, "", Number, "-1"},
		{`SUMPRODUCT(A1:B1,C1:D1)`, "", Number, "18131"},
		{`SUM(A1:F1)`, "", Number, "1269.5"},
		{`COUNTIF(A1:F1,">2.9")`, "", Number, "3"},
		{`COUNTIF(A1:F1,"x")`, "", Number, "1"},
		{`SUMIF(A1:D1,"<10")`, "", Number, "5"},
		{`MATCH(3,A1:D1,0)+INDEX(A1:D1,2)`, "", Number, "17.5"},
		{`VLOOKUP(2,A1:D1,4,FALSE)`, "", Number, "1250"},
		{`IF(E1="x",IF(F1=0,"empty","full"))`, "", Text, "empty"},
		{`IFERROR(SQRT(0-A1),"none")`, "", Text, "none"},
		{`ISNUMBER(E1)`, "", Bool, "FALSE"},
		{`ROUND(100*C1*5/D1,12)`, "", Number, "1.2"},
		{`ROUND(D1*1.0000000003,9)`, "0.000000000", Number, "1250.000000375"},
		{`E1>1000`, "", Bool, "TRUE"},
	}
	line := Line{Cells: inputs}
	for _, test := range tests {
		line.Cells = append(line.Cells, Formula(test.formula, test.format))
	}
	s := read(t, "x.xlsx", write(t, Page{Name: "log", Lines: []Line{line}})).Sheets[0]
	for i, test := range tests {
		c := s.Rows[0].Cell(len(inputs) + 1 + i)
		if c.Formula() != test.formula || !c.NoCache || c.Stale || c.Kind != test.kind || c.Text != test.text {
			t.Errorf("=%s: got %v %q (%+v), want %v %q", test.formula, c.Kind, c.Text, c, test.kind, test.text)
		}
	}
}

// What programs give in different ways, or what is not computed here, is left
// without a result. In A1 to H1 stand 2, TRUE, "x", nothing, the text "5",
// 0.1, 0.2 and a date.
func TestRecomputeLeavesWhatProgramsDoNotShare(t *testing.T) {
	line := Line{Cells: []Entry{Num(2, ""), Yes(true), Words("x"), {}, Words("5"), Num(0.1, ""), Num(0.2, ""), Day(2026, time.March, 2)}}
	inputs := len(line.Cells)
	formulas := []string{
		`NOW()`, `VLOOKUP(A1,A1:D1,1)`, `MATCH(1,A1:A1)`, `MATCH("x*",C1:C1,0)`, `MATCH("X",C1:C1,0)`, `TEXT(A1,"0.0")`, // other functions, nearest values, patterns
		`SUM(A1:B1)`, `COUNT(B1)`, `B1=1`, `B1&""`, `ISNUMBER(B1)`, `+B1`, // a truth is a number, or not
		`E1+1`, `E1=5`, `COUNTIF(A1:E1,5)`, `C1+1`, `"a"<"b"`, `C1="X"`, `AND(C1,A1)`, // texts as numbers and in order
		`D1`, `IF(A1=2,D1,1)`, `AND(D1,A1)`, `MIN(D1)`, `MEDIAN(D1)`, // nothing as a result
		`0^0`, `A1:B1+1`, `SUMPRODUCT((A1:A4="x")*ISNUMBER(B1:B4))`, `1/3&""`, `H1&""`,
		`F1+G1-0.3`, `F1+G1=0.3`, `ROUND((F1+G1)*5-1,0)`, `INT((F1+G1)*10)`, `MOD(0.3,F1)`, // the last binary digit
	}
	for _, f := range formulas {
		line.Cells = append(line.Cells, Formula(f, ""))
	}
	s := read(t, "x.xlsx", write(t, Page{Name: "log", Lines: []Line{line}})).Sheets[0]
	for i, f := range formulas {
		if c := s.Rows[0].Cell(inputs + 1 + i); c.Formula() != f || c.Kind != Error || c.Text != "" {
			t.Errorf("=%s: got %v %q", f, c.Kind, c.Text)
		}
	}
}

func TestRecomputeFindsStale(t *testing.T) {
	tests := []struct {
		name   string
		stored any
		entry  string
		stale  bool
		fresh  string
	}{
		{"same", 12.5, "B1-A1", false, ""},
		{"last digit of a float", 12.5 + 1e-12, "B1-A1", false, ""},
		{"other", 12.6, "B1-A1", true, "12.5"},
		{"text for a number", "x", "B1-A1", true, "12.5"},
		{"same word", "pass", `IF(A1<3,"pass","fail")`, false, ""},
		{"other word", "fail", `IF(A1<3,"pass","fail")`, true, "pass"},
		{"other truth", false, "A1<3", true, "TRUE"},
		{"same truth", true, "A1<3", false, ""},
		{"through another stale cell", 26.0, "E1*2", true, "25"},
		{"not recomputed", 99.0, "SUM(rate)", false, ""},
		{"on what is not recomputed", 99.0, "L1+1", false, ""},
		{"error here against a number there", 5.0, "A1/0", false, ""},
	}
	line := Line{Cells: []Entry{Num(2, ""), Num(14.5, "")}} // A1, B1; the first case stands in C1
	for _, test := range tests {
		line.Cells = append(line.Cells, Computed(test.entry, test.stored, ""))
	}
	f := read(t, "x.xlsx", write(t, Page{Name: "log", Lines: []Line{line}}))
	for i, test := range tests {
		c := f.Sheets[0].Rows[0].Cell(3 + i)
		if c.Stale != test.stale || c.Fresh() != test.fresh || c.NoCache {
			t.Errorf("%s: got stale %v, fresh %q, no cache %v; want %v, %q", test.name, c.Stale, c.Fresh(), c.NoCache, test.stale, test.fresh)
		}
		if c.Raw != fmt.Sprint(test.stored) && c.Kind == Text {
			t.Errorf("%s: the stored result %v became %q", test.name, test.stored, c.Raw)
		}
	}
	if len(f.Notes) != 1 || f.Notes[0].Check != "formulas-not-recomputed" || f.Notes[0].Pos.Cell() != "L1" || !strings.Contains(f.Notes[0].Msg, "2 formulas") {
		t.Errorf("got notes %v, want one of 2 formulas, the first in L1", f.Notes)
	}
}

// Formulas that go round, that take in a merged range or a number written as
// text, or that come in strange sheets, keep their stored result.
func TestRecomputeLeavesDoubtful(t *testing.T) {
	tests := []struct{ name, rows, after string }{
		{"circle", `<row r="1"><c r="A1"><f>B1+1</f><v>5</v></c><c r="B1"><f>A1+1</f><v>9</v></c></row>`, ""},
		{"merged", `<row r="1"><c r="A1"><v>5</v></c><c r="C1"><f>SUM(A1:B1)</f><v>99</v></c></row>`, `<mergeCells><mergeCell ref="A1:B1"/></mergeCells>`},
		{"number as text", `<row r="1"><c r="A1" t="str"><v>5</v></c><c r="C1"><f>A1=5</f><v>99</v></c></row>`, ""},
		{"array", `<row r="1"><c r="A1"><v>5</v></c><c r="C1"><f t="array" ref="C1:XFD1048576">A1+1</f><v>99</v></c></row>`, ""},
		{"no places", `<row r="1"><c><v>5</v></c><c><f>A1+1</f><v>99</v></c></row>`, ""},
		{"out of order", `<row r="2"><c r="A2"><f>A1+1</f><v>99</v></c></row><row r="1"><c r="A1"><v>5</v></c></row>`, ""},
		{"too wide", `<row r="1"><c r="A1"><f>SUM(B1:XFD1000)</f><v>99</v></c></row>`, ""},
	}
	for _, test := range tests {
		f := read(t, "x.xlsx", handmade{sheet: sheetOf(test.rows, test.after)}.bytes(t))
		for _, r := range f.Sheets[0].Rows {
			for _, c := range r.Cells() {
				if c.Stale {
					t.Errorf("%s: %s is stale, %q", test.name, c.Pos.Cell(), c.Fresh())
				}
			}
		}
		if len(f.Notes) != 1 || f.Notes[0].Check != "formulas-not-recomputed" {
			t.Errorf("%s: got notes %v", test.name, f.Notes)
		}
	}
}

// A workbook can say that it computes with the digits that it shows: its
// results are then not those of the full digits.
func TestRecomputeLeavesShownPrecision(t *testing.T) {
	rows := `<row r="1"><c r="A1"><v>0.26</v></c><c r="B1"><f>A1*10</f><v>3</v></c></row>`
	for properties, stale := range map[string]bool{`<calcPr fullPrecision="0"/>`: false, `<calcPr fullPrecision="1"/>`: true, ``: true} {
		f := read(t, "x.xlsx", handmade{sheet: sheetOf(rows, ""), book: properties}.bytes(t))
		if c := cellAt(t, f.Sheets[0], "B1"); c.Stale != stale || (len(f.Notes) == 0) != stale {
			t.Errorf("%s: stale is %v, notes %v", properties, c.Stale, f.Notes)
		}
	}
}

// An empty text is not an empty cell to every function.
func TestRecomputeTellsEmptyTexts(t *testing.T) {
	rows := `<row r="1"><c r="A1" t="inlineStr"><is><t></t></is></c><c r="B1"><f>COUNTA(A1:A1)</f><v>1</v></c><c r="C1" t="b"><f>ISBLANK(A1)</f><v>0</v></c><c r="D1" t="b"><f>A1=""</f><v>0</v></c></row>`
	s := read(t, "x.xlsx", handmade{sheet: sheetOf(rows, "")}.bytes(t)).Sheets[0]
	for cell, stale := range map[string]bool{"B1": false, "C1": false, "D1": true} {
		if c := cellAt(t, s, cell); c.Stale != stale {
			t.Errorf("%s is stale: %v, %q", cell, c.Stale, c.Fresh())
		}
	}
}

// The merged range's own cell may be used: it does hold the value.
func TestRecomputeUsesHolderOfMerge(t *testing.T) {
	rows := `<row r="1"><c r="A1"><v>5</v></c><c r="C1"><f>A1+1</f><v>99</v></c></row>`
	f := read(t, "x.xlsx", handmade{sheet: sheetOf(rows, `<mergeCells><mergeCell ref="A1:B1"/></mergeCells>`)}.bytes(t))
	if c := cellAt(t, f.Sheets[0], "C1"); c.Fresh() != "6" {
		t.Errorf("got fresh %q, want 6", c.Fresh())
	}
}

func TestRecomputeShared(t *testing.T) {
	rows := `<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f t="shared" ref="B1:B2" si="0">IF(A1="","",A1*2)</f><v>2</v></c></row>` +
		`<row r="2"><c r="A2"><v>4</v></c><c r="B2"><f t="shared" si="0"/><v>7</v></c></row>`
	s := read(t, "x.xlsx", handmade{sheet: sheetOf(rows, "")}.bytes(t)).Sheets[0]
	if c := cellAt(t, s, "B1"); c.Stale {
		t.Errorf("B1 is stale: %q", c.Fresh())
	}
	if c := cellAt(t, s, "B2"); c.Formula() != `IF(A2="","",A2*2)` || c.Fresh() != "8" {
		t.Errorf("B2: got =%s, fresh %q", c.Formula(), c.Fresh())
	}
}

// A running total as long as is recomputed at all, written so that each cell
// depends on the one below it.
func TestRecomputeLongChain(t *testing.T) {
	for _, n := range []int{maxFormulas, maxFormulas + 1} {
		var p Page
		p.Name = "log"
		for i := range n {
			p.Lines = append(p.Lines, Line{Cells: []Entry{Formula(fmt.Sprintf("A%d+1", i+2), "")}})
		}
		p.Lines = append(p.Lines, Line{Cells: []Entry{Num(0, "")}})
		f := read(t, "x.xlsx", write(t, p))
		want := ""
		if n <= maxFormulas {
			want = fmt.Sprint(n)
		}
		if got := cellAt(t, f.Sheets[0], "A1").Text; got != want {
			t.Errorf("%d formulas: got %q, want %q", n, got, want)
		}
	}
}
