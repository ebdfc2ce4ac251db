package table

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// plainText appends characters as they are meant: line ends as "\n", entities and
// numbers of characters resolved.
func plainText(to, s []byte, value bool) (text []byte, ok bool) {
	if !utf8.Valid(s) || !value && bytes.Contains(s, []byte("]]>")) || value && bytes.IndexByte(s, '<') >= 0 {
		return to, false
	}
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case c == '&':
			end := bytes.IndexByte(s[i:], ';')
			if end < 0 {
				return to, false
			}
			r, ok := entity(string(s[i+1 : i+end]))
			if !ok {
				return to, false
			}
			to = utf8.AppendRune(to, r)
			i += end + 1
		case c == '\r':
			to = append(to, '\n')
			if i++; i < len(s) && s[i] == '\n' {
				i++
			}
		case c < utf8.RuneSelf:
			if !allowed(rune(c)) {
				return to, false
			}
			to = append(to, c)
			i++
		default:
			r, n := utf8.DecodeRune(s[i:])
			if !allowed(r) {
				return to, false
			}
			to = append(to, s[i:i+n]...)
			i += n
		}
	}
	return to, true
}

// allowed reports whether a character may stand in XML 1.0, section 2.2.
func allowed(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || ' ' <= r && r <= 0xD7FF || 0xE000 <= r && r <= 0xFFFD || 0x10000 <= r && r <= utf8.MaxRune
}

// entity is the character that an entity or the number of a character stands for.
func entity(name string) (rune, bool) {
	switch name {
	case "amp":
		return '&', true
	case "lt":
		return '<', true
	case "gt":
		return '>', true
	case "quot":
		return '"', true
	case "apos":
		return '\'', true
	}
	digits, base := strings.TrimPrefix(name, "#"), rune(10)
	if len(digits) == len(name) {
		return 0, false
	}
	if strings.HasPrefix(digits, "x") {
		digits, base = digits[1:], 16
	}
	const longest = 8
	if digits == "" || len(digits) > longest {
		return 0, false
	}
	n := rune(0)
	for _, c := range []byte(digits) {
		d := rune(99)
		switch {
		case isDigit(c):
			d = rune(c - '0')
		case isLetter(c):
			d = rune(c|0x20-'a') + 10
		}
		if d >= base || n > utf8.MaxRune {
			return 0, false
		}
		n = n*base + d
	}
	return n, allowed(n)
}

// declaration is the length of the XML declaration that s begins with, as tag
// gives it.
func declaration(s []byte) int {
	const longest = 100
	end := bytes.Index(s, []byte("?>"))
	if end < 0 && len(s) < longest {
		return 0
	}
	if end < 0 || end >= longest {
		return -1
	}
	said := strings.ToLower(string(s[:end]))
	if !strings.Contains(said, `"`) {
		said = strings.ReplaceAll(said, "'", `"`)
	}
	switch strings.TrimRight(said, " ") {
	case `<?xml version="1.0"`, `<?xml version="1.0" encoding="utf-8"`, `<?xml version="1.0" standalone="yes"`,
		`<?xml version="1.0" encoding="utf-8" standalone="yes"`, `<?xml version="1.0" encoding="utf-8" standalone="no"`:
		return end + 2
	}
	return -1
}
