package heading

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// fold spells a heading in the one way in which headings are compared: lower
// case, accents folded, punctuation and line breaks turned into single spaces,
// the signs for micro, the raised digits and the words for number, temperature
// and conductivity made equal.
func fold(s string) string {
	words := strings.Fields(plain(s))
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

// plain folds case, accents and punctuation, and leaves the words as they are.
func plain(s string) string {
	var b strings.Builder
	run := 0 // length of the word being written
	for _, r := range norm.NFKD.String(s) {
		r = unicode.ToLower(r)
		switch r {
		case 'ø':
			r = 'o'
		case 'μ':
			r = 'u'
		}
		switch {
		case r == 'ß':
			b.WriteString("ss")
			run += 2
		case r == 'æ':
			b.WriteString("ae")
			run += 2
		case unicode.Is(unicode.Mn, r), r == '^', r == '\u00ad':
			// An accent, the sign of a power, a soft hyphen: nothing of its own.
		case r == '°' && run == 1 && strings.HasSuffix(b.String(), "n"):
			b.WriteByte('o') // n° is no.
			run++
		case r == '#':
			b.WriteString(" no ")
			run = 0
		case unicode.IsLetter(r), unicode.IsDigit(r), strings.ContainsRune("≤✓✔✗", r):
			b.WriteRune(r)
			run++
		case r == '.' && run == 1:
			// R.H. is RH, N.º is Nº.
		default:
			b.WriteByte(' ')
			run = 0
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// bag is fold without regard to the order of the words and without the small
// words between them: "temperature of the steel" is "steel temp". It is "" for
// fewer than two words.
func bag(folded string) string {
	words := slices.DeleteFunc(strings.Fields(folded), isSmall)
	if len(words) < 2 {
		return ""
	}
	slices.Sort(words)
	return strings.Join(words, " ")
}

// isSmall reports whether w is a word that says nothing by itself.
func isSmall(w string) bool {
	return strings.Contains(" of the de del d du des la le el der die das in at von av l en im ", " "+w+" ")
}

// umlauts spells ä, ö and ü as two letters, as is done where the keyboard has
// none.
func umlauts(s string) string { return twoLetters.Replace(s) }

var twoLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae", "Ö", "Oe", "Ü", "Ue")
