package samples

import (
	"fmt"
	"time"

	"saltline/internal/table"
)

// The contractor's sheet of the bridge is described once, here.

// A spanTest is one test of the sheet. Conductivities and the typed result are
// in tenths of their units.
type spanTest struct {
	number         int
	spot           string
	blank, extract int    // µS/cm
	typed          int    // mg/m², typed over the formula; 0 for none
	verdict        string // "P" where it is empty
	remark         string
}

var span2 = []spanTest{
	{number: 1, spot: "S2 bottom flange, mid", blank: 16, extract: 59},
	{number: 2, spot: "S2 web N, bay 1", blank: 16, extract: 68},
	{number: 3, spot: "S2 web S, bay 1", blank: 16, extract: 47},
	{number: 4, spot: "S2 stiffener 4", blank: 17, extract: 94},
	{number: 5, spot: "S2 stiffener 6", blank: 17, extract: 112},
	{number: 6, spot: "S2 bearing W", blank: 17, extract: 153},
	{number: 7, spot: "S2 splice 1", blank: 17, extract: 86},
	{number: 8, spot: "S2 splice 2", blank: 17, extract: 72},
	{number: 9, spot: "S2 top flange", blank: 17, extract: 44},
	{number: 10, spot: "S2 web N, bay 3", blank: 18, extract: 79, typed: 366},
	{number: 11, spot: "S2 web S, bay 3", blank: 18, extract: 106},
	{number: 12, spot: "S2 drip edge", blank: 18, extract: 103, typed: 510, verdict: "F", remark: "to be washed"},
}

var span3 = []spanTest{
	{number: 15, spot: "S3 bottom flange, mid", blank: 15, extract: 61},
	{number: 16, spot: "S3 web N, bay 1", blank: 15, extract: 117, typed: 162},
	{number: 17, spot: "S3 web S, bay 1", blank: 15, extract: 56},
	{number: 18, spot: "S3 stiffener 4", blank: 17, extract: 94},
	{number: 19, spot: "S3 stiffener 6", blank: 17, extract: 112},
	{number: 20, spot: "S3 bearing W", blank: 17, extract: 153},
	{number: 21, spot: "S3 splice 1", blank: 17, extract: 86},
	{number: 22, spot: "S3 splice 2", blank: 17, extract: 72},
	{number: 23, spot: "S3 top flange", blank: 16, extract: 37},
	{number: 24, spot: "S3 web N, bay 3", blank: 16, extract: 99},
	{number: 25, spot: "S3 web S, bay 3", blank: 16, extract: 63},
	{number: 26, spot: "S3 drip edge", blank: 16, extract: 129},
	{number: 27, spot: "S3 gusset", blank: 16, extract: 79, typed: 234},
	{number: 28, spot: "S3 bearing E", blank: 16, extract: 81},
}

// result is 1.2 times the difference, rounded to tenths as the formula of the
// sheet rounds it. Twelve times whole tenths never ends in a tie of 5.
func (s spanTest) result() int {
	if s.typed != 0 {
		return s.typed
	}
	return (12*(s.extract-s.blank) + 5) / 10
}

func (s spanTest) line(row int, minutes int) table.Line {
	tenths := func(n int) table.Entry { return table.Num(float64(n)/10, "0.0") }
	recorded := table.Computed(fmt.Sprintf("ROUND(F%d*1.2,1)", row), float64(s.result())/10, "0.0")
	if s.typed != 0 {
		recorded = tenths(s.typed)
	}
	verdict := s.verdict
	if verdict == "" {
		verdict = "P"
	}
	cells := []table.Entry{
		table.Num(float64(s.number), "0"), table.Words(s.spot), table.Clock(minutes/60, minutes%60), tenths(s.blank), tenths(s.extract),
		table.Computed(fmt.Sprintf("E%d-D%d", row, row), float64(s.extract-s.blank)/10, "0.0"), recorded, table.Words(verdict),
	}
	if s.remark != "" {
		cells = append(cells, table.Words(s.remark))
	}
	return table.Line{Cells: cells}
}

func spanBook() table.Book {
	page := table.Page{Name: "Salt", Widths: []float64{6, 24, 8, 9, 9, 9, 11, 6, 18}}
	add := func(words ...string) { page.Lines = append(page.Lines, table.Texts(words...)) }
	page.Lines = append(page.Lines, table.Line{Bold: true, Cells: table.Texts("SOLUBLE SALT TEST RECORD").Cells})
	add("Structure: Torrel Bridge, spans 2 and 3", "", "", "", "", "", "Record no: TS-17")
	add("Contractor: Ostermane & Vire Site Coatings", "", "", "", "", "", "Rev: 0")
	page.Lines = append(page.Lines, table.Line{Cells: []table.Entry{table.Words("Date:"), table.Day(2026, time.June, 9)}})
	add("Inspector: J. Talvik")
	add("Meter S/N: LF-2207, temperature compensation on")
	add("Vol. of water 15 ml in the cup, extract returned to the cup; patch 1250 mm2")
	add("Limit: max 5 µg/cm2 total soluble salts")
	add()
	minutes := 8*60 + 10
	block := func(area string, tests []spanTest) {
		add(area)
		page.Lines = append(page.Lines, table.Line{Bold: true, Cells: table.Texts("No.", "Location", "Time", "C1", "C2", "Diff", "Salt", "P/F", "Remarks").Cells})
		add("", "", "", "µS/cm", "µS/cm", "µS/cm", "mg/m2")
		first, sum := len(page.Lines)+1, 0
		for _, s := range tests {
			page.Lines = append(page.Lines, s.line(len(page.Lines)+1, minutes))
			sum += s.result()
			minutes += 15
		}
		page.Lines = append(page.Lines, table.Line{Cells: []table.Entry{{}, table.Words("Average"), {}, {}, {}, {},
			table.Computed(fmt.Sprintf("AVERAGE(G%d:G%d)", first, len(page.Lines)), float64(sum)/float64(10*len(tests)), "0.0")}})
		add()
	}
	block("Area: Span 2", span2)
	block("Area: Span 3", span3)
	add("Signed (contractor): J. Talvik", "", "", "", "", "", "Signed (owner):")
	return table.Book{Title: "Soluble salt test record TS-17", Pages: []table.Page{page}}
}
