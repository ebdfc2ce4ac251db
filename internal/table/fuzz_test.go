package table

import (
	"bytes"
	"encoding/xml"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// The fuzz targets go past the recover in Read, so that a panic of this
// package is seen. Panics of the workbook library are what it is there for.

// forgiveLibrary is deferred by a target.
func forgiveLibrary(t *testing.T) {
	if p := recover(); p != nil && !strings.Contains(string(debug.Stack()), "github.com/xuri/") {
		t.Fatalf("panic: %v\n%s", p, debug.Stack())
	}
}

// checkPlaces fails unless every cell knows where it stands.
func checkPlaces(t *testing.T, f *File) {
	t.Helper()
	for _, s := range f.Sheets {
		last := 0
		for _, r := range s.Rows {
			if r.Number <= last {
				t.Fatalf("row %d follows row %d", r.Number, last)
			}
			last = r.Number
			for i, c := range r.Cells() {
				if c.Pos.Row() != r.Number || c.Pos.Col() != i+1 || c.Pos.File() != f.Name {
					t.Fatalf("cell %d of row %d says that it is %v", i+1, r.Number, c.Pos)
				}
			}
		}
	}
}

// words counts the letters and digits of s, which no reading may lose.
func words(s string) (n int) {
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			n++
		}
	}
	return n
}

func FuzzReadText(f *testing.F) {
	for _, s := range []string{
		"a,b\n1,2\n", "a;b\r\n\"1,5\";\"x\"\"y\"\n", "sep=|\na|b", "\"open,1\n2,3\n", "a\tb\n\n1\t2", "\xFF\xFEa\x00;\x00b\x00",
		"a,\"b\nc\",d\n", "\xEF\xBB\xBFa,b", "µ;²\n", "\xB5,\xB2\n", " \"a\" , b\n", "sep=0\n0", "\"a\",\"b\"\r\n\"1\",\"2,5\"\n\"3\",\"\"\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r := newReader("x.csv", data, Options{})
		if sniff(data) != isText || r.read(data) != nil {
			return
		}
		checkPlaces(t, r.file)
		agree(t, "x.csv", data, Options{})
		text, _ := decodeText(data, encodingOf(data))
		if _, rest, ok := declaredDelimiter(text); ok {
			text = rest
		}
		got := 0
		for _, row := range r.file.Sheets[0].Rows {
			for _, c := range row.Cells() {
				got += words(c.Raw)
			}
		}
		if want := words(text); got != want {
			t.Fatalf("the text has %d letters and digits, its cells have %d", want, got)
		}
	})
}

func FuzzReadSheet(f *testing.F) {
	styles := `<styleSheet ` + mainNS + `><numFmts><numFmt numFmtId="164" formatCode="[h]:mm;@"/></numFmts><cellXfs><xf/><xf numFmtId="164"/><xf numFmtId="22"/></cellXfs></styleSheet>`
	f.Add(`<row r="1"><c r="A1" s="1"><v>1.5</v></c><c r="B1" t="s"><v>0</v></c></row>`, `<mergeCells><mergeCell ref="A1:B2"/></mergeCells>`, `<si><t>a</t></si>`, styles)
	f.Add(`<row r="2" hidden="1"><c r="C2" s="2"><f>A1+SUM(A1:B9)</f></c></row>`, ``, ``, styles)
	f.Add(`<row><c t="inlineStr"><is><r><rPr><strike/></rPr><t>x</t></r></is></c><c t="b"><v>1</v></c></row>`, `<cols/>`, `<si/>`, ``)
	f.Add(`<row r="1"><c r="A1"><f t="shared" ref="A1:A2" si="0">IF(B1="","",B1)</f></c></row><row r="2"><c r="A2"><f t="shared" si="0"/><v>3</v></c></row>`, ``, ``, ``)
	limits := Limits{Rows: 1000, Cols: 100, Cells: 10_000, Unpacked: 1 << 20}
	f.Fuzz(func(t *testing.T, rows, after, texts, styles string) {
		defer forgiveLibrary(t)
		h := handmade{sheet: sheetOf(rows, after), styles: styles}
		if texts != "" {
			h.strings = `<sst ` + mainNS + `>` + texts + `</sst>`
		}
		data := h.bytes(t)
		r := newReader("x.xlsx", data, Options{Limits: limits})
		if r.read(data) == nil {
			checkPlaces(t, r.file)
		}
		agree(t, "x.xlsx", data, Options{Limits: limits})
	})
}

