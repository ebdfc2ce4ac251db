package record

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// A vocabulary lists the words that people write for the values of a closed
// set, in the five languages that are read. Words are spelled as fold leaves
// them.
type vocabulary[Q any] []meaning[Q]

type meaning[Q any] struct {
	value Q
	words string // set off by a comma and a space
}

// find returns the value whose words hold text, whatever its case, accents
// and punctuation. Text in two languages, "yes / ja", is found where both
// halves mean the same.
func (v vocabulary[Q]) find(text string) (Q, bool) {
	i := v.index(text)
	if one, other, two := strings.Cut(text, "/"); i < 0 && two && v.index(one) == v.index(other) {
		i = v.index(one)
	}
	if i < 0 {
		var none Q
		return none, false
	}
	return v[i].value, true
}

// index is the place of the meaning whose words hold text, or -1.
func (v vocabulary[Q]) index(text string) int {
	text = fold(text)
	for i, m := range v {
		for w := range strings.SplitSeq(m.words, ", ") {
			if w == text {
				return i
			}
		}
	}
	return -1
}

// fold spells text for comparison: lower case, accents off, and every run of
// punctuation or white space one space.
func fold(text string) string {
	if plain(text) {
		return text
	}
	var b strings.Builder
	b.Grow(len(text))
	gap := false
	for _, r := range norm.NFKD.String(strings.ToLower(text)) {
		switch {
		case unicode.Is(unicode.Mn, r), r == '\u00ad': // an accent, or where a word may be parted
			continue
		case !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.So, r):
			gap = b.Len() > 0
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		if s, ok := unfolded[r]; ok {
			b.WriteString(s)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// unfolded are the letters that decomposition leaves as they are.
var unfolded = map[rune]string{'ß': "ss", 'ø': "o", 'æ': "ae", 'œ': "oe", 'ł': "l", 'đ': "d"}

// plain reports whether fold has nothing to do, which spares most cells of a
// long log the work.
func plain(text string) bool {
	for i := range len(text) {
		if c := text[i]; (c < 'a' || c > 'z') && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}

// Folded spells a name for comparison: two spellings of one name are equal but
// for case and white space.
func Folded(name string) string {
	if !tidy(name) {
		name = strings.Join(strings.Fields(name), " ")
	}
	return strings.ToLower(name)
}

// tidy reports whether a name is seen to hold no space but single ones between
// its words. Most names of a long log are so, and need not be taken apart.
func tidy(name string) bool {
	after := byte(' ')
	for k := range len(name) {
		c := name[k]
		if c == ' ' && after == ' ' || c < ' ' || c >= utf8.RuneSelf {
			return false
		}
		after = c
	}
	return name == "" || after != ' '
}

// sameWords reports whether two names mean one thing.
func sameWords(a, b string) bool { return Folded(a) == Folded(b) }
