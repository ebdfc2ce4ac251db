package heading

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/pattern"
	"saltline/internal/table"
)

// notTaken reports every volume and every density in the titles of readings
// that was taken for nothing, so that nobody hears that a limit is not recorded
// whose sheet speaks of one. What is known to be something else is left alone.
func (l *layout) notTaken(rows []table.Row, taken, unclear []Fact) {
	for _, r := range rows {
		own := ownCells(r)
		for i, c := range own {
			if i > 0 && isLone(own[i:], 0) && ofTheRecovered().MatchString(own[i-1].Text) {
				continue // "Water recovered | 14 ml"
			}
			for _, of := range []struct {
				key, unit string
				find      *regexp.Regexp
				known     func(mention) bool
			}{
				{"volume", "ml", quantities[0].find(), notTheTest},
				{"limit", "mg/m2", anyDensity(), isKnown},
			} {
				if slices.ContainsFunc(unclear, func(f Fact) bool { return f.Pos.Row() == c.Pos.Row() && f.Key == of.key }) {
					continue
				}
				for _, m := range mentions(of.find, c.Text) {
					if of.known(m) || slices.ContainsFunc(taken, func(f Fact) bool { return f.states(of.key, m.text) }) {
						continue
					}
					value, why := inDigits(m.text), "its words do not say for certain that it is the "+of.key
					if !strings.ContainsAny(value, "0123456789") {
						value, why = "NUMBER "+of.unit, "a number in words is not read"
					}
					l.ds = append(l.ds, diag.Diagnostic{
						Pos: c.Pos, Level: diag.Problem, Check: "title-unclear",
						Msg:  fmt.Sprintf("found %q in a title row and it was not taken: %s", strings.TrimSpace(m.text), why),
						Hint: fmt.Sprintf("if it is the %s, give it with --set %q; if not, nothing is to be done", of.key, of.key+"="+value),
					})
					break // one is enough to send the reader to the cell
				}
			}
			l.guarding(c)
		}
	}
}

// states reports whether a fact is that a quantity has this value.
func (f Fact) states(quantity, value string) bool {
	switch {
	case quantity == "volume" && (f.Key == "volume" || f.Key == "injected"),
		quantity == "limit" && (f.Key == "limit" || f.Key == "expanded uncertainty"):
		return strings.Contains(f.Text, strings.TrimSpace(value)) || len(different([]string{f.Text, value})) == 1
	}
	return false
}

// anyDensity finds a surface density in digits, and one that stands in words
// where a limit is set: "must not exceed thirty mg/m²".
var anyDensity = pattern.Of(`(?i)` + aDensity +
	`|\p{L}{4,}\s+(?:mg|[µμu]g)\s?/\s?c?m\s?(?:\^?2|²)` +
	`|\p{L}{3,}\s+mill?igram(?:m|o|me|mo)?s?\b[^.;|\n]{0,40}?\s(?:per|je|pro|por|par)\s+(?:square\s+met|quadratmet|metro\s+cuadrado|mètre\s+carré|kvadratmet)\p{L}*`)

// isKnown reports whether a density is known to be no limit: what can be
// detected, dust, a result of the past. A density in words counts only where
// its sentence sets a limit.
func isKnown(m mention) bool {
	if isOther(m) {
		return true
	}
	past := ofThePast().MatchString(m.sentence)
	sets := setsLimit(m.sentence) || comparesWith(m) || !past && endIn(wordsOf(m.lead), AtMost) > 1 // a maximum may be that of results
	if !strings.ContainsAny(m.text, "0123456789") {
		return !sets && !endsWith(wordsOf(m.lead), AtMost, LessThan)
	}
	return !sets && !saysLimit().MatchString(m.sentence) && (past || ofResults().MatchString(m.sentence))
}

// guarding reports words that would have the uncertainty added to a result. A
// decision rule is the contract's, and is not taken from words.
func (l *layout) guarding(c table.Cell) {
	said := addsUncertainty().FindString(c.Text)
	if said == "" {
		return
	}
	l.ds = append(l.ds, diag.Diagnostic{
		Pos: c.Pos, Level: diag.Problem, Check: "title-unclear",
		Msg:  fmt.Sprintf("found %q in a title row, but a decision rule is not taken from words", strings.TrimSpace(said)),
		Hint: `if results are judged with their uncertainty, say so with --set "decision rule=guarded"`,
	})
}

// addsUncertainty finds the uncertainty as something that is added.
var addsUncertainty = pattern.Of(`(?i)(?:(?:^|\P{L})(?:plus|added|including|zuzüglich|einschließlich|más|pluss|augmenté\p{L}*\s+de|majoré\p{L}*\s+de)\s+(?:\p{L}+'?\s?){0,3}?|\+\s*)` + uncertainty +
	`|` + uncertainty + `\P{N}{0,25}?(?:added|addiert|hinzu\p{L}*|sumad[oa]|ajoutée?|lagt\s+til|legges\s+til|tillagt)`)

const uncertainty = `(?:(?:mess)?unsicherheit|(?:measurement\s+)?uncertainty|incertidumbre|incertitude|(?:måle)?usikkerhet)`