// FuzzWalkers gives the walkers a part each, whatever it is: where the plain one
// does not give up, they go the same way.
func FuzzWalkers(f *testing.F) {
	for _, s := range oddSheets {
		if len(s) < 2000 {
			f.Add([]byte(s))
		}
	}
	f.Add([]byte(oddStrings))
	f.Fuzz(func(t *testing.T, part []byte) {
		plain, any := newPlainWalker(bytes.NewReader(part)), newXMLWalker(bytes.NewReader(part))
		for {
			start, end, err := plain.next()
			if err == errNotPlain {
				return
			}
			other, otherEnd, otherErr := any.next()
			if err != otherErr || end != otherEnd || (start == nil) != (other == nil) {
				t.Fatalf("%v %q %v here, %v %q %v there", start, end, err, other, otherEnd, otherErr)
			}
			if err != nil {
				return
			}
			if start != nil && (start.name != other.name || !slices.Equal(start.attrs, other.attrs)) {
				t.Fatalf("%v here, %v there", start, other)
			}
			if plain.parent(1) != any.parent(1) || plain.parent(2) != any.parent(2) || start == nil && !bytes.Equal(plain.content(), any.content()) {
				t.Fatalf("%q in %q here, %q in %q there", plain.content(), plain.parent(1), any.content(), any.parent(1))
			}
		}
	})
}

func FuzzReadAnything(f *testing.F) {
	f.Add(handmade{sheet: sheetOf(`<row r="1"><c r="A1"><v>1</v></c></row>`, "")}.bytes(f))
	f.Add([]byte("PK\x03\x04"))
	f.Add([]byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"))
	f.Add([]byte("%PDF-"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer forgiveLibrary(t)
		r := newReader("x", data, Options{Limits: Limits{Unpacked: 1 << 22}})
		if r.read(data) == nil {
			checkPlaces(t, r.file)
		}
	})
}

func FuzzPieces(f *testing.F) {
	f.Add(`IF(A1="","",B2*2)`)
	f.Add(`'x''y'!$A$1&"a""b"`)
	f.Fuzz(func(t *testing.T, formula string) {
		var b strings.Builder
		for _, p := range pieces(formula) {
			b.WriteString(p.text)
		}
		if b.String() != formula {
			t.Fatalf("%q became %q", formula, b.String())
		}
		if e, ok := parse(formula); ok {
			e.references()
		}
		if got := (sharedFormula{text: formula, col: 3, row: 3}).at(3, 3); !strings.EqualFold(withoutZeros(got), withoutZeros(formula)) {
			t.Fatalf("%q moved by nothing became %q", formula, got)
		}
	})
}

// withoutZeros leaves out leading zeros, which a moved reference does not keep.
func withoutZeros(s string) string { return strings.ReplaceAll(s, "0", "") }

// A formula, whatever it is, is computed or left, and its cells know where they
// stand; what is computed is no longer than a cell may be.
func FuzzFormula(f *testing.F) {
	for _, s := range []string{
		`IF(A1>2,"x"&B1,A1*2)`, `SUM(A1:C3)/COUNT(A1:C3)`, `VLOOKUP(A1,A1:C3,2,FALSE)`, `INDEX(A1:C3,2,1)&C1`, `COUNTIF(A1:A3,">1")`,
		`SUMPRODUCT(A1:A3,B1:B3)`, `1.5E-3^2%`, `IFERROR(1/0,ROUND(A1,-2))`, `'log'!A1 B2`, `D2&D2`, `MATCH("x",A1:A3,0)`,
	} {
		f.Add(s, "x")
	}
	f.Fuzz(func(t *testing.T, formula, text string) {
		defer forgiveLibrary(t)
		escape := func(s string) string {
			var b strings.Builder
			if xml.EscapeText(&b, []byte(s)) != nil {
				t.Skip()
			}
			return b.String()
		}
		formula, text = escape(formula), escape(text)
		cell := func(name string) string {
			return `<c r="` + name + `"><f>` + formula + `</f></c>`
		}
		rows := `<row r="1"><c r="A1"><v>1.5</v></c><c r="B1" t="inlineStr"><is><t>` + text + `</t></is></c><c r="C1" t="b"><v>1</v></c>` + cell("D1") + `</row>` +
			`<row r="2"><c r="A2"><v>2</v></c><c r="B2"><v>-3</v></c>` + cell("D2") + `</row><row r="3"><c r="A3"><v>4</v></c><c r="B3" t="e"><v>#N/A</v></c>` + cell("D3") + `</row>`
		data := handmade{sheet: sheetOf(rows, "")}.bytes(t)
		r := newReader("x.xlsx", data, Options{})
		if r.read(data) != nil {
			return
		}
		checkPlaces(t, r.file)
		for _, row := range r.file.Sheets[0].Rows {
			for _, c := range row.Cells() {
				if tooLong(c.Raw) {
					t.Fatalf("%s holds %d bytes", c.Pos.Cell(), len(c.Raw))
				}
			}
		}
	})
}
