package heading

import (
	"regexp"
	"strings"

	"saltline/internal/pattern"
)

// A quantity is a number with a unit that stands in the words of a title.
type quantity struct {
	key  string
	find pattern.Lazy
	near pattern.Lazy         // a word that must stand in the same cell; nil for none
	here func(m mention) bool // whether the words around it do as well; nil for never
	not  func(m mention) bool // whether it is something else; nil for never
}

// A mention is a quantity in a text, with what stands around it.
type mention struct {
	text     string // as found
	sentence string
	clause   string // the part of the sentence that it stands in
	lead     string // of the sentence, what stands before it
	tail     string // and behind it
}

// mentions are what find finds in a text, but for tolerances.
func mentions(find *regexp.Regexp, text string) []mention {
	var all []mention
	for _, at := range find.FindAllStringIndex(text, -1) {
		if tolerance().MatchString(text[:at[0]]) {
			continue
		}
		m := mention{text: text[at[0]:at[1]], sentence: between(text, sentenceEnd(), at[0], at[1]), clause: between(text, clauseEnd(), at[0], at[1])}
		m.lead, m.tail, _ = strings.Cut(m.sentence, m.text)
		all = append(all, m)
	}
	return all
}

var quantities = []quantity{
	{
		key:  "volume",
		find: pattern.Of(`(?i)\b(?:\d{1,2}(?:[.,]\d+)?|` + volumeNumbers + `)\s*(?:ml|ccm|cc|cm3|cm³|` + millilitre + `)(?:\b|$)`),
		near: pattern.Of(`(?i)\bV\s*=|vol|\bcells?\b|zelle|celda|cellule|\bcelle|chamber|kammer|cámara|chambre|wass|water|agua|\beau\b|vann|in[jy]e[ck]t|injis|injiz|eingespritzt|direct|direkt|beaker|b[eé]cher|vaso|beger|patch|pastille|pflaster|parche`),
		here: fillsUp,
		not:  notTheTest,
	},
	{
		key:  "patch area",
		find: pattern.Of(`(?i)\b(?:\d{3,4}|\d(?:[ .,’'\x{a0}]?)\d{3}|\d{1,2}[.,]\d{1,2})(?:[.,]0+)?\s*(?:mm|cm)\s?(?:\^?2|²)`),
	},
	{
		key:  "limit",
		find: pattern.Of(`(?i)(?:[≤<]=?\s*)?` + aDensity + `(?:\s+(?:as\s+|als\s+)?NaCl)?`),
		near: pattern.Of(`(?i)\bmax|maks|` + limitWords),
		here: asksForLimit,
		not:  notALimit,
	},
	{
		key:  "expanded uncertainty",
		find: pattern.Of(`(?i)` + aDensity),
		near: nothing,
		here: isExpanded,
	},
}

// aDensity is a surface density with its unit.
const aDensity = `\b\d+(?:[.,]\d+)?\s*(?:mg|[µμu]g|mcg)(?:\s?NaCl)?\s?/\s?(?:m|cm|sq\.?\s?m|sq\.?\s?cm)\s?(?:\^?2|²)?`

// The volumes that a test is made with are written in words too.
const (
	volumeNumbers = `three|ten|fifteen|drei|zehn|fünfzehn|fuenfzehn|tres|diez|quince|trois|dix|quinze|tre|ti|femten`
	millilitre    = `mill?ilit(?:er|re|ro)s?`
)

// nothing finds nothing: words anywhere in the cell do not do.
var nothing = pattern.Of(`[^\s\S]`)

// fillsUp reports whether a volume is the one that a solution is filled up to,
// which is the volume in the formula: "made up to 15 ml".
func fillsUp(m mention) bool {
	return upTo().MatchString(m.lead) || until().MatchString(m.lead) && filledUp().MatchString(m.tail)
}

