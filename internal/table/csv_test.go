package table

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"
	enc "golang.org/x/text/encoding/unicode"
)

func TestCSVCells(t *testing.T) {
	tests := []struct {
		name, data string
		want       [][]string
		numbers    []int // of the rows, where they are not 1, 2, 3 …
		notes      []string
	}{
		{"plain", "a,b\nc,d\n", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"no line end at the end", "a,b\nc,d", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"line ends of three systems", "a,b\r\nc,d\r\n", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"carriage returns alone", "a,b\rc,d\r", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"ragged", "a,b,c\nd\ne,f\n", [][]string{{"a", "b", "c"}, {"d"}, {"e", "f"}}, nil, nil},
		{"blank lines are rows", "a,b\n\nc,d\n", [][]string{{"a", "b"}, nil, {"c", "d"}}, nil, nil},
		{"empty fields at the end are left off", "a,,\n,b,\n", [][]string{{"a"}, {"", "b"}}, nil, nil},
		{"rows of delimiters at the end are left off", "a,b\n,\n,\n", [][]string{{"a", "b"}}, nil, nil},
		{"quoted delimiter and quote", "\"a,1\",\"6\"\" nozzle\"\nb,c\n", [][]string{{"a,1", `6" nozzle`}, {"b", "c"}}, nil, nil},
		{"quote inside an unquoted field", "a,2\" nozzle\nb,c\n", [][]string{{"a", `2" nozzle`}, {"b", "c"}}, nil, nil},
		{"spaces around quotes", "\"a\" , \"b,c\"\nd,e\n", [][]string{{"a", "b,c"}, {"d", "e"}}, nil, nil},
		{"quotes at the end of a line", "a,\"b\"\r\nc,\"d\"\r\n", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"few columns, remark with commas", "a,b,c,d\nf,1,2,\"x\ny, with, three, commas\nz\"\n",
			[][]string{{"a", "b", "c", "d"}, {"f", "1", "2", "x\ny, with, three, commas\nz"}}, nil, nil},
		{"ditto marks", "a\tb\tc\n1\tBay 1\tKay\n2\t\"\t\"\n3\t \" \t\"\n", [][]string{{"a", "b", "c"}, {"1", "Bay 1", "Kay"}, {"2", `"`, `"`}, {"3", `"`, `"`}}, nil, nil},
		{"ditto marks in most rows", "No;Bay;Blank;Extract\n1;A;1,0;4,6\n2;B;\";9,1\n3;\";\";8,8\n4;D;\";7,0\n",
			[][]string{{"No", "Bay", "Blank", "Extract"}, {"1", "A", "1,0", "4,6"}, {"2", "B", `"`, "9,1"}, {"3", `"`, `"`, "8,8"}, {"4", "D", `"`, "7,0"}}, nil, nil},
		{"ditto marks in rows that are cut short", "a;b;c;d;e\n1;2;3;4;5\n1;\";3\n1;\";\"\n1;2;\";4\n1;2;3;4;5\n",
			[][]string{{"a", "b", "c", "d", "e"}, {"1", "2", "3", "4", "5"}, {"1", `"`, "3"}, {"1", `"`, `"`}, {"1", "2", `"`, "4"}, {"1", "2", "3", "4", "5"}}, nil, nil},
		{"a ditto mark and a quoted remark", "a;b;c\n1;2;x\n1;\";\"dry; clean\"\n1;\";\"cold\nwet\"\n",
			[][]string{{"a", "b", "c"}, {"1", "2", "x"}, {"1", `"`, "dry; clean"}, {"1", `"`, "cold\nwet"}}, []int{1, 2, 3, 4}, nil},
		{"a remark that begins with a line end", "a,b,c\n1,2,3\n1,\"\nx\",3\n", [][]string{{"a", "b", "c"}, {"1", "2", "3"}, {"1", "x", "3"}}, nil, nil},
		{"a quote that swallows the next of few columns", "a;b;c\n1;\"x;3\n2;y\";3\n4;5;6\n",
			[][]string{{"a", "b", "c"}, {"1", `"x`, "3"}, {"2", `y"`, "3"}, {"4", "5", "6"}}, nil, []string{"quote-not-closed"}},
		{"remark of two lines with commas", "a,b,c\n1,2,\"wet\ncold, dull, rain\"\n4,5,6\n",
			[][]string{{"a", "b", "c"}, {"1", "2", "wet\ncold, dull, rain"}, {"4", "5", "6"}}, []int{1, 2, 4}, nil},
		{"a quoted field that begins with the delimiter", "a,b,c\n1,2,3\n1,\",x\",3\n", [][]string{{"a", "b", "c"}, {"1", "2", "3"}, {"1", ",x", "3"}}, nil, nil},
		{"line break in quotes", "a,\"b\r\nc\"\nd,e\n", [][]string{{"a", "b\nc"}, {"d", "e"}}, []int{1, 3}, nil},
		{"quote never closed", "a,b\n\"c,d\ne,f\n", [][]string{{"a", "b"}, {`"c`, "d"}, {"e", "f"}}, nil, []string{"quote-not-closed"}},
		{"text after the closing quote", "a,b\n\"c\"x,d\ne,f\n", [][]string{{"a", "b"}, {`"c"x`, "d"}, {"e", "f"}}, nil, []string{"quote-not-closed"}},
		{"quote that would swallow rows", "a,b,c,d,e\n\"f,1,2,3,4\ng,1,2,3,4\nh,1,5\",3,4\n",
			[][]string{{"a", "b", "c", "d", "e"}, {`"f`, "1", "2", "3", "4"}, {"g", "1", "2", "3", "4"}, {"h", "1", `5"`, "3", "4"}}, nil, []string{"quote-not-closed"}},
		{"remark of some lines", "a,b,c,d,e\nf,1,2,3,\"x\ny, with, three, commas\nz\"\n",
			[][]string{{"a", "b", "c", "d", "e"}, {"f", "1", "2", "3", "x\ny, with, three, commas\nz"}}, nil, nil},
		{"no-break spaces and invisible marks", "\u00a0a\u202f,\u200bb\u2060\nc,d", [][]string{{"a", "b"}, {"c", "d"}}, nil, nil},
		{"control characters are shown", "a\x00b,c\x1bd\ne,f and a long remark\n", [][]string{{`a\x00b`, `c\x1Bd`}, {"e", "f and a long remark"}}, nil, nil},
		{"declared delimiter", "sep=|\na,b|c\n", [][]string{nil, {"a,b", "c"}}, nil, nil},
		{"one column", "a\nb\n", [][]string{{"a"}, {"b"}}, nil, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f := read(t, "dir/deck.csv", []byte(test.data))
			if len(f.Sheets) != 1 || f.Sheets[0].Name != "deck" {
				t.Fatalf("got sheets %v, want one called deck", f.Sheets)
			}
			s := f.Sheets[0]
			if got := texts(s); !reflect.DeepEqual(got, test.want) {
				t.Errorf("got %q, want %q", got, test.want)
			}
			for i, r := range s.Rows {
				want := i + 1
				if test.numbers != nil {
					want = test.numbers[i]
				}
				if r.Number != want {
					t.Errorf("row %d has the number %d, want %d", i, r.Number, want)
				}
				for j, c := range r.Cells() {
					if c.Pos.Row() != want || c.Pos.Col() != j+1 || c.Pos.Sheet() != "" || c.Pos.File() != "dir/deck.csv" {
						t.Errorf("cell %d of row %d stands at %v", j, i, c.Pos)
					}
				}
			}
			if got := checks(f); !slices.Equal(got, test.notes) {
				t.Errorf("got notes %v, want %v", got, test.notes)
			}
		})
	}
}

