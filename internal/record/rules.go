package record

import (
	"strings"

	"saltline/internal/pattern"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// correction reads how uncompensated readings are referred to 25 °C.
func correction(text string) (salt.Correction, bool) {
	switch strings.TrimSuffix(strings.TrimPrefix(fold(text), "iso 7888 "), " iso 7888") {
	case "none", "no", "no correction", "not corrected", "uncorrected", "keine", "keine korrektur", "ninguna", "sin correccion", "aucune", "sans correction", "ingen", "ingen korreksjon":
		return salt.Correction{Kind: salt.NoCorrection}, true
	case "natural water", "iso 7888", "nlf", "non linear", "nonlinear", "nicht linear", "naturliches wasser", "agua natural", "eau naturelle", "naturlig vann":
		return salt.Correction{Kind: salt.NaturalWater}, true
	}
	s := bare(text)
	rest := isLinear().ReplaceAllString(s, "")
	linear := rest != s
	for _, tail := range []string{")", "/°c", "/k", "/ °c", "/ k", "per °c", "per k", "per kelvin", "je °c", "je k", "je kelvin", "pro k", "pro °c", "por °c", "por k", "por kelvin", "par °c", "par k", "par kelvin"} {
		rest = strings.TrimSpace(strings.TrimSuffix(rest, tail))
	}
	rest, percent := strings.CutSuffix(rest, "%")
	if !linear && !percent {
		return salt.Correction{}, false
	}
	d, err := unit.ParseDecimal(rest, unit.AnySign)
	if err != nil {
		return salt.Correction{}, false
	}
	if !percent {
		d = d.Shift(2) // "linear 0.02"
	}
	alpha := d.Float()
	return salt.Correction{Kind: salt.Linear, Alpha: unit.Percent(alpha)}, alpha > 0 && alpha < 10
}

// isLinear finds the word for a linear correction.
var isLinear = pattern.Of(`^(?:linear|lineal|lineaire|lineaer)\b[ ,:(]*`)

// comparison reads how a value is compared with its limit.
func comparison(text string) (salt.Comparison, bool) {
	switch strings.TrimSpace(text) {
	case "≤", "<=", "=<":
		return salt.AtMost, true
	case "<":
		return salt.LessThan, true
	}
	if allowsNoneAbove(text) {
		return salt.AtMost, true
	}
	return comparisons.find(strings.Trim(text, " ()≤<="))
}

var roundingStep = pattern.Of(`^(?:(?:rounded|gerundet|redondead[oa]|arrondie?|avrundet) )?(?:(?:to|auf|al?|til) )?(?:the )?(?:nearest )?([\d.,]+|integer|whole number|unit) ?(?:mg ?/ ?m(?:2|²|\^2))?$`)

// rounding reads what happens to a density before it is compared.
func rounding(text string) (salt.Rounding, bool) {
	switch s := bare(text); s {
	case "unrounded", "not rounded", "none", "no rounding", "as calculated", "ungerundet", "nicht gerundet", "keine", "keine rundung",
		"sin redondear", "sin redondeo", "no redondeado", "non arrondi", "non arrondie", "sans arrondi", "uavrundet", "ikke avrundet", "ingen avrunding":
		return salt.Rounding{}, true
	default:
		m := roundingStep().FindStringSubmatch(s)
		if m == nil {
			return salt.Rounding{}, false
		}
		if m[1][0] > '9' {
			m[1] = "1"
		}
		d, err := unit.ParseDecimal(m[1], unit.AnySign)
		return salt.Rounding{Step: d}, err == nil && d.Sign() > 0
	}
}

var oneSpan = pattern.Of(`^(.+?)(?: ?(?:-|–|—|to|bis|until|hasta|til) ?| (?:a|à) )(.+)$`)

// spans reads stretches of a day: "12:00-12:45; 14:00-14:10".
func spans(text string) ([]Span, bool) {
	var all []Span
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ';' || r == ',' || r == '\n' }) {
		m := oneSpan().FindStringSubmatch(Folded(part))
		if m == nil {
			return nil, false
		}
		from, err1 := unit.ParseClock(m[1])
		to, err2 := unit.ParseClock(m[2])
		if err1 != nil || err2 != nil {
			return nil, false
		}
		all = append(all, Span{from, to})
	}
	return all, len(all) > 0
}

// listOfWords reads a list set off by commas, semicolons or line breaks.
func listOfWords(text string) ([]string, bool) {
	var all []string
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(",;\n", r) }) {
		if part = strings.TrimSpace(part); part != "" {
			all = append(all, part)
		}
	}
	return all, len(all) > 0
}

// listOfTests reads the numbers of tests: "2, 3", "2; 3", "2 and 3", "2 3".
func listOfTests(text string) ([]string, bool) {
	return listOfWords(strings.NewReplacer(" and ", ",", " und ", ",", " y ", ",", " et ", ",", " og ", ",", " & ", ",", "+", ",", " / ", ",", " ", ",").Replace(text))
}
