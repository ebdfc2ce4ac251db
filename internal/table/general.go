package table

import (
	"math"
	"strconv"
	"strings"
)

// general spells a number as the format "General" does in a column that is
// wide enough: at most eleven characters with the decimal point, without
// trailing zeros, and with an exponent from 1E+11 upwards and below 1E-4 where
// the number is longer than that leaves room for.
func general(v float64) string {
	abs := math.Abs(v)
	if abs == 0 {
		return "0"
	}
	if abs >= 1e11 || abs < 1e-4 {
		if s := strconv.FormatFloat(v, 'f', -1, 64); abs < 1 && len(strings.TrimPrefix(s, "-")) <= 11 {
			return s
		}
		return exponent(v)
	}
	whole := len(strconv.FormatFloat(math.Floor(abs), 'f', 0, 64))
	s := strconv.FormatFloat(v, 'f', max(0, 10-whole), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// exponent spells v as 1.23457E+11: six digits and an exponent of two.
func exponent(v float64) string {
	s := strconv.FormatFloat(v, 'E', 5, 64)
	mantissa, exp, _ := strings.Cut(s, "E")
	if strings.Contains(mantissa, ".") {
		mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	}
	return mantissa + "E" + exp
}

// isShort reports whether a stored number is spelled as General shows it: some
// digits that need neither rounding nor an exponent.
func isShort(raw string) bool {
	decimals, ok := decimalsOf(raw)
	return ok && len(raw) <= 11 && (decimals == 0 || raw[len(raw)-1] != '0') && (raw[0] != '0' || raw == "0" || decimals > 0 && decimals <= 4)
}
