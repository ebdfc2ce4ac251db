package check_test

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
)

// tables are the tables of the day. Those that hold for the whole job go
// before those that each day adds to.
func (d *honestDay) tables() (ofJob, ofDay []honestTable) {
	ofJob = []honestTable{{"job", d.jobTable()}, {"areas", d.areasTable()}, {"meters", d.metersTable()}, {"patches", d.patchesTable()}, {"people", d.peopleTable()}, {"extracts", d.extractsTable()}}
	ofDay = []honestTable{
		{"readings", d.readingsTable()}, {"ambient", d.ambientTable()}, {"checks", d.checksTable()}, {"water", d.waterTable()},
		{"treatments", d.treatmentsTable()}, {"days", d.daysTable()},
	}
	return ofJob, ofDay
}

type honestTable struct {
	name string
	rows [][]string
}

func (d *honestDay) bind() (*record.Job, *diag.List, error) { return bindHonest(d) }

// bindHonest reads the days of a job as the tool reads a folder of tables.
// What holds for the whole job is that of the first day, with the longest list
// of meters and of people.
func bindHonest(days ...*honestDay) (*record.Job, *diag.List, error) {
	ofJob, all := days[0].tables()
	for _, d := range days[1:] {
		job, day := d.tables()
		for k, t := range job {
			if (t.name == "meters" || t.name == "people") && len(t.rows) > len(ofJob[k].rows) {
				ofJob[k] = t
			}
		}
		for k, t := range day {
			all[k].rows = append(all[k].rows, t.rows[1:]...)
		}
	}
	var files []*table.File
	for _, t := range append(ofJob, all...) {
		f, err := table.Read(t.name+".csv", days[0].csv(t.rows), table.Options{})
		if err != nil {
			return nil, nil, err
		}
		files = append(files, f)
	}
	job, list := record.Bind(files, record.Options{})
	return job, list, nil
}

func (d *honestDay) jobTable() [][]string {
	comparison, procedure := "at most", "direct"
	if d.lessThan {
		comparison = "less than"
	}
	if !d.direct {
		procedure = "beaker return"
	}
	limit := fmt.Sprintf("%d mg/m2", d.limit)
	if d.limit%10 == 0 && d.micrograms {
		limit = fmt.Sprintf("%d µg/cm2", d.limit/10)
	}
	return [][]string{
		{"key", "value", "remark"},
		{"job number", "QL-26-03", ""}, {"client", "Tarn and Sedge Navigation Trust", ""}, {"contractor", "Fennimoor Surface Works", ""},
		{"site", "Quillmere sea lock", ""}, {"structure", "Lock gates", ""}, {"specification", "TSN-P-07", ""}, {"specification revision", "C", ""},
		{"date order", "ymd", ""}, {"limit", limit, ""}, {"limit basis", "total salts", ""}, {"limit comparison", comparison, ""},
		{"limit rounding", "unrounded", ""}, {"limit clause", "TSN-P-07 clause 7.3", ""}, {"decision rule", "simple", ""},
		{"procedure", procedure, ""}, {"volume", d.tenth(d.volume) + " ml", ""}, {"patch area", fmt.Sprint(d.patchArea) + " mm2", ""}, {"constant", "5", ""},
		{"contact time", "10 min", ""}, {"pump cycles", "4", ""}, {"handling time", "2 min", ""}, {"sets in use", fmt.Sprint(len(d.hands) * len(d.hands[0].free)), ""},
		{"water limit", "5 µS/cm", ""}, {"humidity limit", "85 %", ""}, {"dew point margin", "3 °C", ""}, {"steel temperature range", "5 to 40 °C", ""},
		{"check tolerance", "5 %", ""}, {"sampling rule", "5 for the first 100 m2, then 1 per further 100 m2 or part", ""},
		{"spot types required", "weld, underside", ""}, {"spots chosen", "by judgement", ""},
		{"retest rule", "beside the old footprint, 2 adjacent", ""}, {"hours to coating", "24", ""},
	}
}

func (d *honestDay) areasTable() [][]string {
	rows := [][]string{{"area", "description", "size (m²)", "substrate", "outside diameter (mm)", "blast method", "abrasive batch", "visual grade", "profile (µm)", "blasting ended", "coating started"}}
	for _, a := range d.areas {
		coated, outside := "", ""
		if d.oneIn(4) {
			coated = d.on(1) + " 06:45" // less than a day after the first test
		}
		if d.rings {
			outside = pick(d, []string{"", "1016", "323", "168"})
		}
		rows = append(rows, []string{
			a.name, a.name, fmt.Sprint(d.upTo(40, 900)), a.steel, outside, "dry", pick(d, []string{"G-27", "G-28"}), "Sa 2½", "72",
			pick(d, []string{d.on(-1) + " 17:40", d.on(0) + " 06:50"}), coated,
		})
	}
	return rows
}

