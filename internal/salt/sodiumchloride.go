package salt

import (
	"fmt"
	"math"

	"saltline/internal/unit"
)

// Molar masses, g/mol (IUPAC conventional atomic weights, from memory).
const (
	molarChloride       = 35.453
	molarSodiumChloride = 58.443
)

// ChlorideShare is the mass of chloride in sodium chloride, 0.6066.
const ChlorideShare = molarChloride / molarSodiumChloride

// MostConcentrated bounds the formulas below, in mol/l. At 0.01 mol/l, some
// 1180 µS/cm, the limiting law is 0.8 % under the table; above it departs
// quickly.
const MostConcentrated = 0.01

// limiting is a molar conductivity Λ = at0 − slope·√m, in S·cm²/mol with m
// in mol/l: the form of Onsager's limiting law.
type limiting struct{ at0, slope float64 }

// sodiumChloride is Λ of NaCl at 25 °C. 126.45 S·cm²/mol is the limiting
// value and 89.16 the slope of Onsager's law (60.20 + 0.2290·126.45) in
// water at 25 °C, both from memory.
var sodiumChloride = limiting{126.45, 89.16}

// leastChloride is a floor under Λ, per mole of chloride, of the chlorides
// of sodium, magnesium, calcium, iron(II), ammonium, potassium and hydrogen,
// from 0 to 0.01 mol/l. 126.39 is the sum of the limiting values of Na⁺,
// the slowest of these cations, and Cl⁻ (50.08 + 76.31). The slope is more
// than NaCl's because Λ of the doubly charged cations falls faster: MgCl₂
// passes under NaCl near 0.003 mol/l and is at 114.5 where NaCl is at 118.5,
// at 0.01 mol/l (handbook table, from memory).
var leastChloride = limiting{126.39, 120}

func (l limiting) molar(m float64) float64 { return l.at0 - l.slope*math.Sqrt(m) }

// conductivity in µS/cm at m mol/l.
func (l limiting) conductivity(m float64) float64 { return 1000 * m * l.molar(m) }

// concentration is the inverse of conductivity on [0, MostConcentrated],
// where it rises without a break: its slope, 1000·(at0 − 1.5·slope·√m), is
// positive. Newton's method from below converges from the first step.
func (l limiting) concentration(conductivity float64) float64 {
	m := conductivity / (1000 * l.at0)
	for range 50 {
		step := (conductivity - l.conductivity(m)) / (1000 * (l.at0 - 1.5*l.slope*math.Sqrt(m)))
		m += step
		if math.Abs(step) <= 1e-15*m {
			break
		}
	}
	return m
}

// A RangeError is a value beyond the range of a formula.
type RangeError struct {
	What     string
	Value    float64
	Low, Top float64
	Unit     string
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %g %s is outside %g to %g %s, where the formula holds", e.What, e.Value, e.Unit, e.Low, e.Top, e.Unit)
}

// MolarConductivity is Λ of sodium chloride in S·cm²/mol at 25 °C, for m in
// mol/l from 0 to MostConcentrated.
func MolarConductivity(m float64) (float64, error) {
	if !(m >= 0 && m <= MostConcentrated) {
		return 0, &RangeError{"sodium chloride", m, 0, MostConcentrated, "mol/l"}
	}
	return sodiumChloride.molar(m), nil
}

// SodiumChlorideRise is the rise of conductivity, in µS/cm at 25 °C, that so
// many mg/m² of sodium chloride make in the water of the method: m = ρ·A /
// (V·58.443) and γ = 1000·m·Λ(m), with m in mol/l. It is what a limit stated
// as "the conductivity of … mg/m² NaCl" compares with. The constant c plays
// no part. The error is a *RangeError.
func (m Method) SodiumChlorideRise(density unit.SurfaceDensity) (unit.Conductivity, error) {
	c := float64(density) * m.perLitre() / 1000 / molarSodiumChloride
	if !(c >= 0 && c <= MostConcentrated) {
		top := MostConcentrated * molarSodiumChloride * 1000 / m.perLitre()
		return 0, &RangeError{"sodium chloride", float64(density), 0, top, "mg/m²"}
	}
	return unit.Conductivity(sodiumChloride.conductivity(c)), nil
}

// SodiumChlorideDensity is the inverse of SodiumChlorideRise: the mg/m² of
// sodium chloride alone that would make this rise at 25 °C, to 1 part in
// 10¹². It holds from 0 to the rise at MostConcentrated, 1175 µS/cm; the
// error is a *RangeError.
func (m Method) SodiumChlorideDensity(rise unit.Conductivity) (unit.SurfaceDensity, error) {
	c, err := concentration(sodiumChloride, rise)
	return unit.SurfaceDensity(c * 1000 * molarSodiumChloride / m.perLitre()), err
}

// ChlorideUpperBound is the most chloride ion, in mg/m², that a rise of
// conductivity at 25 °C can stand for. It is not a measurement of chloride.
//
// Per unit of conductivity a chloride solution holds 35.453/Λ of chloride,
// so the bound needs the least Λ. Among the chlorides met on steel that is
// sodium's at great dilution, but Λ falls with concentration, so chloride
// per conductivity rises: 0.2805 mg/l per µS/cm at infinite dilution, 0.285
// at 42 µS/cm, 0.309 at 1100 µS/cm by the floor leastChloride, which is used
// at its own concentration. Any other ion in the extract only adds
// conductivity. Lithium and heavier organic chlorides, slower than sodium,
// are not considered.
//
// It holds from 0 to 1143.9 µS/cm; the error is a *RangeError.
func (m Method) ChlorideUpperBound(rise unit.Conductivity) (unit.SurfaceDensity, error) {
	c, err := concentration(leastChloride, rise)
	return unit.SurfaceDensity(c * 1000 * molarChloride / m.perLitre()), err
}

// perLitre is A/V in mg/l per mg/m².
func (m Method) perLitre() float64 { return m.Area.Float() / m.Volume.Float() / 1000 }

func concentration(l limiting, rise unit.Conductivity) (float64, error) {
	top := l.conductivity(MostConcentrated)
	if !(rise >= 0 && float64(rise) <= top*(1+1e-12)) {
		return 0, &RangeError{"conductivity rise", float64(rise), 0, top, "µS/cm"}
	}
	if rise == 0 {
		return 0, nil
	}
	return l.concentration(float64(rise)), nil
}
