package heading

import (
	"slices"
	"strings"

	"saltline/internal/pattern"
	"saltline/internal/table"
)

// bareDate is the date that stands in the titles without a heading of its own:
// alone, or after words that speak of the day, as in "Night shift 14.10.2025".
// Two of them settle nothing.
func bareDate(rows []table.Row, known []Fact) []Fact {
	if slices.ContainsFunc(known, func(f Fact) bool { return f.Key == "date" }) {
		return nil
	}
	var found []Fact
	for _, r := range rows {
		before := "" // what stands in front: the cell on the left, or the part before
		for _, c := range ownCells(r) {
			if c.Kind == table.Date {
				if isDate(c) && isDayAfter(before) {
					found = append(found, Fact{"date", oneLine(c.Text), c.Pos})
				}
				before = c.Text
				continue
			}
			for _, part := range segments(c.Text) {
				at := wholeDate().FindStringIndex(part)
				switch {
				case at == nil:
				case strings.TrimSpace(part[:at[0]]) != "":
					if words := part[:at[0]]; ofTheDay().MatchString(words) && !ofThePaper().MatchString(words) {
						found = append(found, Fact{"date", strings.TrimSpace(part[at[0]:at[1]]), c.Pos})
					}
				case at[1] == len(part) && isDayAfter(before):
					found = append(found, Fact{"date", strings.TrimSpace(part), c.Pos})
				}
				before = part
			}
		}
	}
	if len(found) != 1 {
		return nil
	}
	return found
}

// isDayAfter reports whether a date behind these words can be the day of the
// tests: there are none, or they name a shift or the like. "Cal. due" makes it
// another date, and so does every word that is not known.
func isDayAfter(words string) bool {
	return words == "" || ofTheDay().MatchString(words) && !ofThePaper().MatchString(words) || ofTheShift().MatchString(words)
}

// ofTheShift finds a numbered shift: "Shift 2".
var ofTheShift = pattern.Of(`(?i)^(?:shift|schicht|skift|turno|equipe|équipe|poste)\s*\w{1,3}$`)

// ofTheDay finds the words before a date that make it the day of the tests.
var ofTheDay = pattern.Of(`(?i)(?:shift|schicht|skift|turno|equipe|équipe|poste|inspect|tested|survey|prüf|gemessen|messung|ensayo|essai|contr[oô]le|måling|målt|kontroll)\P{N}*$|^(?:le|el|am|den|on|day|tag|día|jour|dag)\s*$`)

// ofThePaper finds the words that make it the date of something else: of a
// form, a specification, a certificate.
var ofThePaper = pattern.Of(`(?i)(?:^|\P{L})(?:rev|issue|form|valid|cal|cert|due|proc|spec|plan|edition|standard|contract|ausgabe|stand|gültig|vertrag|utgave|gyldig|norma|vigen|edici|contrato|norme|indice|édition|marché|fiche)|anweisung|vorschrift|blatt|skjema|formular`)

// wholeDate finds a date with its year among other words: "Tue 11.03.2025".
var wholeDate = pattern.Of(`(?i)\b(?:\d{1,4}[./-]\s?\d{1,2}[./-]\s?\d{2,4}|` +
	`\d{1,2}(?:st|nd|rd|th|er|º|\.)?[\s-]*(?:de\s+)?(?:` + months + `)\p{L}*\.?[\s,-]*(?:de\s+)?\d{2,4}|` +
	`(?:` + months + `)\p{L}*\.?\s+\d{1,2},?\s+\d{4})\b`)

// ofAForm finds the words beside a revision that make it that of something else
// than the report: of a blank form, a procedure, a specification, a drawing.
var ofAForm = pattern.Of(`(?i)(?:^|\P{L})(?:forms?\b|form(?:ular|ulaire|ulario|blatt)|template|vordruck|vorlage|plantilla|modèle|mal\b|skjema|proc|spec|spez|spéc|espec|standard|norm|plan|itp|draw|dwg|zeichn|dibujo|plano|dessin|tegn|doc\b|qp\b|contract|vertrag)|anweisung|vorschrift`)

// shortMark is what tells one revision from another: "1", "B", "2a".
var shortMark = pattern.Of(`^(?:\d{1,2}\pL?|\pL\d?)$`)
