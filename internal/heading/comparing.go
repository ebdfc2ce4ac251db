package heading

import (
	"slices"
	"strings"

	"saltline/internal/pattern"
)

// These are the words for the comparison that a limit sets, each as folding
// leaves it, in the five languages. Titles are searched with them here, and
// whoever reads a limit reads it with the same ones. They are set off by a comma
// and a space.
const (
	// AtMost are those that allow the limit itself.
	AtMost = "at most, max, maxi, maximum, not more than, not exceeding, up to, less than or equal, less than or equal to, lower than or equal to, smaller than or equal to, below or equal to, less or equal, less or equal to, " +
		"equal or less than, equal to or less than, equal to or below, equal to or lower than, no more than, no greater than, not greater than, no higher than, not higher than, not above, not over, not to exceed, not exceed, " +
		"or less, or below, or lower, or under, not to be exceeded, not be exceeded, not exceeded, " +
		"hochstens, hoechstens, maximal, maximale, nicht mehr als, bis, kleiner oder gleich, kleiner gleich, kleiner als oder gleich, weniger als oder gleich, weniger oder gleich, nicht hoher als, nicht grosser als, nicht uber, hochstwert, maximalwert, " +
		"nicht uberschreiten, nicht zu uberschreiten, nicht uberschritten werden, nicht ueberschreiten, nicht ueberschritten werden, oder weniger, oder darunter, oder kleiner, " +
		"como maximo, maximo, maxima, no mas de, hasta, menor o igual, menor o igual a, menor o igual que, menor que o igual a, inferior o igual, inferior o igual a, igual o menor que, igual o inferior a, no superior a, no superiores a, no mayor de, no mayor que, " +
		"no superar, no superara, no superaran, no debe superar, no deben superar, no debera superar, no deberan superar, no exceder, no excedera, no debe exceder, no deben exceder, no debera exceder, sin superar, sin exceder, o menos, o inferior, no superarse, no se superara, no excederse, " +
		"au plus, au maximum, jusqu a, inferieur ou egal, inferieur ou egal a, inferieure ou egale a, inferieurs ou egaux a, inferieures ou egales a, pas plus de, ne pas depasser, pas depasser, ne pas exceder, pas exceder, ne depasse pas, ne depassera pas, sans depasser, non superieur a, ou moins, ou inferieur, pas etre depasse, pas etre depassee, " +
		"hoyst, maks, maksimum, maksimalt, ikke over, inntil, opptil, maksimalverdi, ikke mer enn, ikke hoyere enn, ikke storre enn, mindre enn eller lik, mindre eller lik, lavere enn eller lik, lik eller mindre enn, ikke overstige, ikke overstiger, ikke overskride, ikke overskrides, ikke overstiges, eller mindre, eller lavere, eller under"

	// LessThan are those that do not.
	LessThan = "less than, lower than, smaller than, below, under, kleiner als, unter, weniger als, geringer als, menor que, menor de, menos de, inferior a, inferiores a, por debajo de, inferieur a, inferieure a, inferieurs a, inferieures a, moins de, mindre enn, lavere enn"

	// Following are those that may stand behind their number.
	Following = "≤, <=, at most, max, maxi, maximum, maximal, maximale, or less, or below, or lower, or under, not to be exceeded, not be exceeded, not exceeded, " +
		"hochstens, oder weniger, oder darunter, oder kleiner, nicht uberschreiten, nicht zu uberschreiten, nicht uberschritten werden, nicht ueberschreiten, nicht ueberschritten werden, " +
		"como maximo, maximo, maxima, o menos, o inferior, no superar, no superarse, no se superara, no excederse, " +
		"au plus, au maximum, ou moins, ou inferieur, ne pas depasser, pas etre depasse, pas etre depassee, " +
		"hoyst, maks, maksimum, maksimalt, eller mindre, eller lavere, eller under, ikke overskrides, ikke overstiges, ikke overskride"

	// Above are those that allow the limit where a word such as no or none stands
	// before them: "no spot above 50 mg/m²".
	Above = "above, over, exceeding, exceed, exceeds, more than, higher than, greater than, uber, ueber, mehr als, hoher als, grosser als, " +
		"por encima de, mas de, superior a, mayor que, mayor de, au dessus de, plus de, superieur a, superieure a, mer enn, hoyere enn, storre enn"

	// None are those words.
	None = "no, none, not, never, kein, keine, keinem, keiner, nirgends, nirgendwo, ningun, ninguna, ninguno, nunca, aucun, aucune, nul, nulle, jamais, ingen, intet, aldri, non, nicht, pas, ne, ikke, sin, sans"
)

// comparesWith reports whether the words right at a density set a limit by a
// comparison alone: "total salts at most", "no spot above". That a value is less
// than another may be said of a result too, and is not enough.
func comparesWith(m mention) bool {
	if ofThePast().MatchString(m.sentence) {
		return false
	}
	lead, tail := wordsOf(m.lead), wordsOf(m.tail)
	for len(lead) > 0 && isSmall(lead[len(lead)-1]) && !endsWith(lead, AtMost, Above) {
		lead = lead[:len(lead)-1]
	}
	if n := endIn(lead, Above); n > 0 && slices.ContainsFunc(lead[:len(lead)-n], func(w string) bool { return IsOneOf(None, w) }) {
		return true
	}
	before, behind := endIn(lead, AtMost), beginIn(tail, Following)
	if before+behind == 0 {
		return false
	}
	// What it is a limit of is said, or nothing is.
	return ofSalts().MatchString(m.sentence) || before == len(lead) && behind == len(tail)
}

// ofThePast finds what was found and is no requirement.
var ofThePast = pattern.Of(`(?i)(?:^|\P{L})(?:was|were|yesterday|found|measured|war|waren|wurden?|gestern|gemessen|fue|fueron|ayer|medid[oa]s?|était|étaient|hier|mesuré\p{L}*|ble|i\s+går|målt)(?:$|\P{L})`)

// wordsOf are the folded words of a text.
func wordsOf(text string) []string { return strings.Fields(plain(text)) }

// IsOneOf reports whether words are one of a list, whose items are set off by a
// comma and a space.
func IsOneOf(list, words string) bool {
	const gap = ", "
	for from := 0; from <= len(list); from++ {
		at := strings.Index(list[from:], words)
		if at < 0 {
			return false
		}
		from += at
		before, behind := list[:from], list[from+len(words):]
		if (before == "" || strings.HasSuffix(before, gap)) && (behind == "" || strings.HasPrefix(behind, gap)) {
			return true
		}
	}
	return false
}

func endsWith(words []string, lists ...string) bool {
	return slices.ContainsFunc(lists, func(list string) bool { return endIn(words, list) > 0 })
}

// longestComparison is the most words that a comparison has.
const longestComparison = 6

// endIn is how many words at the end are one of list; 0 for none.
func endIn(words []string, list string) int {
	for n := min(longestComparison, len(words)); n > 0; n-- {
		if IsOneOf(list, strings.Join(words[len(words)-n:], " ")) {
			return n
		}
	}
	return 0
}

// beginIn is how many words at the beginning are one of list; 0 for none.
func beginIn(words []string, list string) int {
	for n := min(longestComparison, len(words)); n > 0; n-- {
		if IsOneOf(list, strings.Join(words[:n], " ")) {
			return n
		}
	}
	return 0
}
