// Package bench makes job workbooks of any size from a seed, for measuring.
// The numbers are invented.
package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"saltline/internal/table"
)

// Job is a job with so many readings on so many days.
func Job(readings, days int, seed uint64) table.Book {
	rnd := rand.New(rand.NewPCG(seed, 0))
	first := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	keys := table.Page{Name: "job", Lines: []table.Line{
		table.Texts("key", "value"),
		table.Texts("job number", "B-1"), table.Texts("client", "Example Harbour Board"), table.Texts("contractor", "Example Blasting"),
		table.Texts("site", "North quay"), table.Texts("structure", "Sheet piling"), table.Texts("specification", "EHB-7"),
		table.Texts("limit", "50 mg/m2"), table.Texts("limit basis", "total salts"), table.Texts("limit comparison", "at most"),
		table.Texts("limit rounding", "unrounded"), table.Texts("limit clause", "4.2"), table.Texts("procedure", "direct"),
		table.Texts("volume", "3 ml"), table.Texts("patch area", "1250 mm2"), table.Texts("constant", "5"),
		table.Texts("contact time", "10 min"), table.Texts("sets in use", "3"), table.Texts("sampling rule", "8"),
	}}
	checks := table.Page{Name: "checks", Lines: []table.Line{
		table.Texts("date", "time", "meter", "nominal (µS/cm)", "temperature (°C)", "reading (µS/cm)", "tolerance (%)")}}
	tests := table.Page{Name: "readings", Lines: []table.Line{
		table.Texts("test", "area", "location", "date", "start", "read", "blank (µS/cm)", "extract (µS/cm)", "volume (ml)",
			"patch area (mm2)", "solution temperature (°C)", "compensated", "meter", "recorded (mg/m2)", "recorded verdict", "inspector")}}
	perDay := (readings + days - 1) / days
	n := 0
	for d := 0; d < days; d++ {
		y, m, day := first.AddDate(0, 0, d).Date()
		for _, hour := range []int{6, 12, 23} {
			checks.Lines = append(checks.Lines, table.Line{Cells: []table.Entry{
				table.Day(y, m, day), table.Clock(hour, 30), table.Words("M-1"), table.Num(84, ""), table.Num(20.1, "0.0"),
				table.Num(84+math.Round(rnd.NormFloat64()*5)/10, "0.0"), table.Num(5, "")}})
		}
		for i := 0; i < perDay && n < readings; i++ {
			n++
			minute := 7*60 + i*15*60/max(perDay, 60)
			blank := 1 + math.Round(rnd.Float64()*10)/10
			extract := blank + math.Round(math.Exp(2.5+0.5*rnd.NormFloat64())*10)/10
			density := math.Round(1.2*(extract-blank)*10) / 10
			verdict := "pass"
			if density > 50 {
				verdict = "fail"
			}
			tests.Lines = append(tests.Lines, table.Line{Cells: []table.Entry{
				table.Words(fmt.Sprint(n)), table.Words(fmt.Sprintf("Section %d", 1+i*4/perDay)), table.Words(fmt.Sprintf("pile %d, %.1f m above the toe", i+1, 0.5+rnd.Float64()*5)),
				table.Day(y, m, day), table.Clock(minute/60%24, minute%60), table.Clock((minute+11)/60%24, (minute+11)%60),
				table.Num(blank, "0.0"), table.Num(extract, "0.0"), table.Num(3, "0.0"), table.Num(1250, ""), table.Num(20, "0.0"), table.Words("on"),
				table.Words("M-1"), table.Num(density, "0.0"), table.Words(verdict), table.Words("A. Example")}})
		}
	}
	return table.Book{Title: "bench", Date: first, Pages: []table.Page{keys, tests, checks}}
}
