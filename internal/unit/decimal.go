package unit

import (
	"cmp"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// A Decimal is a number exactly as its digits say: Coef × 10^Exp. It keeps
// trailing zeros, so 14.0 (140 × 10⁻¹) and 14 (14 × 10⁰) differ in Exp, and
// 10^Exp is the step that the written digits resolve.
type Decimal struct {
	Coef int64
	Exp  int
}

// maxExp bounds the exponent of a parsed number. No quantity of the trade
// comes near 10^±18, and a bound keeps a hostile cell from costing memory.
const maxExp = 18

// Int returns n as a Decimal that resolves whole units.
func Int(n int64) Decimal { return Decimal{n, 0} }

// FromFloat returns the shortest decimal that reads back as f: the digits
// that a person would see. It reports false for NaN, an infinity and a
// number out of the range of a Decimal.
func FromFloat(f float64) (Decimal, bool) {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return Decimal{}, false
	}
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(f, 'e', -1, 64), "e")
	whole, part, _ := strings.Cut(mantissa, ".")
	coef, err := strconv.ParseInt(whole+part, 10, 64)
	exp, err2 := strconv.Atoi(exponent)
	if err != nil || err2 != nil {
		return Decimal{}, false
	}
	d := Decimal{coef, exp - len(part)}
	if d.Exp > 0 && d.Exp <= maxExp && math.Abs(f) < 1e18 {
		return Decimal{int64(f), 0}, true // 1200, not 12 × 10²: a float shows its units digit
	}
	return d, d.Coef == 0 || exp <= maxExp && exp >= -maxExp
}

// powers are the powers of ten that a float64 holds exactly.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// Float returns the nearest float64.
func (d Decimal) Float() float64 {
	if d.Coef > -1<<53 && d.Coef < 1<<53 { // one correctly rounded operation on exact numbers
		switch {
		case d.Exp >= 0 && d.Exp < len(powers):
			return float64(d.Coef) * powers[d.Exp]
		case d.Exp < 0 && -d.Exp < len(powers):
			return float64(d.Coef) / powers[-d.Exp]
		}
	}
	return d.Ratio().Float()
}

// Ratio returns d exactly.
func (d Decimal) Ratio() Ratio {
	n := max(d.Exp, -d.Exp)
	switch {
	case d.Exp == 0 && d.Coef != math.MinInt64:
		return Ratio{num: d.Coef, den: 1}
	case n >= len(wholePowers) || d.Coef == math.MinInt64:
		power := RatioOf(new(big.Rat).SetInt(pow10(n)))
		coef := RatioOf(new(big.Rat).SetInt64(d.Coef))
		if d.Exp < 0 {
			return coef.Quo(power)
		}
		return coef.Mul(power)
	case d.Exp < 0:
		return lowest(d.Coef, wholePowers[n])
	}
	return Ratio{num: d.Coef, den: 1}.Mul(Ratio{num: wholePowers[n], den: 1})
}

// Rat returns d exactly, as math/big has it.
func (d Decimal) Rat() *big.Rat { return d.Ratio().Rat() }

// wholePowers are the powers of ten that an int64 holds.
var wholePowers = [...]int64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18}

// Shift returns d × 10^n with the same digits: the exact conversion between
// units that differ by a power of ten.
func (d Decimal) Shift(n int) Decimal { return Decimal{d.Coef, d.Exp + n} }

// Step is the smallest difference that the written digits show: 0.1 for
// 14.0, 1 for 14.
func (d Decimal) Step() Decimal { return Decimal{1, d.Exp} }

// Sign is −1, 0 or +1.
func (d Decimal) Sign() int { return cmp.Compare(d.Coef, 0) }

// Cmp compares the values exactly; 14 and 14.0 are equal.
func (d Decimal) Cmp(e Decimal) int {
	if d.Exp == e.Exp {
		return cmp.Compare(d.Coef, e.Coef)
	}
	return d.Ratio().Cmp(e.Ratio())
}

// String spells d with a decimal point, its trailing zeros and a hyphen for
// a minus: a form for machines and messages. Documents use Spelling.
func (d Decimal) String() string {
	digits := strconv.FormatInt(d.Coef, 10)
	sign := ""
	if d.Coef < 0 {
		sign, digits = "-", digits[1:]
	}
	switch {
	case d.Exp > 0 && d.Coef != 0:
		digits += strings.Repeat("0", d.Exp)
	case d.Exp < 0:
		if short := 1 - d.Exp - len(digits); short > 0 {
			digits = strings.Repeat("0", short) + digits
		}
		digits = digits[:len(digits)+d.Exp] + "." + digits[len(digits)+d.Exp:]
	}
	return sign + digits
}

// pow10 returns 10^n for n ≥ 0.
func pow10(n int) *big.Int {
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
}

// RoundRat rounds x to a whole number of steps of 10^−decimals. A tie goes
// away from zero (half-up, as people round) or, with toEven, to the even
// digit. The result is the number of steps.
func RoundRat(x *big.Rat, decimals int, toEven bool) *big.Int {
	scale := new(big.Rat).SetInt(pow10(max(decimals, -decimals)))
	if decimals < 0 {
		scale.Inv(scale)
	}
	return Steps(new(big.Rat).Mul(x, scale), toEven)
}

// Steps rounds x to the nearest integer; ties as in RoundRat.
func Steps(x *big.Rat, toEven bool) *big.Int {
	twice := new(big.Int).Lsh(new(big.Int).Abs(x.Num()), 1)
	twiceDen := new(big.Int).Lsh(x.Denom(), 1)
	twice.Add(twice, x.Denom())
	n, rest := new(big.Int).QuoRem(twice, twiceDen, new(big.Int))
	if toEven && rest.Sign() == 0 && n.Bit(0) == 1 {
		n.Sub(n, big.NewInt(1))
	}
	if x.Sign() < 0 {
		n.Neg(n)
	}
	return n
}