// A field may span forty line ends; one more, and the quote counts as never
// closed.
func TestCSVQuotedLines(t *testing.T) {
	for _, test := range []struct{ ends, rows int }{{maxQuotedLines, 2}, {maxQuotedLines + 1, maxQuotedLines + 3}} {
		s := read(t, "x.csv", []byte("a,\""+strings.Repeat("x\n", test.ends)+"y\"\nb,c\n")).Sheets[0]
		if len(s.Rows) != test.rows {
			t.Errorf("%d line ends: got %d rows, want %d", test.ends, len(s.Rows), test.rows)
		}
	}
}

// A table in which any cell may be a ditto mark comes back cell by cell, with
// inches and quoted fields among them. Where rows end with their last value a
// note may say that a line was cut at every delimiter; it is cut rightly.
func TestCSVDittoMarks(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	for range 3000 {
		delim := string(delimiters[rnd.IntN(len(delimiters))])
		short := rnd.IntN(4) == 0 // rows end with their last value
		cols, rows, often := 3+rnd.IntN(8), 1+rnd.IntN(12), rnd.Float64()
		var text strings.Builder
		var want [][]string
		line := func(cell func(col int) (written, read string)) {
			var written, read []string
			width := cols
			if short && len(want) > 0 {
				width -= rnd.IntN(3)
			}
			for col := range width {
				w, r := cell(col)
				written, read = append(written, w), append(read, r)
			}
			text.WriteString(strings.Join(written, delim) + "\n")
			want = append(want, read)
		}
		line(func(col int) (string, string) { return fmt.Sprint("head", col), fmt.Sprint("head", col) })
		for range rows {
			line(func(col int) (string, string) {
				switch n := rnd.IntN(10); {
				case rnd.Float64() < often && (col > 0 || !short):
					return `"`, `"`
				case n == 0:
					return `12" pipe`, `12" pipe`
				case short:
				case n == 1:
					return `"bay 7"`, "bay 7"
				case n == 2:
					return `"dry` + delim + ` clean"`, "dry" + delim + " clean"
				case n == 3:
					return `"2"" flange"`, `2" flange`
				}
				s := fmt.Sprint(rnd.IntN(100))
				return s, s
			})
		}
		f := read(t, "x.csv", []byte(text.String()))
		if got := texts(f.Sheets[0]); !reflect.DeepEqual(got, want) || len(f.Notes) > 0 && !short {
			t.Fatalf("seed %d:\n%sgot  %q\nwant %q, notes %v", seed, text.String(), got, want, f.Notes)
		}
	}
}

