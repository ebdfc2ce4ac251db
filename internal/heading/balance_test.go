package heading

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"saltline/internal/table"
)

func sheetOf(grid ...string) table.Sheet {
	return table.Sheet{Name: "Log", Rows: drawn("Log", grid)}
}

// pieces are the lines that random sheets are made of.
var pieces = []string{
	".", ".",
	"Test | Spot | Time | Blank (µS/cm) | Extract (µS/cm) | Volume | Result | Remarks",
	"Nr. | Stelle | Uhrzeit | Blindwert | Messwert | Menge | Salz | Bemerkung",
	" | | | µS/cm | µS/cm | ml | mg/m² | ",
	"Test | Spot | Before | After | Salt",
	"Time | Air temp | RH | Steel temp",
	"Test | Spot | Blank | Extract | Test | Spot | Blank | Extract",
	"Conductivity | << | << | << | Temperature",
	"1 | L1 | 8:05 | 1.2 | 9.0 | 3 | 9.4 | ",
	"2 | L2 | 8:25 | 1,3 | 8,0 | 3 | 8,2 | water lost",
	"3 | | | - | - | | | void",
	"4", "5 | | | | | 3",
	" | Mean | | 1.2 | 8.5 | | 8.8", "Max. | | | | 9.0", "Mittelwert", "Total tests: 2",
	"Limit 50 mg/m²", "Vol. of water 15 ml, patch 1250 mm²", "Area B – gate leaf", "Tank 3", "Date: 11.03.2025 | Meter no. 4711",
	"Signature: ______", "Page 1 of 3", "Legend: P = pass", "* by the ladder", "|||||", "#REF!", "<< | x",
	"Area | 1 | 2 | 3 | 4", "Temp | Temp | Temp",
}

// Whatever the sheet, each row that is not blank is a record or skipped for a
// reason, once.
func TestEveryRowIsSorted(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 1))
	for n := range 1500 {
		var grid []string
		for range r.IntN(16) {
			p := pieces[r.IntN(len(pieces))]
			if r.IntN(8) == 0 {
				cells := strings.Split(p, "|")
				r.Shuffle(len(cells), func(i, j int) { cells[i], cells[j] = cells[j], cells[i] })
				p = strings.Join(cells, "|")
			}
			grid = append(grid, strings.TrimPrefix(strings.TrimSpace(p), "<<"))
		}
		sheet := sheetOf(grid...)
		hint := []string{"", "", "readings", "ambient", "job", "people", "checks"}[r.IntN(7)]
		blocks, _ := Find(&sheet, hint, nil)
		balanced(t, &sheet, blocks)
		if t.Failed() {
			t.Fatalf("seed %d, sheet %d, hint %q:\n%s", seed, n, hint, strings.Join(grid, "\n"))
		}
	}
}

// A row with a test number and an extract is a record, whatever it says.
func TestReadingsAreNeverSkipped(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 2))
	says := []string{
		"Mean", "Average", "Max", "Total", "Limit", "Signature", "Page 1 of 3", "Legend", "Mittelwert", "Promedio", "Moyenne",
		"Snitt", "Grenzwert", "Area B", "Tank 3", "Date: 11.03.2025", "µS/cm", "Blank", "Test", "note", "______", "",
	}
	for range 2000 {
		grid := []string{"Test | Location | Blank (µS/cm) | Extract (µS/cm) | Result (mg/m²) | Remarks"}
		n := 1 + r.IntN(6)
		for i := range n {
			grid = append(grid, fmt.Sprintf("%d | %s | %.1f | %.1f | %.1f | %s", i+1, says[r.IntN(len(says))],
				1+r.Float64(), 5+50*r.Float64(), 50*r.Float64(), says[r.IntN(len(says))]))
		}
		sheet := sheetOf(grid...)
		blocks, ds := Find(&sheet, "", nil)
		records := 0
		for _, b := range blocks {
			records += len(b.Rows)
		}
		if records != n || len(ds) > 0 {
			t.Fatalf("seed %d: %d of %d records, %v\n%s\n%s", seed, records, n, ds, strings.Join(grid, "\n"), describe(blocks, ds))
		}
	}
}

// FuzzFind looks for sheets that make Find panic or lose a row.
func FuzzFind(f *testing.F) {
	f.Add(strings.Join(pieces, "\n"), "readings")
	f.Add("Test|Spot|Blank|Extract\n1|A|1.2|9.0\n|Mean|1.2|9.0", "")
	f.Add("key|value\nlimit|50 mg/m2", "job")
	f.Fuzz(func(t *testing.T, text, hint string) {
		sheet := table.Sheet{Name: hint, Rows: drawnLoosely(text)}
		blocks, _ := Find(&sheet, hint, Mapping{"Blank": "extract", "A1": "-"})
		balanced(t, &sheet, blocks)
	})
}

// drawnLoosely is drawn for text that may hold anything.
func drawnLoosely(text string) []table.Row {
	var grid []string
	for _, line := range strings.Split(text, "\n") {
		grid = append(grid, strings.NewReplacer("<", "", "^", "").Replace(line))
	}
	return drawn("", grid)
}
