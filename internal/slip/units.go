package slip

import "saltline/internal/unit"

// unitSlips are those in which the value is right in another unit.
var unitSlips = []Slip{
	// The value is right in another unit. A factor of 10 lies between µg/cm² and
	// mg/m², and between mS/m and µS/cm; one of 1000 between mS/cm and µS/cm, and
	// between g/m² and mg/m².
	{"other-unit", Unit,
		func(s *search) {
			for _, u := range otherUnits {
				w := s.asRead
				w.times = unit.Decimal{Coef: 1, Exp: u.power}
				if v := s.fits(w); v.Known() {
					s.add(v, u.detail, u.phrase, map[string]any{"Power": u.power})
				}
			}
		}},
}

var otherUnits = []struct {
	power  int // of ten, by which the recorded value exceeds the density
	detail string
	phrase string
}{
	{-1, "÷ 10", "the density in µg/cm², or readings in mS/m,"},
	{1, "× 10", "the density of mg/m² taken for µg/cm², or of mS/m for µS/cm,"},
	{-3, "÷ 1000", "the density in g/m², or readings in mS/cm,"},
	{3, "× 1000", "the density of g/m² taken for mg/m², or of mS/cm for µS/cm,"},
}
