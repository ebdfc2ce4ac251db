package unit

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"unicode/utf8"
)

// A State says what a text tells about its quantity.
type State int

const (
	Blank      State = iota // nothing is written
	Known                   // one number
	Below                   // less than Value, or than what can be shown where Bounded is false
	Above                   // more than Value, or than what can be shown where Bounded is false
	NotDone                 // a mark that says: not measured
	Ambiguous               // a number that reads in more than one way; see Choices
	WrongUnit               // a number in a unit of something else; see Err
	Unreadable              // none of these; see Err
)

// String names s in lower case.
func (s State) String() string {
	names := [...]string{"blank", "known", "below", "above", "not done", "ambiguous", "wrong unit", "unreadable"}
	if s < 0 || int(s) >= len(names) {
		return "unknown state"
	}
	return names[s]
}

// A Reading is what one text says of one quantity.
type Reading struct {
	Text     string // as found
	Quantity Quantity
	State    State
	Value    Decimal   // in the base unit of Quantity; the bound where State is Below or Above
	Step     Decimal   // the step that the written digits resolve, in the base unit
	Bounded  bool      // Below and Above: a bound is written
	Written  Decimal   // the number as written, before conversion
	Unit     string    // the unit as written in Text, else the heading's; "" where neither says one
	FromHead bool      // Unit stands in the heading, not in Text
	Flag     Flag      // what is to be said of the unit
	Choices  []Decimal // Ambiguous: what Text may mean, in the base unit
	Err      error     // why Text cannot be used; nil for Known, Below, Above, NotDone and Blank
}

// Reason says in words why the reading cannot be used; "" where it can.
func (r Reading) Reason() string {
	if r.Err == nil {
		return ""
	}
	return r.Err.Error()
}

// Converted reports whether Value is in another unit than the one written.
func (r Reading) Converted() bool {
	return (r.State == Known || r.Bounded) && r.Value != r.Written
}

// The functions below read one quantity each. Heading is the unit that the
// column heading or unit row states, "" where it states none; a unit in the
// text itself goes before it.

// ParseConductivity reads µS/cm, mS/m, mS/cm, S/m and their spellings. ppm,
// TDS and mg/l are WrongUnit: no conductivity follows from them.
func ParseConductivity(text, heading string, c Convention) Reading {
	return Parse(OfConductivity, text, heading, c)
}

// ParseDensity reads mg/m², µg/cm² and their spellings. mg/cm² is read and
// flagged AlwaysSlip.
func ParseDensity(text, heading string, c Convention) Reading {
	return Parse(OfDensity, text, heading, c)
}

// ParseVolume reads ml, cc, cm³, µl and l.
func ParseVolume(text, heading string, c Convention) Reading {
	return Parse(OfVolume, text, heading, c)
}

// ParseTemperature reads °C and °F. A value in °F is converted to two more
// decimals than it was written with.
func ParseTemperature(text, heading string, c Convention) Reading {
	return Parse(OfTemperature, text, heading, c)
}

// ParseHumidity reads per cent. Whether a column of 0.62 means 62 % is to
// be settled over the whole column: shift the Value by two places.
func ParseHumidity(text, heading string, c Convention) Reading {
	return Parse(OfHumidity, text, heading, c)
}

// ParseSteelArea reads m², ft² and smaller units.
func ParseSteelArea(text, heading string, c Convention) Reading {
	return Parse(OfSteelArea, text, heading, c)
}

// ParseLength reads mm, µm, cm, m, inches and feet.
func ParseLength(text, heading string, c Convention) Reading {
	return Parse(OfLength, text, heading, c)
}

// ParseMinutes reads a length of time in min, s or h.
func ParseMinutes(text, heading string, c Convention) Reading {
	return Parse(OfTime, text, heading, c)
}

// ParsePercent reads a share of a hundred.
func ParsePercent(text, heading string, c Convention) Reading {
	return Parse(OfPercent, text, heading, c)
}

// ParseConstant reads the c of ISO 8502-9, with or without its unit.
func ParseConstant(text, heading string, c Convention) Reading {
	return Parse(OfConstant, text, heading, c)
}

