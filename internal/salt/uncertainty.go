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

// A source is what a share of the uncertainty comes from.
type source int

const (
	blankResolution source = iota
	extractResolution
	meterGain
	volumeOfWater
	patchSize
	sources
)

// shares are what each source has in the standard uncertainty of a density:
// |∂ρ/∂x|·u(x), in mg/m².
func (m Method) shares(blank, extract unit.Conductivity, d Doubt) [sources]float64 {
	k := m.Factor()
	rho := math.Abs(float64(m.Density(blank, extract)))
	return [sources]float64{
		blankResolution:   k * float64(d.Blank),
		extractResolution: k * float64(d.Extract),
		meterGain:         rho * d.Gain,
		volumeOfWater:     rho * float64(d.Volume) / m.Volume.Float(),
		patchSize:         rho * float64(d.Area) / m.Area.Float(),
	}
}

// A Budget is the uncertainty of one density.
type Budget struct {
	Standard unit.SurfaceDensity
	Coverage float64 // k
	Expanded unit.SurfaceDensity
}

// Budget combines a Doubt into the uncertainty of a density, u² = Σ(∂ρ/∂x·
// u(x))² and U = k·u (JCGM 100:2008, 5.1.2 and 6.2.1). It says nothing of
// the salt that the extraction leaves behind: the measurand is what the
// agreed procedure extracts. An offset common to both readings cancels.
func (m Method) Budget(blank, extract unit.Conductivity, d Doubt, coverage float64) Budget {
	sum := 0.0
	for _, u := range m.shares(blank, extract, d) {
		if u > 0 {
			sum += u * u
		}
	}
	u := unit.SurfaceDensity(math.Sqrt(sum))
	return Budget{u, coverage, unit.SurfaceDensity(coverage) * u}
}

// StatedBudget is a budget from an expanded uncertainty that was stated for
// the method as a whole with its coverage factor. A factor that is not
// positive is taken as 2, about 95 %.
func StatedBudget(expanded unit.SurfaceDensity, coverage float64) Budget {
	if !(coverage > 0) {
		coverage = 2
	}
	u := expanded / unit.SurfaceDensity(coverage)
	return Budget{u, coverage, expanded}
}
