// Package salt holds the formulas of the conductometric test of soluble
// salts (ISO 8502-9), of the limits set on it, of its uncertainty and of the
// dew point beside it: pure functions of quantities.
package salt

import (
	"fmt"

	"saltline/internal/unit"
)

// A Method is what turns a rise of conductivity into a surface density.
//
// Source: ISO 8502-9, ρ = c·V·Δγ/A, with c = 5 kg·m⁻²·S⁻¹ for the usual
// mixture of salts (both from memory). The values are exact, so that a
// result equal to its limit is seen to be equal.
type Method struct {
	Constant unit.Decimal // c, kg·m⁻²·S⁻¹
	Volume   unit.Decimal // V, ml: the water in which the salt is dissolved when the extract is read
	Area     unit.Decimal // A, mm²: the steel wetted inside the patch
}

// Check returns an error unless constant, volume and area are all positive.
// The other methods want a Method that has passed it.
func (m Method) Check() error {
	for _, v := range []struct {
		name string
		val  unit.Decimal
	}{{"constant", m.Constant}, {"volume", m.Volume}, {"patch area", m.Area}} {
		if v.val.Sign() <= 0 {
			return fmt.Errorf("%s is %v, but must be above zero", v.name, v.val)
		}
	}
	return nil
}

// Factor is K = 100·c·V/A in mg/m² per µS/cm, with c in kg·m⁻²·S⁻¹, V in ml
// and A in mm². The 100 gathers the units: 1 µS/cm = 10⁻⁴ S/m, 1 ml/mm² =
// 1 m, 1 kg = 10⁶ mg. For c = 5 and 1250 mm² it is 1.2 at 3 ml, 4 at 10 ml
// and 6 at 15 ml.
func (m Method) Factor() float64 {
	return Factor(unit.Constant(m.Constant.Float()), unit.Volume(m.Volume.Float()), unit.PatchArea(m.Area.Float()))
}

// Factor is K in mg/m² per µS/cm for floating-point values; see
// Method.Factor. It is not finite where the area is zero.
func Factor(c unit.Constant, v unit.Volume, a unit.PatchArea) float64 {
	return 100 * float64(c) * float64(v) / float64(a)
}

// ExactFactor is Factor without rounding.
func (m Method) ExactFactor() unit.Ratio {
	k := m.Constant.Ratio().Mul(m.Volume.Ratio()).Mul(unit.Int(100).Ratio())
	return k.Quo(m.Area.Ratio())
}

// Density is ρ = K·(γ2 − γ1) in mg/m². It is negative where the extract
// conducts less than the blank, which is a finding and not a zero.
func (m Method) Density(blank, extract unit.Conductivity) unit.SurfaceDensity {
	return unit.SurfaceDensity(m.Factor() * float64(extract-blank))
}

// ExactDensity is Density of the written digits, without rounding.
func (m Method) ExactDensity(blank, extract unit.Decimal) unit.Ratio {
	return extract.Ratio().Sub(blank.Ratio()).Mul(m.ExactFactor())
}

// Rise is the inverse of Density: the conductivity rise, in µS/cm, of a
// surface density.
func (m Method) Rise(density unit.SurfaceDensity) unit.Conductivity {
	return unit.Conductivity(float64(density) / m.Factor())
}
