package table

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// fieldBook is a job workbook of the usual size: a readings sheet with
// formulas and a number of short sheets beside it.
func fieldBook(rows, sheets int) Book {
	b := Book{Title: "bench"}
	readings := Page{Name: "readings", Head: 1, Lines: []Line{Texts("test", "area", "location", "date", "start", "read", "blank", "extract", "volume", "patch area", "difference", "recorded", "verdict")}}
	for i := range rows {
		n := i + 2
		readings.Lines = append(readings.Lines, Line{Cells: []Entry{
			Words(fmt.Sprintf("T%d", i)), Words("Bay 7"), Words("frame 12"),
			Day(2025, time.March, 1+i%28), Clock(8, i%60), Clock(9, i%60),
			Num(2.1, "0.0"), Num(10+float64(i)/10, "0.0"), Num(3, ""), Num(1250, ""),
			Computed(fmt.Sprintf("H%d-G%d", n, n), 10+float64(i)/10-2.1, "0.0"),
			Computed(fmt.Sprintf("K%d*5*I%d/J%d*1000", n, n, n), (10+float64(i)/10-2.1)*12, "0"),
			Computed(fmt.Sprintf(`IF(L%d="","",IF(L%d<=50,"pass","fail"))`, n, n), "pass", ""),
		}})
	}
	b.Pages = append(b.Pages, readings)
	for i := 1; i < sheets; i++ {
		p := Page{Name: fmt.Sprintf("sheet %d", i)}
		for j := range 20 {
			p.Lines = append(p.Lines, Texts("key", fmt.Sprint(j), "remark"))
		}
		b.Pages = append(b.Pages, p)
	}
	return b
}

// wideBook is the largest workbook that anyone is likely to bring.
func wideBook(rows, cols int) Book {
	p := Page{Name: "readings"}
	for i := range rows {
		var l Line
		for j := range cols {
			switch {
			case j == 3:
				l.Cells = append(l.Cells, Day(2025, time.March, 1+i%28))
			case j%3 == 0:
				l.Cells = append(l.Cells, Words(fmt.Sprintf("text %d", j)))
			default:
				l.Cells = append(l.Cells, Num(float64(i)+float64(j)/10, "0.0"))
			}
		}
		p.Lines = append(p.Lines, l)
	}
	return Book{Pages: []Page{p}}
}

// longText is a log as a text: eight columns, of which one holds quotation marks
// now and then.
func longText(rows int) []byte {
	r := rand.New(rand.NewPCG(1, 0))
	var text bytes.Buffer
	text.WriteString("test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),verdict\n")
	for i := range rows {
		where := fmt.Sprintf("frame %d", i%900)
		if i%500 == 7 {
			where = `"frame 12, port"`
		}
		extract := 5 + r.IntN(600)
		fmt.Fprintf(&text, "%d,%s,2026-03-%02d,%d.%d,%d.%d,3,%d.%d,pass\n", i+1, where, 1+i%28, 1+r.IntN(2), r.IntN(10), extract/10, extract%10, extract/9, r.IntN(10))
	}
	return text.Bytes()
}

// marked puts every cell of a text between quotation marks.
func marked(text []byte) []byte {
	plain := bytes.ReplaceAll(text, []byte(`"`), nil)
	m := bytes.ReplaceAll(bytes.ReplaceAll(plain, []byte(","), []byte(`","`)), []byte("\n"), []byte("\"\n\""))
	return append([]byte(`"`), bytes.TrimSuffix(m, []byte(`"`))...)
}

// BenchmarkRead reads logs of so many rows: csv/n as CSV, quoted/n as CSV with marks
// around every cell, xlsx/n as a workbook with formulas and eleven sheets beside the
// log.
func BenchmarkRead(b *testing.B) {
	for _, rows := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprintf("csv/%d", rows), func(b *testing.B) {
			benchmarkRead(b, "log.csv", longText(rows))
		})
		b.Run(fmt.Sprintf("quoted/%d", rows), func(b *testing.B) {
			benchmarkRead(b, "log.csv", marked(longText(rows)))
		})
	}
	for _, rows := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprintf("xlsx/%d", rows), func(b *testing.B) {
			data, err := Write(fieldBook(rows, 12))
			if err != nil {
				b.Fatal(err)
			}
			benchmarkRead(b, "log.xlsx", data)
		})
	}
}

func benchmarkRead(b *testing.B, name string, data []byte) {
	b.Helper()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(name, data, Options{Large: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite60Rows12Sheets(b *testing.B) {
	book := fieldBook(60, 12)
	for b.Loop() {
		if _, err := Write(book); err != nil {
			b.Fatal(err)
		}
	}
}
