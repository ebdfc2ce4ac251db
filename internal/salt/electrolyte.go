package salt

import "math"

// An electrolyte is a salt whose molar conductivity is known over
// temperature by the formula of McCleskey (J. Chem. Eng. Data 56, 2011),
//
//	Λ = λ0(T) − A(T)·√c/(1 + B·√c), in S·cm²/mol,
//
// with λ0 and A quadratic in T, in °C. It was fitted from 5 to 90 °C and
// 10⁻⁴ to 1 mol/kg (ranges from memory).
//
// Concentrations of the article are molalities; here c is in mol/l. Tables
// settled that, not the text, which was not at hand. Against the NIST table
// of potassium chloride, from 0 to 50 °C, mol/l come out 0.1 to 0.7 % high
// at 0.01 mol/kg, 0.5 to 1.1 % at 0.1 and −0.5 to 2.3 % at 1; with the
// molality in its place it would be up to 2.0, 2.0 and 6.0 %.
type electrolyte struct {
	limit  [3]float64 // λ0: coefficients of T², T and 1
	slope  [3]float64 // A, likewise
	b      float64    // B, (l/mol)^½
	volume float64    // apparent molar volume in water, cm³/mol
}

// potassiumChloride has the coefficients of McCleskey. 27 cm³/mol is good to
// 0.05 % of c up to 0.1 mol/kg, and to 0.3 % at 1 mol/kg (from memory).
var potassiumChloride = electrolyte{
	limit:  [3]float64{0.009385, 2.533, 81.17},
	slope:  [3]float64{0.0139, 1.886, 44.11},
	b:      1.7,
	volume: 27,
}

// molar is Λ in S·cm²/mol at c mol/l and t °C.
func (e electrolyte) molar(c, t float64) float64 {
	root := math.Sqrt(c)
	return quadratic(e.limit, t) - quadratic(e.slope, t)*root/(1+e.b*root)
}

// concentration in mol/l, at t °C, of a solution of so many moles in a
// kilogram of water. The water takes 1/ρ litres and each mole its apparent
// volume. The molality stays when a solution warms; its concentration does
// not, and falls by 0.9 % from 25 to 50 °C.
func (e electrolyte) concentration(molality, t float64) float64 {
	litres := 1/waterDensity(t) + molality*e.volume/1000
	return molality / litres
}

// conductivity in µS/cm, at t °C, of so many moles in a kilogram of water.
// The water's own conductivity, about 1 µS/cm in contact with air, is not in
// it.
func (e electrolyte) conductivity(molality, t float64) float64 {
	c := e.concentration(molality, t)
	return 1000 * c * e.molar(c, t)
}

// molality is the inverse of conductivity, up to 0.1 mol/kg. κ grows there
// nearly as the molality, so that each correction in proportion leaves less
// than a fifth of the error.
func (e electrolyte) molality(conductivity, t float64) float64 {
	m := conductivity / (1000 * quadratic(e.limit, t))
	for range 30 {
		m *= conductivity / e.conductivity(m, t)
	}
	return m
}

func quadratic(k [3]float64, x float64) float64 { return (k[0]*x+k[1])*x + k[2] }

// waterDensity is the density of water in kg/l at one atmosphere, 0 to 100
// °C, to 10⁻⁵ (Kell, J. Chem. Eng. Data 20, 1975; from memory).
func waterDensity(t float64) float64 {
	n := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-t*280.54253e-12))))
	return n / (1 + 16.879850e-3*t) / 1000
}
