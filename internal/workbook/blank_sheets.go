package workbook

// A form is one sheet to fill in. Its fields are the columns of the record table of
// the same name, under the headings that record reads back, and those that are
// computed beside them.
type form struct {
	name   string
	rows   int // to fill in
	side   int // columns that stay in view at the left
	wide   int // printed pages beside each other; 0 for one
	fields []field
}

// A field is one column of a form. Its note is the text of the form's and its
// own name.
type field struct {
	head        string // as record reads it, with the unit
	width       float64
	format      string // of numbers; "" shows them as typed
	kind        kind
	least, most float64  // of a number that needs no second look; both 0 for any
	list        []string // offered
	from        string   // the form whose first column is offered
	live        string   // the name of the formula that fills it
	locked      bool     // computed here: nothing is typed over it
}

// A kind is what a field takes.
type kind int

const (
	aText kind = iota
	aNumber
	aDay
	aClock
	aMoment
)

// The formats of dates and times, which nobody can read two ways.
const (
	dayFormat    = "yyyy-mm-dd"
	clockFormat  = "hh:mm"
	momentFormat = "yyyy-mm-dd hh:mm"
)

func text(head string, width float64) field { return field{head: head, width: width} }

func choice(head string, width float64, list ...string) field {
	return field{head: head, width: width, list: list}
}

func nameFrom(form, head string, width float64) field {
	return field{head: head, width: width, from: form}
}

func figure(head string, width, least, most float64) field {
	return field{head: head, width: width, kind: aNumber, least: least, most: most}
}

func date(head string) field {
	return field{head: head, width: 11, kind: aDay, format: dayFormat, least: 36526, most: 73050} // 2000 to 2099
}

func clockTime(head string, width float64) field {
	return field{head: head, width: width, kind: aClock, format: clockFormat, most: 0.9999999}
}

func dateAndTime(head string) field {
	return field{head: head, width: 16, kind: aMoment, format: momentFormat, least: 36526, most: 73050}
}

// filled is f filled in by a formula that may be typed over.
func (f field) filled(live, format string) field { f.live, f.format = live, format; return f }

// computed is a column that only shows.
func computed(head string, width float64, live, format string) field {
	return field{head: head, width: width, live: live, format: format, locked: true}
}

// Words that several columns offer. They are the ones that record reads back.
var (
	onOff      = []string{"on", "off"}
	patchKinds = []string{"single-use adhesive", "reusable magnetic ring", "sleeve"}
)

