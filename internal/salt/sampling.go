package salt

import (
	"errors"
	"fmt"
	"math/big"

	"saltline/internal/unit"
)

// mostTests bounds a requirement: more is a slip in the area or the rule.
const mostTests = 1_000_000

// Required is how many tests the rule asks of an area with a size in m² and
// a number of items; zero means not recorded. The count is exact, so that
// 100 m² under "5 for the first 100 m²" needs 5:
//
//   - FixedNumber: First.
//   - PerArea: First up to FirstArea, then First + Then·⌈(S − FirstArea)/Step⌉.
//   - PerItem: First for each item.
//   - OnePer: ⌈S/Step⌉, at least First.
func (r SamplingRule) Required(size unit.SteelArea, items int) (int, error) {
	switch r.Form {
	case FixedNumber:
		return r.First, nil
	case PerItem:
		if items <= 0 {
			return 0, errors.New("the number of items is not recorded")
		}
		if r.First > 0 && items > mostTests/r.First {
			return 0, tooMany()
		}
		return r.First * items, nil
	case PerArea, OnePer:
		return r.byArea(size)
	}
	return 0, errors.New("no sampling rule is recorded")
}

func (r SamplingRule) byArea(size unit.SteelArea) (int, error) {
	s, ok := unit.FromFloat(float64(size))
	if !ok || s.Sign() <= 0 {
		return 0, errors.New("the size of the area is not recorded")
	}
	step, ok := unit.FromFloat(float64(r.Step))
	if !ok || step.Sign() <= 0 {
		return 0, fmt.Errorf("the sampling rule counts by steps of %g m², but must by more than zero", float64(r.Step))
	}
	first, ok := unit.FromFloat(float64(r.FirstArea))
	if !ok {
		return 0, fmt.Errorf("the sampling rule begins with %g m²", float64(r.FirstArea))
	}
	over := new(big.Rat).Set(s.Rat())
	if r.Form == PerArea {
		over.Sub(over, first.Rat())
	}
	steps, err := ceil(over.Quo(over, step.Rat()))
	switch {
	case err != nil:
		return 0, err
	case r.Form == OnePer:
		return max(steps, r.First), nil
	case r.Then > 0 && steps > mostTests/r.Then:
		return 0, tooMany()
	}
	return r.First + r.Then*steps, nil
}

// ceil rounds x up to a whole number; what is not positive gives 0.
func ceil(x *big.Rat) (int, error) {
	if x.Sign() <= 0 {
		return 0, nil
	}
	n := new(big.Int).Add(x.Num(), x.Denom())
	n.Sub(n, big.NewInt(1)).Quo(n, x.Denom())
	if !n.IsInt64() || n.Int64() > mostTests {
		return 0, tooMany()
	}
	return int(n.Int64()), nil
}

func tooMany() error {
	return fmt.Errorf("the sampling rule asks for more than %d tests: area or rule is a slip", mostTests)
}

// Touched is the share of the steel, in per cent, that n patches cover: six
// of 12.5 cm² on 120 m² are 0.00625 %.
func Touched(n int, patch unit.PatchArea, size unit.SteelArea) unit.Percent {
	return unit.Percent(float64(n) * float64(patch) / 1e6 / float64(size) * 100)
}
