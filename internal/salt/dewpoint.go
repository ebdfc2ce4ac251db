package salt

import (
	"math"

	"saltline/internal/unit"
)

// A magnus is a set of constants of e = e0·exp(a·T/(b + T)), T in °C.
type magnus struct {
	a, b      float64
	low, high unit.Temperature
}

// The constants of WMO-No. 8 (Sonntag): over water −45 to 60 °C, over ice
// −65 to 0 °C.
var (
	overWater = magnus{17.62, 243.12, -45, 60}
	overIce   = magnus{22.46, 272.62, -65, 0.01}
)

// freezingPressure is e0, the vapour pressure at 0 °C, in hPa.
const freezingPressure = 6.112

func (m magnus) pressure(t unit.Temperature) float64 {
	return freezingPressure * math.Exp(m.a*float64(t)/(m.b+float64(t)))
}

// temperature is the inverse of pressure.
func (m magnus) temperature(hPa float64) unit.Temperature {
	ln := math.Log(hPa / freezingPressure)
	return unit.Temperature(m.b * ln / (m.a - ln))
}

// VapourPressure is the saturation pressure over water, in hPa, for −45 to
// 60 °C: e = 6.112·exp(17.62·T/(243.12 + T)).
func VapourPressure(t unit.Temperature) (float64, error) {
	if !(t >= overWater.low && t <= overWater.high) {
		return 0, &RangeError{"temperature", float64(t), float64(overWater.low), float64(overWater.high), "°C"}
	}
	return overWater.pressure(t), nil
}

// DewPoint is the temperature at which water begins to condense from the
// air: e = RH/100·e(T), Td = b·ln(e/e0)/(a − ln(e/e0)), over water, also
// below 0 °C. Printed tables differ by 0.1 to 0.2 °C. Air −45 to 60 °C,
// humidity above 0 to 100 %; the error is a *RangeError.
func DewPoint(air unit.Temperature, rh unit.Humidity) (unit.Temperature, error) {
	e, err := actualPressure(air, rh)
	if err != nil {
		return 0, err
	}
	return overWater.temperature(e), nil
}

// FrostPoint is the temperature at which the air is saturated over ice. It
// lies above the dew point and means something only up to 0 °C; a point
// above that is a *RangeError.
func FrostPoint(air unit.Temperature, rh unit.Humidity) (unit.Temperature, error) {
	e, err := actualPressure(air, rh)
	if err != nil {
		return 0, err
	}
	t := overIce.temperature(e)
	if t > overIce.high {
		return 0, &RangeError{"frost point", float64(t), float64(overIce.low), float64(overIce.high), "°C"}
	}
	return t, nil
}

func actualPressure(air unit.Temperature, rh unit.Humidity) (float64, error) {
	if !(rh > 0 && rh <= 100) {
		return 0, &RangeError{"relative humidity", float64(rh), 0, 100, "%"}
	}
	e, err := VapourPressure(air)
	return float64(rh) / 100 * e, err
}

// Margin is how far the steel is above the dew point, in kelvin.
func Margin(steel, dew unit.Temperature) unit.Temperature { return steel - dew }
