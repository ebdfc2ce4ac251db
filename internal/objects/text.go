package objects

import (
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Text is a text string (7.9.2.2): the bytes of s where all of them are plain
// ASCII, which PDFDocEncoding shares, and else UTF-16BE behind its mark.
func Text(s string) String {
	if plain(s) {
		return String(s)
	}
	return Wide(s)
}

// Wide is a text string of two bytes for each character, whatever they are.
func Wide(s string) String {
	units := utf16.Encode([]rune(s))
	out := make(String, 2, 2+2*len(units))
	out[0], out[1] = 0xfe, 0xff
	for _, u := range units {
		out = append(out, byte(u>>8), byte(u))
	}
	return out
}

func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < ' ' || c > '~') && c != '\n' && c != '\r' && c != '\t' {
			return false
		}
	}
	return true
}

// Text is the text of a text string, by its mark UTF-16BE, UTF-8 (ISO 32000-2,
// 7.9.2.2) or PDFDocEncoding. What no character stands for becomes U+FFFD.
func (s String) Text() string {
	switch {
	case len(s) >= 2 && s[0] == 0xfe && s[1] == 0xff:
		units := make([]uint16, 0, len(s)/2)
		for i := 2; i+1 < len(s); i += 2 {
			units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
		}
		text := string(utf16.Decode(units))
		if len(s)%2 == 1 {
			text += string(utf8.RuneError)
		}
		return text
	case len(s) >= 3 && s[0] == 0xef && s[1] == 0xbb && s[2] == 0xbf:
		return strings.ToValidUTF8(string(s[3:]), string(utf8.RuneError))
	}
	var out strings.Builder
	for _, c := range s {
		out.WriteRune(docRune(c))
	}
	return out.String()
}

// Where PDFDocEncoding is not Latin-1 (ISO 32000-1, annex D.2; from memory).
var (
	accents = [...]rune{'˘', 'ˇ', 'ˆ', '˙', '˝', '˛', '˚', '˜'} // from 0x18
	signs   = [...]rune{'•', '†', '‡', '…', '—', '–', 'ƒ', '⁄', '‹', '›', '−', '‰', '„', '“', '”', '‘',
		'’', '‚', '™', 'ﬁ', 'ﬂ', 'Ł', 'Œ', 'Š', 'Ÿ', 'Ž', 'ı', 'ł', 'œ', 'š', 'ž', utf8.RuneError, '€'} // from 0x80
)

func docRune(c byte) rune {
	switch {
	case c >= 0x18 && c < 0x20:
		return accents[c-0x18]
	case c >= 0x80 && c <= 0xa0:
		return signs[c-0x80]
	case c < ' ' && c != '\t' && c != '\n' && c != '\r', c == 0x7f, c == 0xad:
		return utf8.RuneError
	}
	return rune(c)
}
