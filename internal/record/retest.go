package record

import (
	"slices"
	"strings"

	"saltline/internal/pattern"
)

// retestRule reads what clears a fail: a test beside the old footprint, a number
// of tests of the steel around it, or both. Each part of the phrase has to be
// understood to its last word: what a rule says besides would be lost.
func retestRule(text string) (RetestRule, bool) {
	rule := RetestRule{}
	for part := range strings.SplitSeq(partedRule().ReplaceAllString(apostrophes.Replace(bare(text)), "\n"), "\n") {
		part = strings.Trim(part, " .")
		if part == "" {
			continue
		}
		besides, n, ok := retestPart(part)
		if !ok || besides && rule.Beside || n > 0 && rule.Adjacent > 0 {
			return RetestRule{}, false
		}
		rule.Beside = rule.Beside || besides
		rule.Adjacent += n
	}
	return rule, rule.Beside || rule.Adjacent > 0
}

var apostrophes = strings.NewReplacer("'", " ", "’", " ")

// partedRule finds what stands between the parts of a rule.
var partedRule = pattern.Of(`[;:\n+]|,(?:\s|$)|\s(?:and|plus|with|und|sowie|mit|y|mas|con|et|avec|og|samt|med)\s`)

// retestPart reads one part: of a test beside the old footprint, or of a number
// of adjacent tests.
func retestPart(part string) (beside bool, adjacent int, ok bool) {
	part = atDistance().ReplaceAllString(part, " ")
	rest := besideWords().ReplaceAllString(part, " ")
	beside = rest != part
	others := aroundWords().ReplaceAllString(rest, " ")
	around := others != rest
	first, _, _ := strings.Cut(part, " ")
	number, counts := whole(first)
	for i, w := range strings.Fields(others) {
		if !slices.Contains(retestWords, w) && !(counts && i == 0) {
			return false, 0, false
		}
	}
	switch {
	case beside == around: // of neither, or of both at once
		return false, 0, false
	case beside:
		return true, 0, !counts || number == 1
	}
	return false, number, counts
}

var (
	besideWords = pattern.Of(`(?:^|\s)(?:beside|next to|alongside|adjoining|neben|daneben|junto al?|al lado del?|al lado|a cote de|a cote du|a cote|ved siden av|ved siden)(?:\s|$)`)
	aroundWords = pattern.Of(`(?:^|\s)(?:adjacents?|neighbouring|nachbar(?:prufung(?:en)?|pruefung(?:en)?|stellen?|tests?)|benachbarte[nrs]?|angrenzende[nrs]?|adyacentes?|contigu[oa]s?|voisine?s?|adjacentes?|nabo(?:tester|test|prover|prove|punkter|punkt)|tilstotende)(?:\s|$)`)
	atDistance  = pattern.Of(`\s(?:at|im abstand von|in|a|i avstand) \d+(?:[.,]\d+)? ?(?:m|cm|mm)(?:\s|$)`)
)

// retestWords are those that say nothing more than a rule says anyway.
var retestWords = strings.Fields(`
	the a an of old first original previous former failed footprint print spot place location patch test tests retest retests
	more further right directly immediately just then
	der die das dem den des vom zum alten alte alter altem ersten erste ursprunglichen vorigen abdruck abdrucks stelle prufstelle messstelle
	prufung prufungen pruefung pruefungen nachprufung nachpruefung weitere weiteren direkt unmittelbar dann
	el la los las del de huella vieja viejo antigua antiguo primera primer original anterior punto ensayo ensayos prueba pruebas reensayo otros otras justo
	le les l du d empreinte ancienne ancien premiere premier initiale origine emplacement point essai essais contre-essai autres juste
	det den gamle forste opprinnelige avtrykket avtrykk punktet punkt testen test tester prove prover omtest nye videre rett like`)