var (
	upTo = pattern.Of(`(?i)(?:\b(?:made|make|topped|top|filled|fill|brought|diluted|rinsed|completed)(?:\s+it)?(?:\s+up)?\s+to` +
		`|(?:port[ée]|compl[ée]t|ramen|rinc|dilu)\p{L}*\s+à|(?:complet|enras|afor|llev|dilu)\p{L}*\s+(?:hasta|a)(?:\s+un\s+volumen\s+de)?` +
		`|(?:etterfylt|fylt|fortynnet|skylt|supplert)(?:\s+opp)?\s+til|(?:aufgefüllt|ergänzt|verdünnt|gebracht)\s+auf)\s*$`)
	until    = pattern.Of(`(?i)\bauf\s*$`)
	filledUp = pattern.Of(`(?i)^\s*(?:\p{L}+\s+){0,2}(?:auf(?:ge)?füll|auf(?:ge)?fuell|ergänz|verdünn|gebracht|gespült)`)
)

// notTheTest reports whether a volume is known to be another than that of the
// test.
func notTheTest(m mention) bool {
	return ofABottle().MatchString(m.clause) || ofTheRecovered().MatchString(m.clause)
}

// isExpanded reports whether a density is called the expanded uncertainty.
func isExpanded(m mention) bool { return expanded().MatchString(m.lead) }

var expanded = pattern.Of(`(?i)(?:(?:^|[^\p{L}])U\s*[=:]` +
	`|(?:expanded(?:\s+measurement)?\s+uncertainty|erweiterte\p{L}*\s+(?:mess)?unsicherheit|incertidumbre\s+expandida|incertitude\s+élargie|utvidet\s+(?:måle)?usikkerhet)` +
	`\s*(?:\(?\s*U\s*\)?)?\s*(?:[=:]|of|is|von|ist|beträgt|de|es|est|på|er)?)\s*$`)

// limitWords are the beginnings of words that mean a limit and nothing else.
const limitWords = `limit|≤|<=|criteri|kriteri|critère|requirement|grenz|anforderung|zulässig|límite|admisible|requisito|seuil|exigence|grense|krav|tillatt|höchstwert|maximalwert|höchstgehalt`

var (
	saysLimit = pattern.Of(`(?i)` + limitWords)

	// ofABottle finds the content of a bottle, which is not what a test takes.
	ofABottle = pattern.Of(`(?i)\d\s*-?(?:ml|ccm|cc|cm3|cm³)[\s-]+(?:bottle|flas[ck]|botella|flacon|bouteille)|(?:bottles?|flaschen?|botellas?|flacons?|flasker?|bouteilles?)(?:\s+(?:of|à|de|von|zu|av))?\s+\d`)

	// ofTheRecovered finds the water that came back.
	ofTheRecovered = pattern.Of(`(?i)recover|recuper|récup|zurückgew|rückgew|gjenvun`)

	// ofTheMeans finds the limit of what an instrument or a kit can tell.
	ofTheMeans = pattern.Of(`(?i)detec|détec|deteks|nachweis|bestimmungsgr|erfassungsgr|quantif|cuantif|kvantif|\bLO[DQ]\b`)

	// ofTheMethod finds how well it can tell it.
	ofTheMethod = pattern.Of(`(?i)uncertain|unsicher|incertid|incertit|usikker|resolu|résolu|auflösung|oppløsning|accuracy|genauigkeit`)

	// ofOthers finds what else is measured in milligrams on a square metre.
	ofOthers = pattern.Of(`(?i)dust|staub|polvo|poussi|støv|\boil\b|\böl\b|aceite|huile|\bolje|grease|\bfett|grasa|graisse|consumption|verbrauch|consumo|consommation|forbruk|(?:of|von|de|av)\s+(?:paint|primer|zinc|zink|farbe|pintura|peinture|maling)`)
	ofSalts  = pattern.Of(`(?i)salt|salz|\bsal(?:es)?\b|\bsels?\b|[ck]hlor|klor|cloruro|nacl`)

	// ofResults finds what was measured, which may have a maximum too.
	ofResults = pattern.Of(`(?i)\bresult|ergebnis|résultat|\bmean\b|average|mittelwert|durchschnitt|promedio|moyenne|gjennomsnitt|\bfound\b|highest`)
)