func TestCSVRawIsUntrimmed(t *testing.T) {
	c := read(t, "x.csv", []byte("a, 14.2\u00a0\n")).Sheets[0].Rows[0].Cell(2)
	if c.Text != "14.2" || c.Raw != " 14.2\u00a0" || c.Kind != Text {
		t.Errorf("got %+v", c)
	}
}

func TestFindDelimiter(t *testing.T) {
	tests := []struct {
		name, text string
		want       rune
	}{
		{"comma", "test,blank,extract\nA1,1.5,42.0\n", ','},
		{"semicolon with decimal commas", "test;blank;extract\nA1;1,5;42,0\nA2;1,6;39,5\n", ';'},
		{"tab with decimal commas", "test\tblank\nA1\t1,5\nA2\t1,6\n", '\t'},
		{"empty first column in tabs", "\tblank\textract\n\t1,5\t2\n", '\t'},
		{"pipe", "test|blank\nA1|1,5\n", '|'},
		{"whole numbers and commas", "1,2,3\n4,5,6\n", ','},
		{"quoted decimal commas", "\"A1\",\"1,5\",\"42,0\"\n\"A2\",\"1,6\",\"39,5\"\n", ','},
		{"semicolons in the remarks", "test,blank,extract,volume,remark\nA1,1,2,3,dry; clean\nA2,1,2,3,cold\n", ','},
		{"title rows of one field", "Soluble salts, Bay 7\nInspector: N. N.\n\ntest;blank\nA1;1,5\nA2;1,7\nA3;1,8\n", ';'},
		{"nothing to cut", "alone\n", ','},
		{"more decimal commas than semicolons", "1,5;42,0\n1,6;39,5\n", ';'},
		{"title row with many commas", "salt, by bay, day, shift, crew, meter\nx;y\nx;y\nx;y\n", ';'},
		{"a semicolon in every remark", "A1,1,2,3,a;b\nA2,1,2,3,c;d\n", ','},
		{"inches in every row", "a;b;c\n1;12\" pipe, 3 m;x\n2;10\" pipe, 1 m;y\n", ';'},
		{"ditto marks in every row", "a, x;b, x;c\n1;\";9,1\n2;\";\"\n3;\";8,8\n", ';'},
		{"semicolons in quotes", "\"a;b;c\",1\n\"d;e;f\",2\n", ','},
		{"tabs at the end alone", "x\t\ny\t\n", '\t'},
	}
	for _, test := range tests {
		if got := findDelimiter(test.text); got != test.want {
			t.Errorf("%s: got %q, want %q", test.name, got, test.want)
		}
	}
}

