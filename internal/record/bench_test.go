package record_test

import (
	"fmt"
	"strings"
	"testing"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// A log of 20,000 rows, far longer than any job.
func BenchmarkBind(b *testing.B) {
	f := longLog(20_000)
	b.ReportAllocs()
	for b.Loop() {
		job, _ := record.Bind([]*table.File{f}, record.Options{})
		if len(job.Tests) != 20_000 {
			b.Fatalf("%d tests", len(job.Tests))
		}
	}
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
