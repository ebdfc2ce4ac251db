// Package unit holds the quantities of the trade: their types, how they are
// parsed from what people write, and how they are printed.
//
// Each quantity is a float64 in the unit in which its limits are written, so
// that a limit of 20 is exactly 20 and the common path converts nothing.
package unit

type (
	Conductivity   float64 // µS/cm
	SurfaceDensity float64 // mg/m²
	Volume         float64 // ml
	PatchArea      float64 // mm², the steel wetted inside the patch
	SteelArea      float64 // m², an area of the structure
	Temperature    float64 // °C
	Humidity       float64 // %, relative
	Length         float64 // mm
	Minutes        float64 // min, a length of time
	Percent        float64 // %
	Money          float64 // in the currency of the job
	Constant       float64 // kg·m⁻²·S⁻¹, the c of ISO 8502-9
)

// A Quantity names what a number measures. Its base unit is the one that
// the type of the same name above is counted in.
type Quantity int

const (
	Pure           Quantity = iota // a number without a unit
	OfConductivity                 // µS/cm
	OfDensity                      // mg/m²
	OfVolume                       // ml
	OfPatchArea                    // mm²
	OfSteelArea                    // m²
	OfTemperature                  // °C
	OfHumidity                     // %
	OfLength                       // mm
	OfTime                         // min
	OfPercent                      // %
	OfMoney                        // the currency of the job
	OfConstant                     // kg·m⁻²·S⁻¹
)

var quantities = [...]struct{ name, symbol string }{
	Pure:           {"number", ""},
	OfConductivity: {"conductivity", "µS/cm"},
	OfDensity:      {"surface density", "mg/m²"},
	OfVolume:       {"volume", "ml"},
	OfPatchArea:    {"patch area", "mm²"},
	OfSteelArea:    {"area", "m²"},
	OfTemperature:  {"temperature", "°C"},
	OfHumidity:     {"relative humidity", "%"},
	OfLength:       {"length", "mm"},
	OfTime:         {"time", "min"},
	OfPercent:      {"percentage", "%"},
	OfMoney:        {"amount of money", ""},
	OfConstant:     {"constant", "kg/(m²·S)"},
}

// String names q in lower case, as a message uses it.
func (q Quantity) String() string {
	if q < 0 || int(q) >= len(quantities) {
		return "unknown quantity"
	}
	return quantities[q].name
}

// Symbol is the base unit of q as it is printed; "" where q has none.
func (q Quantity) Symbol() string {
	if q < 0 || int(q) >= len(quantities) {
		return ""
	}
	return quantities[q].symbol
}
