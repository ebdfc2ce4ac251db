package heading

import (
	"iter"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// fold spells a heading in the one way in which headings are compared: lower
// case, accents folded, punctuation and line breaks turned into single spaces,
// the signs for micro, the raised digits and the words for number, temperature
// and conductivity made equal.
func fold(s string) string {
	s = plain(s)
	for w := range strings.SplitSeq(s, " ") {
		if _, shortened := sameWord[w]; shortened {
			return common(s)
		}
	}
	return s
}

// common puts the one form for each word that people shorten in many ways.
func common(s string) string {
	words := strings.Split(s, " ")
	for i, w := range words {
		if common, ok := sameWord[w]; ok {
			words[i] = common
		}
	}
	return strings.Join(words, " ")
}

// sameWord holds the words that people shorten in many ways.
var sameWord = map[string]string{
	"nr": "no", "num": "no", "number": "no", "nummer": "no", "numero": "no",
	"temperature": "temp", "temperatur": "temp", "temperatura": "temp",
	"conductivity": "cond", "conductivite": "cond", "conductividad": "cond",
	"leitfahigkeit": "cond", "leitf": "cond", "lf": "cond",
	"ledningsevne": "cond", "kond": "cond", "konduktivitet": "cond",
	"remarks": "remark", "comments": "comment",
	"wt": "water",
}

// plain folds case, accents and punctuation, and leaves the words as they are,
// with single spaces between them.
func plain(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	run := 0 // length of the word being written
	write := func(r rune) {
		if run == 0 && b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		run++
	}
	for r := range decomposed(s) {
		switch r = unicode.ToLower(r); {
		case 'a' <= r && r <= 'z': // most of what there is
			write(r)
		case r == 'ø':
			write('o')
		case r == 'μ':
			write('u')
		case r == 'ß':
			write('s')
			write('s')
		case r == 'æ':
			write('a')
			write('e')
		case unicode.Is(unicode.Mn, r), r == '^', r == '\u00ad':
			// An accent, the sign of a power, a soft hyphen: nothing of its own.
		case r == '°' && run == 1 && strings.HasSuffix(b.String(), "n"):
			write('o') // n° is no.
		case r == '#':
			run = 0
			write('n')
			write('o')
			run = 0
		case unicode.IsLetter(r), unicode.IsDigit(r), strings.ContainsRune("≤✓✔✗", r):
			write(r)
		case r == '.' && run == 1:
			// R.H. is RH, N.º is Nº.
		default:
			run = 0
		}
	}
	return b.String()
}

// decomposed yields the characters of s with accents, raised digits and other
// compatible forms taken apart, as NFKD does. Below firstMark each character is
// taken apart by itself, since no mark behind it can change its place; a text
// with others goes through the whole algorithm, which takes a kilobyte for each.
func decomposed(s string) iter.Seq[rune] {
	return func(yield func(rune) bool) {
		if strings.IndexFunc(s, func(r rune) bool { return r >= firstMark }) >= 0 {
			s = norm.NFKD.String(s)
		}
		for i, r := range s {
			if utf8.RuneSelf <= r && r < firstMark {
				if parts := norm.NFKD.PropertiesString(s[i:]).Decomposition(); parts != nil {
					for _, r := range string(parts) {
						if !yield(r) {
							return
						}
					}
					continue
				}
			}
			if !yield(r) {
				return
			}
		}
	}
}

// firstMark is the first character that combines with the one before it.
const firstMark = '\u0300'

// bag is fold without regard to the order of the words and without the small
// words between them: "temperature of the steel" is "steel temp". It is "" for
// fewer than two words.
func bag(folded string) string {
	if strings.IndexByte(folded, ' ') < 0 {
		return ""
	}
	words := slices.DeleteFunc(strings.Fields(folded), isSmall)
	if len(words) < 2 {
		return ""
	}
	slices.Sort(words)
	return strings.Join(words, " ")
}

// isSmall reports whether w is a word that says nothing by itself.
func isSmall(w string) bool {
	switch w {
	case "of", "the", "de", "del", "d", "du", "des", "la", "le", "el", "der", "die", "das", "in", "at", "von", "av", "l", "en", "im":
		return true
	}
	return false
}

// umlauts spells ä, ö and ü as two letters, as is done where the keyboard has
// none.
func umlauts(s string) string {
	if isASCII(s) || !strings.ContainsAny(s, "äöüÄÖÜ") {
		return s // the replacer would make a copy
	}
	return twoLetters.Replace(s)
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

var twoLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae", "Ö", "Oe", "Ü", "Ue")
