package check

import (
	"math"

	"saltline/internal/assess"
)

// readingPatterns ask about patterns in the readings themselves: what chance
// and honest work seldom make. Each has an ordinary explanation too, which
// stands beside it.
func readingPatterns() []*assess.Check {
	return []*assess.Check{
		copiedRows, lastDigitPreference, tooLittleScatter, crowdUnderTheLimit, clockworkTimes,
	}
}

// rare is below which probability a pattern is no longer put down to chance
// (house figure), once it is multiplied by the number of places that were
// looked at for it.
const rare = 0.001

// leastChance is the smallest probability that is printed as a number; what
// is below it is said to be so.
const leastChance = 1e-6

// chance puts a probability among the arguments of a finding: Chance, printed
// with Decimals, two digits that count; where Below is set it is less than
// Chance.
func chance(args map[string]any, p float64) map[string]any {
	args["Below"] = p < leastChance
	p = min(1, max(p, leastChance))
	decimals := 1
	if p < 1 {
		decimals = int(math.Ceil(-math.Log10(p))) + 1
	}
	if p == leastChance {
		decimals = 6
	}
	args["Chance"], args["Decimals"] = p, decimals
	return args
}