// ParseMoney reads an amount with a currency before or behind it. Unit is
// the currency as written; it is not converted.
func ParseMoney(text, heading string, c Convention) Reading {
	return Parse(OfMoney, text, heading, c)
}

// ParseNumber reads a number that has no unit.
func ParseNumber(text string, c Convention) Reading { return Parse(Pure, text, "", c) }

// patchAreas are the compartments of ISO 8502-6 by designation (from
// memory): A-0155 … A-2500, in mm².
var patchAreas = [...]int64{155, 310, 625, 1250, 2500}

// ParsePatchArea reads mm² and cm², a designation such as A-1250, and a bare
// number that is a standard compartment in cm² (12.5) or can only be mm²
// (1250). Any other bare number below 100 is Ambiguous.
func ParsePatchArea(text, heading string, c Convention) Reading {
	r := Parse(OfPatchArea, text, heading, c)
	if designation, ok := cutDesignation(text); ok {
		return Parse(OfPatchArea, designation, "mm2", c)
	}
	if r.State != Known || r.Unit != "" {
		return r
	}
	cm2 := r.Value.Shift(2)
	for _, a := range patchAreas {
		if cm2.Cmp(Int(a)) == 0 {
			r.Value, r.Step, r.Flag = cm2, r.Step.Shift(2), UnitFromNumber
			return r
		}
	}
	if r.Value.Cmp(Int(100)) < 0 {
		r.State, r.Choices = Ambiguous, []Decimal{r.Value, cm2}
		r.Err = fmt.Errorf("%q has no unit: %v mm² or %v mm² (cm²)", r.Text, r.Value, cm2)
	}
	return r
}

// cutDesignation takes "A-" off a compartment designation of ISO 8502-6.
func cutDesignation(text string) (string, bool) {
	s := trim(text)
	for _, prefix := range []string{"A-", "a-", "A–", "A "} {
		if rest, ok := strings.CutPrefix(s, prefix); ok && len(rest) == 4 {
			return strings.TrimLeft(rest, "0"), true
		}
	}
	return "", false
}

// Parse reads text as one quantity q; see the functions above.
func Parse(q Quantity, text, heading string, c Convention) Reading {
	r := Reading{Text: text, Quantity: q, Step: Int(1)}
	state, s := Known, trim(text)
	if s == "" {
		return r
	}
	if !isDigit(rune(s[0])) { // only then can it be a mark or a bound
		if r.State = mark(s); r.State != Known {
			return r
		}
		state, s = cutBound(s)
	}
	number, own := split(q, withoutFractions(s))
	d, err := ParseDecimal(number, c)
	ambiguous, twoWays := err.(*AmbiguousError)
	if err != nil && !twoWays {
		why := *err.(*NumberError)
		why.Text = clip(text)
		r.State, r.Err = Unreadable, &why
		return r
	}
	r.Unit, r.FromHead = own, false
	if own == "" {
		r.Unit, r.FromHead = trim(heading), trim(heading) != ""
	}
	symbol, err := r.symbol()
	if err != nil {
		r.State, r.Written, r.Err = Unreadable, d, err
		if e, ok := err.(*SymbolError); ok && e.Other {
			r.State = WrongUnit
		}
		return r
	}
	r.Flag = symbol.Flag
	if twoWays {
		r.State, r.Err = Ambiguous, ambiguous
		for _, choice := range []Decimal{ambiguous.AsFraction, ambiguous.AsThousands} {
			if v, ok := symbol.base(choice); ok {
				r.Choices = append(r.Choices, v)
			}
		}
		return r
	}
	v, ok := symbol.base(d)
	if !ok {
		r.State, r.Err = Unreadable, &NumberError{Text: text, Found: "it is too large or has too many digits"}
		return r
	}
	r.State, r.Value, r.Written, r.Bounded = state, v, d, state != Known
	r.Step = symbol.step(d)
	return r
}

// symbol looks up the unit of r; a reading without one is in its base unit.
func (r Reading) symbol() (Symbol, error) {
	plain := by(r.Quantity, 1, 0)
	switch {
	case r.Unit == "" || r.Quantity == OfMoney:
		return plain, nil
	case r.Quantity == Pure:
		return plain, &SymbolError{Text: r.Unit, Wanted: Pure, Other: true, Found: "a number alone is wanted"}
	}
	return ParseSymbol(r.Quantity, r.Unit)
}

