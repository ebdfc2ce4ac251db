package unit

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Flag marks a unit that was understood but wants a word.
type Flag int

const (
	Plain          Flag = iota
	LostMicro           // the µ was lost in an encoding: "?S/cm", "ÂµS/cm"
	Capitals            // "MS/CM": a capital M read as milli, since mega is impossible
	AlwaysSlip          // mg/cm²: a thousand times too much, nobody means it
	AsChloride          // the unit says chloride: "µg Cl/cm²"
	AsSodiumSalt        // the unit says sodium chloride: "mg NaCl/m²"
	UnitFromNumber      // no unit anywhere; the number is a standard patch in cm²
)

// A Symbol is a unit as it was recognised: value in the base unit of
// Quantity = (written − zero) × factor ÷ over.
type Symbol struct {
	Quantity Quantity
	Flag     Flag
	factor   Decimal
	over     int64
	zero     int64
}

// IsBase reports whether a value in this unit needs no conversion.
func (s Symbol) IsBase() bool { return s.factor == Decimal{1, 0} && s.over == 1 && s.zero == 0 }

// A symbol's spelling is folded before it is looked up: lower case, no
// spaces, u for µ, 2 for ² and so on. See fold.
type spelling struct {
	names  string // folded, separated by spaces
	symbol Symbol
}

func by(q Quantity, coef int64, exp int) Symbol {
	return Symbol{Quantity: q, factor: Decimal{coef, exp}, over: 1}
}

func flagged(s Symbol, f Flag) Symbol { s.Flag = f; return s }

// spellings are the units that are met on site sheets.
func spellings(q Quantity) []spelling {
	switch q {
	case OfConductivity:
		return []spelling{
			{"us/cm us us/cm2 uscm-1 micros/cm micros microsiemens microsiemens/cm mikros/cm mikros mikrosiemens mikrosiemens/cm " +
				"microsiemens/centimetre usiemens/cm umho/cm umho umhos umhos/cm umho/cms micromho micromhos micromho/cm micromhos/cm mcs/cm", by(q, 1, 0)},
			{"ms/m msm-1 millisiemens/m", by(q, 1, 1)},
			{"ms/cm mscm-1 millisiemens/cm ds/m dsm-1 mmho/cm mmhos/cm", by(q, 1, 3)},
			{"s/m sm-1 siemens/m", by(q, 1, 4)},
			{"s/cm scm-1", by(q, 1, 6)},
			{"us/m usm-1", by(q, 1, -2)},
		}
	case OfDensity:
		return []spelling{
			{"mg/m2 mg/sqm mg/sq.m mg/sq.m. mg/qm mgr/m2 mgr/sqm mgm-2 mg/msq mg/m**2 mg/squaremetre mg/squaremeter", by(q, 1, 0)},
			{"ug/cm2 mcg/cm2 ug/sqcm ug/sq.cm ug/sq.cm. mcg/sqcm ugcm-2 microg/cm2 mikrog/cm2 ugr/cm2 ug/qcm", by(q, 1, 1)},
			{"mg/dm2", by(q, 1, 2)},
			{"g/m2 g/sqm gm-2", by(q, 1, 3)},
			{"mg/cm2 mgcm-2 mg/sqcm", flagged(by(q, 1, 4), AlwaysSlip)},
			{"mgnacl/m2 mg/m2nacl mg/m2(nacl) mg/m2asnacl mgnaclm-2 mgnacl/sqm", flagged(by(q, 1, 0), AsSodiumSalt)},
			{"ugnacl/cm2 ug/cm2nacl ug/cm2(nacl) ug/cm2asnacl", flagged(by(q, 1, 1), AsSodiumSalt)},
			{"mgcl/m2 mgcl-/m2 mg/m2cl mg/m2cl- mg/m2(cl-) mg/m2(cl) mgchloride/m2", flagged(by(q, 1, 0), AsChloride)},
			{"ugcl/cm2 ugcl-/cm2 ug/cm2cl ug/cm2cl- ug/cm2(cl-) ug/cm2(cl) ugchloride/cm2", flagged(by(q, 1, 1), AsChloride)},
		}
	case OfVolume:
		return []spelling{
			{"ml cc cm3 ccm mls millilitre millilitres milliliter milliliters mlt", by(q, 1, 0)},
			{"ul mm3", by(q, 1, -3)},
			{"cl", by(q, 1, 1)},
			{"l litre liter litres liters dm3", by(q, 1, 3)},
		}
	case OfPatchArea:
		return []spelling{
			{"mm2 sqmm sq.mm qmm mmsq", by(q, 1, 0)},
			{"cm2 sqcm sq.cm qcm cmsq", by(q, 1, 2)},
			{"dm2", by(q, 1, 4)},
			{"in2 sqin sq.in", by(q, 64516, -2)},
		}
	case OfSteelArea:
		return []spelling{
			{"m2 sqm sq.m sq.m. qm msq squaremetres squaremeters", by(q, 1, 0)},
			{"dm2", by(q, 1, -2)},
			{"cm2 sqcm", by(q, 1, -4)},
			{"mm2", by(q, 1, -6)},
			{"ft2 sqft sq.ft sq.ft.", by(q, 9290304, -8)},
		}
	case OfTemperature:
		return []spelling{
			{"°c c degc deg.c celsius degrees °", by(q, 1, 0)},
			{"°f f degf deg.f fahrenheit", Symbol{Quantity: q, factor: Int(5), over: 9, zero: 32}},
		}
	case OfHumidity:
		return []spelling{{"% %rh %r.h. rh% %rf %hr %r.f. pct percent rh", by(q, 1, 0)}}
	case OfPercent:
		return []spelling{{"% pct percent prozent", by(q, 1, 0)}}
	case OfLength:
		return []spelling{
			{"mm", by(q, 1, 0)}, {"um micron microns", by(q, 1, -3)}, {"cm", by(q, 1, 1)}, {"m metre metres meter", by(q, 1, 3)},
			{"in inch inches zoll \" ″ '' in.", by(q, 254, -1)}, {"ft feet foot ′ ft.", by(q, 3048, -1)},
		}
	case OfTime:
		return []spelling{
			{"min mins min. minute minutes minuten minutos minutt minutter ' ′", by(q, 1, 0)},
			{"s sec secs sec. second seconds sek", Symbol{Quantity: q, factor: Int(1), over: 60}},
			{"h hr hrs hour hours std stunden timer heures horas", by(q, 60, 0)},
		}
	case OfConstant:
		return []spelling{{"kg·m-2·s-1 kgm-2s-1 kg/(m2s) kg/(m2·s) kg/m2s kg/m2/s kg.m-2.s-1", by(q, 1, 0)}}
	}
	return nil
}

