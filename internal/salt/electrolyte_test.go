package salt

// mccleskeySodiumChloride has the coefficients of McCleskey for sodium
// chloride. Nothing is computed with it: it is a second witness beside the
// limiting law that the densities use, in mol/l only.
var mccleskeySodiumChloride = electrolyte{
	limit: [3]float64{0.008967, 2.196, 67.03},
	slope: [3]float64{0.00726, 1.762, 44.55},
	b:     1.3,
}
