package record_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// BenchmarkBind finds and binds logs of so many rows: csv/n with eight columns as
// they are read from a text, cells/n with twenty columns in a bank, as those of a
// workbook are.
func BenchmarkBind(b *testing.B) {
	sizes := []int{60, 1_000, 20_000, 200_000}
	for _, rows := range sizes {
		b.Run(fmt.Sprintf("csv/%d", rows), func(b *testing.B) {
			f, err := table.Read("log.csv", longText(rows), table.Options{})
			if err != nil {
				b.Fatal(err)
			}
			benchmarkBind(b, f, rows)
		})
	}
	for _, rows := range sizes {
		b.Run(fmt.Sprintf("cells/%d", rows), func(b *testing.B) { benchmarkBind(b, longLog(rows), rows) })
	}
}

func benchmarkBind(b *testing.B, f *table.File, rows int) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		job, _ := record.Bind([]*table.File{f}, record.Options{})
		if len(job.Tests) != rows {
			b.Fatalf("%d tests", len(job.Tests))
		}
	}
}

// longText is a log of a month as a text.
func longText(rows int) []byte {
	r := rand.New(rand.NewPCG(1, 0))
	var text bytes.Buffer
	text.WriteString("test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),verdict\n")
	for i := range rows {
		extract := 5 + r.IntN(600)
		fmt.Fprintf(&text, "%d,frame %d,2026-03-%02d,%d.%d,%d.%d,3,%d.%d,pass\n", i+1, i+1, 1+i%28, 1+r.IntN(2), r.IntN(10), extract/10, extract%10, extract/9, r.IntN(10))
	}
	return text.Bytes()
}

func longLog(n int) *table.File {
	heads := "test|area|location|date|start|read|blank (µS/cm)|extract (µS/cm)|volume (ml)|solution temperature (°C)|compensated|patch area (mm²)|patch kind|patch|meter|recorded (mg/m²)|recorded verdict|inspector|kind|remark"
	rows := []string{heads}
	for i := range n {
		rows = append(rows, fmt.Sprintf("%d|Bay %d|frame %d|2025-03-11|08:05|08:16|1.%d|%d.%d|3|19.%d|on|1250|single-use adhesive|B-%d|K-1|%d.%d|pass|A. Sund|original|dry",
			i+1, i/100, i, i%10, 10+i%30, i%10, i%10, i, 10+i%36, i%10))
	}
	s := table.Sheet{Name: "readings"}
	for r, line := range rows {
		cells := []table.Cell(nil)
		for c, text := range strings.Split(line, "|") {
			cells = append(cells, table.Cell{Kind: table.Text, Text: text, Raw: text, Pos: diag.In("long.csv", "").At(r+1, c+1)})
		}
		s.Rows = append(s.Rows, table.Row{Number: r + 1}.With(cells))
	}
	return &table.File{Name: "long.csv", Sheets: []table.Sheet{s}}
}
