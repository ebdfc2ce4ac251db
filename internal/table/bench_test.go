package table

import (
	"bytes"
	"fmt"
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

func benchmarkRead(b *testing.B, name string, data []byte) {
	b.Helper()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(name, data, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadWorkbook60Rows12Sheets(b *testing.B) {
	data, err := Write(fieldBook(60, 12))
	if err != nil {
		b.Fatal(err)
	}
	benchmarkRead(b, "job.xlsx", data)
}

func BenchmarkReadWorkbook1500Rows(b *testing.B) {
	data, err := Write(fieldBook(1500, 12))
	if err != nil {
		b.Fatal(err)
	}
	benchmarkRead(b, "job.xlsx", data)
}

func BenchmarkReadWorkbook20000Rows25Columns(b *testing.B) {
	data, err := Write(wideBook(20_000, 25))
	if err != nil {
		b.Fatal(err)
	}
	benchmarkRead(b, "job.xlsx", data)
}

func BenchmarkReadCSV20000Rows(b *testing.B) {
	var text bytes.Buffer
	for i := range 20_000 {
		fmt.Fprintf(&text, "T%d;Bay 7;\"frame 12; port\";11.03.2025;2,1;%d,4;3;1250\n", i, 10+i%90)
	}
	benchmarkRead(b, "job.csv", text.Bytes())
}

func BenchmarkWrite60Rows12Sheets(b *testing.B) {
	book := fieldBook(60, 12)
	for b.Loop() {
		if _, err := Write(book); err != nil {
			b.Fatal(err)
		}
	}
}
