package salt

import (
	"math"

	"saltline/internal/unit"
)

// String names k.
func (k CorrectionKind) String() string {
	switch k {
	case Linear:
		return "linear"
	case NaturalWater:
		return "natural water"
	}
	return "none"
}

// The temperatures of a solution that the corrections take, in °C. ISO 7888
// tabulates up to 36 °C; its formula is used here to 40.
const (
	coldestSolution = 0
	hottestSolution = 40
)

// To25 refers a conductivity read at a solution temperature, without any
// compensation by the meter, to 25 °C:
//
//   - Linear: γ25 = γT / (1 + α·(T − 25)), α in 1/K; 2 % per kelvin is usual,
//     and dilute sodium chloride is nearer 2.1 %.
//   - NaturalWater: γ25 = f25(T)·γT, ISO 7888.
//
// Blank and extract are each corrected at their own temperature. The error,
// a *RangeError, is for a temperature outside 0 to 40 °C or an α outside 0
// to 4 % per kelvin, where the linear factor stays positive at 0 °C.
func (c Correction) To25(read unit.Conductivity, at unit.Temperature) (unit.Conductivity, error) {
	if c.Kind == NoCorrection {
		return read, nil
	}
	if !(at >= coldestSolution && at <= hottestSolution) {
		return 0, &RangeError{"solution temperature", float64(at), coldestSolution, hottestSolution, "°C"}
	}
	if c.Kind == NaturalWater {
		return unit.Conductivity(f25(float64(at)) * float64(read)), nil
	}
	if !(c.Alpha >= 0 && c.Alpha < 4) {
		return 0, &RangeError{"temperature coefficient", float64(c.Alpha), 0, 4, "% per K"}
	}
	return read / unit.Conductivity(1+float64(c.Alpha)/100*float64(at-25)), nil
}

// f25 is the correction factor of ISO 7888:1985 for natural waters, by its
// approximating formula (as published; agrees with the printed table within
// 0.001 from 0 to 35 °C).
func f25(t float64) float64 {
	const a, n = 0.962144, 0.965078
	r := -0.198058 + math.Exp(-1.992186+231.17628/(t+86.39123))
	return 1.116 * (1 - a + a*math.Pow(r, n))
}
