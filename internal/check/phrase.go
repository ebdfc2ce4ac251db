package check

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
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
func (x lexicon) in(text string) bool {
	return anyClause(text, func(clause string) bool { return x.saidIn(clause, false) })
}

// mentionedIn reports whether a text says so or denies it.
func (x lexicon) mentionedIn(text string) bool {
	return anyClause(text, func(clause string) bool { return x.saidIn(clause, true) })
}

// saidIn reports whether a clause has a wording, which it may deny or not.
func (x lexicon) saidIn(clause string, evenDenied bool) bool {
	var few [16]string
	words := countedWords(few[:0], clause)
	for i, word := range words {
		said := func(wording []string) bool {
			return x.standsAt(words, i, wording) && (evenDenied || !denied(words, i, i+len(wording)))
		}
		if slices.ContainsFunc(x.wordings[word], said) || slices.ContainsFunc(x.open, said) {
			return true
		}
	}
	return false
}

// denied reports whether the words around those from from up to to deny them.
func denied(words []string, from, to int) bool {
	return anyIn(negations, words[max(0, from-3):from]) || anyIn(denials, words[to:min(len(words), to+1)])
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
	return !anyIn(x.beside, words[max(0, i-1):i]) && !anyIn(x.beside, words[after:min(len(words), after+1)])
}

func anyIn(set map[string]bool, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return set[w] })
}

// countedWords appends the words of a clause, in which a number with decimals
// is one word: "0.0 ml lost" denies what "1.0 ml lost" says.
func countedWords(words []string, clause string) []string {
	if !hasDigit(clause) {
		return appendWords(words, clause)
	}
	for field := range strings.FieldsSeq(clause) {
		if !hasDigit(field) {
			words = appendWords(words, field)
			continue
		}
		if number := strings.Trim(field, "():="); len(number) > 1 && strings.Trim(number, "0.,") == "" && strings.ContainsAny(number, ".,") {
			field = zero
		}
		if strings.ContainsAny(field, "123456789") && strings.Trim(field, "0123456789.,") == "" {
			words = append(words, field)
			continue
		}
		words = appendWords(words, field)
	}
	return words
}

func hasDigit(text string) bool {
	for i := range len(text) {
		if '0' <= text[i] && text[i] <= '9' {
			return true
		}
	}
	return false
}

// wordsOf splits a text into its words, in lower case.
func wordsOf(text string) []string { return appendWords(nil, text) }

// appendWords appends the words of a text. Every remark and location of a log
// is split up, so that words of a few go on the stack of who asks.
func appendWords(words []string, text string) []string {
	text = strings.ToLower(text)
	from := -1 // where the word began, if there is one
	for i, r := range text {
		switch inWord := unicode.IsLetter(r) || unicode.IsDigit(r); {
		case inWord && from < 0:
			from = i
		case !inWord && from >= 0:
			words = append(words, text[from:i])
			from = -1
		}
	}
	if from >= 0 {
		words = append(words, text[from:])
	}
	return words
}

// anyClause reports whether something holds of a clause of a text, which is
// parted at its commas and stops, but not within a number. A text that says
// nothing has no clause.
func anyClause(text string, holds func(clause string) bool) bool {
	if text == "" {
		return false
	}
	from := 0
	before := rune(0)
	for i, r := range text {
		if strings.ContainsRune(",;.!\n", r) {
			after, _ := utf8.DecodeRuneInString(text[i+1:])
			if inNumber := unicode.IsDigit(before) && unicode.IsDigit(after); !inNumber {
				if holds(text[from:i]) {
					return true
				}
				from = i + 1
			}
		}
		before = r
	}
	return holds(text[from:])
}
