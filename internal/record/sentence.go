package record

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"saltline/internal/heading"
	"saltline/internal/pattern"
	"saltline/internal/salt"
)

// This file reads what the sentence around the number of a limit says of it:
// how a value is compared with it, and what it is a limit of. A word counts
// where nothing but words that are known stand between it and the number.

// A clause is one stretch of a sentence with the phrases that are known in it.
type clause struct {
	text    string
	words   []string // folded
	at      [][]int  // where each stands in the text
	phrases []phrase
	apart   bool // a comma or more parts it from the number and what follows that
	far     bool // it is a semicolon, a stop or a dash
}

// A phrase is a comparison or a basis: words from … to of its clause.
type phrase struct {
	from, to   int
	comparison salt.Comparison
	basis      salt.Basis
	above      bool // a comparison where a word such as no stands before it
}

// longestPhrase is the most words that a phrase of the vocabularies has.
const longestPhrase = 7

var phrases = sync.OnceValue(func() map[string]phrase {
	all := map[string]phrase{"≤": {comparison: salt.AtMost}, "<=": {comparison: salt.AtMost}, "=<": {comparison: salt.AtMost}, "<": {comparison: salt.LessThan}}
	for _, m := range comparisons {
		for w := range strings.SplitSeq(m.words, ", ") {
			all[w] = phrase{comparison: m.value}
		}
	}
	for w := range strings.SplitSeq(heading.Above, ", ") {
		if _, known := all[w]; !known {
			all[w] = phrase{above: true}
		}
	}
	for _, m := range bases {
		for w := range strings.SplitSeq(m.words, ", ") {
			all[w] = phrase{basis: m.value}
		}
	}
	return all
})

var aWord = pattern.Of(`[≤<=]+|[\p{L}\p{M}\p{N}]+`)

// clauseOf finds the phrases in a text, the longest that begins at each word.
func clauseOf(text string) clause {
	c := clause{text: text, at: aWord().FindAllStringIndex(text, -1)}
	for _, at := range c.at {
		w := text[at[0]:at[1]]
		if f := fold(w); f != "" {
			w = f
		}
		c.words = append(c.words, w)
	}
	for i := 0; i < len(c.words); i++ {
		for n := min(longestPhrase, len(c.words)-i); n > 0; n-- {
			if p, ok := phrases()[strings.Join(c.words[i:i+n], " ")]; ok {
				p.from, p.to = i, i+n
				c.phrases = append(c.phrases, p)
				i += n - 1
				break
			}
		}
	}
	return c
}

// say is the phrase as it is written.
func (c *clause) say(p phrase) string { return c.text[c.at[p.from][0]:c.at[p.to-1][1]] }

// passes reports whether the words from … to say nothing of their own: small
// words, words that mean a limit, and phrases that are known.
func (c *clause) passes(from, to int) bool {
	for i := from; i < to; i++ {
		known := slices.ContainsFunc(c.phrases, func(p phrase) bool { return p.from <= i && i < p.to })
		if !known && !isSmall(c.words[i]) && !saysLimit(c.words[i]) && !asWords().MatchString(c.words[i]) && !equivalent().MatchString(c.words[i]) {
			return false
		}
	}
	return true
}

var (
	clauseEnds  = pattern.Of(`[;|/\n]|,\s|\s[-–—]\s`) // before the number
	sentenceEnd = pattern.Of(`[|/\n]`)                // behind it
	clauseGap   = pattern.Of(`[,;()]|\.\s|\s[-–—]\s`)

	// abbreviated is a short word before a stop that may end no sentence.
	abbreviated = pattern.Of(`(?:^|[^\p{L}\p{M}])[\p{L}\p{M}]{1,4}$`)

	// inOtherUnit is the same limit once more: "(5 µg/cm²)".
	inOtherUnit = pattern.Of(`^\s*(?:\([^()\d]*\d[^()]*\)|=\s*\d[\d.,]*\s*[\p{L}]+\s*/\s*[\p{L}]+(?:\^?2|²)?)`)
)

// clausesBefore are the last clause before the number and the one before it.
func clausesBefore(text string) (last, previous clause) {
	all := clauseEnds().Split(text, -1)
	if n := len(all); n > 1 {
		previous = clauseOf(all[n-2])
	}
	return clauseOf(all[len(all)-1]), previous
}