func (d *honestDay) readingsTable() [][]string {
	unit := "mg/m²"
	if d.micrograms {
		unit = "µg/cm²"
	}
	rows := [][]string{{
		"test", "area", "location", "spot type", "date", "start", "read", "blank (µS/cm)", "water", "injected (ml)", "volume (ml)", "recovered (ml)", "pump cycles",
		"extract (µS/cm)", "solution temperature (°C)", "compensated", "patch area (mm²)", "patch kind", "patch", "patch use", "meter", "difference (µS/cm)",
		"recorded (" + unit + ")", "recorded verdict", "inspector", "kind", "of test", "treatment", "remark",
	}}
	kind := "single-use adhesive"
	if d.rings {
		kind = "reusable magnetic ring"
	}
	for _, t := range d.tests {
		start, injected, recovered := clock(t.start), d.tenth(d.injected), d.tenth(d.injected-d.tenths(0, 4))
		if d.onlyRead {
			start = ""
		}
		if d.onlyBath {
			injected, recovered = "", ""
		}
		difference, recorded, extract := d.reading(t.extract-t.blank), d.written(t), d.reading(t.extract)
		verdict := d.verdict(t).String()
		if !d.capitals {
			verdict = strings.ToLower(verdict)
		}
		of, wash := "", ""
		switch {
		case t.kind == "procedural blank":
			recorded, verdict = "", ""
		case t.void:
			difference, recorded, extract = "", "", ""
			if !d.onlyBath {
				recovered = d.tenth(d.injected / 2)
			}
		}
		if t.of != nil {
			of = t.of.number
		}
		if t.wash != nil {
			wash = t.wash.name
		}
		rows = append(rows, []string{
			t.number, t.area.name, t.location, t.spot, d.on(0), start, clock(t.read), d.reading(t.blank), t.water, injected, d.tenth(d.volume), recovered, fmt.Sprint(t.cycles),
			extract, d.tenth(int64(10*d.air(t.read)) + int64(t.temperature)), "on", fmt.Sprint(d.patchArea), kind, t.patch, fmt.Sprint(t.use), t.hand.meter, difference,
			recorded, verdict, t.hand.name, t.kind, of, wash, t.remark,
		})
	}
	return rows
}

// written is the density as the inspector rounds it.
func (d *honestDay) written(t *honestTest) string {
	x := d.density(t)
	if t.held != nil {
		x = t.held
	}
	if d.micrograms {
		x = new(big.Rat).Mul(x, big.NewRat(1, 10))
	}
	return d.decimal(rounded(x, d.decimals, d.halfEven))
}

// air is the temperature of the air at a time of the day, to a tenth.
func (d *honestDay) air(minutes int) float64 {
	warmest := 3.0 * math.Sin(float64(minutes-morning)/float64(10*60)*math.Pi)
	return math.Round(10*(d.coldest+warmest)) / 10
}

// ambientTable has three sets or four, with the steel 3.5 K or more above
// the dew point, which comes from the Magnus formula with the constants of
// WMO-No. 8 or, by 0.1 K different, from a table.
func (d *honestDay) ambientTable() [][]string {
	rows := [][]string{{"date", "time", "area or place", "air temperature (°C)", "humidity (%)", "recorded dew point (°C)", "steel temperature (°C)", "wind, weather", "by"}}
	for _, at := range []int{morning - 5, lunch - 4, 15*60 + 10, d.end + 2} {
		air, humid := d.air(at), float64(d.upTo(350, 780))/10
		e := math.Log(humid/100) + 17.62*air/(243.12+air)
		dew := 243.12 * e / (17.62 - e)
		steel := max(6, air-2, dew+3.5) + 2*d.Float64()
		says := dew + 0.1*float64(d.upTo(-1, 1))
		digits, ofAir := 1, 1
		if d.wholeDew {
			digits = 0
		}
		if d.wholeAir {
			ofAir = 0
		}
		rows = append(rows, []string{
			d.on(0), clock(at), d.areas[0].name, d.decimal(fmt.Sprintf("%.*f", ofAir, air)), fmt.Sprintf("%.0f", humid),
			d.decimal(fmt.Sprintf("%.*f", digits, says)), d.decimal(fmt.Sprintf("%.1f", steel)), d.weather, d.hands[0].name,
		})
	}
	return rows
}

