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

// zero is how countedWords spells a number that is nothing.
const zero = "0"

// negations deny what stands up to three words after them in the same clause,
// and denials what stands just before them ("leak: none").
var (
	negations = setOf("no", "not", "none", "never", "without", "nothing", zero, "zero", "nichts", "kein", "keine", "keinen", "keiner", "keinerlei", "nicht", "nie", "ohne", "null",
		"sin", "nada", "ninguna", "ningún", "nunca", "sans", "pas", "aucun", "aucune", "rien", "jamais", "ikke", "ingen", "ingenting", "intet", "uten", "aldri")
	denials = setOf("none", "nil", zero, "zero", "null", "no", "keine", "keiner", "nein", "ninguna", "ninguno", "aucune", "aucun", "non", "ingen", "nei")
)

// in reports whether a text says so without denying it.
func (x lexicon) in(text string) bool { return x.find(text, x.affirmedAt) }

// mentionedIn reports whether a text says so or denies it.
func (x lexicon) mentionedIn(text string) bool { return x.find(text, x.standsAt) }

func (x lexicon) find(text string, holds func(words []string, i int, wording []string) bool) bool {
	if text == "" {
		return false
	}
	for _, clause := range clauses(text) {
		words := countedWords(clause)
		for i, word := range words {
			at := func(wording []string) bool { return holds(words, i, wording) }
			if slices.ContainsFunc(x.wordings[word], at) || slices.ContainsFunc(x.open, at) {
				return true
			}
		}
	}
	return false
}

// affirmedAt reports whether a wording stands at word i and is not denied.
func (x lexicon) affirmedAt(words []string, i int, wording []string) bool {
	if !x.standsAt(words, i, wording) {
		return false
	}
	after := i + len(wording)
	return !among(negations, words[max(0, i-3):i]) && !among(denials, words[after:min(len(words), after+1)])
}

// standsAt reports whether a wording stands at word i, in its own meaning.
func (x lexicon) standsAt(words []string, i int, wording []string) bool {
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
	return !among(x.beside, words[max(0, i-1):i]) && !among(x.beside, words[after:min(len(words), after+1)])
}

func among(set map[string]bool, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return set[w] })
}

// countedWords are the words of a clause, in which a number with decimals is
// one word: "0.0 ml lost" denies what "1.0 ml lost" says.
func countedWords(clause string) []string {
	if !strings.ContainsAny(clause, "0123456789") {
		return wordsOf(clause)
	}
	var words []string
	for _, field := range strings.Fields(clause) {
		if number := strings.Trim(field, "():="); len(number) > 1 && strings.Trim(number, "0.,") == "" && strings.ContainsAny(number, ".,") {
			field = zero
		}
		if strings.ContainsAny(field, "123456789") && strings.Trim(field, "0123456789.,") == "" {
			words = append(words, field)
			continue
		}
		words = append(words, wordsOf(field)...)
	}
	return words
}

// wordsOf splits a text into its words, in lower case.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// folded makes two spellings of one name equal: case and spaces do not count.
func folded(name string) string {
	if name == "" {
		return ""
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}
