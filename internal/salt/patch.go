package salt

import (
	"fmt"

	"saltline/internal/unit"
)

// PatchAreas are the compartments of ISO 8502-6 in mm², A-0155 to A-2500
// (from memory).
func PatchAreas() []unit.PatchArea { return []unit.PatchArea{155, 310, 625, 1250, 2500} }

// Fill is the water, in ml, that suits a compartment by ISO 8502-6: 2.6 ±
// 0.6 µl for each mm² (from memory).
func Fill(a unit.PatchArea) (low, nominal, high unit.Volume) {
	per := unit.Volume(a) / 1000
	return 2.0 * per, 2.6 * per, 3.2 * per
}

// CostPerTest is what one use of a patch costs when its price is spread over
// the uses that were made of it. It is for the buyer's records.
func CostPerTest(price unit.Money, uses int) (unit.Money, error) {
	if uses <= 0 {
		return 0, fmt.Errorf("%d uses: no cost for each", uses)
	}
	return price / unit.Money(uses), nil
}

// TestsPerPatch is how many tests each of the patches served on average.
func TestsPerPatch(tests, patches int) (float64, error) {
	if patches <= 0 {
		return 0, fmt.Errorf("%d patches: no tests for each", patches)
	}
	return float64(tests) / float64(patches), nil
}