var (
	// ofAcceptance finds a word of acceptance that a limit follows, rather than
	// the one who accepted, or the day.
	ofAcceptance = pattern.Of(`(?i)(?:acceptance|akzeptanz|annahme|aceptación|acceptation|aksept|godkjenning)\s*(?:[:=≤<]|\d|\s(?:level|value|niveau|nivel|nivå|wert|valor|valeur|verdi|` + comparingWords + `)(?:$|\P{L}))` +
		`|(?:accepted|acceptable|akzeptabel|acepta|aceptable|akseptabel|godkjent)\s*(?:[≤<]|\s(?:` + comparingWords + `)(?:$|\P{L}))`)

	// ofDuty finds must and shall, and ofComparing what a limit says with them.
	ofDuty      = pattern.Of(`(?i)(?:^|\P{L})(?:must|shall|should|darf|dürfen|duerfen|muss|müssen|soll|sollen|doit|doivent|debe|deben|será|serán|skal|må)(?:$|\P{L})`)
	ofComparing = pattern.Of(`(?i)below|under|\bless\b|lower|exceed|at\s+most|more\s+than|kleiner|\bunter|geringer|weniger|überschr|ueberschr|höchst|mehr\s+als|inférieur|moins|dépass|excéd|inferior|menor|menos|superar|superior|exced|mindre|lavere|overstig|overskrid|høyst`)
)

// comparingWords begin what follows a word of acceptance that sets a limit.
const comparingWords = `if|when|up\s+to|at\s+most|less|lower|below|under|not?|bei|bis|kleiner|unter|höchstens|nicht|si|hasta|menor|menos|inferior|jusqu|inférieur|moins|ved|inntil|opptil|mindre|lavere|ikke`

// asksForLimit reports whether the words around a density set a limit without
// the word. With another number before it, they may speak of one plate.
func asksForLimit(m mention) bool {
	return !strings.ContainsAny(m.lead, "0123456789") && (setsLimit(m.sentence) || comparesWith(m))
}

// setsLimit reports whether a sentence accepts, or says must and a comparison.
func setsLimit(sentence string) bool {
	return ofAcceptance().MatchString(sentence) || ofDuty().MatchString(sentence) && ofComparing().MatchString(sentence)
}

// notALimit reports whether the words around a density make it something else
// than the limit of the salts: what can be detected at all, a limit of dust,
// the use of paint, the uncertainty, the highest of the results.
func notALimit(m mention) bool {
	return isOther(m) || ofResults().MatchString(m.sentence) && !saysLimit().MatchString(m.sentence)
}

// isOther is notALimit but for the results.
func isOther(m mention) bool {
	return isExpanded(m) || ofTheMeans().MatchString(m.clause) ||
		ofTheMethod().MatchString(m.clause) && !saysLimit().MatchString(m.clause) ||
		ofOthers().MatchString(m.clause) && !ofSalts().MatchString(m.clause)
}

var (
	tolerance   = pattern.Of(`(?:±|\+/?[-−–])\s*$`) // before a number: "15 ml ± 0.1 ml"
	clauseEnd   = pattern.Of(`[;|\n,()]|\.\s|\s[-–—]\s`)
	sentenceEnd = pattern.Of(`[;|\n]|\.\s`)
)

// between cuts out of text what stands around from … to between two ends.
func between(text string, ends *regexp.Regexp, from, to int) string {
	if all := ends.FindAllStringIndex(text[:from], -1); len(all) > 0 {
		from = all[len(all)-1][1]
	} else {
		from = 0
	}
	if end := ends.FindStringIndex(text[to:]); end != nil {
		return text[from : to+end[0]]
	}
	return text[from:]
}

// in finds the quantity in the text of a cell; around is where the word near
// it may stand. What only repeats the first in another unit is left out.
func (q *quantity) in(text, around string) []string {
	near := q.near == nil || q.near().MatchString(around)
	var found []string
	for _, m := range mentions(q.find(), text) {
		if near || q.here != nil && q.here(m) {
			if q.not == nil || !q.not(m) {
				found = append(found, m.text)
			}
		}
	}
	return different(found)
}
