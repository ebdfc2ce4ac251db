package slip

import (
	"math"

	"saltline/internal/unit"
)

// A whatIf is the calculation of a density with the values that a slip would
// have put into it:
//
//	100 · constant · volume · (extract − blanks·blank) / area · times / over
type whatIf struct {
	extract, blank         unit.Decimal
	blanks                 int64 // how often the blank is taken off: once, if all is well
	constant, volume, area unit.Decimal
	times, over            unit.Decimal
}

var one = unit.Int(1)

// asRead is the calculation as it should be. It reports false where the row
// does not hold what it needs.
func (r *Row) asRead() (whatIf, bool) {
	if r.Blank == nil || r.Extract == nil || r.Volume == nil || r.PatchArea == nil || r.Constant == nil ||
		r.Volume.Sign() <= 0 || r.PatchArea.Sign() <= 0 || r.Constant.Sign() <= 0 {
		return whatIf{}, false
	}
	return whatIf{
		extract: *r.Extract, blank: *r.Blank, blanks: 1,
		constant: *r.Constant, volume: *r.Volume, area: *r.PatchArea,
		times: one, over: one,
	}, true
}

// asWritten is a number that was put down as the density without any
// calculation.
func asWritten(d unit.Decimal) whatIf {
	return whatIf{extract: d, constant: one, volume: one, area: unit.Int(100), times: one, over: one}
}

// float is the result nearly, with the size of the terms that it is the
// difference of, from which the error of nearly follows.
func (w *whatIf) float() (value, size float64) {
	k := 100 * float(w.constant) * float(w.volume) / float(w.area) * float(w.times) / float(w.over)
	e, b := float(w.extract), float64(w.blanks)*float(w.blank)
	return k * (e - b), math.Abs(k) * (math.Abs(e) + math.Abs(b))
}

// exact is the result.
func (w *whatIf) exact() unit.Ratio {
	blanks := unit.Int(w.blanks).Ratio().Mul(w.blank.Ratio())
	return w.extract.Ratio().Sub(blanks).Mul(w.factor())
}

// factor is what a difference of conductivities is multiplied by, in mg/m²
// per µS/cm.
func (w *whatIf) factor() unit.Ratio {
	k := unit.Int(100).Ratio().Mul(w.constant.Ratio()).Mul(w.volume.Ratio()).Quo(w.area.Ratio())
	return k.Mul(w.times.Ratio()).Quo(w.over.Ratio())
}

// float is d to within a few units of the last place, and fast.
func float(d unit.Decimal) float64 { return float64(d.Coef) * math.Pow10(d.Exp) }
