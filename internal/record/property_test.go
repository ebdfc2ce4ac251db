package record_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// Whatever the sheets hold, every row that is not empty is used or skipped,
// and nothing panics.
func TestRowsAreAccountedFor(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 300 {
		sheets := randomSheets(r)
		job, _ := record.Bind([]*table.File{{Name: caseFile, Sheets: sheets}}, record.Options{})
		checkBalance(t, job, sheets)
		if t.Failed() {
			for _, s := range sheets {
				for _, row := range s.Rows {
					var texts []string
					for _, c := range row.Cells() {
						texts = append(texts, c.Text)
					}
					t.Logf("%s %d: %q", s.Name, row.Number, texts)
				}
			}
			return
		}
	}
}

// randomSheets makes sheets of headings, readings, titles, sums and noise.
func randomSheets(r *rand.Rand) []table.Sheet {
	names := []string{"readings", "job", "areas", "ambient", "Bay 7", "Messwerte", "notes"}
	lines := [][]string{
		{"test", "area", "date", "blank (µS/cm)", "extract (µS/cm)", "volume (ml)", "recorded (mg/m²)"},
		{"Nr.", "Bereich", "Blindwert", "Messwert", "Salzgehalt", "i.O.?"},
		{"", "", "µS/cm", "µS/cm", "mg/m²", ""},
		{"key", "value", "remark"},
		{"limit", "50 mg/m2"},
		{"Date: 11.03.2025", "Meter no. 4711"},
		{"1", "A", "11/03/2025", "2.0", "14..2", "3", "<1"},
		{"2", "Bay 1", "2,0", "1,024", "48", "pass"},
		{"3", "", "-", "#REF!", "", ""},
		{"mean", "", "", "", "", "", "48"},
		{"4"},
		{"Signature"},
		{"page 1 of 3"},
		{},
	}
	var sheets []table.Sheet
	for _, k := range r.Perm(len(names))[:1+r.IntN(3)] {
		s := table.Sheet{Name: names[k], Hidden: r.IntN(9) == 0}
		for range r.IntN(25) {
			row := table.Row{Number: len(s.Rows) + 1, Hidden: r.IntN(9) == 0}
			var cells []table.Cell
			for i, text := range lines[r.IntN(len(lines))] {
				at := diag.In(caseFile, s.Name).At(row.Number, i+1)
				c := table.Cell{Pos: at, Kind: table.Text, Text: text, Raw: text, Struck: r.IntN(20) == 0}
				if text == "" {
					c.Kind = table.Empty
					if above := len(s.Rows) - 1; r.IntN(4) == 0 && above >= 0 && s.Rows[above].Cell(i+1).Kind != table.Empty {
						c = s.Rows[above].Cell(i + 1)
						c = c.From(table.Origin{FillOf: c.Pos})
						c.Pos = at
					}
				}
				cells = append(cells, c)
			}
			s.Rows = append(s.Rows, row.With(cells))
		}
		sheets = append(sheets, s)
	}
	return sheets
}

// FuzzBind reads bytes as a CSV file of some name: no panic, no row lost, and the same
// reading twice.
func FuzzBind(f *testing.F) {
	f.Add("log", []byte("test,blank,extract,volume\n1,2.0,42.0,3\n"))
	f.Add("Messwerte", []byte("Nr.;Datum;Blindwert;Messwert;Salz (mg/m²)\n1;11.03.25;2,0;14,2;14,6\n;;;Mittelwert;14,6\n"))
	f.Add("Bay 7", []byte("Vol. 3 ml, patch 1250 mm2,Limit < 50 mg/m2 as NaCl\ntest,date,before,after,humidity\n1,1/2/2025,1.024,\"1,024\",0.6\n"))
	f.Add("job", []byte("key,value\nlimit 2,≤ 5 µg/cm²\nlimit,\nsteel temperature range,5 to\nstops,1-2\n"))
	f.Add("days", []byte("date,stops,shift started\n1/2/25,12:00-12:45,0800\n3-Apr,noon,8.05\n"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		file, err := table.Read(name+".csv", data, table.Options{})
		if err != nil {
			return
		}
		files := []*table.File{file}
		job, list := record.Bind(files, record.Options{})
		checkBalance(t, job, file.Sheets)
		if len(job.Tests) == 0 && list.Len() == 0 {
			t.Error("nothing was read and nothing said")
		}
		again, list2 := record.Bind(files, record.Options{})
		a, b := fmt.Sprint(dump(job, list)), fmt.Sprint(dump(again, list2))
		if a != b {
			t.Errorf("two readings differ:\n%s\n%s", a, b)
		}
	})
}
