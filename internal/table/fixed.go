package table

import (
	"strconv"
	"strings"
)

// fixedDecimals reads the format codes "0", "0.0", "0.00" …, under which
// nearly every reading stands.
func fixedDecimals(code string) (decimals int, ok bool) {
	rest, ok := strings.CutPrefix(code, "0")
	if !ok || rest == "" {
		return 0, ok
	}
	zeros, ok := strings.CutPrefix(rest, ".")
	if !ok || zeros == "" || strings.Trim(zeros, "0") != "" {
		return 0, false
	}
	return len(zeros), true
}

// fixed spells a number with so many decimals as spreadsheets do: of the
// fifteen digits that they count on, with halves away from zero. So 1.005 is
// shown as 1.01, although the nearest binary number is a little less.
func fixed(v float64, decimals int) string {
	const digits = 15
	mantissa, e, _ := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
	exp, _ := strconv.Atoi(e)
	keep := exp + 1 + decimals // of the digits
	if keep < 0 || keep >= digits {
		return strconv.FormatFloat(v, 'f', decimals, 64)
	}
	mantissa, negative := strings.CutPrefix(mantissa, "-")
	all := strings.Replace(mantissa, ".", "", 1)
	kept, _ := strconv.ParseInt("0"+all[:keep], 10, 64) // at most fourteen digits
	if all[keep] >= '5' {
		kept++
	}
	s := strconv.FormatInt(kept, 10)
	if n := decimals + 1 - len(s); n > 0 {
		s = strings.Repeat("0", n) + s
	}
	if decimals > 0 {
		s = s[:len(s)-decimals] + "." + s[len(s)-decimals:]
	}
	if negative {
		s = "-" + s
	}
	return s
}

// decimalsOf is how many decimals a stored number is spelled with, where that is
// some digits, no sign and no needless nought before them, of which a program keeps
// every one.
func decimalsOf(raw string) (decimals int, ok bool) {
	const digits = 15
	point := -1
	for i := range len(raw) {
		switch {
		case isDigit(raw[i]):
		case raw[i] == '.' && point < 0:
			point = i
		default:
			return 0, false
		}
	}
	whole := len(raw)
	if point >= 0 {
		whole, decimals = point, len(raw)-point-1
		if decimals == 0 {
			return 0, false
		}
	}
	return decimals, whole > 0 && len(raw) <= digits && (raw[0] != '0' || whole == 1)
}
