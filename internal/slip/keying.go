package slip

import (
	"iter"
	"math"
	"slices"

	"saltline/internal/unit"
)

// keyingSlips are those in which a number was keyed in wrongly.
//
// The patch area is not among the numbers tried, and the volume only where it
// is a cell of the row, and only by its decimal sign or by two of its digits:
// a volume that is made to fit would look like a fact. Where what fits is a
// volume or an area that is commonly used, that is a slip of its own.
var keyingSlips = []Slip{
	// A decimal sign was lost or moved. The extract, the blank or the volume on
	// the row by one or two places, or the recorded value by one to three.
	{"decimal-moved", Keying,
		func(s *search) {
			for _, n := range []int{-1, 1, -2, 2} {
				s.tryKeyed("extract", s.row.Extract.Shift(n), "with the decimal sign moved")
				s.tryKeyed("blank", s.row.Blank.Shift(n), "with the decimal sign moved")
				s.tryVolume(s.row.Volume.Shift(n), "with the decimal sign moved")
			}
			for _, n := range []int{-1, 1, -2, 2, -3, 3} {
				s.tryShifted(n)
			}
		}},
	// Two neighbouring digits were exchanged. In the extract, in the blank, in the
	// volume on the row or in the recorded value, as 61.2 for 16.2.
	{digitsSwapped, Keying,
		func(s *search) {
			for d := range swapped(*s.row.Extract) {
				s.tryKeyed("extract", d, "with two digits exchanged")
			}
			for d := range swapped(*s.row.Blank) {
				s.tryKeyed("blank", d, "with two digits exchanged")
			}
			for d := range swapped(*s.row.Volume) {
				s.tryVolume(d, "with two digits exchanged")
			}
			for d := range swapped(s.written) {
				if s.rounds(d) {
					s.addKeyed(recordedValue, s.written.Ratio(), s.written, d, "with two digits exchanged")
				}
			}
		}},
	// One digit may be wrong. Exactly one change of one digit in the extract, the
	// blank or the recorded value closes the gap. Where several would, none is
	// named. It is never more than possible.
	{"one-digit", Keying, tryOneDigit},
}

const (
	digitsSwapped = "digits-swapped"
	recordedValue = "recorded value"
)

// tryKeyed tries d in place of the number called in.
func (s *search) tryKeyed(in string, d unit.Decimal, how string) {
	w, was := s.keyed(in, d)
	if v := s.fits(w); v.Known() {
		s.addKeyed(in, v, was, d, how)
	}
}

// tryVolume tries d in place of the volume on the row, if that is a volume in
// which a patch is extracted and not one of those that the slip of another
// volume tries.
func (s *search) tryVolume(d unit.Decimal, how string) {
	common := slices.ContainsFunc(volumes, func(v unit.Decimal) bool { return v.Cmp(d) == 0 })
	if s.row.VolumeOnRow && !common && d.Cmp(leastVolume) >= 0 && d.Cmp(mostVolume) <= 0 {
		s.tryKeyed("volume", d, how)
	}
}

// Volumes of one extraction, in ml (common practice: 1 to 3.25 ml in the patch
// itself, 10 or 15 ml in a beaker, seldom 20).
var leastVolume, mostVolume = unit.Int(1), unit.Int(20)

// keyed is the calculation with d in place of the number called in, and how
// the row has that number.
func (s *search) keyed(in string, d unit.Decimal) (w whatIf, was unit.Decimal) {
	w = s.asRead
	switch in {
	case "blank":
		w.blank = d
		return w, *s.row.Blank
	case "volume":
		w.volume = d
		return w, *s.row.Volume
	}
	w.extract = d
	return w, *s.row.Extract
}

func (s *search) addKeyed(in string, value unit.Ratio, was, fits unit.Decimal, how string) {
	phrase := "the " + in + " " + fits.String() + " in place of " + was.String() + ", " + how + ","
	if in == recordedValue {
		phrase = fits.String() + " " + how
	}
	s.add(value, in, phrase,
		map[string]any{"In": in, "Was": was, "Fits": fits})
}

// rounds reports whether d is a correct rounding of the density, which is so
// for the value that was meant when the recorded one was keyed wrongly.
func (s *search) rounds(d unit.Decimal) bool {
	near, size := s.asRead.float()
	if math.Abs(near-float(d)) > 0.51*math.Pow10(d.Exp)+1e-12*size {
		return false
	}
	return d.Sign() != 0 && Rounds(s.density, d)
}

