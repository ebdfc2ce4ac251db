package record

import (
	"regexp"
	"strings"

	"saltline/internal/pattern"
	"saltline/internal/unit"
)

// madeFor finds what a test was made for in its remark, with the number of
// the other test: "repeat of 3", "Nachprüfung zu L2, neben der alten Stelle".
var madeFor = []struct {
	kind TestKind
	find pattern.Lazy
}{
	{Retest, pattern.Of(`(?i)\b(?:re-?test(?:ed|s)?|nachprüfung|nachmessung|nachtest|gegenprobe|kontrollprüfung|re-?ensayo|contraensayo|contre-?essai|ré-?essai|omtest|etterkontroll` +
		`|new test|neue[rs]? (?:prüfung|messung|test)|nuevo ensayo|nueva (?:prueba|medición)|nouvel essai|nouvelle mesure|ny (?:test|prøve|måling))` + otherTest)},
	{Repeat, pattern.Of(`(?i)\b(?:repeat(?:ed|s)?|repetition|wiederholung(?:sprüfung|smessung)?|wiederholt|repetición|repetido|repite|` +
		`répétition|répétée?|répète|reprise|refait|gjentak(?:else)?|gjentatt)` + otherTest)},
	{Adjacent, pattern.Of(`(?i)\b(?:adjacent|benachbart|nachbarprüfung|nachbartest|adyacente|contiguo|contigua|voisin|adjacente?|tilstøtende|nabotest|nabopunkt)` + otherTest)},
}

// otherTest is the number of a test behind a word that leads to it, or behind
// its article: "of 3", "zur Prüfung 4", "el 5", "du 4".
const otherTest = `(?:\s+(?:of|to|for|the|von|vom|zu|zum|zur|der|den|de|del|al|a|el|la|du|à|au|le|av|til))+` +
	`\s+(?:(?:(?:l['’])?(?:test|no|nr|nummer|prüfung|messung|ensayo|prueba|medición|número|essai|mesure|numéro|prøve|måling)\b|n\.?[º°])\.?\s*)*([\pL\d][\pL\d./-]*)`

// stillWanted finds that a remark asks for a test that is to be made.
var stillWanted = pattern.Of(`(?i)^\s+(?:(?:is|still|noch|ist|aún|encore|ennå)\s+)?` +
	`(?:wanted|needed|necessary|required|due|to follow|nötig|erforderlich|offen|folgt|necesari[oa]|pendiente|nécessaire|à faire|nødvendig|gjenstår)\s*(?:$|[,;.:!?)])`)

// month finds the word behind a number that may be a month.
var month = pattern.Of(`^\s+(?:de\s+|of\s+)?(\pL+)`)

// linkRemarks takes what a test was made for from its remark where no column
// says it and the remark names an earlier test of the same area. A retest
// that counts as one more test of untouched steel would make an area look
// better sampled than it is. A test made again after a washing is a retest,
// whatever it is called: it says nothing of the steel before.
func (b *binder) linkRemarks() {
	type test struct{ area, number string }
	earlier, upTo := map[test]string{}, 0 // the tests before upTo
	for i := range b.job.Tests {
		t := &b.job.Tests[i]
		if t.Remark().Known() && t.Kind().State == Absent && t.OfTest().State == Absent {
			for _, m := range madeFor {
				text, named := namedTest(m.find(), t.Remark().Val)
				if named == "" {
					continue
				}
				for ; upTo < i; upTo++ { // only as far as a remark asks for it
					if e := &b.job.Tests[upTo]; e.Number().Known() {
						earlier[test{e.Area().Val, Folded(e.Number().Val)}] = e.Number().Val
					}
				}
				number, known := earlier[test{t.Area().Val, Folded(named)}]
				if !known || number == t.Number().Val {
					continue
				}
				kind := m.kind
				if washed, _ := t.Washing(); washed && kind == Repeat {
					kind = Retest
				}
				Columns.Kind.let(t, Given[TestKind]{Val: kind, State: Known, Text: text, Pos: t.Remark().Pos})
				Columns.OfTest.let(t, Words{Val: number, State: Known, Text: named, Pos: t.Remark().Pos})
				b.note(Change{Pos: t.Remark().Pos, What: "what the test was made for, taken from the remark", From: text, To: number})
				break
			}
		}
	}
}

// namedTest finds the number of a test in a remark, and the words that lead to
// it; "" where there is none, where it is the day of a date, and where the
// test is still to be made.
func namedTest(find *regexp.Regexp, remark string) (text, number string) {
	at := find.FindStringSubmatchIndex(remark)
	if at == nil {
		return "", ""
	}
	number = strings.TrimRight(remark[at[2]:at[3]], "./-")
	text, rest := remark[at[0]:at[2]]+number, remark[at[3]:]
	if stillWanted().MatchString(rest) {
		return "", ""
	}
	if word := month().FindStringSubmatch(rest); word != nil { // "3 March", "5 de octubre"
		if _, err := unit.ParseDate(number + " " + word[1]); err == nil {
			return "", ""
		}
	}
	return text, number
}

// How remarks say that the steel was washed: "after washing", or a clause that
// begins with it, ", washed and dried". What else is washed, a cell or a
// syringe, stands behind the word: then it is not the steel.
var (
	washed = pattern.Of(`(?i)(?:^|[^\pL])(not\s+|nicht\s+|no\s+|pas\s+|ikke\s+)?` +
		`(?:(?:after|following|nach|tras|después\s+del?|despues\s+del?|apr[èe]s|etter)\s+(?:[\pL-]+\s+)?` +
		`(?:wash|washing|rins(?:e|ing)|(?:ab)?waschen|(?:ab)?waschung|wäsche|(?:ab)?spülen|lavado|lavar|enjuague|lavage|rin[çc]age|(?:av)?vask(?:ing)?|spyling)` +
		`|(?:^|[,;:(]|\s(?:and|und|y|et|og)\s)\s*(?:re-?washed|washed|rinsed|(?:ab)?gewaschen|(?:ab)?gespült|lavad[oa]|enjuagad[oa]|lavée?|rincée?|vasket|spylt))` +
		`\s*(?:$|[^\pL\s]|(?:and|und|y|et|og|with|mit|con|à|avec|med|at|from|um|von|kl)[^\pL])`)
	hour = pattern.Of(`(?i)\b\d{1,2}\s?(?:[:.h]\s?\d{2}\b|uhr|h\b|[ap]m\b)`)
)

// Washing reports whether the remark of a test says that the steel was washed
// before it, and whether it gives a time. A remark is no record of a
// treatment: that has its begin, its end and the spots that it was for.
func (t *Test) Washing() (named, timed bool) {
	remark := t.Remark().Val
	found := washed().FindStringSubmatch(remark)
	return found != nil && found[1] == "", found != nil && hour().MatchString(remark)
}
