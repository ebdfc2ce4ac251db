package heading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// A quantity is a number with a unit that stands in the words of a title.
type quantity struct {
	key  string
	find *regexp.Regexp
	near *regexp.Regexp                     // a word that must stand in the same cell; nil for none
	here func(sentence string) bool         // whether its sentence does as well; nil for never
	not  func(clause, sentence string) bool // whether it is something else; nil for never
}

var quantities = []quantity{
	{
		key:  "volume",
		find: regexp.MustCompile(`(?i)\b\d{1,2}(?:[.,]\d+)?\s*(?:ml|ccm|cc|cm3|cm³)(?:\b|$)`),
		near: regexp.MustCompile(`(?i)\bV\s*=|vol|wass|water|agua|\beau\b|vann|in[jy]e[ck]t|injis|injiz|eingespritzt|direct|direkt|beaker|b[eé]cher|vaso|beger|patch|pastille|pflaster|parche`),
		not:  func(clause, _ string) bool { return ofABottle.MatchString(clause) },
	},
	{
		key:  "patch area",
		find: regexp.MustCompile(`(?i)\b(?:\d{3,4}|\d(?:[ .,’'\x{a0}]?)\d{3}|\d{1,2}[.,]\d{1,2})(?:[.,]0+)?\s*(?:mm|cm)\s?(?:\^?2|²)`),
	},
	{
		key:  "limit",
		find: regexp.MustCompile(`(?i)(?:[≤<]=?\s*)?\b\d+(?:[.,]\d+)?\s*(?:mg|[µμu]g|mcg)(?:\s?NaCl)?\s?/\s?(?:m|cm|sq\.?\s?m|sq\.?\s?cm)\s?(?:\^?2|²)?(?:\s+(?:as\s+|als\s+)?NaCl)?`),
		near: regexp.MustCompile(`(?i)\bmax|maks|` + limitWords),
		here: asksForLimit,
		not:  notALimit,
	},
}

// limitWords are the beginnings of words that mean a limit and nothing else.
const limitWords = `limit|≤|<=|criteri|kriteri|critère|requirement|grenz|anforderung|zulässig|límite|admisible|requisito|seuil|exigence|grense|krav|tillatt|höchstwert|maximalwert|höchstgehalt`

var (
	saysLimit = regexp.MustCompile(`(?i)` + limitWords)

	// ofABottle finds the content of a bottle, which is not what a test takes.
	ofABottle = regexp.MustCompile(`(?i)\d\s*-?(?:ml|ccm|cc|cm3|cm³)[\s-]+(?:bottle|flas[ck]|botella|flacon|bouteille)|(?:bottles?|flaschen?|botellas?|flacons?|flasker?|bouteilles?)(?:\s+(?:of|à|de|von|zu|av))?\s+\d`)

	// ofTheMeans finds the limit of what an instrument or a kit can tell.
	ofTheMeans = regexp.MustCompile(`(?i)detec|détec|deteks|nachweis|bestimmungsgr|erfassungsgr|quantif|cuantif|kvantif|\bLO[DQ]\b`)

	// ofTheMethod finds how well it can tell it.
	ofTheMethod = regexp.MustCompile(`(?i)uncertain|unsicher|incertid|incertit|usikker|resolu|résolu|auflösung|oppløsning|accuracy|genauigkeit`)

	// ofOthers finds what else is measured in milligrams on a square metre.
	ofOthers = regexp.MustCompile(`(?i)dust|staub|polvo|poussi|støv|\boil\b|\böl\b|aceite|huile|\bolje|grease|\bfett|grasa|graisse|consumption|verbrauch|consumo|consommation|forbruk|(?:of|von|de|av)\s+(?:paint|primer|zinc|zink|farbe|pintura|peinture|maling)`)
	ofSalts  = regexp.MustCompile(`(?i)salt|salz|\bsal(?:es)?\b|\bsels?\b|[ck]hlor|klor|cloruro|nacl`)

	// ofResults finds what was measured, which may have a maximum too.
	ofResults = regexp.MustCompile(`(?i)\bresult|ergebnis|résultat|\bmean\b|average|mittelwert|durchschnitt|promedio|moyenne|gjennomsnitt|\bfound\b|highest`)
)

var (
	// ofAcceptance finds a word of acceptance that a limit follows, rather than
	// the one who accepted, or the day.
	ofAcceptance = regexp.MustCompile(`(?i)(?:acceptance|akzeptanz|annahme|aceptación|acceptation|aksept|godkjenning)\s*(?:[:=≤<]|\d|\s(?:level|value|niveau|nivel|nivå|wert|valor|valeur|verdi|` + comparingWords + `)(?:$|\P{L}))` +
		`|(?:accepted|acceptable|akzeptabel|acepta|aceptable|akseptabel|godkjent)\s*(?:[≤<]|\s(?:` + comparingWords + `)(?:$|\P{L}))`)

	// ofDuty finds must and shall, and ofComparing what a limit says with them.
	ofDuty      = regexp.MustCompile(`(?i)(?:^|\P{L})(?:must|shall|should|darf|dürfen|duerfen|muss|müssen|soll|sollen|doit|doivent|debe|deben|será|serán|skal|må)(?:$|\P{L})`)
	ofComparing = regexp.MustCompile(`(?i)below|under|\bless\b|lower|exceed|at\s+most|more\s+than|kleiner|\bunter|geringer|weniger|überschr|ueberschr|höchst|mehr\s+als|inférieur|moins|dépass|excéd|inferior|menor|menos|superar|superior|exced|mindre|lavere|overstig|overskrid|høyst`)
	notToExceed = regexp.MustCompile(`(?i)not\s+to\s+(?:be\s+)?exceed|nicht\s+(?:zu\s+)?(?:ü|ue)berschreiten|\bno\s+(?:superar|exceder)|ne\s+pas\s+d[ée]passer|ikke\s+over(?:stige|skride)`)
)

// comparingWords begin what follows a word of acceptance that sets a limit.
const comparingWords = `if|when|up\s+to|at\s+most|less|lower|below|under|not?|bei|bis|kleiner|unter|höchstens|nicht|si|hasta|menor|menos|inferior|jusqu|inférieur|moins|ved|inntil|opptil|mindre|lavere|ikke`

// asksForLimit reports whether a sentence sets a limit without the word.
func asksForLimit(sentence string) bool {
	return ofAcceptance.MatchString(sentence) || notToExceed.MatchString(sentence) ||
		ofDuty.MatchString(sentence) && ofComparing.MatchString(sentence)
}

// notALimit reports whether the words around a density make it something else
// than the limit of the salts: what can be detected at all, a limit of dust,
// the use of paint, the highest of the results.
func notALimit(clause, sentence string) bool {
	return ofTheMeans.MatchString(clause) ||
		ofTheMethod.MatchString(clause) && !saysLimit.MatchString(clause) ||
		ofOthers.MatchString(clause) && !ofSalts.MatchString(clause) ||
		ofResults.MatchString(sentence) && !saysLimit.MatchString(sentence)
}

var (
	tolerance   = regexp.MustCompile(`(?:±|\+/?[-−–])\s*$`) // before a number: "15 ml ± 0.1 ml"
	clauseEnd   = regexp.MustCompile(`[;|\n,()]|\.\s|\s[-–—]\s`)
	sentenceEnd = regexp.MustCompile(`[;|\n]|\.\s`)
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
	near := q.near == nil || q.near.MatchString(around)
	var found []string
	for _, at := range q.find.FindAllStringIndex(text, -1) {
		if tolerance.MatchString(text[:at[0]]) {
			continue
		}
		sentence := between(text, sentenceEnd, at[0], at[1])
		lead, _, _ := strings.Cut(sentence, text[at[0]:at[1]])
		if !near && (q.here == nil || strings.ContainsAny(lead, "0123456789") || !q.here(sentence)) {
			continue
		}
		if q.not == nil || !q.not(between(text, clauseEnd, at[0], at[1]), sentence) {
			found = append(found, text[at[0]:at[1]])
		}
	}
	return different(found)
}

// procedures find the two procedures among the words of a title, in phrases
// that mean nothing else: "direct reading", "Becher", "retour au bécher".
var procedures = []*regexp.Regexp{
	regexp.MustCompile(`(?i)\bread\s+direct(?:ly)?\b|\b(?:direct|direkt|direkte|directa|directe|directo)\s+(?:reading|method|measurement|procedure|messung|ablesung|gemessen|avlesning|avlest|måling|lecture|mesure)\b|\b(?:lectura|medida|medición|lecture|mesure|méthode|método|prélèvement|prelevement)\s+direct[aoe]?\b|(?:\b|\d)(?:ml|cm3|cm³|cc),?\s+\(?(?:direct|direkt|directo|directe|direkte)\b`),
	regexp.MustCompile(`(?i)\bbeaker\b|\b(?:rückführung\s+(?:in\s+(?:den|das)\s+)?)?becher(?:glas|methode|verfahren)?\b|\bb[ée]cher\b|\bvaso\s+de\s+precipitados\b|\bbeger(?:glass|metode)?\b`),
}

var procedureWord = regexp.MustCompile(`(?i)\b(?:dire[ck]t|beaker|becher|b[ée]cher|vaso|beger)`)

var putIn = regexp.MustCompile(`(?i)inject|inyect|eingespritzt|injisert|injiziert`)

// freeFacts reads volume, patch area and limit out of the words of rows, such
// as "Vol. of water 15 ml, patch 1250 mm²".
func (l *layout) freeFacts(rows []table.Row) []Fact {
	facts, _ := l.stated(rows)
	return facts
}

// stated is freeFacts with the places where two values of one quantity stand:
// they settle nothing and are reported.
func (l *layout) stated(rows []table.Row) (facts, unclear []Fact) {
	for _, r := range rows {
		own := ownCells(r)
		for i, c := range own {
			facts = append(facts, statedProcedure(c)...)
			for k := range quantities {
				q := &quantities[k]
				key := q.key
				if key == "volume" && putIn.MatchString(c.Text) {
					key = "injected"
				}
				switch found := q.of(own, i); len(found) {
				case 0:
				case 1:
					facts = append(facts, Fact{key, strings.TrimSpace(found[0]), c.Pos})
				default:
					unclear = append(unclear, Fact{Key: key, Pos: c.Pos})
					l.ds = append(l.ds, twoValues(c.Pos, q.key, found))
				}
			}
		}
	}
	return facts, unclear
}

// of finds the quantity in the i-th cell of a row. A volume that stands alone
// there belongs to the words of the whole row, and a limit to the words on its
// left. Where several volumes stand so, they are found in the first.
func (q *quantity) of(own []table.Cell, i int) []string {
	c := own[i]
	switch {
	case !strings.ContainsAny(c.Text, "0123456789"):
		return nil
	case q.key == "volume" && isLone(own, i) && ofTheTest.MatchString(joined(own)):
		if all := lone(own); len(all) == 1 || all[0] == strings.TrimSpace(c.Text) {
			return all
		}
		return nil
	case q.key == "limit" && i > 0:
		if left := own[i-1].Text; beginsWith(q.find, c.Text) && saysLimit.MatchString(left) && !q.not(left, left) {
			return q.in(c.Text, left) // "Limit, total salts | 50 mg/m²"
		}
	}
	return q.in(c.Text, c.Text)
}

// twoValues reports that one value was wanted.
func twoValues(at diag.Pos, key string, found []string) diag.Diagnostic {
	return diag.Diagnostic{
		Pos:   at,
		Level: diag.Problem,
		Check: "title-unclear",
		Msg:   fmt.Sprintf("found %s in a title row, but wanted one %s", strings.Join(found, " and "), key),
		Hint:  fmt.Sprintf("give the one that holds with --set %q", key+"="+strings.TrimSpace(found[0])),
	}
}

// beginsWith reports whether what find finds begins the text.
func beginsWith(find *regexp.Regexp, text string) bool {
	at := find.FindStringIndex(text)
	return at != nil && strings.TrimSpace(text[:at[0]]) == ""
}

// isLone reports whether a cell holds a volume and nothing else, behind a cell
// that is complete: "Recovered | 2.8 ml" is another volume.
func isLone(own []table.Cell, i int) bool {
	text := strings.TrimSpace(own[i].Text)
	if len(text) > longestVolume || strings.TrimSpace(quantities[0].find.FindString(text)) != text {
		return false
	}
	if i == 0 {
		return true
	}
	left := own[i-1]
	return strings.ContainsAny(left.Text, "0123456789") && !strings.HasSuffix(left.Text, ":") || statedProcedure(left) != nil
}

// longestVolume is the most bytes that a volume is written in: "15,00 cm³".
const longestVolume = 12

// ofTheTest finds the words that make the volume in a row that of the test.
var ofTheTest = regexp.MustCompile(`(?i)wass|water|agua|\beau\b|vann|direct|direkt|beaker|b[eé]cher|vaso|beger|patch|pastille|pflaster|parche`)

// lone are the different volumes that stand alone in cells of a row, as
// "Beaker | 15 ml" does where the semicolon of a sentence has parted cells.
func lone(own []table.Cell) []string {
	var found []string
	for i, c := range own {
		if isLone(own, i) {
			found = append(found, strings.TrimSpace(c.Text))
		}
	}
	return different(found)
}

// statedProcedure is the procedure that a title speaks of; none where it
// speaks of both.
func statedProcedure(c table.Cell) []Fact {
	var facts []Fact
	for _, find := range procedures {
		if said := find.FindString(c.Text); said != "" {
			facts = append(facts, Fact{"procedure", said, c.Pos})
		}
	}
	if len(facts) != 1 {
		return nil
	}
	return facts
}

// different leaves out of found what only repeats the first in another unit:
// "50 mg/m² (5 µg/cm²)", "12.5 cm² = 1250 mm²".
func different(found []string) []string {
	if len(found) < 2 {
		return found
	}
	first := inBase(found[0])
	return slices.DeleteFunc(slices.Clone(found), func(s string) bool {
		return s != found[0] && math.Abs(inBase(s)-first) <= 1e-9*math.Abs(first)
	})
}

// saltBehind is the salt that a limit is given as.
var saltBehind = regexp.MustCompile(`(?i)\s+(?:as\s+|als\s+)?NaCl$`)

// inBase is the quantity in s in mg/m², mm² or ml, enough to compare two.
func inBase(s string) float64 {
	v, unit, _ := cellNumber(strings.TrimLeft(saltBehind.ReplaceAllString(s, ""), "≤<= "))
	k := unitKey(unit)
	switch {
	case strings.HasPrefix(k, "ug/cm2"), strings.HasPrefix(k, "mcg/cm2"):
		return 10 * v // 1 µg/cm² is 10 mg/m²
	case k == "cm2":
		return 100 * v
	}
	return v
}
