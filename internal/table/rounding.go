package table

import (
	"math"
	"strconv"
	"strings"
)

// Spreadsheets round what they show of a number, not the binary fraction that
// is nearest to it: 2.675 becomes 2.68, and a half goes away from zero. Where
// the two part by what is left of a computation, programs differ.

// mostPlaces bounds how many places before and behind the point are rounded to.
const mostPlaces = 15

// scaled is x in units of the last place kept, and whether the digits of x
// stand there as x itself is spelled.
func scaled(x, places float64) (units float64, ok bool) {
	if places != math.Trunc(places) || math.Abs(places) > mostPlaces {
		return 0, false
	}
	s := strconv.FormatFloat(x, 'e', -1, 64)
	mantissa, exp, _ := strings.Cut(s, "e")
	n, err := strconv.Atoi(exp)
	if err != nil {
		return 0, false
	}
	units, err = strconv.ParseFloat(mantissa+"e"+strconv.Itoa(n+int(places)), 64)
	return units, err == nil && math.Abs(units) < 1e20
}

// descaled is a whole number of units of the last place.
func descaled(units, places float64) (value, bool) {
	v, err := strconv.ParseFloat(strconv.FormatFloat(units, 'f', 0, 64)+"e"+strconv.Itoa(-int(places)), 64)
	return ofNumber(v + 0), err == nil
}

// round is x to so many places, where it does not lie next to a tie. Of more
// units than 10⁷ the last few thousandths are in doubt, not whole ones: what is
// rounded to nine places is meant to be no more than itself.
func round(x, places float64) (value, bool) {
	units, ok := scaled(x, places)
	whole, rest := math.Modf(math.Abs(units))
	if !ok || nextTo(math.Abs(units), whole+0.5) && math.Abs(rest-0.5) < 1e-3 {
		return nothing, false
	}
	if rest >= 0.5 {
		whole++
	}
	return descaled(math.Copysign(whole, units), places)
}

// cut is x to so many places in one direction, where it does not lie next to
// a number of so many places.
func cut(x, places float64, to func(float64) float64) (value, bool) {
	units, ok := scaled(x, places)
	if !ok || nextTo(units, math.Round(units)) {
		return nothing, false
	}
	return descaled(to(units), places)
}

// remainder is MOD, which has the sign of the divisor.
func remainder(x, by float64) (value, bool) {
	if by == 0 {
		return ofError(byZero), true
	}
	n := x / by
	if math.Abs(n) > 1e9 || nextTo(n, math.Round(n)) {
		return nothing, false
	}
	return difference(x, by*math.Floor(n))
}

// nextTo reports whether a number is not another one, but so near that
// programs may take it for that.
func nextTo(x, y float64) bool {
	return x != y && math.Abs(x-y) <= doubtful*max(1, math.Abs(y))
}
