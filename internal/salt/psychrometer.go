package salt

import (
	"fmt"
	"math"

	"saltline/internal/unit"
)

// StandardPressure is the pressure of the air at sea level, in hPa. A
// difference of 30 hPa moves the humidity by some 0.3 % at most.
const StandardPressure = 1013.25

// HumidityFromWetBulb is the relative humidity that a ventilated dry and wet
// bulb show at an air pressure in hPa, after WMO-No. 8 (from memory):
//
//	e = e(wet) − 6.53·10⁻⁴·(1 + 0.000944·wet)·p·(dry − wet)
//
// The bulb is taken to be covered with water, not ice. An unventilated pair
// reads wetter than it is. Dry 0 to 60 °C, wet not above dry, pressure 500
// to 1100 hPa.
func HumidityFromWetBulb(dry, wet unit.Temperature, pressure float64) (unit.Humidity, error) {
	switch {
	case !(dry >= 0 && dry <= overWater.high):
		return 0, &RangeError{"dry bulb", float64(dry), 0, float64(overWater.high), "°C"}
	case !(wet <= dry):
		return 0, fmt.Errorf("wet bulb %g °C is above dry bulb %g °C", float64(wet), float64(dry))
	case !(wet >= 0):
		return 0, &RangeError{"wet bulb", float64(wet), 0, float64(dry), "°C"}
	case !(pressure >= 500 && pressure <= 1100):
		return 0, &RangeError{"air pressure", pressure, 500, 1100, "hPa"}
	}
	e := overWater.pressure(wet) - 6.53e-4*(1+0.000944*float64(wet))*pressure*float64(dry-wet)
	if e <= 0 {
		return 0, fmt.Errorf("wet bulb %g °C is too low for dry bulb %g °C: drier than dry air", float64(wet), float64(dry))
	}
	return unit.Humidity(100 * e / overWater.pressure(dry)), nil
}

// PressureAt is the air pressure in hPa at a height in metres above the sea,
// in the standard atmosphere (ISO 2533), up to 11 000 m.
func PressureAt(metres float64) float64 {
	return StandardPressure * math.Pow(1-2.25577e-5*metres, 5.25588)
}
