package record

import (
	"regexp"
	"strconv"
	"strings"

	"saltline/internal/salt"
	"saltline/internal/unit"
)

const samplingWanted = "a rule such as 5 for the first 100 m2, then 1 per further 100 m2 or part; 8; 1 per item; or 1 per 20 m2, at least 5"

// The four forms of a sampling rule. A number of square metres may have
// thousands set off by a space.
var (
	perArea = regexp.MustCompile(`^(\d+)(?: tests?)? (?:for|on|in) (?:the )?first ` + squareMetres +
		`(?:,|;| and)* *(?:then|plus|and)? *(\d+)(?: tests?)? (?:per|for) (?:each |every )?(?:further |additional |next )*` + squareMetres + `(?: or part.*)?$`)
	onePer  = regexp.MustCompile(`^(?:1|one)(?: test)? (?:per|for each|for every) ` + squareMetres + `(?: or part[^,;(]*)?(?:[,;(]* *(?:at least|minimum|min\.?|but not less than) (\d+)\)?)?$`)
	perItem = regexp.MustCompile(`^(\d+|one)(?: tests?)? (?:per|on each|for each|on every) (?:item|plate|block|spool|piece|member|section|pipe|part)$`)
	fixed   = regexp.MustCompile(`^(\d+)(?: tests?| spots?)?(?: per area| in each area| an area| each)?$`)
)

const squareMetres = `(\d+(?:[ '\x{00a0}]\d{3})*(?:[.,]\d+)?) ?(?:m2|m²|sqm|sq ?m)`

// samplingRule reads how many tests an area needs.
func samplingRule(text string) (salt.SamplingRule, bool) {
	s := tidy(text)
	if m := perArea.FindStringSubmatch(s); m != nil {
		first, ok1 := whole(m[1])
		firstArea, ok2 := metres(m[2])
		then, ok3 := whole(m[3])
		step, ok4 := metres(m[4])
		return salt.SamplingRule{Form: salt.PerArea, First: first, FirstArea: firstArea, Then: then, Step: step},
			ok1 && ok2 && ok3 && ok4
	}
	if m := onePer.FindStringSubmatch(s); m != nil {
		step, ok := metres(m[1])
		least := 0
		if m[2] != "" {
			least, _ = whole(m[2])
		}
		return salt.SamplingRule{Form: salt.OnePer, First: least, Then: 1, Step: step}, ok
	}
	if m := perItem.FindStringSubmatch(s); m != nil {
		n, ok := whole(m[1])
		return salt.SamplingRule{Form: salt.PerItem, First: n}, ok
	}
	if m := fixed.FindStringSubmatch(s); m != nil {
		n, ok := whole(m[1])
		return salt.SamplingRule{Form: salt.FixedNumber, First: n}, ok
	}
	return salt.SamplingRule{}, false
}

// tidy brings a phrase to lower case and single spaces.
func tidy(text string) string {
	return strings.Join(strings.Fields(strings.ToLower(text)), " ")
}

// whole reads a number of tests, in figures or as a small word. A rule that
// asks for none is no rule.
func whole(s string) (int, bool) {
	if n := strings.Index(" one two three four five six ", " "+s+" "); n >= 0 && s != "" {
		return strings.Count(" one two three four five six "[:n+1], " "), true
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n > 0 && n < 1_000_000
}

func metres(s string) (unit.SteelArea, bool) {
	d, err := unit.ParseDecimal(s, unit.AnySign)
	return unit.SteelArea(d.Float()), err == nil && d.Sign() > 0
}

var adjacentTests = regexp.MustCompile(`\b(\d+|one|two|three|four|five|six) (?:more |further )?adjacent`)

// retestRule reads what clears a fail.
func retestRule(text string) (RetestRule, bool) {
	s := tidy(text)
	rule := RetestRule{}
	for _, phrase := range []string{"beside", "next to", "alongside", "adjoining"} {
		rule.Beside = rule.Beside || strings.Contains(s, phrase)
	}
	if m := adjacentTests.FindStringSubmatch(s); m != nil {
		rule.Adjacent, _ = whole(m[1])
	}
	return rule, rule.Beside || rule.Adjacent > 0
}

// correction reads how uncompensated readings are referred to 25 °C.
func correction(text string) (salt.Correction, bool) {
	s := tidy(text)
	switch fold(text) {
	case "none", "no", "no correction", "not corrected", "uncorrected", "keine", "ninguna", "aucune", "ingen":
		return salt.Correction{Kind: salt.NoCorrection}, true
	case "natural water", "natural water iso 7888", "iso 7888", "iso 7888 natural water", "nlf", "non linear", "nonlinear", "nicht linear":
		return salt.Correction{Kind: salt.NaturalWater}, true
	}
	rest, linear := strings.CutPrefix(s, "linear")
	rest = strings.TrimLeft(rest, " ,:(")
	for _, tail := range []string{")", "/°c", "/k", "/ °c", "/ k", "per °c", "per k", "per kelvin"} {
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

var roundingStep = regexp.MustCompile(`^(?:rounded )?(?:to )?(?:the )?(?:nearest )?([\d.,]+|integer|whole number|unit) ?(?:mg ?/ ?m(?:2|²|\^2))?$`)

// rounding reads what happens to a density before it is compared.
func rounding(text string) (salt.Rounding, bool) {
	switch s := tidy(text); s {
	case "unrounded", "not rounded", "none", "no rounding", "as calculated":
		return salt.Rounding{}, true
	default:
		m := roundingStep.FindStringSubmatch(s)
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

var oneSpan = regexp.MustCompile(`^(.+?) ?(?:-|–|—|to|bis|until) ?(.+)$`)

// spans reads stretches of a day: "12:00-12:45; 14:00-14:10".
func spans(text string) ([]Span, bool) {
	var all []Span
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ';' || r == ',' || r == '\n' }) {
		m := oneSpan.FindStringSubmatch(tidy(part))
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
	return listOfWords(strings.NewReplacer(" and ", ",", " & ", ",", "+", ",", " / ", ",", " ", ",").Replace(text))
}
