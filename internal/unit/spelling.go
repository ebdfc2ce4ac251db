package unit

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Spelling is how a document's language writes numbers and dates. It is
// a value: the words come from the document's templates.
type Spelling struct {
	Sign   rune       // the decimal sign, '.' or ','
	Months [12]string // as they stand in "11 Mar 2025"
	Dates  Pattern
}

// A Pattern is how a date is put together: D, M and Y stand for the day, the
// name of the month and the year, in this order, as in "D. M Y".
type Pattern string

// Valid reports whether p has its three letters, each once and in order.
func (p Pattern) Valid() bool {
	var letters []rune
	for _, r := range p {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			letters = append(letters, r)
		}
	}
	return string(letters) == "DMY"
}

// English is the spelling of a document in English.
func English() Spelling {
	return Spelling{'.', [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}, "D M Y"}
}

const (
	minus   = "−"      // U+2212, as wide as a figure
	noBreak = "\u00a0" // keeps a number and its unit on one line
)

// Rat prints x with the given decimals, rounded half-up (a tie goes away
// from zero) on its exact value.
func (sp Spelling) Rat(x *big.Rat, decimals int) string { return sp.Ratio(RatioOf(x), decimals) }

// Ratio prints x likewise.
func (sp Spelling) Ratio(x Ratio, decimals int) string {
	n := x.Mul(Decimal{1, decimals}.Ratio()).Whole(false)
	var room [24]byte
	if n.big != nil {
		return sp.steps(n.Sign() < 0, new(big.Int).Abs(n.big.Num()).Append(room[:0], 10), decimals)
	}
	return sp.steps(n.num < 0, strconv.AppendInt(room[:0], max(n.num, -n.num), 10), decimals)
}

// Float prints f with the given decimals, rounded half-up on the digits a
// person would see: 16.5 gives 17 and 49.95 gives 50.0. It prints an em
// dash for NaN and the infinities, which are no values.
func (sp Spelling) Float(f float64, decimals int) string {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return "—"
	}
	if d, ok := FromFloat(f); ok {
		return sp.Ratio(d.Ratio(), decimals)
	}
	return sp.Rat(new(big.Rat).SetFloat64(f), decimals)
}

// Decimal prints d as it was written, with its trailing zeros.
func (sp Spelling) Decimal(d Decimal) string {
	if d.Exp <= 0 && d.Coef != math.MinInt64 {
		var room [24]byte
		return sp.steps(d.Coef < 0, strconv.AppendInt(room[:0], max(d.Coef, -d.Coef), 10), -d.Exp)
	}
	return sp.Ratio(d.Ratio(), max(0, -d.Exp))
}

// steps prints a whole number of steps of 10^−decimals, whose digits are given.
func (sp Spelling) steps(below bool, digits []byte, decimals int) string {
	var room [48]byte
	b := room[:0]
	if below {
		b = append(b, minus...)
	}
	if decimals <= 0 {
		b = append(b, digits...)
		for ; decimals < 0 && string(digits) != "0"; decimals++ {
			b = append(b, '0')
		}
		return string(b)
	}
	whole := max(0, len(digits)-decimals)
	if whole == 0 {
		b = append(b, '0')
	}
	b = append(b, digits[:whole]...)
	b = utf8.AppendRune(b, sp.Sign)
	for range decimals - (len(digits) - whole) {
		b = append(b, '0')
	}
	return string(append(b, digits[whole:]...))
}

// maxDecimals bounds the digits that Beside adds: a value and a limit that
// agree in so many digits differ by less than any reading can show.
const maxDecimals = 12

// Beside prints x next to a limit so that the printed figures never
// contradict the judgement: it adds digits to x until the printed value is
// on the same side of the limit as x itself. 50.04 beside 50 prints as
// 50.04, not as 50.0.
func (sp Spelling) Beside(x, limit Ratio, decimals int) string {
	side := x.Cmp(limit)
	for n := max(decimals, 0); n < maxDecimals; n++ {
		step := Decimal{1, -n}.Ratio()
		if shown := x.Quo(step).Whole(false).Mul(step); shown.Cmp(limit) == side {
			return sp.Ratio(x, n)
		}
	}
	return sp.Ratio(x, maxDecimals)
}

// Date prints "11 Mar 2025", or "11. März 2025" where the pattern of the
// language has it so, held together by no-break spaces; "4 Mar" where no year
// was written; "" for no date.
func (sp Spelling) Date(d Date) string {
	if d.Month < 1 || d.Month > 12 {
		return ""
	}
	pattern := string(sp.Dates)
	if d.Year == 0 { // nor what stands before it
		pattern = pattern[:strings.IndexByte(pattern, 'M')+1]
	}
	var b strings.Builder
	for _, r := range pattern {
		switch r {
		case 'D':
			b.WriteString(strconv.Itoa(d.Day))
		case 'M':
			b.WriteString(sp.Months[d.Month-1])
		case 'Y':
			b.WriteString(strconv.Itoa(d.Year))
		case ' ':
			b.WriteString(noBreak)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// With puts the unit of q behind a printed number, with a no-break space
// between; a number without a unit stays alone.
func With(printed string, q Quantity) string {
	if q.Symbol() == "" {
		return printed
	}
	return printed + noBreak + q.Symbol()
}

// A Value is a number of one of the types of this package.
type Value interface {
	~float64
	Quantity() Quantity
}

// Format prints v with its unit: 50.04 mg/m², −2.1 °C.
func Format[V Value](sp Spelling, v V, decimals int) string {
	return With(sp.Float(float64(v), decimals), v.Quantity())
}

func (Conductivity) Quantity() Quantity   { return OfConductivity }
func (SurfaceDensity) Quantity() Quantity { return OfDensity }
func (Volume) Quantity() Quantity         { return OfVolume }
func (PatchArea) Quantity() Quantity      { return OfPatchArea }
func (SteelArea) Quantity() Quantity      { return OfSteelArea }
func (Temperature) Quantity() Quantity    { return OfTemperature }
func (Humidity) Quantity() Quantity       { return OfHumidity }
func (Length) Quantity() Quantity         { return OfLength }
func (Minutes) Quantity() Quantity        { return OfTime }
func (Percent) Quantity() Quantity        { return OfPercent }
func (Money) Quantity() Quantity          { return OfMoney }
func (Constant) Quantity() Quantity       { return OfConstant }
