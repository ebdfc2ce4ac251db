package slip

import (
	"math"

	"saltline/internal/salt"
	"saltline/internal/unit"
)

const blankNotSubtracted = "blank-not-subtracted"

// formulaSlips are those in which the arithmetic is another one.
var formulaSlips = []Slip{
	// The blank was not subtracted. The factor times the extract alone gives the
	// recorded value. A slip of the keyboard that makes the blank too small to
	// matter is counted here too.
	{blankNotSubtracted, Formula,
		func(s *search) {
			s.try(s.blanks(0), "", "the extract without the blank taken off", nil)
		}},
	// The blank was added. The factor times the sum of extract and blank gives the
	// recorded value.
	{"blank-added", Formula,
		func(s *search) {
			s.try(s.blanks(-1), "", "extract and blank added together", nil)
		}},
	// The blank was subtracted twice. So it comes about where the meter is zeroed
	// on the water and the blank is taken off again afterwards.
	{"blank-subtracted-twice", Formula,
		func(s *search) {
			s.try(s.blanks(2), "", "the extract with the blank taken off twice", nil)
		}},
	// A negative difference lost its sign. The extract reads lower than the blank,
	// and the recorded value is the factor times the difference taken the other way
	// round.
	{"sign-dropped", Formula,
		func(s *search) {
			if s.density.Sign() < 0 {
				w := s.asRead
				w.times = unit.Int(-1)
				s.try(w, "", "the negative difference without its sign", nil)
			}
		}},
	// The difference was taken wrongly. The recorded value follows from the
	// difference of conductivities as it is written on the row, but that is not
	// extract minus blank.
	{"written-difference", Formula,
		func(s *search) {
			if d := s.row.Difference; d != nil {
				w := s.blanks(0)
				w.extract = *d
				s.try(w, "", "the written difference", map[string]any{"Difference": unit.Conductivity(d.Float())})
			}
		}},
	// The first blank of the sheet was used. The blank of the first row, in place
	// of the row's own, gives the recorded value, as it does where a formula is
	// copied down with that cell locked.
	{"first-blank-for-all", Formula, tryFirstBlank},
	// The factor belongs to another volume. The volumes tried are 3, 10 and 15 ml,
	// those of the direct and of the beaker procedure. The volume on the row may be
	// the wrong one as well as the factor.
	{"other-volume", Formula,
		func(s *search) {
			for _, ml := range volumes {
				w := s.asRead
				w.volume = ml
				if v := s.fits(w); v.Known() {
					s.add(v, ml.String()+" ml", "the factor for "+ml.String()+" ml",
						map[string]any{"Volume": unit.Volume(ml.Float())})
				}
			}
		}},
	// The recovered volume was used. The volume of the formula is the water in
	// which the salt is dissolved, not what came back out of the patch.
	{"recovered-volume", Formula,
		func(s *search) {
			if ml := s.row.Recovered; ml != nil && ml.Sign() > 0 {
				w := s.asRead
				w.volume = *ml
				s.try(w, "", "the recovered volume", map[string]any{"Volume": unit.Volume(ml.Float())})
			}
		}},
	// The factor belongs to another patch area. The areas tried are those of the
	// standard patch sizes (155, 310, 625, 1250 and 2500 mm², ISO 8502-6, from
	// memory) and 1000 mm².
	{"other-patch-area", Formula,
		func(s *search) {
			for _, mm2 := range patchAreas {
				w := s.asRead
				w.area = mm2
				if v := s.fits(w); v.Known() {
					s.add(v, mm2.String()+" mm²", "the factor for a patch of "+mm2.String()+" mm²",
						map[string]any{"PatchArea": unit.PatchArea(mm2.Float())})
				}
			}
		}},
	// The value was calculated for sodium chloride. For sodium chloride the
	// constant is 4.6 to 4.7 in place of the 5 for a mixture of salts, and depends
	// a little on the strength of the extract. Tried are 4.7, 4.65, 4.6 and the
	// conductivity of sodium chloride itself by Onsager's law.
	{"sodium-chloride-constant", Formula, trySodiumChloride},
	// The constant 5 was used. The row is to be computed with another constant, but
	// 5 kg/(m²·S), that of ISO 8502-9 for a mixture of salts, gives the recorded
	// value.
	{"standard-constant", Formula,
		func(s *search) { s.tryConstant(unit.Int(5), "") }},
	// The value was converted to chloride, or from it. The factor is 0.6066, the
	// mass of chlorine in sodium chloride (35.45/58.44). Conductivity does not
	// identify chloride.
	{"chloride-conversion", Formula,
		func(s *search) {
			w := s.asRead
			w.times = chlorideInSalt
			s.try(w, "to chloride", "the density times 0.6066, as chloride of sodium chloride,", nil)
			w.times, w.over = one, chlorideInSalt
			s.try(w, "from chloride", "the density divided by 0.6066, as sodium chloride of chloride,", nil)
		}},
	// The meter showed dissolved solids, not conductivity. A meter in that mode
	// shows about half the conductivity, by a factor of its own; the factor tried
	// is 0.5. The value is halved where it was calculated from such readings, and
	// doubled where the row has them and the value was calculated from
	// conductivity.
	{"salinity-factor", Formula,
		func(s *search) {
			w := s.asRead
			w.over = unit.Int(2)
			s.try(w, "", "the density halved, as by a dissolved-solids factor of 0.5,", nil)
			w.times, w.over = unit.Int(2), one
			s.try(w, "doubled", "the density doubled, as for readings by a dissolved-solids factor of 0.5,", nil)
		}},
	// The value was corrected to 25 °C. The meter is not known to compensate, and
	// the recorded value is the density of the readings divided by 1 + α(T − 25).
	// That is no error in itself: the row and the value speak of different
	// temperatures.
	{"temperature-corrected", Formula,
		func(s *search) {
			if !s.row.Compensated {
				s.tryCorrected(1, "the density corrected to 25 °C")
			}
		}},
	// The temperature was corrected once too often. The meter compensates and the
	// value was divided by 1 + α(T − 25) as well; or the meter does not, and the
	// value was divided by it twice.
	{"temperature-corrected-twice", Formula,
		func(s *search) {
			if s.row.Compensated {
				s.tryCorrected(1, "the density corrected to 25 °C after the meter did so")
			} else {
				s.tryCorrected(2, "the density corrected to 25 °C twice")
			}
		}},
	// The digits were cut off, not rounded. The recorded value is the density
	// without the digits after its last one.
	{"truncated", Formula,
		func(s *search) {
			if truncates(s.density, s.written) {
				s.add(s.written.Ratio(), "", "the density with its further digits cut off", nil)
			}
		}},
}