// symbols is the folded form of spellings, made once and never changed.
var symbols = func() (all [len(quantities)]map[string]Symbol) {
	for q := range Quantity(len(quantities)) {
		all[q] = map[string]Symbol{}
		for _, s := range spellings(q) {
			for _, name := range strings.Fields(s.names) {
				all[q][name] = s.symbol
			}
		}
	}
	return all
}()

// ParseSymbol recognises text as a unit of q, in any of the spellings that
// site sheets use. The error, a *SymbolError, says what the text is instead
// where that is known.
func ParseSymbol(q Quantity, text string) (Symbol, error) {
	if text == q.Symbol() {
		return by(q, 1, 0), nil
	}
	if len(text) > longestText {
		return Symbol{}, &SymbolError{Text: clip(text), Wanted: q, Found: "too long"}
	}
	name, micro := fold(text)
	s, ok := symbols[q][name]
	if !ok {
		return Symbol{}, symbolError(q, text, name)
	}
	switch {
	case s.Flag != Plain:
	case micro:
		s.Flag = LostMicro
	case q == OfConductivity && strings.HasPrefix(trim(text), "MS"):
		s.Flag = Capitals
	}
	return s, nil
}

// A SymbolError is a unit that cannot be used for the quantity wanted.
type SymbolError struct {
	Text   string // as found
	Wanted Quantity
	// Dissolved marks ppm, TDS, mg/l, ‰ and the like under a conductivity:
	// the meter has multiplied by a factor that the sheet does not tell.
	Dissolved bool
	Other     bool   // Text is a unit, but not a usable one of Wanted
	Found     string // what is known of Text
}

func (e *SymbolError) Error() string {
	return fmt.Sprintf("%q is no unit of %v: %s", e.Text, e.Wanted, e.Found)
}

// dissolved are the units of the modes of a meter that show a content of
// dissolved solids or a salinity instead of the conductivity.
const dissolved = " ppm tds ppmtds tdsppm ppm(tds) ppm(nacl) ppmnacl mg/l mgl mgl-1 g/l ppt psu ‰ °/oo o/oo 0/00 % salinity ug/ml "

func symbolError(q Quantity, text, name string) *SymbolError {
	e := &SymbolError{Text: text, Wanted: q, Found: "not known"}
	switch {
	case q == OfConductivity && strings.Contains(dissolved, " "+name+" "):
		e.Dissolved, e.Other = true, true
		e.Found = "a content of dissolved solids, by a factor that is not recorded"
	case q == OfConductivity && (name == "ms" || name == "mmho"):
		e.Other = true
		e.Found = "per cm or per m is not said, and they differ a hundredfold"
	case q == OfDensity && strings.Contains(dissolved, " "+name+" "):
		e.Other = true
		e.Found = "a content of the water, not of the surface"
	default:
		for other := range Quantity(len(quantities)) {
			if _, ok := symbols[other][name]; ok && other != q {
				e.Other = true
				e.Found = "a unit of " + other.String()
				break
			}
		}
	}
	return e
}

var folding = strings.NewReplacer(
	"Âµ", "u", "Î¼", "u", "µ", "u", "μ", "u",
	"Â²", "2", "Â³", "3", "Â°", "°", "²", "2", "³", "3", "¹", "1", "⁻", "-", "−", "-", "–", "-", "^", "",
	"º", "°", "˚", "°", "℃", "°c", "℉", "°f", "⋅", "", "·", "",
)

// mayFold reports whether folding looks at r.
func mayFold(r rune) bool { return r == '^' || r >= utf8.RuneSelf }

// references are the forms of a reference to 25 °C, without their spaces.
var references = []string{"@25°c", "at25°c", "(25°c)", "bei25°c", "a25°c", "à25°c", "ved25°c", "@25c", "at25c", ",25°c"}

// fold brings the spellings of one unit together and reports whether a
// micro sign had been lost in an encoding. A reference to 25 °C behind a
// unit of conductivity is dropped: it says what is understood.
func fold(text string) (name string, lostMicro bool) {
	lost := strings.Contains(text, "Âµ") || strings.Contains(text, "Î¼")
	s := trim(text)
	if strings.ContainsFunc(s, mayFold) {
		s = folding.Replace(s)
	}
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
	for _, q := range []string{"?", "\ufffd"} {
		if rest, ok := strings.CutPrefix(s, q); ok && (strings.HasPrefix(rest, "s") || strings.HasPrefix(rest, "g/")) {
			s, lost = "u"+rest, true
		}
	}
	if strings.HasPrefix(s, "[") && strings.HasSuffix(s, "]") || strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		s = s[1 : len(s)-1]
	}
	for _, reference := range references {
		if rest, ok := strings.CutSuffix(s, reference); ok {
			s = rest
		}
	}
	return s, lost
}