// clausesBehind are the clauses of the sentence behind the number.
func clausesBehind(text string) []clause {
	text = inOtherUnit().ReplaceAllString(text, "")
	if end := sentenceEnd().FindStringIndex(text); end != nil {
		text = text[:end[0]]
	}
	var all []clause
	far, from := false, 0
	add := func(to int) {
		if c := clauseOf(text[from:to]); len(c.words) > 0 {
			c.apart, c.far = far || len(all) > 0, far
			all = append(all, c)
		}
	}
	for _, gap := range clauseGap().FindAllStringIndex(text, -1) {
		if text[gap[0]] == '.' && abbreviated().MatchString(text[from:gap[0]]) {
			continue
		}
		add(gap[0])
		far = far || !strings.ContainsAny(text[gap[0]:gap[1]], ",()")
		from = gap[1]
	}
	add(len(text))
	return all
}

// limitWords are the comparison and the basis that are said of a limit before
// and behind its number, as they are written; "" for what is not said.
func limitWords(before, behind string) (comparing, basis string) {
	last, previous := clausesBefore(before)
	rest := clausesBehind(behind)
	return comparisonIn(&last, rest), basisIn(&last, &previous, rest)
}

// comparisonIn is the comparison; none where the one before the number and the
// one behind it differ.
func comparisonIn(last *clause, behind []clause) string {
	said, text := comparisonBefore(last)
	for i := range behind {
		c := &behind[i]
		for _, p := range c.phrases {
			if !c.comparesBehind(p) {
				continue
			}
			if text != "" && said != p.comparison {
				return ""
			}
			if text == "" {
				said, text = p.comparison, c.say(p)
			}
		}
	}
	return text
}

// comparisonBefore is the one that stands nearest before the number. "Not less
// than" and "equal or under" are other comparisons than their last words.
func comparisonBefore(c *clause) (salt.Comparison, string) {
	for _, p := range slices.Backward(c.phrases) {
		if from := c.notAbove(p); from >= 0 && c.passes(p.to, len(c.words)) {
			return salt.AtMost, c.say(phrase{from: from, to: p.to})
		}
		if p.comparison == salt.ComparisonNotStated {
			continue
		}
		switch text := c.say(p); {
		case !c.passes(p.to, len(c.words)),
			p.to < len(c.words) && heading.IsOneOf(touching, strings.Join(c.words[p.from:p.to], " ")),
			p.comparison == salt.LessThan && slices.ContainsFunc(c.words[max(0, p.from-3):p.from], isNot),
			p.from > 0 && heading.IsOneOf("or, oder, o, ou, eller, und, and, y, et, og", c.words[p.from-1]):
			return salt.ComparisonNotStated, ""
		default:
			return p.comparison, text
		}
	}
	return salt.ComparisonNotStated, ""
}

// notAbove is where the word stands that makes p allow no more than the limit,
// as in "no spot above"; −1 for none.
func (c *clause) notAbove(p phrase) int {
	if !p.above {
		return -1
	}
	return slices.IndexFunc(c.words[:p.from], isNot)
}

// allowsNoneAbove reports whether a text is such a comparison.
func allowsNoneAbove(text string) bool {
	c := clauseOf(text)
	n := len(c.phrases)
	return n > 0 && c.notAbove(c.phrases[n-1]) == 0 && c.phrases[n-1].to == len(c.words)
}

// comparesBehind reports whether p is a comparison that stands behind the
// number that it belongs to: "50 mg/m² or less". "Max 85 %" belongs to another.
func (c *clause) comparesBehind(p phrase) bool {
	said := strings.Join(c.words[p.from:p.to], " ")
	switch {
	case p.comparison == salt.ComparisonNotStated || !heading.IsOneOf(heading.Following, said):
		return false
	case p.to < len(c.words) && unicode.IsDigit(rune(c.words[p.to][0])):
		return false
	case c.apart:
		return c.passes(0, len(c.words))
	}
	return c.passes(0, p.from) || p.to-p.from > 1 && slices.ContainsFunc(c.words[p.from:p.to], isNot)
}

// How surely a phrase says what a limit is a limit of: "soluble salts"; "as
// NaCl", which goes before it; "expressed as NaCl", which goes before both.
const (
	named = 1 + iota
	givenAs
	expressedAs
)

// basisIn is the basis that is said most surely; none where two are.
func basisIn(last, previous *clause, behind []clause) string {
	most, text, basis := 0, "", salt.BasisNotStated
	hear := func(c *clause, p phrase, level int) {
		if heading.IsOneOf(leads, c.words[p.from]) || heading.IsOneOf(leadsIn, c.words[p.from]) {
			p.from++ // "NaCl" of "as NaCl"
		}
		switch {
		case level < most:
		case level > most:
			most, text, basis = level, c.say(p), p.basis
		case basis != p.basis:
			text = ""
		}
	}
	for _, p := range last.bases() {
		if level := last.level(p); level > named || last.passes(p.to, len(last.words)) || last.limitOf(p) {
			hear(last, p, level)
		}
	}
	for _, p := range previous.bases() {
		if previous.passes(0, len(previous.words)) {
			hear(previous, p, previous.level(p))
		}
	}
	for i := range behind {
		c := &behind[i]
		heard := false
		for _, p := range c.bases() {
			level := c.level(p)
			// A second basis in the same clause is heard wherever it stands.
			if heard = heard || c.basisBehind(p, level); heard {
				hear(c, p, level)
			}
		}
		if most < expressedAs && c.expressedInOther() {
			return ""
		}
	}
	return text
}

