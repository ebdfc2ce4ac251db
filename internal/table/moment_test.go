package table

import (
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestMoments holds the spelling of dates and times against that of the workbook
// library.
func TestMoments(t *testing.T) {
	r := seeded(t)
	codes := []string{
		"yyyy-mm-dd", `yyyy\-mm\-dd`, "dd.mm.yyyy", `dd\.mm\.yyyy`, "d.m.yy", "dd/mm/yyyy", "m/d/yy", "yy", "hh:mm", "h:mm", "h:m", "hh:mm:ss", "mm:ss", "m:s",
		"yyyy-mm-dd hh:mm", "dd.mm.yyyy hh:mm:ss", "m/d/yy h:mm", "yyyy/mm/dd;@", "hh:mm;@", `d\.\ m\.\ yyyy`, "mm", "m", "ss", "h",
	}
	formats := map[string]excelize.Style{}
	for _, code := range codes {
		formats[code] = excelize.Style{CustomNumFmt: &code}
	}
	for id, code := range builtInMoment {
		formats[strconv.Itoa(id)+" "+code] = excelize.Style{NumFmt: id}
	}
	for name, format := range formats {
		code := builtInMoment[format.NumFmt]
		if format.CustomNumFmt != nil {
			code = *format.CustomNumFmt
		}
		m := momentOf(code)
		if m == nil {
			t.Fatalf("%s is no moment", name)
		}
		for _, date1904 := range []bool{false, true} {
			book := excelize.NewFile()
			if err := book.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &date1904}); err != nil {
				t.Fatal(err)
			}
			style, err := book.NewStyle(&format)
			if err != nil {
				t.Fatal(err)
			}
			if err := book.SetCellStyle("Sheet1", "A1", "A1", style); err != nil {
				t.Fatal(err)
			}
			spelled := 0
			for i := range 1500 {
				v := r.Float64()
				switch i % 6 {
				case 0:
					v = float64(r.IntN(1440)) / 1440
				case 1:
					v = float64(r.IntN(86400)) / 86400
				case 2:
					v = float64(r.IntN(60_000))
				case 3:
					v = float64(r.IntN(60_000)) + float64(r.IntN(2*86400))/(2*86400)
				case 4:
					v = r.Float64() * 100_000
				}
				raw := strconv.FormatFloat(v, 'f', -1, 64)
				if r.IntN(4) == 0 {
					raw = strconv.FormatFloat(v, 'f', r.IntN(12), 64)
				}
				v, _ = strconv.ParseFloat(raw, 64)
				got, ok := m.spell(raw, v, date1904)
				if !ok {
					continue
				}
				spelled++
				if err := book.SetCellDefault("Sheet1", "A1", raw); err != nil {
					t.Fatal(err)
				}
				want, err := book.GetCellValue("Sheet1", "A1")
				if err != nil {
					t.Fatal(err)
				}
				if got != clean(want) {
					t.Errorf("%s, 1904 %v: %s is %q here and %q there", name, date1904, raw, got, want)
				}
			}
			if spelled < 400 {
				t.Errorf("%s: %d numbers were spelled, want hundreds", name, spelled)
			}
		}
	}
	for _, code := range []string{"", "0.0", "General", "[h]:mm", "hh:mm AM/PM", "mmm", "dddd", "yyy", `yyyy"-"mm`, "[$-407]dd.mm.yyyy", "hh:mm;[Red]hh:mm", "-", "ss.00"} {
		if momentOf(code) != nil {
			t.Errorf("%q is a moment", code)
		}
	}
}