// forms are the sheets after the job, in the order in which a day uses them:
// who and where, what is used, what is measured, what is done about it.
var forms = []form{
	{name: "people", rows: 12, fields: []field{
		text("name", 20), text("employer", 26), choice("role", 20, "inspector", "QC manager", "owner's representative", "foreman"),
		text("qualification", 40), text("number", 14), date("expiry"),
	}},
	{name: "areas", rows: 12, side: 1, fields: []field{
		text("area", 9), text("description", 32), figure("size (m²)", 9, 0, 1e6), choice("substrate", 14, "carbon steel", "stainless steel", "galvanised steel"),
		figure("outside diameter (mm)", 11, 0, 20000), figure("inside diameter (mm)", 11, 0, 20000),
		text("initial condition", 22), text("exposure", 18), text("blast method", 20), text("abrasive batch", 10),
		choice("visual grade", 10, "Sa 2", "Sa 2½", "Sa 3", "WJ 1", "WJ 2"), figure("profile (µm)", 9, 0, 500),
		dateAndTime("blasting ended"), dateAndTime("coating started"), text("sampling rule", 20), figure("limit (mg/m²)", 9, 0, 1000), text("drawing", 14),
	}},
	{name: "meters", rows: 10, fields: []field{
		text("meter", 12), choice("kind", 20, "conductivity", "thermometer", "hygrometer", "surface thermometer"), text("range", 17),
		text("resolution", 12), figure("accuracy (%)", 10, 0, 20), text("compensates", 14), text("certificate", 14),
		date("calibrated on"), date("due"), text("laboratory", 26),
	}},
	{name: "patches", rows: 20, fields: []field{
		text("batch or id", 10), choice("kind", 23, patchKinds...), figure("patch area (mm²)", 9, 1, 10000), text("size designation", 13), date("expiry"),
		figure("unit price", 8, 0, 10000), figure("maximum uses", 11, 1, 10000), figure("smallest outside diameter (mm)", 11, 0, 20000),
		figure("smallest inside diameter (mm)", 11, 0, 20000), figure("opening stock", 10, 0, 100000), figure("closing stock", 10, 0, 100000),
		figure("water cost", 8, 0, 100000), figure("check solution cost", 11, 0, 100000), figure("syringes cost", 11, 0, 100000),
	}},
	{name: "extracts", rows: 12, fields: []field{
		date("date"), choice("kind", 13, "abrasive", "wash water"), text("batch or source", 26),
		choice("method", 22, "ASTM D4940", "ISO 11127-6", "conductivity meter"), text("conductivity", 15), text("limit", 15),
		choice("oil seen", 10, "none", "yes"), nameFrom("people", "by", 20),
	}},
	{name: "water", rows: 24, fields: []field{
		text("water", 10), text("grade", 20), date("opened"), date("expiry"), date("date"), clockTime("time", 8),
		figure("conductivity (µS/cm)", 14, 0, 200), choice("blank kind", 20, "water", "procedural on glass"),
	}},
	{name: "checks", rows: 24, fields: []field{
		date("date"), clockTime("time", 8), nameFrom("meters", "meter", 11), text("solution", 20), figure("nominal (µS/cm)", 10, 0, 200000), text("lot", 11), date("expiry"),
		figure("temperature (°C)", 13, -5, 60), figure("reading (µS/cm)", 10, 0, 200000), figure("tolerance (%)", 11, 0, 50),
		choice("as found / as left", 11, "as found", "as left"), nameFrom("people", "by", 18),
	}},
	{name: "ambient", rows: 40, fields: []field{
		date("date"), clockTime("time", 8), nameFrom("areas", "area or place", 24), figure("air temperature (°C)", 13, -45, 60), figure("humidity (%)", 10, 1, 100),
		figure("wet bulb (°C)", 8, -45, 60), figure("recorded dew point (°C)", 11, -60, 60), figure("steel temperature (°C)", 13, -60, 120),
		computed("dew point by formula (°C)", 11, "dew", "0.0"), computed("margin by formula (K)", 10, "margin", "0.0"), computed("against the margin", 15, "kept", ""),
		text("wind, weather", 22), nameFrom("people", "by", 18),
	}},
	{name: "readings", rows: 60, side: 3, wide: 2, fields: []field{
		text("test", 6), nameFrom("areas", "area", 9), text("location", 26), figure("x (m)", 6, -1e6, 1e6), figure("y (m)", 6, -1e6, 1e6),
		text("spot type", 11), text("orientation", 12),
		choice("kind", 15, "original", "repeat", "retest", "adjacent", "witness", "procedural blank"), text("of test", 6), nameFrom("treatments", "treatment", 11),
		date("date"), clockTime("start", 7), nameFrom("meters", "meter", 10), nameFrom("people", "inspector", 15),
		nameFrom("water", "water", 8), figure("blank (µS/cm)", 9, 0, 50), figure("blank temperature (°C)", 13, -5, 60),
		choice("patch kind", 20, patchKinds...), nameFrom("patches", "patch", 9), figure("patch use", 7, 1, 10000), figure("patch area (mm²)", 8, 1, 10000),
		figure("injected (ml)", 9, 0, 100), figure("volume (ml)", 8, 0.1, 100), figure("pump cycles", 8, 0, 100), figure("recovered (ml)", 11, 0, 100),
		clockTime("read", 7), figure("extract (µS/cm)", 9, 0, 20000), figure("solution temperature (°C)", 13, -5, 60), choice("compensated", 14, onOff...),
		figure("difference (µS/cm)", 11, -100, 20000).filled("difference", ""),
		computed("factor K (mg/m² per µS/cm)", 11, "factor", "0.0###"), computed("density by formula (mg/m²)", 10, "density", "0.0"),
		computed("limit in force (mg/m²)", 9, "limit", "0.0###"), computed("against that limit", 25, "against", ""),
		figure("recorded (mg/m²)", 10, -1000, 100000).filled("recorded", "0.0"), choice("recorded verdict", 10, "pass", "fail", "void").filled("verdict", ""),
		text("photo", 11), text("remark", 28),
	}},
	{name: "treatments", rows: 12, fields: []field{
		text("treatment", 11), text("of tests", 9), choice("what", 18, "fresh-water wash", "steam", "sweep blast", "re-blast"), date("date"),
		clockTime("started", 9), clockTime("ended", 8), text("water source", 24), figure("water conductivity (µS/cm)", 14, 0, 100000), figure("extent (m²)", 8, 0, 1e6),
		text("dried how", 32), text("grade after", 10), text("by", 22),
	}},
	{name: "concessions", rows: 12, fields: []field{
		text("area or test", 10), text("clause", 24), nameFrom("people", "by", 22), date("date"), text("text", 70),
	}},
	{name: "days", rows: 14, fields: []field{
		date("date"), clockTime("shift started", 8), clockTime("shift ended", 8), text("stops (from–to)", 14), text("weather", 22), text("work done", 34), text("delays", 24),
		text("instructions received", 22), text("visitors", 24), text("remarks", 24), text("report number", 11), text("revision", 9), text("what changed", 20),
	}},
	{name: "signatures", rows: 14, fields: []field{
		text("document", 13), text("revision", 9), date("date"), choice("role", 22, "inspector", "QC manager", "owner's representative"), nameFrom("people", "name", 20),
		text("statement", 50), dateAndTime("signed at"), choice("method", 11, "wet ink", "image"), text("image file", 14), text("data digest at signing", 18),
	}},
	{name: "documents", rows: 14, fields: []field{
		choice("document", 13, "daily report", "certificate", "dossier"), text("area or day", 12), text("number", 14), text("revision", 9), date("issued on"),
		text("data digest", 18), text("what changed", 40),
	}},
}