// bases are the phrases of a clause that name a basis; what is only included
// in another is none.
func (c *clause) bases() []phrase {
	var all []phrase
	for _, p := range c.phrases {
		words := c.words[p.from:p.to]
		switch {
		case p.basis == salt.BasisNotStated, p.from > 0 && including().MatchString(c.words[p.from-1]):
		case len(words) == 1 && strings.HasPrefix(words[0], "total") && p.to < len(c.words) && !c.passes(p.to, p.to+1):
			// The total of something else.
		default:
			all = append(all, p)
		}
	}
	return all
}

var including = pattern.Of(`^(?:inc|inkl|einschl|compris)`)

// level says how surely p is the basis of the limit.
func (c *clause) level(p phrase) int {
	from := p.from
	lead := c.words[from]
	if !heading.IsOneOf(leads, lead) && !heading.IsOneOf(leadsIn, lead) && from > 0 {
		from--
		lead = c.words[from]
	}
	salts := p.basis == salt.TotalSalts
	switch {
	case heading.IsOneOf(leads, lead), heading.IsOneOf(leadsIn, lead):
		if from > 0 && expressing().MatchString(c.words[from-1]) {
			return expressedAs
		}
		if heading.IsOneOf(leadsIn, lead) && salts {
			return named // "teneur en sels totaux"
		}
		return givenAs
	case !salts && slices.ContainsFunc(c.words[max(0, p.from-2):min(len(c.words), p.to+1)], func(w string) bool { return equivalent().MatchString(w) }):
		return givenAs
	}
	return named
}

const (
	leads   = "as, als, como, comme, som"
	leadsIn = "in, en, i"
)

var (
	expressing = pattern.Of(`^(?:express|ausgedruck|expresad|exprim|uttryk|calculat|calculad|calcule|berechnet|beregnet|report|angegeben|angitt|given|indicad|informad|oppgitt)`)
	equivalent = pattern.Of(`^(?:eq|aeq|aquiv|aequiv|ekviv)`)
	ofAUnit    = pattern.Of(`^(?:mg|ug|μg|mcg)`)
	asWords    = pattern.Of(`^(?:express|ausgedruck|expresad|exprim|uttryk)`)
)

// expressedInOther reports whether a limit is expressed as something that is
// none of the bases: "expressed as KCl".
func (c *clause) expressedInOther() bool {
	for i, w := range c.words {
		if asWords().MatchString(w) && i+2 < len(c.words) && (heading.IsOneOf(leads, c.words[i+1]) || heading.IsOneOf(leadsIn, c.words[i+1])) {
			next := c.words[i+2]
			return !isSmall(next) && !ofAUnit().MatchString(next)
		}
	}
	return false
}

// basisBehind reports whether a basis behind the number is that of the limit.
// In a clause of its own a bare name has to be all that it says, but for the
// source.
func (c *clause) basisBehind(p phrase, level int) bool {
	switch {
	case level == expressedAs && !c.far, level == givenAs && !c.apart, level > named && c.onlyExpresses(p.from):
		return true
	case !c.passes(0, p.from):
		return false
	}
	return level > named || !c.apart || c.passes(p.to, len(c.words)) || heading.IsOneOf(sources, c.words[p.to])
}

// onlyExpresses reports whether the words before one only lead to it:
// "calculated as".
func (c *clause) onlyExpresses(before int) bool {
	return !slices.ContainsFunc(c.words[:before], func(w string) bool {
		return !isSmall(w) && !expressing().MatchString(w) && !equivalent().MatchString(w)
	})
}

// limitOf reports whether p stands behind a word that means a limit, with
// nothing but small words between: "limit for chloride on the deck: 50".
func (c *clause) limitOf(p phrase) bool {
	for i := p.from - 1; i >= 0; i-- {
		if saysLimit(c.words[i]) {
			return true
		}
		if !isSmall(c.words[i]) {
			return false
		}
	}
	return false
}

func isNot(w string) bool { return heading.IsOneOf(heading.None, w) }
