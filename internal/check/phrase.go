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
	wordings map[string][][]string // by their first word
	open     [][]string            // those whose first word ends in "*"
	beside   map[string]bool       // words next to a wording that give it another meaning
}

// lexiconOf makes a lexicon of wordings. It is split up once, since every
// remark of a log is held against it.
func lexiconOf(wordings ...string) lexicon {
	x := lexicon{wordings: map[string][][]string{}}
	for _, w := range wordings {
		words := strings.Fields(w)
		if strings.HasSuffix(words[0], "*") {
			x.open = append(x.open, words)
			continue
		}
		x.wordings[words[0]] = append(x.wordings[words[0]], words)
	}
	return x
}

// butNotBeside is the lexicon with words next to which its wordings mean
// something else.
func (x lexicon) butNotBeside(words ...string) lexicon {
	x.beside = setOf(words...)
	return x
}

func setOf(words ...string) map[string]bool {
	set := map[string]bool{}
	for _, w := range words {
		set[w] = true
	}
	return set
}

// negations deny what stands up to three words after them in the same clause,
// and denials what stands just before them ("leak: none").
var (
	negations = setOf("no", "not", "none", "never", "without", "nothing", "kein", "keine", "keinen", "keiner", "keinerlei", "nicht", "nie", "ohne",
		"sin", "ninguna", "ningún", "nunca", "sans", "pas", "aucun", "aucune", "jamais", "ikke", "ingen", "uten", "aldri")
	denials = setOf("none", "nil", "no", "keine", "keiner", "nein", "ninguna", "ninguno", "aucune", "aucun", "non", "ingen", "nei")
)

// in reports whether a text says so without denying it.
func (x lexicon) in(text string) bool {
	if text == "" {
		return false
	}
	for clause := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(",;.!\n", r) }) {
		words := wordsOf(clause)
		for i, word := range words {
			at := func(wording []string) bool { return x.at(words, i, wording) }
			if slices.ContainsFunc(x.wordings[word], at) || slices.ContainsFunc(x.open, at) {
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
	among := func(set map[string]bool, words []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return set[w] })
	}
	before, next, behind := words[max(0, i-3):i], words[max(0, i-1):i], words[after:min(len(words), after+1)]
	return !among(negations, before) && !among(denials, behind) && !among(x.beside, next) && !among(x.beside, behind)
}

// wordsOf splits a text into its words, in lower case.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// folded makes two spellings of one name equal: case and spaces do not count.
func folded(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
