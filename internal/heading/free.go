package heading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/pattern"
	"saltline/internal/table"
)

// procedures find the two procedures among the words of a title, in phrases
// that mean nothing else: "direct reading", "Becher", "retour au bécher".
var procedures = []pattern.Lazy{
	pattern.Of(`(?i)\bread\s+direct(?:ly)?\b|\b(?:direct|direkt|direkte|directa|directe|directo)\s+(?:reading|method|measurement|procedure|messung|ablesung|gemessen|avlesning|avlest|måling|lecture|mesure)\b|\b(?:lectura|medida|medición|lecture|mesure|méthode|método|prélèvement|prelevement)\s+direct[aoe]?\b|(?:\b|\d)(?:ml|cm3|cm³|cc),?\s+\(?(?:direct|direkt|directo|directe|direkte)\b`),
	pattern.Of(`(?i)\bbeaker\b|\b(?:rückführung\s+(?:in\s+(?:den|das)\s+)?)?becher(?:glas|methode|verfahren)?\b|\bb[ée]cher\b|\bvaso\s+de\s+precipitados\b|\bbeger(?:glass|metode)?\b`),
}

var procedureWord = pattern.Of(`(?i)\b(?:dire[ck]t|beaker|becher|b[ée]cher|vaso|beger)`)

var putIn = pattern.Of(`(?i)inject|inyect|eingespritzt|injisert|injiziert`)

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
				key, found := q.key, q.of(own, i)
				if key == "volume" {
					var in []Fact
					if key, found, in = whichVolume(c, found); len(in) == 1 {
						facts = append(facts, in...)
					}
				}
				switch len(found) {
				case 0:
				case 1:
					facts = append(facts, Fact{key, inDigits(found[0]), c.Pos})
				default:
					unclear = append(unclear, Fact{Key: key, Pos: c.Pos})
					l.ds = append(l.ds, twoValues(c.Pos, q.key, found))
				}
			}
		}
	}
	return facts, unclear
}

// whichVolume tells what the volumes in a cell are: the one that the solution is
// filled up to goes before all others, and what was put in is another.
func whichVolume(c table.Cell, found []string) (key string, of []string, in []Fact) {
	var up []string
	for _, m := range mentions(quantities[0].find(), c.Text) {
		switch {
		case notTheTest(m):
		case fillsUp(m):
			up = append(up, m.text)
		case putIn().MatchString(m.clause):
			in = append(in, Fact{"injected", inDigits(m.text), c.Pos})
		}
	}
	switch {
	case len(up) > 0:
		return "volume", different(up), in
	case putIn().MatchString(c.Text):
		return "injected", found, nil
	}
	return "volume", found, nil
}

// inDigits spells what was found with digits and the sign of its unit: "three
// millilitres" is "3 ml".
func inDigits(found string) string {
	m := inWords().FindStringSubmatch(strings.TrimSpace(found))
	if m == nil {
		return strings.TrimSpace(found)
	}
	return volumeOf[plain(m[1])] + m[2] + " ml"
}

var (
	inWords  = pattern.Of(`(?i)^(?:(` + volumeNumbers + `)\s*(?:` + millilitre + `|ml|ccm|cc|cm3|cm³)|([\d.,]+)\s*` + millilitre + `)$`)
	volumeOf = map[string]string{
		"three": "3", "drei": "3", "tres": "3", "trois": "3", "tre": "3",
		"ten": "10", "zehn": "10", "diez": "10", "dix": "10", "ti": "10",
		"fifteen": "15", "funfzehn": "15", "fuenfzehn": "15", "quince": "15", "quinze": "15", "femten": "15",
	}
)

// of finds the quantity in the i-th cell of a row. A volume that stands alone
// there belongs to the words of the whole row, and a limit to the words on its
// left. Where several volumes stand so, they are found in the first.
func (q *quantity) of(own []table.Cell, i int) []string {
	c := own[i]
	switch {
	case q.key == "volume" && isLone(own, i) && ofTheTest().MatchString(joined(own)):
		if all := lone(own); len(all) == 1 || all[0] == strings.TrimSpace(c.Text) {
			return all
		}
		return nil
	case q.key == "limit" && i > 0:
		if left := own[i-1].Text; beginsWith(q.find(), c.Text) && saysLimit().MatchString(left) && !q.not(mention{clause: left, sentence: left}) {
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
		Hint:  fmt.Sprintf("give the one that holds with --set %q", key+"="+inDigits(found[0])),
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
	if len(text) > longestVolume || strings.TrimSpace(quantities[0].find().FindString(text)) != text {
		return false
	}
	if i == 0 {
		return true
	}
	left := own[i-1]
	return strings.ContainsAny(left.Text, "0123456789") && !strings.HasSuffix(left.Text, ":") || statedProcedure(left) != nil
}

// longestVolume is the most bytes that a volume is written in: "fünfzehn Milliliter".
const longestVolume = 24

// ofTheTest finds the words that make the volume in a row that of the test.
var ofTheTest = pattern.Of(`(?i)wass|water|agua|\beau\b|vann|direct|direkt|beaker|b[eé]cher|vaso|beger|patch|pastille|pflaster|parche`)

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
		if said := find().FindString(c.Text); said != "" {
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
var saltBehind = pattern.Of(`(?i)\s+(?:as\s+|als\s+)?NaCl$`)

// inBase is the quantity in s in mg/m², mm² or ml, enough to compare two.
func inBase(s string) float64 {
	s = inDigits(s)
	v, unit, _ := cellNumber(strings.TrimLeft(saltBehind().ReplaceAllString(s, ""), "≤<= "))
	k := unitKey(unit)
	switch {
	case strings.HasPrefix(k, "ug/cm2"), strings.HasPrefix(k, "mcg/cm2"):
		return 10 * v // 1 µg/cm² is 10 mg/m²
	case k == "cm2":
		return 100 * v
	}
	return v
}
