package salt

import "saltline/internal/unit"

// The check solutions that CheckSolution takes, by their nominal
// conductivity in µS/cm at 25 °C, and the temperatures in °C. That is some
// 0.00007 to 0.1 mol/l; the tables it was held against begin at 0.0001.
const (
	weakestCheck   = 10
	strongestCheck = 13000
	coldestCheck   = 0
	hottestCheck   = 50
)

// CheckSolution is what a check solution of potassium chloride, named by its
// conductivity at 25 °C, reads at another temperature where the meter does
// not compensate: a solution of 84 µS/cm reads about 73 at 18 °C. The
// molality follows from the nominal value by the formula of McCleskey (see
// electrolyte), and the reading from the molality.
//
// It holds from 10 to 13 000 µS/cm and from 0 to 50 °C; the error is a
// *RangeError. It is within 0.5 % of the NIST tables of 0.01 and 0.1 mol/kg
// and of Kohlrausch's at 18 °C: the formula itself may be 1 % high, but
// nearly as much at both temperatures. A check solution of another salt
// reads otherwise: one of sodium chloride, up to 2 % less at 10 °C.
func CheckSolution(nominal unit.Conductivity, at unit.Temperature) (unit.Conductivity, error) {
	if !(nominal >= weakestCheck && nominal <= strongestCheck) {
		return 0, &RangeError{"check solution", float64(nominal), weakestCheck, strongestCheck, "µS/cm"}
	}
	if !(at >= coldestCheck && at <= hottestCheck) {
		return 0, &RangeError{"solution temperature", float64(at), coldestCheck, hottestCheck, "°C"}
	}
	molality := potassiumChloride.molality(float64(nominal), 25)
	return unit.Conductivity(potassiumChloride.conductivity(molality, float64(at))), nil
}

// CheckSolutionRatio is the inverse: nominal over expected, by which a
// reading taken without compensation is multiplied to be compared with the
// nominal value. It is 1.16 at 18 °C. Range and error are CheckSolution's.
func CheckSolutionRatio(nominal unit.Conductivity, at unit.Temperature) (float64, error) {
	expected, err := CheckSolution(nominal, at)
	if err != nil {
		return 0, err
	}
	return float64(nominal / expected), nil
}
