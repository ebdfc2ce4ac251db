package workbook

import (
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A term is one row of the sheet of the job: a key as record reads it, with
// the unit of a number.
type term struct {
	key         string
	unit        string
	least, most float64
	list        []string
	value       func(*record.Terms) (table.Entry, bool) // of a job that was read; nil where the text itself is taken over
}

// head is the key with its unit.
func (t term) head() string {
	if t.unit == "" {
		return t.key
	}
	return t.key + " (" + t.unit + ")"
}

// measured is a key whose value is a number in the unit that stands with it.
func measured[Q ~float64](key, symbol string, least, most float64, field func(*record.Terms) record.Given[Q]) term {
	return term{key: key, unit: symbol, least: least, most: most, value: func(t *record.Terms) (table.Entry, bool) {
		g := field(t)
		return table.Num(float64(g.Val), decimals(g.Dec)), g.Known()
	}}
}

// counted is a key whose value is a whole number.
func counted(key string, most float64, field func(*record.Terms) record.Given[int]) term {
	return term{key: key, least: 1, most: most, value: func(t *record.Terms) (table.Entry, bool) {
		g := field(t)
		return table.Num(float64(g.Val), "0"), g.Known()
	}}
}

func firstLimit(t *record.Terms) record.Given[unit.SurfaceDensity] {
	if len(t.Limits) == 0 {
		return record.Given[unit.SurfaceDensity]{}
	}
	return t.Limits[0].Value
}

func secondLimit(t *record.Terms) record.Given[unit.SurfaceDensity] {
	if len(t.Limits) < 2 {
		return record.Given[unit.SurfaceDensity]{}
	}
	return t.Limits[1].Value
}

func plain(key string, list ...string) term { return term{key: key, list: list} }

// jobTerms are the rows of the sheet of the job, in the order of the work: what the
// report is about, what is asked for, how it is done.
var jobTerms = []term{
	plain("job number"), plain("title"), plain("client"), plain("owner"), plain("contractor"), plain("contract"),
	plain("site"), plain("structure"), plain("weather"),
	plain("specification"), plain("specification revision"), plain("inspection plan"), plain("method statement"),
	measured("limit", "mg/m²", 0, 1000, firstLimit),
	plain("limit basis", "total salts", "conductivity of sodium chloride", "chloride ion"),
	plain("limit comparison", "at most", "less than"),
	plain("limit rounding", "unrounded", "to 1 mg/m2", "to 0.1 mg/m2"),
	plain("limit clause"),
	measured("limit 2", "mg/m²", 0, 1000, secondLimit),
	plain("decision rule", "simple", "guarded", "guarded rejection"),
	measured("expanded uncertainty", "mg/m²", 0, 1000, func(t *record.Terms) record.Given[unit.SurfaceDensity] { return t.ExpandedUncertainty }),
	measured("coverage factor", "", 1, 4, func(t *record.Terms) record.Given[float64] { return t.CoverageFactor }),
	plain("uncertainty source"),
	plain("procedure", "direct", "beaker return"),
	measured("volume", "ml", 0.1, 100, func(t *record.Terms) record.Given[unit.Volume] { return t.Volume }),
	measured("patch area", "mm²", 1, 10000, func(t *record.Terms) record.Given[unit.PatchArea] { return t.PatchArea }),
	measured("constant", "kg·m⁻²·S⁻¹", 1, 10, func(t *record.Terms) record.Given[unit.Constant] { return t.Constant }),
	measured("contact time", "min", 0, 120, func(t *record.Terms) record.Given[unit.Minutes] { return t.ContactTime }),
	counted("pump cycles", 100, func(t *record.Terms) record.Given[int] { return t.PumpCycles }),
	measured("handling time", "min", 0, 120, func(t *record.Terms) record.Given[unit.Minutes] { return t.HandlingTime }),
	counted("sets in use", 100, func(t *record.Terms) record.Given[int] { return t.SetsInUse }),
	measured("water limit", "µS/cm", 0, 100, func(t *record.Terms) record.Given[unit.Conductivity] { return t.WaterLimit }),
	measured("humidity limit", "%", 1, 100, func(t *record.Terms) record.Given[unit.Humidity] { return t.HumidityLimit }),
	measured("dew point margin", "°C", 0, 20, func(t *record.Terms) record.Given[unit.Temperature] { return t.DewPointMargin }),
	plain("steel temperature range"),
	measured("check tolerance", "%", 0, 50, func(t *record.Terms) record.Given[unit.Percent] { return t.CheckTolerance }),
	plain("temperature correction", "linear 2 %", "natural water", "none"),
	plain("sampling rule"), plain("spot types required"),
	plain("spots chosen", "at random", "by judgement"),
	plain("retest rule"),
	measured("hours to coating", "h", 0, 1000, func(t *record.Terms) record.Given[float64] { return t.HoursToCoating }),
	plain("date order", "ymd", "dmy", "mdy"), plain("time zone"), plain("currency"), plain("language"),
}
