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
	near *regexp.Regexp // a word that must stand in the same cell; nil for none
}

var quantities = []quantity{
	{
		"volume",
		regexp.MustCompile(`(?i)\b\d{1,2}(?:[.,]\d+)?\s*(?:ml|ccm|cc|cm3|cm³)(?:\b|$)`),
		regexp.MustCompile(`(?i)\bV\s*=|vol|wass|water|agua|\beau\b|vann|in[jy]e[ck]t|injis|injiz|eingespritzt|direct|direkt|beaker|b[eé]cher|beger|patch|pastille|pflaster|parche`),
	},
	{
		"patch area",
		regexp.MustCompile(`(?i)\b(?:\d{3,4}|\d(?:[ .,’'\x{a0}]?)\d{3}|\d{1,2}[.,]\d{1,2})(?:[.,]0+)?\s*(?:mm|cm)\s?(?:\^?2|²)`),
		nil,
	},
	{
		"limit",
		regexp.MustCompile(`(?i)(?:[≤<]=?\s*)?\b\d+(?:[.,]\d+)?\s*(?:mg|[µμu]g|mcg)\s?/\s?(?:m|cm|sq\.?\s?m|sq\.?\s?cm)\s?(?:\^?2|²)?(?:\s+(?:as\s+|als\s+)?NaCl)?`),
		regexp.MustCompile(`(?i)limit|≤|<=|\bmax|criteri|requirement|grenz|anforderung|zulässig|límite|admisible|requisito|limite|seuil|exigence|grense|krav|maks|tillatt`),
	},
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
// as "Vol. of water 15 ml, patch 1250 mm²". Two values of one quantity in a
// cell settle nothing and are reported.
func (l *layout) freeFacts(rows []table.Row) []Fact {
	var facts []Fact
	for _, r := range rows {
		for _, c := range ownCells(r) {
			facts = append(facts, statedProcedure(c)...)
			for _, q := range quantities {
				if q.near != nil && !q.near.MatchString(c.Text) {
					continue
				}
				found := different(q.find.FindAllString(c.Text, -1))
				key := q.key
				if key == "volume" && putIn.MatchString(c.Text) {
					key = "injected"
				}
				switch len(found) {
				case 0:
				case 1:
					facts = append(facts, Fact{key, strings.TrimSpace(found[0]), c.Pos})
				default:
					l.ds = append(l.ds, diag.Diagnostic{
						Pos:   c.Pos,
						Level: diag.Problem,
						Check: "title-unclear",
						Msg:   fmt.Sprintf("found %s in a title row, but wanted one %s", strings.Join(found, " and "), q.key),
						Hint:  fmt.Sprintf("give the one that holds with --set %q", q.key+"="+strings.TrimSpace(found[0])),
					})
				}
			}
		}
	}
	return facts
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

// inBase is the quantity in s in mg/m², mm² or ml, enough to compare two.
func inBase(s string) float64 {
	v, unit, _ := cellNumber(strings.TrimLeft(s, "≤<= "))
	k := unitKey(unit)
	switch {
	case strings.HasPrefix(k, "ug/cm2"), strings.HasPrefix(k, "mcg/cm2"):
		return 10 * v // 1 µg/cm² is 10 mg/m²
	case k == "cm2":
		return 100 * v
	}
	return v
}
