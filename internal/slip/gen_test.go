package slip

import (
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/unit"
)

// dec reads a number that a test spells out.
func dec(t testing.TB, text string) *unit.Decimal {
	t.Helper()
	d, err := unit.ParseDecimal(text, unit.PointSign)
	if err != nil {
		t.Fatal(err)
	}
	return &d
}

// A generator makes sheets of honest rows.
type generator struct {
	t      testing.TB
	random *rand.Rand
	digits int    // decimals of the meter
	volume string // ml
}

func newGenerator(t testing.TB, seed uint64, digits int, volume string) *generator {
	return &generator{t, rand.New(rand.NewPCG(seed, uint64(digits))), digits, volume}
}

// reading spells a conductivity between low and high µS/cm as the meter shows
// it.
func (g *generator) reading(low, high float64) string {
	return strconv.FormatFloat(low+(high-low)*g.random.Float64(), 'f', g.digits, 64)
}

// sheet makes n rows whose recorded values are correct, rounded half up or
// half to even.
func (g *generator) sheet(n, decimals int) []Row {
	rows := make([]Row, n)
	for i := range rows {
		blank, extract := g.reading(0.6, 5), g.reading(6, 80)
		rows[i] = Row{
			Blank: dec(g.t, blank), Extract: dec(g.t, extract), Volume: dec(g.t, g.volume),
			PatchArea: dec(g.t, "1250"), Constant: dec(g.t, "5"), Temperature: dec(g.t, "31"), Compensated: true,
		}
		g.record(&rows[i], g.combine(&rows[i], 1), decimals)
	}
	return rows
}

// combine is the factor of r times its extract less n times its blank.
func (g *generator) combine(r *Row, n int64) *big.Rat {
	b := new(big.Rat).Mul(big.NewRat(n, 1), r.Blank.Rat())
	v := b.Sub(r.Extract.Rat(), b)
	k, _ := new(big.Rat).SetString(map[string]string{"2.5": "1", "3": "1.2", "10": "4", "15": "6"}[g.volume])
	return v.Mul(v, k)
}

// record writes v on the row. FloatString rounds half away from zero; one
// value in two is rounded half to even instead.
func (g *generator) record(r *Row, v *big.Rat, decimals int) {
	text := v.FloatString(decimals)
	if g.random.IntN(2) == 0 {
		text = halfEven(v, decimals)
	}
	r.Recorded = dec(g.t, text)
}

// halfEven spells v with so many decimals, a tie going to the even digit: of
// the two values a last digit apart that enclose v, the nearer.
func halfEven(v *big.Rat, decimals int) string {
	up := v.FloatString(decimals)
	tie := new(big.Rat).SetFrac64(1, 2)
	for range decimals {
		tie.Quo(tie, big.NewRat(10, 1))
	}
	u, _ := new(big.Rat).SetString(up)
	diff := new(big.Rat).Sub(u, v)
	if diff.Cmp(tie) != 0 || (up[len(up)-1]-'0')%2 == 0 {
		return up
	}
	return new(big.Rat).Sub(v, tie).FloatString(decimals)
}

// swap exchanges two neighbouring digits of text, and reports false where
// that gives nothing that anybody would write.
func (g *generator) swap(text string) (string, bool) {
	if len(text) == 1 {
		return "", false
	}
	b := []byte(text)
	i := g.random.IntN(len(b) - 1)
	j := i + 1
	if b[j] == '.' {
		j++
	}
	if b[i] == '.' || b[i] == b[j] {
		return "", false
	}
	b[i], b[j] = b[j], b[i]
	return string(b), natural(string(b))
}

// changeDigit changes one digit of text.
func (g *generator) changeDigit(text string) (string, bool) {
	b := []byte(text)
	i := g.random.IntN(len(b))
	digit := byte('0' + g.random.IntN(10))
	if b[i] == '.' || b[i] == digit {
		return "", false
	}
	b[i] = digit
	return string(b), natural(string(b))
}

// natural reports whether nobody would shorten text from the left.
func natural(text string) bool {
	return len(text) == 1 || text[0] != '0' || text[1] == '.'
}

// movePoint moves the decimal sign of text n places to the right, as the
// digits then stand: 61.0 becomes 610, 6100 or 0.610.
func movePoint(text string, n int) string {
	whole, part, _ := strings.Cut(text, ".")
	digits, point := whole+part, len(whole)+n
	for point < 1 {
		digits, point = "0"+digits, point+1
	}
	for point > len(digits) {
		digits += "0"
	}
	for point > 1 && digits[0] == '0' {
		digits, point = digits[1:], point-1
	}
	if point == len(digits) {
		return digits
	}
	return digits[:point] + "." + digits[point:]
}
