package slip

import "saltline/internal/unit"

// Rounds reports whether written is a correct rounding of value at the last
// digit of written. A tie may go either of the two ways in which people and
// programs round: away from zero, or to the even digit. Everything is exact,
// so a tie accuses nobody.
func Rounds(value unit.Ratio, written unit.Decimal) bool {
	steps, want := value.Quo(written.Step().Ratio()), unit.Int(written.Coef).Ratio()
	return steps.Whole(false).Cmp(want) == 0 || steps.Whole(true).Cmp(want) == 0
}

// agrees reports whether the recorded value is a correct rounding of the
// density; known is false where there is no recorded value or no density.
func (r *Row) agrees() (agrees, known bool) {
	density, known := r.Density()
	if !known || r.Recorded == nil {
		return false, false
	}
	return Rounds(density, *r.Recorded), true
}

// Density is the surface density in mg/m² that follows from the readings:
// 100·c·V·(extract − blank)/A, ISO 8502-9 in field units. It reports false
// where one of the five is missing or the volume or patch area is not
// positive.
func (r *Row) Density() (unit.Ratio, bool) {
	w, ok := r.asRead()
	if !ok {
		return unit.Ratio{}, false
	}
	return w.exact(), true
}
