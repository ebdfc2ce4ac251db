package bench

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"time"

	"saltline/internal/table"
)

// A Closing is a job with all its papers, ready to be handed over: areas that
// are blasted and tested one after the other, a diary, three signatures a day,
// meters, water, air, patches and photographs.
type Closing struct {
	Readings, Days, Areas, Photos int
	Seed                          uint64
}

// Book is the workbook of the job. Its tests name the photographs photo-1.jpg,
// photo-2.jpg and so on.
func (c Closing) Book() table.Book {
	rnd := rand.New(rand.NewPCG(c.Seed, 1))
	first := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	page := func(name string, heads ...string) *table.Page {
		return &table.Page{Name: name, Lines: []table.Line{table.Texts(heads...)}}
	}
	add := func(p *table.Page, cells ...table.Entry) { p.Lines = append(p.Lines, table.Line{Cells: cells}) }
	perArea := c.Readings / c.Areas
	keys := page("job", "key", "value")
	for _, kv := range [][2]string{
		{"job number", "B-2"}, {"client", "Example Harbour Board"}, {"contractor", "Example Blasting"}, {"site", "North quay"},
		{"structure", "Sheet piling"}, {"specification", "EHB-7"}, {"specification revision", "B"}, {"inspection plan", "EHB-ITP-1"},
		{"method statement", "EB-MS-1"}, {"limit", "50 mg/m2"}, {"limit basis", "total salts"}, {"limit comparison", "at most"},
		{"limit rounding", "unrounded"}, {"limit clause", "4.2"}, {"decision rule", "simple"}, {"procedure", "direct"}, {"volume", "3 ml"},
		{"patch area", "1250 mm2"}, {"constant", "5"}, {"contact time", "10 min"}, {"pump cycles", "4"}, {"sets in use", "4"},
		{"sampling rule", fmt.Sprint(perArea * 9 / 10)}, {"spots chosen", "by judgement"}, {"retest rule", "beside the old footprint, 2 adjacent"},
		{"hours to coating", "24"}, {"currency", "EUR"},
	} {
		keys.Lines = append(keys.Lines, table.Texts(kv[0], kv[1]))
	}
	areas := page("areas", "area", "description", "size (m²)", "substrate", "abrasive batch", "drawing")
	for a := range c.Areas {
		add(areas, table.Words(areaName(a)), table.Words(fmt.Sprintf("Piles %d to %d", 10*a+1, 10*a+10)), table.Num(float64(400+20*a), ""),
			table.Words("carbon steel"), table.Words("G-1"), table.Words(fmt.Sprintf("D-%d", 100+a)))
	}
	meters := page("meters", "meter", "kind", "range", "resolution", "accuracy (%)", "compensates", "certificate", "calibrated on", "due", "laboratory")
	add(meters, table.Words("M-1"), table.Words("conductivity"), table.Words("0 to 1999 µS/cm"), table.Words("0.1 µS/cm"), table.Num(1, ""), table.Words("on"),
		table.Words("C-1"), table.Day(2026, 1, 12), table.Day(2027, 1, 12), table.Words("Example Calibration"))
	people := page("people", "name", "employer", "role", "qualification", "number", "expiry")
	for i, p := range [][2]string{{"A. Example", "inspector"}, {"B. Example", "QC manager"}, {"C. Example", "owner's representative"}} {
		add(people, table.Words(p[0]), table.Words("Example Blasting"), table.Words(p[1]), table.Words("grade 2"), table.Words(fmt.Sprint("X-", i)), table.Day(2028, 1, 31))
	}
	checks := page("checks", "date", "time", "meter", "solution", "nominal (µS/cm)", "lot", "expiry", "temperature (°C)", "reading (µS/cm)", "tolerance (%)", "by")
	water := page("water", "water", "grade", "opened", "date", "time", "conductivity (µS/cm)", "blank kind")
	ambient := page("ambient", "date", "time", "area or place", "air temperature (°C)", "humidity (%)", "steel temperature (°C)", "by")
	diary := page("days", "date", "shift started", "shift ended", "weather", "work done", "report number", "revision")
	signed := page("signatures", "document", "revision", "date", "role", "name", "statement", "signed at", "method")
	tests := page("readings", "test", "area", "location", "date", "start", "read", "water", "blank (µS/cm)", "injected (ml)", "volume (ml)", "pump cycles", "extract (µS/cm)",
		"patch area (mm²)", "patch", "solution temperature (°C)", "compensated", "meter", "recorded (mg/m²)", "recorded verdict", "inspector", "photo", "x (m)", "y (m)")

	n := 0
	for d := range c.Days {
		perDay := c.Readings*(d+1)/c.Days - c.Readings*d/c.Days
		y, m, day := first.AddDate(0, 0, d).Date()
		date := table.Day(y, m, day)
		bottle := fmt.Sprintf("W-%d", d+1)
		for _, hour := range []int{6, 12, 19} {
			add(checks, date, table.Clock(hour, 30), table.Words("M-1"), table.Words("potassium chloride"), table.Num(84, ""), table.Words("L-7"), table.Day(2027, 5, 31),
				table.Num(20.1, "0.0"), table.Num(84+math.Round(rnd.NormFloat64()*5)/10, "0.0"), table.Num(5, ""), table.Words("A. Example"))
			air, humidity := 12+math.Round(rnd.Float64()*40)/10, 55+math.Round(rnd.Float64()*10)
			add(ambient, date, table.Clock(hour, 40), table.Words("quay"), table.Num(air, "0.0"), table.Num(humidity, ""), table.Num(air-1, "0.0"), table.Words("A. Example"))
			add(water, table.Words(bottle), table.Words("ISO 3696 grade 3"), date, date, table.Clock(hour, 45), table.Num(1.2+math.Round(rnd.Float64()*4)/10, "0.0"), table.Words("water"))
		}
		add(diary, date, table.Clock(6, 15), table.Clock(19, 45), table.Words("dry"), table.Words("Salt tests"), table.Words(fmt.Sprintf("DR-%03d", d+1)), table.Num(0, ""))
		for i, p := range [][2]string{{"inspector", "A. Example"}, {"QC manager", "B. Example"}, {"owner's representative", "C. Example"}} {
			add(signed, table.Words("daily report"), table.Num(0, ""), date, table.Words(p[0]), table.Words(p[1]), table.Words("as on the report"),
				table.Words(fmt.Sprintf("%04d-%02d-%02d 20:%02d", y, m, day, 10*i)), table.Words("wet ink"))
		}
		for i := 0; i < perDay && n < c.Readings; i++ {
			n++
			minute := 7*60 + i*11*60/max(perDay, 44)
			blank := 1.2 + math.Round(rnd.Float64()*4)/10
			extract := blank + math.Round(math.Min(math.Exp(2.5+0.5*rnd.NormFloat64()), 40)*10)/10
			photo := table.Words("")
			if c.Photos > 0 && n%max(1, c.Readings/c.Photos) == 0 && n*c.Photos/c.Readings <= c.Photos {
				photo = table.Words(fmt.Sprintf("photo-%d.jpg", n*c.Photos/c.Readings))
			}
			area := min((n-1)/perArea, c.Areas-1)
			add(tests, table.Words(fmt.Sprint(n)), table.Words(areaName(area)), table.Words(fmt.Sprintf("pile %d, %.1f m above the toe", 10*area+1+n%10, 0.5+rnd.Float64()*5)),
				date, table.Clock(minute/60, minute%60), table.Clock((minute+11)/60, (minute+11)%60), table.Words(bottle), table.Num(blank, "0.0"), table.Num(3, "0.0"), table.Num(3, "0.0"), table.Num(4, ""),
				table.Num(extract, "0.0"), table.Num(1250, ""), table.Words(fmt.Sprintf("P1-%04d", n)), table.Num(19+math.Round(rnd.Float64()*20)/10, "0.0"), table.Words("on"), table.Words("M-1"),
				table.Num(math.Round(1.2*(extract-blank)*10)/10, "0.0"), table.Words("pass"), table.Words("A. Example"), photo,
				table.Num(math.Round(rnd.Float64()*400)/10, "0.0"), table.Num(math.Round(rnd.Float64()*60)/10, "0.0"))
		}
	}
	patches := page("patches", "batch or id", "kind", "patch area (mm²)", "size designation", "expiry", "unit price", "maximum uses", "opening stock", "closing stock")
	add(patches, table.Words("P1"), table.Words("single-use adhesive"), table.Num(1250, ""), table.Words("A-1250"), table.Day(2027, 12, 31), table.Num(3.1, "0.00"), table.Num(1, ""),
		table.Num(float64(n+500), ""), table.Num(500, ""))
	book := table.Book{Title: "bench", Date: first}
	for _, p := range []*table.Page{keys, people, areas, meters, patches, water, checks, ambient, tests, diary, signed} {
		book.Pages = append(book.Pages, *p)
	}
	return book
}

func areaName(a int) string { return fmt.Sprintf("S%d", a+1) }

// Photo is photograph n: so many pixels of grained steel, as large a file as a
// camera writes of it.
func Photo(n, width, height int, seed uint64) ([]byte, error) {
	rnd := rand.New(rand.NewPCG(seed, uint64(n)))
	img := image.NewYCbCr(image.Rect(0, 0, width, height), image.YCbCrSubsampleRatio420)
	for y := range height {
		for x := range width {
			img.Y[img.YOffset(x, y)] = uint8(110 + x*60/width + rnd.IntN(24))
		}
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 126, 130
	}
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 85})
	return b.Bytes(), err
}
