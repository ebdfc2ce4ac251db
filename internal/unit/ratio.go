package unit

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
)

// A Ratio is a fraction, exactly. What people read and write fits in two
// machine words and costs no memory of its own; what does not is kept by
// math/big. The zero Ratio is no number: nothing can be computed from it.
type Ratio struct {
	num, den int64    // in lowest terms, den > 0, |num| ≤ math.MaxInt64; unused where big is set
	big      *big.Rat // nil where num and den hold the fraction; never written to
}

// RatioOf returns x exactly, and no number for nil.
func RatioOf(x *big.Rat) Ratio {
	switch {
	case x == nil:
		return Ratio{}
	case x.Num().IsInt64() && x.Denom().IsInt64() && x.Num().Int64() != math.MinInt64:
		return Ratio{num: x.Num().Int64(), den: x.Denom().Int64()}
	}
	return Ratio{big: x}
}

// RatioOfFloat returns f exactly, and no number for NaN and the infinities.
func RatioOfFloat(f float64) Ratio {
	if n := int64(f); math.Abs(f) < 1<<53 && float64(n) == f {
		return Ratio{num: n, den: 1}
	}
	return RatioOf(new(big.Rat).SetFloat64(f))
}

// Known reports whether r is a number.
func (r Ratio) Known() bool { return r.den != 0 || r.big != nil }

// Rat returns r as math/big has it, nil for no number.
func (r Ratio) Rat() *big.Rat {
	if r.big != nil {
		return new(big.Rat).Set(r.big)
	}
	return r.rat()
}

// rat is Rat for reading only.
func (r Ratio) rat() *big.Rat {
	if r.den != 0 {
		return big.NewRat(r.num, r.den)
	}
	return r.big
}

// Float returns the nearest float64.
func (r Ratio) Float() float64 {
	if r.big == nil && max(r.num, -r.num, r.den) < 1<<53 { // one correctly rounded operation on exact numbers
		return float64(r.num) / float64(r.den)
	}
	f, _ := r.rat().Float64()
	return f
}

// Sign is −1, 0 or +1.
func (r Ratio) Sign() int {
	if r.big != nil {
		return r.big.Sign()
	}
	return cmp.Compare(r.num, 0)
}

// Cmp compares the values.
func (r Ratio) Cmp(s Ratio) int {
	if r.big != nil || s.big != nil {
		return r.rat().Cmp(s.rat())
	}
	if sign := r.Sign(); sign != s.Sign() || sign < 0 {
		return cmp.Or(cmp.Compare(sign, s.Sign()), s.Neg().cmp(r.Neg()))
	}
	return r.cmp(s)
}

// cmp is Cmp of two numbers that are not below zero.
func (r Ratio) cmp(s Ratio) int {
	high1, low1 := bits.Mul64(uint64(r.num), uint64(s.den))
	high2, low2 := bits.Mul64(uint64(s.num), uint64(r.den))
	return cmp.Or(cmp.Compare(high1, high2), cmp.Compare(low1, low2))
}

// Neg returns −r.
func (r Ratio) Neg() Ratio {
	if r.big != nil {
		return RatioOf(new(big.Rat).Neg(r.big))
	}
	return Ratio{num: -r.num, den: r.den}
}

// Add returns r + s.
func (r Ratio) Add(s Ratio) Ratio {
	if r.den != 0 && s.den != 0 {
		g := gcd(r.den, s.den)
		a, ok1 := product(r.num, s.den/g)
		b, ok2 := product(s.num, r.den/g)
		den, ok3 := product(r.den/g, s.den)
		if num := a + b; ok1 && ok2 && ok3 && (num > a) == (b > 0) && num != math.MinInt64 {
			return lowest(num, den)
		}
	}
	return RatioOf(new(big.Rat).Add(r.rat(), s.rat()))
}

// Sub returns r − s.
func (r Ratio) Sub(s Ratio) Ratio { return r.Add(s.Neg()) }

// Mul returns r × s.
func (r Ratio) Mul(s Ratio) Ratio {
	if r.den != 0 && s.den != 0 {
		g, h := gcd(r.num, s.den), gcd(s.num, r.den)
		num, ok1 := product(r.num/g, s.num/h)
		den, ok2 := product(r.den/h, s.den/g)
		if ok1 && ok2 {
			return Ratio{num: num, den: den}
		}
	}
	return RatioOf(new(big.Rat).Mul(r.rat(), s.rat()))
}

// Quo returns r ÷ s. It panics where s is 0, as math/big does.
func (r Ratio) Quo(s Ratio) Ratio {
	if r.den != 0 && s.den != 0 && s.num != 0 {
		inverse := Ratio{num: s.den, den: s.num}
		if s.num < 0 {
			inverse = Ratio{num: -s.den, den: -s.num}
		}
		return r.Mul(inverse)
	}
	return RatioOf(new(big.Rat).Quo(r.rat(), s.rat()))
}

// Whole rounds r to the nearest integer. A tie goes away from zero (half-up,
// as people round) or, with toEven, to the even integer.
func (r Ratio) Whole(toEven bool) Ratio {
	if r.den == 0 {
		return RatioOf(new(big.Rat).SetInt(Steps(r.big, toEven)))
	}
	n, rest := r.num/r.den, r.num%r.den
	twice := 2 * uint64(max(rest, -rest))
	if den := uint64(r.den); twice > den || twice == den && !(toEven && n%2 == 0) {
		n += int64(r.Sign())
	}
	return Ratio{num: n, den: 1}
}

// lowest returns num/den in lowest terms.
func lowest(num, den int64) Ratio {
	g := gcd(num, den)
	return Ratio{num: num / g, den: den / g}
}

// gcd is the greatest common divisor of two numbers of which one is not 0. It
// halves and subtracts (Stein's algorithm), for a division of two words takes
// as long as ten such steps, and most of what is asked has a 1 in it.
func gcd(a, b int64) int64 {
	u, v := uint64(max(a, -a)), uint64(max(b, -b))
	switch {
	case u == 1 || v == 1:
		return 1
	case u == 0:
		return int64(v)
	case v == 0:
		return int64(u)
	}
	twos := bits.TrailingZeros64(u | v)
	u >>= bits.TrailingZeros64(u)
	for v != 0 {
		v >>= bits.TrailingZeros64(v)
		u, v = min(u, v), max(u, v)-min(u, v)
	}
	return int64(u << twos)
}

// product multiplies two numbers above math.MinInt64, and reports false where
// the result is not one.
func product(a, b int64) (int64, bool) {
	high, low := bits.Mul64(uint64(max(a, -a)), uint64(max(b, -b)))
	if high != 0 || low > math.MaxInt64 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(low), true
	}
	return int64(low), true
}