func trySodiumChloride(s *search) {
	for _, c := range sodiumChloride {
		if s.tryConstant(c, ", near that of sodium chloride,") {
			return // with a coarse last digit all would fit: once is enough
		}
	}
	w := s.asRead
	rise := unit.Conductivity(w.extract.Float() - w.blank.Float())
	density, err := salt.Method{Constant: w.constant, Volume: w.volume, Area: w.area}.SodiumChlorideDensity(rise)
	if err != nil || math.Abs(float64(density)-float(s.written)) > math.Pow10(s.written.Exp) {
		return
	}
	if v := unit.RatioOfFloat(float64(density)); Rounds(v, s.written) && s.written.Sign() != 0 {
		s.add(v, "by conductivity", "the density of sodium chloride of the same conductivity", nil).Exact = nil
	}
}

var (
	volumes        = []unit.Decimal{unit.Int(3), unit.Int(10), unit.Int(15)}
	patchAreas     = []unit.Decimal{unit.Int(155), unit.Int(310), unit.Int(625), unit.Int(1000), unit.Int(1250), unit.Int(2500)}
	sodiumChloride = []unit.Decimal{{Coef: 47, Exp: -1}, {Coef: 465, Exp: -2}, {Coef: 46, Exp: -1}}
	chlorideInSalt = unit.Decimal{Coef: 6066, Exp: -4}
	usualAlpha     = unit.Int(2) // % per kelvin
)

// blanks is the calculation with the blank taken off n times.
func (s *search) blanks(n int64) whatIf {
	w := s.asRead
	w.blanks = n
	return w
}

// tryConstant reports whether the constant c fits, and adds it with a remark.
func (s *search) tryConstant(c unit.Decimal, remark string) bool {
	w := s.asRead
	w.constant = c
	v := s.fits(w)
	if v.Known() {
		s.add(v, "c = "+c.String(), "the constant "+c.String()+remark, map[string]any{"Constant": unit.Constant(c.Float())})
	}
	return v.Known()
}

func tryFirstBlank(s *search) {
	w, j := s.asRead, s.sheet.firstBlank()
	w.blank = *s.sheet.Row(j).Blank
	if v := s.fits(w); v.Known() {
		s.add(v, "", "the blank of the first row", nil).Row = j
	}
}

// tryCorrected tries the density divided n times by 1 + α(T − 25), the linear
// correction to 25 °C.
func (s *search) tryCorrected(n int, phrase string) {
	t, alpha := s.row.Temperature, usualAlpha
	if s.row.Alpha != nil {
		alpha = *s.row.Alpha
	}
	if t == nil || !within(*t, 0, 100) || !within(alpha, 0, 10) {
		return
	}
	// 100 + α(T − 25), in millionths of a per cent.
	percent := 100_000_000 + thousandths(alpha)*(thousandths(*t)-25_000)
	if percent <= 0 {
		return
	}
	w := s.asRead
	w.times, w.over = unit.Decimal{Coef: 1, Exp: 2}, unit.Decimal{Coef: percent, Exp: -6}
	if n == 2 {
		w.times, w.over = unit.Decimal{Coef: 1, Exp: 4}, unit.Decimal{Coef: percent * percent, Exp: -12}
	}
	s.try(w, "", phrase, map[string]any{"Temperature": unit.Temperature(t.Float()), "Alpha": unit.Percent(alpha.Float())})
}

// within reports whether d lies between low and high and has no more than
// three decimals, so that thousandths is exact.
func within(d unit.Decimal, low, high int64) bool {
	return d.Exp >= -3 && d.Cmp(unit.Int(low)) >= 0 && d.Cmp(unit.Int(high)) <= 0
}

func thousandths(d unit.Decimal) int64 {
	n := d.Coef
	for range d.Exp + 3 {
		n *= 10
	}
	return n
}

// truncates reports whether written is value without the digits after the
// last one of written.
func truncates(value unit.Ratio, written unit.Decimal) bool {
	rest := value.Sub(written.Ratio())
	if value.Sign() < 0 {
		rest = rest.Neg()
	}
	return rest.Sign() >= 0 && rest.Cmp(written.Step().Ratio()) < 0 && written.Sign()*value.Sign() >= 0
}