func TestCSVDelimiterOption(t *testing.T) {
	f, err := Read("x.csv", []byte("a;b,c;d"), Options{Delimiter: ','})
	if err != nil {
		t.Fatal(err)
	}
	if got := texts(f.Sheets[0]); !reflect.DeepEqual(got, [][]string{{"a;b", "c;d"}}) {
		t.Errorf("got %q", got)
	}
}

func TestCSVEncodings(t *testing.T) {
	const text = "Prüfung;µS/cm;°C;m²\nSøre;1,5;20;–\n"
	encode := func(e interface{ String(string) (string, error) }) string {
		s, err := e.String(text)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	tests := []struct{ name, data, encoding string }{
		{"UTF-8", text, "UTF-8"},
		{"UTF-8 with a mark", "\xEF\xBB\xBF" + text, "UTF-8"},
		{"Windows-1252", encode(charmap.Windows1252.NewEncoder()), "Windows-1252"},
		{"UTF-16 LE with a mark", encode(enc.UTF16(enc.LittleEndian, enc.UseBOM).NewEncoder()), "UTF-16"},
		{"UTF-16 BE with a mark", encode(enc.UTF16(enc.BigEndian, enc.UseBOM).NewEncoder()), "UTF-16"},
		{"UTF-16 LE without", encode(enc.UTF16(enc.LittleEndian, enc.IgnoreBOM).NewEncoder()), "UTF-16"},
		{"UTF-16 BE without", encode(enc.UTF16(enc.BigEndian, enc.IgnoreBOM).NewEncoder()), "UTF-16"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f := read(t, "x.csv", []byte(test.data))
			s := f.Sheets[0]
			want := [][]string{{"Prüfung", "µS/cm", "°C", "m²"}, {"Søre", "1,5", "20", "–"}}
			if got := texts(s); !reflect.DeepEqual(got, want) {
				t.Errorf("got %q, want %q", got, want)
			}
			if s.Encoding != test.encoding || s.Delimiter != ';' {
				t.Errorf("got %s and %q", s.Encoding, s.Delimiter)
			}
			if assumed := slices.Contains(checks(f), "encoding-assumed"); assumed != (test.encoding == "Windows-1252") {
				t.Errorf("got notes %v", f.Notes)
			}
		})
	}
}

// Half a character at the end, and bytes without a meaning, are told.
func TestCSVDamagedEncodings(t *testing.T) {
	f := read(t, "x.csv", []byte("\xFF\xFEa\x00,\x00b\x00\x00"))
	if got := checks(f); !slices.Equal(got, []string{"encoding-damaged"}) {
		t.Errorf("odd UTF-16: got notes %v", got)
	}
	if got := texts(f.Sheets[0]); !reflect.DeepEqual(got, [][]string{{"a", "b\uFFFD"}}) {
		t.Errorf("odd UTF-16: got %q", got)
	}
	f = read(t, "x.csv", []byte("a,\x81\xE4\n"))
	if len(f.Notes) != 1 || !strings.Contains(f.Notes[0].Msg, "1 of them") {
		t.Errorf("byte 81: got notes %v", f.Notes)
	}
}