// tryShifted tries the recorded value as one whose decimal sign stands n
// places too far to the right. Zeros that were put in on the way, as in 6100
// for 61.0, are no digits of what was meant.
func (s *search) tryShifted(n int) {
	for d := s.written.Shift(-n); ; d = (unit.Decimal{Coef: d.Coef / 10, Exp: d.Exp + 1}) {
		if s.rounds(d) {
			s.addKeyed(recordedValue, s.written.Ratio(), s.written, d, "with the decimal sign moved")
			return
		}
		if s.written.Exp < 0 || d.Exp >= 0 || d.Coef == 0 || d.Coef%10 != 0 {
			return
		}
	}
}

func tryOneDigit(s *search) {
	type change struct {
		in    string
		value unit.Ratio
		was   unit.Decimal
		fits  unit.Decimal
	}
	var only change
	n := 0
	for _, in := range []string{"extract", "blank"} {
		_, was := s.keyed(in, unit.Decimal{})
		for d := range otherDigit(was) {
			w, _ := s.keyed(in, d)
			if v := s.fits(w); v.Known() {
				only = change{in, v, was, d}
				n++
			}
		}
	}
	inReadings := n
	for d := range otherDigit(s.written) {
		if s.rounds(d) {
			only = change{recordedValue, s.written.Ratio(), s.written, d}
			n++
		}
	}
	if n == 1 {
		s.addKeyed(only.in, only.value, only.was, only.fits, "with one digit changed")
	}
	// An exchange of digits in the value and a digit of a reading may come to
	// the same difference: with a factor of 6, 42.0 for 24.0 is 3.0 on the blank.
	for i, e := range s.found {
		if inReadings > 0 && e.Name == digitsSwapped && e.Args["In"] == recordedValue {
			s.found[i].also = swapOrReading
		}
	}
}

// swapped gives d with each two neighbouring digits exchanged that differ. A
// zero does not come to stand in front of the units, where none is written.
func swapped(d unit.Decimal) iter.Seq[unit.Decimal] {
	return func(yield func(unit.Decimal) bool) {
		first := top(d)
		for low := range places(d) {
			high := low * 10
			if high > first {
				return
			}
			a, b := d.Coef/low%10, d.Coef/high%10
			if a == b || a == 0 && high == first && !isUnits(d, high) {
				continue
			}
			if !yield(unit.Decimal{Coef: d.Coef + (b-a)*low + (a-b)*high, Exp: d.Exp}) {
				return
			}
		}
	}
}

// otherDigit gives d with each one digit changed into each other digit.
func otherDigit(d unit.Decimal) iter.Seq[unit.Decimal] {
	return func(yield func(unit.Decimal) bool) {
		first := top(d)
		for place := range places(d) {
			was := d.Coef / place % 10
			leads := place == first && !isUnits(d, place)
			for digit := range int64(10) {
				if digit == was || leads && digit == 0 {
					continue
				}
				if !yield(unit.Decimal{Coef: d.Coef + (digit-was)*place, Exp: d.Exp}) {
					return
				}
			}
		}
	}
}

// places gives the place values of the digits of a non-negative d as it is
// written, in steps of its last digit, from the last to the first: 1, 10 and
// 100 for 14.2, and 1 and 10 for 0.6. A negative number has none.
func places(d unit.Decimal) iter.Seq[int64] {
	return func(yield func(int64) bool) {
		if d.Coef < 0 || d.Coef > math.MaxInt64/100 {
			return
		}
		first := top(d)
		for place := int64(1); place <= first; place *= 10 {
			if !yield(place) {
				return
			}
		}
	}
}

// top is the place value of the first digit of d as it is written.
func top(d unit.Decimal) int64 {
	place, exp := int64(1), d.Exp
	for d.Coef/place >= 10 || exp < 0 && place < math.MaxInt64/100 {
		place *= 10
		exp++
	}
	return place
}

// isUnits reports whether place is that of the units.
func isUnits(d unit.Decimal, place int64) bool {
	return d.Exp <= 0 && float64(place) == math.Pow10(-d.Exp)
}
