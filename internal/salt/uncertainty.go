package salt

import (
	"math"

	"saltline/internal/unit"
)

// A Doubt holds the standard uncertainties of what goes into a density
// (JCGM 100:2008). Zero is a source that is not counted.
type Doubt struct {
	Blank, Extract unit.Conductivity // of each reading by itself, µS/cm
	Gain           float64           // of the meter's slope, relative: it acts on both readings alike
	Volume         unit.Volume       // ml
	Area           unit.PatchArea    // mm²
}

// Rectangular is the standard uncertainty of a value known only to lie
// within ± halfWidth: halfWidth/√3 (JCGM 100:2008, 4.3.7).
func Rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Resolution is the standard uncertainty of a display that moves in steps:
// step/√12 (JCGM 100:2008, F.2.2.1).
func Resolution(step float64) float64 { return step / math.Sqrt(12) }

// A Source names one line of a budget.
type Source int

const (
	BlankResolution Source = iota
	ExtractResolution
	MeterGain
	VolumeOfWater
	PatchSize
	Stated // a figure for the whole method, from outside
)

// String names s in lower case.
func (s Source) String() string {
	names := [...]string{"resolution of the blank", "resolution of the extract", "gain of the meter", "volume of water", "patch area", "stated for the method"}
	if s < 0 || int(s) >= len(names) {
		return "unknown source"
	}
	return names[s]
}

// A Component is the share of one source in the standard uncertainty of a
// density: |∂ρ/∂x|·u(x), in mg/m².
type Component struct {
	Source   Source
	Standard unit.SurfaceDensity
}

// A Budget is the uncertainty of one density.
type Budget struct {
	Components []Component // those that count, in the order of Source
	Standard   unit.SurfaceDensity
	Coverage   float64 // k
	Expanded   unit.SurfaceDensity
}

// Budget combines a Doubt into the uncertainty of a density, u² = Σ(∂ρ/∂x·
// u(x))² and U = k·u (JCGM 100:2008, 5.1.2 and 6.2.1). It says nothing of
// the salt that the extraction leaves behind: the measurand is what the
// agreed procedure extracts. An offset common to both readings cancels.
func (m Method) Budget(blank, extract unit.Conductivity, d Doubt, coverage float64) Budget {
	k := m.Factor()
	rho := math.Abs(float64(m.Density(blank, extract)))
	b := Budget{Coverage: coverage}
	sum := 0.0
	shares := [...]struct {
		source Source
		u      float64
	}{
		{BlankResolution, k * float64(d.Blank)},
		{ExtractResolution, k * float64(d.Extract)},
		{MeterGain, rho * d.Gain},
		{VolumeOfWater, rho * float64(d.Volume) / m.Volume.Float()},
		{PatchSize, rho * float64(d.Area) / m.Area.Float()},
	}
	b.Components = make([]Component, 0, len(shares))
	for _, c := range shares {
		if c.u > 0 {
			b.Components = append(b.Components, Component{c.source, unit.SurfaceDensity(c.u)})
			sum += c.u * c.u
		}
	}
	b.Standard = unit.SurfaceDensity(math.Sqrt(sum))
	b.Expanded = unit.SurfaceDensity(coverage) * b.Standard
	return b
}

// StatedBudget is a budget from an expanded uncertainty that was stated for
// the method as a whole with its coverage factor. A factor that is not
// positive is taken as 2, about 95 %.
func StatedBudget(expanded unit.SurfaceDensity, coverage float64) Budget {
	if !(coverage > 0) {
		coverage = 2
	}
	u := expanded / unit.SurfaceDensity(coverage)
	return Budget{[]Component{{Stated, u}}, u, coverage, expanded}
}