func (d *honestDay) metersTable() [][]string {
	step := "0.1 µS/cm"
	if d.coarse {
		step = "1 µS/cm"
	}
	rows := [][]string{{"meter", "kind", "range", "resolution", "accuracy (%)", "compensates", "certificate", "calibrated on", "due", "laboratory"}}
	for _, h := range d.hands {
		rows = append(rows, []string{h.meter, "conductivity", "0 to 1999 µS/cm", d.decimal(step), "2", "on, 2 %/°C", "C-26-0188", "2026-01-20", "2027-01-20", "Sedgeport Calibration Rooms"})
	}
	return append(rows,
		[]string{"TH-061", "thermometer", "-20 to 60 °C", d.decimal("0.1 °C"), "", "", "C-26-0190", "2026-01-21", "2027-01-21", "Sedgeport Calibration Rooms"},
		[]string{"HY-061", "hygrometer", "5 to 98 %", "1 %", "", "", "C-26-0191", "2026-01-21", "2027-01-21", "Sedgeport Calibration Rooms"},
	)
}

func (d *honestDay) checksTable() [][]string {
	return append([][]string{{"date", "time", "meter", "solution", "nominal (µS/cm)", "lot", "expiry", "temperature (°C)", "reading (µS/cm)", "tolerance (%)", "as found / as left", "by"}}, d.checks...)
}

func (d *honestDay) waterTable() [][]string {
	rows := append([][]string{{"water", "grade", "opened", "expiry", "date", "time", "conductivity (µS/cm)", "blank kind"}}, d.water...)
	return append(rows, []string{d.glass.water, "ISO 3696 grade 3", "2026-05-04", "2026-09-30", d.on(0), clock(d.glass.read), d.reading(d.glass.extract), "procedural on glass"})
}

func (d *honestDay) patchesTable() [][]string {
	rows := [][]string{{"batch or id", "kind", "patch area (mm²)", "size designation", "expiry", "unit price", "maximum uses", "smallest outside diameter (mm)", "smallest inside diameter (mm)", "opening stock", "closing stock"}}
	area := fmt.Sprint(d.patchArea)
	if !d.rings {
		return append(rows, []string{"A31", "single-use adhesive", area, "A-" + area, "2027-03-31", d.decimal("3.10"), "1", "", "", "100", fmt.Sprint(100 - len(d.tests))})
	}
	for _, h := range d.hands {
		for _, ring := range h.rings {
			rows = append(rows, []string{ring, "reusable magnetic ring", area, "A-" + area, "", d.decimal("184.00"), "250", d.decimal("101.6"), d.decimal("114.3"), "", ""})
		}
	}
	return rows
}

func (d *honestDay) peopleTable() [][]string {
	rows := [][]string{{"name", "employer", "role", "qualification", "number", "expiry"}}
	for _, h := range d.hands {
		rows = append(rows, []string{h.name, "Fennimoor Surface Works", "inspector", "coating inspector, grade 2, Estuary Trades Board", "ETB-2-4471", "2027-06-30"})
	}
	return rows
}

func (d *honestDay) extractsTable() [][]string {
	return [][]string{
		{"date", "kind", "batch or source", "method", "conductivity", "limit", "oil seen", "by"},
		{d.on(-1), "abrasive", "G-27", "ISO 11127-6", d.decimal("9.6") + " mS/m", "25 mS/m", d.none, "Ilse Korvan"},
		{d.on(-1), "abrasive", "G-28", "ISO 11127-6", "118 µS/cm", "250 µS/cm", d.none, "Ilse Korvan"},
	}
}

func (d *honestDay) treatmentsTable() [][]string {
	rows := [][]string{{"treatment", "of tests", "what", "date", "started", "ended", "water source", "water conductivity (µS/cm)", "extent (m²)", "dried how", "grade after", "by"}}
	for _, w := range d.washes {
		rows = append(rows, []string{w.name, w.of.number, d.wash, d.on(0), clock(w.from), clock(w.to), d.hydrant, fmt.Sprint(w.conductive / 10), "6", d.dried, "Sa 2½", "Fennimoor Surface Works"})
	}
	return rows
}

func (d *honestDay) daysTable() [][]string {
	return [][]string{
		{"date", "shift started", "shift ended", "stops (from–to)", "weather", "work done", "delays", "instructions received", "visitors", "remarks", "report number", "revision", "what changed"},
		{d.on(0), "06:45", clock(d.end + 30), clock(lunch) + "–" + clock(afterLunch), d.weather, "", d.none, d.none, d.none, d.none, fmt.Sprintf("QL-DR-%02d", d.ordinal+1), "0", ""},
	}
}
