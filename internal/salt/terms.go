package salt

import "saltline/internal/unit"

// A Basis is the quantity that a limit speaks of.
type Basis int

const (
	BasisNotStated Basis = iota
	TotalSalts           // ρ by the stated constant c
	SodiumChloride       // the conductivity of so many mg/m² of sodium chloride
	ChlorideIon          // the chloride ion alone, which conductivity can only bound from above
)

// A Comparison says whether a value equal to the limit conforms.
type Comparison int

const (
	ComparisonNotStated Comparison = iota
	AtMost                         // ≤
	LessThan                       // <
)

// A Rounding says what happens to a density before it is compared with a
// limit. The zero Rounding compares the unrounded value.
type Rounding struct {
	Step   unit.Decimal // round to a multiple of this, in mg/m²; zero Coef: unrounded
	ToEven bool         // a tie goes to the even multiple; otherwise up, away from zero
}

// A CorrectionKind names a temperature correction.
type CorrectionKind int

const (
	NoCorrection CorrectionKind = iota
	Linear                      // γ25 = γT / (1 + α(T − 25))
	NaturalWater                // ISO 7888, f25
)

// A Correction refers an uncompensated conductivity to 25 °C.
type Correction struct {
	Kind  CorrectionKind
	Alpha unit.Percent // per kelvin, for Linear
}

// A RuleKind names a decision rule of JCGM 106.
type RuleKind int

const (
	RuleNotStated RuleKind = iota
	Simple
	Guarded
	GuardedRejection
)

// A SamplingForm is the way in which a contract says how many tests to make.
type SamplingForm int

const (
	SamplingNotStated SamplingForm = iota
	FixedNumber                    // First tests, whatever the area
	PerArea                        // First for the first FirstArea, then Then per further Step or part
	PerItem                        // First per item (plate, block, spool)
	OnePer                         // one per Step or part, at least First
)

// A SamplingRule says how many tests an area needs.
type SamplingRule struct {
	Form      SamplingForm
	First     int
	FirstArea unit.SteelArea
	Then      int
	Step      unit.SteelArea
}
