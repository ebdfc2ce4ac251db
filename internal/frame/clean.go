package frame

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// A Change is a character that Clean left out or replaced.
type Change struct {
	Was rune // utf8.RuneError for a byte that is not UTF-8
	Now rune // 0 where it was left out
}

// Clean makes s fit to be placed, and lists what that changed. The text of a
// record comes from many hands; what a page cannot carry must not travel on.
//
//   - letters and their accents are composed (NFC), which is not a change;
//   - CR LF, CR and the Unicode separators become a line feed, and a tab becomes a space, neither of
//     which is listed, for nothing that can be read is lost;
//   - other control characters, marks that reverse the direction of writing,
//     soft hyphens and characters of no width are left out;
//   - bytes that are not UTF-8, non-characters and characters beyond U+FFFF
//     become U+FFFD.
func Clean(s string) (string, []Change) {
	if isPlain(s) {
		return s, nil
	}
	s = strings.ReplaceAll(s, "\r\n", "\n")
	var changes []Change
	var b strings.Builder
	b.Grow(len(s))
	for i, r := range s {
		now := cleanRune(r)
		if r == utf8.RuneError {
			// A U+FFFD that was written as such is no change of ours.
			if _, n := utf8.DecodeRuneInString(s[i:]); n == 1 {
				changes = append(changes, Change{r, now})
			}
		} else if (now != r || now == 0) && now != '\n' && r != '\t' {
			changes = append(changes, Change{r, now})
		}
		if now != 0 {
			b.WriteRune(now)
		}
	}
	// Last, for what stood between a letter and its accent may be gone.
	return norm.NFC.String(b.String()), changes
}

// isPlain reports whether s is printable ASCII, as most text is.
func isPlain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// cleanRune is what r is placed as, 0 for nothing.
func cleanRune(r rune) rune {
	switch {
	case r == '\n', r == '\r', r == '\u2028', r == '\u2029':
		return '\n'
	case r == '\t':
		return ' '
	case unicode.IsControl(r), r >= 0xFE00 && r <= 0xFE0F: // and variation selectors
		return 0
	case unicode.Is(unicode.Cf, r): // direction, joiners, soft hyphen, no width
		return 0
	case r > 0xFFFF, r&0xFFFE == 0xFFFE, r >= 0xFDD0 && r <= 0xFDEF:
		return utf8.RuneError
	}
	return r
}
