package check

import (
	"slices"
	"strings"
	"unicode"
)

// A lexicon is a list of wordings that say one thing in the languages of the
// headings. A wording is one word or several; one that ends in "*" stands for
// all that begin so.
type lexicon struct {
	wordings []string
	beside   []string // a word next to a wording that gives it another meaning
}

// negations deny what stands up to three words after them in the same clause,
// and denials what stands just before them ("leak: none").
var (
	negations = []string{"no", "not", "none", "never", "without", "nothing", "kein", "keine", "keinen", "keiner", "keinerlei", "nicht", "nie", "ohne",
		"sin", "ninguna", "ningún", "nunca", "sans", "pas", "aucun", "aucune", "jamais", "ikke", "ingen", "uten", "aldri"}
	denials = []string{"none", "nil", "no", "keine", "keiner", "nein", "ninguna", "ninguno", "aucune", "aucun", "non", "ingen", "nei"}
)

// in reports whether a text says so without denying it.
func (x lexicon) in(text string) bool {
	for clause := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(",;.!\n", r) }) {
		words := wordsOf(clause)
		for i := range words {
			if slices.ContainsFunc(x.wordings, func(w string) bool { return x.at(words, i, strings.Fields(w)) }) {
				return true
			}
		}
	}
	return false
}

// at reports whether a wording stands at word i, in its own meaning and not
// denied.
func (x lexicon) at(words []string, i int, wording []string) bool {
	after := i + len(wording)
	if after > len(words) {
		return false
	}
	for k, w := range wording {
		stem, open := strings.CutSuffix(w, "*")
		if words[i+k] != w && !(open && strings.HasPrefix(words[i+k], stem)) {
			return false
		}
	}
	any := func(list []string, among []string) bool {
		return slices.ContainsFunc(among, func(w string) bool { return slices.Contains(list, w) })
	}
	before, behind := words[max(0, i-3):i], words[after:min(len(words), after+1)]
	next := slices.Concat(words[max(0, i-1):i], behind)
	return !any(negations, before) && !any(denials, behind) && !any(x.beside, next)
}

// wordsOf splits a text into its words, in lower case.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// folded makes two spellings of one name equal: case and spaces do not count.
func folded(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