// base converts a written number to the base unit: exactly where the factor
// is a decimal, else to two more decimals than d has.
func (s Symbol) base(d Decimal) (Decimal, bool) {
	if s.over == 1 && s.zero == 0 {
		if s.factor.Coef != 1 && (d.Coef > math.MaxInt64/s.factor.Coef || d.Coef < -math.MaxInt64/s.factor.Coef) {
			return Decimal{}, false
		}
		v := Decimal{d.Coef * s.factor.Coef, d.Exp + s.factor.Exp}
		return v, v.Exp >= -maxExp && v.Exp <= maxExp
	}
	x := new(big.Rat).Sub(d.Rat(), new(big.Rat).SetInt64(s.zero))
	x.Mul(x, s.factor.Rat())
	x.Quo(x, new(big.Rat).SetInt64(s.over))
	decimals := max(0, -d.Exp) + 2
	n := RoundRat(x, decimals, false)
	return Decimal{n.Int64(), -decimals}, n.IsInt64()
}

// step is the step of d's last digit in the base unit.
func (s Symbol) step(d Decimal) Decimal {
	v, _ := Symbol{factor: s.factor, over: s.over}.base(d.Step())
	return v
}

// SplitUnit takes a number and the unit behind it apart: "14.2µS/cm" gives
// "14.2" and "µS/cm". What does not begin with a number is all number, so
// that ParseDecimal can say what is wrong with it.
func SplitUnit(text string) (number, symbol string) {
	s := trim(text)
	i := 0
	for i < len(s) {
		r, size := utf8.DecodeRuneInString(s[i:])
		if !isDigit(r) && !isSeparator(r) && !isSignAt(s, i) {
			break
		}
		i += size
	}
	head, tail := s[:i], s[i:]
	if strings.IndexFunc(head, isDigit) < 0 {
		return s, ""
	}
	if n := exponentLength(tail); n > 0 {
		head, tail = head+tail[:n], tail[n:]
	}
	if tail != "" && strings.ContainsRune("OolI|", rune(tail[0])) {
		word, rest, _ := strings.Cut(tail, " ")
		if _, slip := likeDigits(trim(head) + word); slip && word != "l" && word != "L" {
			return trim(head) + word, trim(rest)
		}
	}
	return trim(head), trim(tail)
}

// isSignAt reports whether a sign stands at the very front of s.
func isSignAt(s string, i int) bool {
	if i != 0 {
		return false
	}
	r, _ := utf8.DecodeRuneInString(s)
	return strings.ContainsRune("+-−–‐‑", r)
}

// exponentLength is the length of "e3" or "E-03" at the front of tail.
func exponentLength(tail string) int {
	if tail == "" || tail[0] != 'e' && tail[0] != 'E' {
		return 0
	}
	digits := strings.TrimLeft(tail[1:], "+-")
	if len(tail)-1-len(digits) > 1 {
		return 0
	}
	n := 0
	for n < len(digits) && isDigit(rune(digits[n])) {
		n++
	}
	if n == 0 {
		return 0
	}
	return len(tail) - len(digits) + n
}

// split is SplitUnit, with the currency in front that money may have.
func split(q Quantity, s string) (number, symbol string) {
	if q == OfMoney {
		if i := strings.IndexAny(s, "0123456789-−"); i > 0 {
			return splitAfter(s, i)
		}
	}
	return SplitUnit(s)
}

// splitAfter splits "€ 12.50" at i into its number and its currency.
func splitAfter(s string, i int) (number, symbol string) {
	number, behind := SplitUnit(s[i:])
	return number, trim(trim(s[:i]) + " " + behind)
}

// withoutFractions spells the one-character fractions as decimals: "4½ in"
// becomes "4.5 in".
func withoutFractions(s string) string {
	if strings.IndexByte(s, "½"[0]) < 0 { // the first byte of all three
		return s
	}
	for _, f := range [...]struct{ sign, decimal string }{{"½", ".5"}, {"¼", ".25"}, {"¾", ".75"}} {
		if before, after, ok := strings.Cut(s, f.sign); ok {
			return trim(before) + f.decimal + after
		}
	}
	return s
}
