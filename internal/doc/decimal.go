package doc

import "unicode/utf8"

// IntegerLen is how many bytes of s stand before the place where the decimal
// signs of a column meet: right behind the first whole number in s, or the end
// of s where it holds no digit. So "12.50", "< 1" and "50 ± 5" meet behind 12,
// 1 and 50. A no-break space between digits belongs to the number.
func IntegerLen(s string) int {
	digits := false
	for i, r := range s {
		switch {
		case isDigit(r):
			digits = true
		case !digits:
		case r == '\u00A0' || r == '\u202F':
			if next, _ := utf8.DecodeRuneInString(s[i+utf8.RuneLen(r):]); !isDigit(next) {
				return i
			}
		default:
			return i
		}
	}
	return len(s)
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }
