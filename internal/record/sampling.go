package record

import (
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"saltline/internal/pattern"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

const samplingWanted = "a rule such as 5 for the first 100 m2, then 1 per further 100 m2 or part; 8; 1 per item; or 1 per 20 m2, at least 5"

// The words of which sampling rules are made, in the five languages, as bare
// leaves them. A rule is understood where each of its words is one of these in
// its place, and not at all where one is not: "per full 100 m²" asks for fewer
// tests than "per 100 m² or part".
const (
	aNumber = `(\d+|` + smallNumbers + `)`

	ofSquareMetres = ` ?(?:m2|sqm|sq ?m|qm|kvm|square met(?:re|er)s?|quadratmetern?|metros? cuadrados?|metres? carres?|kvadratmeter)`
	surface        = `(\d+(?:[ ']\d{3})*(?:[.,]\d+)?)` + ofSquareMetres

	ofTests = `(?: (?:tests?|prufung(?:en)?|pruefung(?:en)?|messung(?:en)?|ensayos?|pruebas?|medicion(?:es)?|essais?|mesures?|tester|prover?|maling(?:er)?))?`
	// A number of the first square metres stands before "first" or behind it.
	onFirst = ` (?:for|on|in|fur|fuer|auf|je|por|para|en|sobre|pour|sur|dans|pa|i) (?:(?:the|die|den|de|los|las|les) )?` +
		`(?:(?:first|ersten?|forste|primer[oa]s|premiers) ` + surface + `|(\d+) (?:premiers|primeros)` + ofSquareMetres + `)`
	andThen = `(?:[,;]| (?:and|und|y|et|og))* *(?:then|plus|and|dann|danach|und|luego|despues|mas|y|puis|ensuite|et|deretter|sa|og|pluss)? *`
	each    = ` (?:per|pr\.?|for|je|pro|fur|fuer|por|para|par|pour)(?: (?:each|every|jede[nrs]?|cada|chaque|hver|hvert))?`
	more    = `(?: (?:further|additional|next|weitere[nrs]?|zusatzliche[nrs]?|zusaetzliche[nrs]?|adicional(?:es)?|mas|siguientes?|supplementaires?|de plus|suivants?|ytterligere|videre|nye|pabegynte?|angefangene[nrs]?))*`
	orPart  = `(?: (?:or (?:a |any )?part(?: of it| thereof)?|oder (?:einen |ein )?(?:angefangenen? )?teil(?:e)?(?: davon)?|o fraccion|o parte(?: de ellos)?|ou fraction|ou partie|entamee?s?|eller del(?: av dette| av det| av disse)?))?`
	// The least number of tests, in front of it or behind.
	atLeast = `(?: ?[,;(]* *(?:but |aber |jedoch |pero |mais |men )?(?:(?:at least|minimum|min\.?|not less than|mindestens|wenigstens|al menos|como minimo|minimo|con un minimo de|no menos de|au moins|au minimum|avec un minimum de|minst|ikke mindre enn) ` + aNumber + `|` + aNumber + ` (?:au moins|como minimo|au minimum))` + ofTests + `\)?)?`

	onEach = ` (?:per|pr\.?|je|pro|por|par|on each|for each|on every|an jede[mr]|auf jede[mr]|fur jede[ns]?|fuer jede[ns]?|en cada|por cada|sur chaque|pour chaque|pa hver|pa hvert|for hver|for hvert) `
	item   = `(?:item|plate|block|spool|piece|member|section|pipe|part|teil|bauteil|stuck|stueck|platte|blech|rohr|element|abschnitt|` +
		`pieza|elemento|placa|chapa|bloque|tubo|seccion|parte|tole|plaque|bloc|tube|troncon|tuyau|partie|del|plate|blokk|ror|seksjon|emne|stykke)`

	spots   = `(?: (?:tests?|spots?|prufung(?:en)?|pruefung(?:en)?|messung(?:en)?|stellen?|ensayos?|pruebas?|medicion(?:es)?|puntos?|essais?|mesures?|points?|tester|prover?|punkter|maling(?:er)?))?`
	perZone = `(?: per area| in each area| an area| each| (?:je|pro|in jedem) bereich| je flache| por (?:cada )?(?:area|zona)| en cada (?:area|zona)| (?:par|dans chaque|sur chaque) zone| (?:per|pr\.?|i hvert) omrade)?`
)

// The four forms of a sampling rule. A number of square metres may have
// thousands set off by a space.
var (
	perArea = pattern.Of(`^` + aNumber + ofTests + onFirst + andThen + aNumber + ofTests + each + more + `(?: tranche de)? ` + surface + more + orPart + `\.?$`)
	onePer  = pattern.Of(`^` + aNumber + ofTests + each + `(?: tranche de)?(?: angefangene| pabegynte)? ` + surface + orPart + atLeast + `\.?$`)
	perItem = pattern.Of(`^` + aNumber + ofTests + onEach + item + `\.?$`)
	fixed   = pattern.Of(`^` + aNumber + spots + perZone + `\.?$`)
)

// samplingRule reads how many tests an area needs.
func samplingRule(text string) (salt.SamplingRule, bool) {
	s := bare(text)
	if s != "" && strings.Trim(s, "0123456789") == "" { // a number alone needs none of the expressions, which hold many words
		n, ok := whole(s)
		return salt.SamplingRule{Form: salt.FixedNumber, First: n}, ok
	}
	if m := perArea().FindStringSubmatch(s); m != nil {
		first, ok1 := whole(m[1])
		firstArea, ok2 := metres(m[2] + m[3]) // one of the two is empty
		then, ok3 := whole(m[4])
		step, ok4 := metres(m[5])
		return salt.SamplingRule{Form: salt.PerArea, First: first, FirstArea: firstArea, Then: then, Step: step},
			ok1 && ok2 && ok3 && ok4
	}
	if m := onePer().FindStringSubmatch(s); m != nil {
		one, _ := whole(m[1])
		step, ok := metres(m[2])
		least, given := whole(m[3] + m[4])
		return salt.SamplingRule{Form: salt.OnePer, First: least, Then: 1, Step: step}, ok && one == 1 && given == (m[3]+m[4] != "")
	}
	if m := perItem().FindStringSubmatch(s); m != nil {
		n, ok := whole(m[1])
		return salt.SamplingRule{Form: salt.PerItem, First: n}, ok
	}
	if m := fixed().FindStringSubmatch(s); m != nil {
		n, ok := whole(m[1])
		return salt.SamplingRule{Form: salt.FixedNumber, First: n}, ok && s != m[1] // "to" alone is no number
	}
	return salt.SamplingRule{}, false
}

// bare is a phrase in lower case and single spaces, without accents. What
// stands between its words stays.
func bare(text string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(Folded(text)) {
		if s, ok := unfolded[r]; ok {
			b.WriteString(s)
		} else if !unicode.Is(unicode.Mn, r) {
			b.WriteRune(r)
		}
	}
	return Folded(b.String())
}

// smallNumbers are the numbers that people write in words, from one to six, and
// numberWords what each is. "To" is two in Norwegian.
const smallNumbers = `one|two|three|four|five|six|eine?[ns]?|zwei|drei|vier|funf|fuenf|sechs|un[oa]?|dos|tres|cuatro|cinco|seis|une|deux|trois|quatre|cinq|en|ett?|to|tre|fire|fem|seks`

var numberWords = [][]string{
	1: {"one", "ein", "eine", "einen", "eins", "un", "uno", "una", "une", "en", "et", "ett"},
	2: {"two", "zwei", "dos", "deux", "to"},
	3: {"three", "drei", "tres", "trois", "tre"},
	4: {"four", "vier", "cuatro", "quatre", "fire"},
	5: {"five", "funf", "fuenf", "cinco", "cinq", "fem"},
	6: {"six", "sechs", "seis", "seks"},
}

// whole reads a number of tests, in figures or as a small word. A rule that
// asks for none is no rule.
func whole(s string) (int, bool) {
	for n, words := range numberWords {
		for _, w := range words {
			if w == s {
				return n, true
			}
		}
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n > 0 && n < 1_000_000
}

// metres reads a number of square metres that reads in one way: "1.000 m²" may
// be one of them or a thousand.
func metres(s string) (unit.SteelArea, bool) {
	d, err := unit.ParseDecimal(s, unit.AnySign)
	return unit.SteelArea(d.Float()), err == nil && d.Sign() > 0
}
