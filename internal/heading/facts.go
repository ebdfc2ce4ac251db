package heading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// factColumns are our columns of the readings that a title row may give for
// the whole sheet.
var factColumns = []string{
	"date", "inspector", "meter", "volume", "injected", "patch area", "patch kind", "patch",
	"limit", "area", "water", "compensated", "substrate", "size",
}

// titleFacts are what title rows say.
func (l *layout) titleFacts(rows []table.Row) []Fact {
	var facts []Fact
	for _, r := range rows {
		own := ownCells(r)
		for i, c := range own {
			for _, part := range segments(c.Text) {
				f, ok := l.keyed(own, i, part)
				if ok && !slices.Contains(facts, f) {
					facts = append(facts, f)
				}
			}
		}
		for _, f := range areasOfRow(r) {
			if !slices.Contains(facts, f) {
				facts = append(facts, f)
			}
		}
	}
	for _, f := range l.freeFacts(rows) {
		if !slices.ContainsFunc(facts, func(o Fact) bool { return o.Key == f.Key && o.Pos == f.Pos }) {
			facts = append(facts, f)
		}
	}
	slices.SortStableFunc(facts, func(a, b Fact) int { return a.Pos.Compare(b.Pos) })
	return facts
}

// gap parts several facts in one cell.
var gap = regexp.MustCompile(`\s*[\n;|]\s*|\s{3,}`)

func segments(s string) []string { return gap.Split(strings.TrimSpace(s), -1) }

// keyed reads "Date: 11.03.2025" in one cell, "Date:" or "Date" with its value
// in the next, and "Meter no. 4711".
func (l *layout) keyed(own []table.Cell, i int, part string) (Fact, bool) {
	c := own[i]
	if k, v, ok := strings.Cut(part, ":"); ok {
		key, unit := factKey(k)
		if key == "" {
			return Fact{}, false
		}
		if v = strings.TrimSpace(v); v != "" {
			return fact(key, v, unit, c)
		}
	}
	if key, unit := factKey(strings.TrimRight(part, ": ")); key != "" {
		if i+1 == len(own) || strings.HasSuffix(own[i+1].Text, ":") {
			return Fact{}, false
		}
		if next, _ := factKey(own[i+1].Text); next != "" {
			return Fact{}, false
		}
		return fact(key, oneLine(own[i+1].Text), unit, own[i+1])
	}
	fields := strings.Fields(part)
	for n := min(4, len(fields)-1); n >= 1; n-- {
		key, unit := factKey(strings.Join(fields[:n], " "))
		value := fields[n:]
		if fold(value[0]) == "no" && len(value) > 1 {
			value = value[1:] // "Instrument no. 4711"
		}
		rest := strings.Join(value, " ")
		if key == "" || key == "area" || !strings.ContainsAny(rest, "0123456789") || len(value) > 3 {
			continue
		}
		return fact(key, rest, unit, c)
	}
	return Fact{}, false
}

// factKey is the column or job key that a title cell names, with the unit that
// it gives: "Volume (ml)". Only certain wordings count here, where no values
// in a column bear out a doubtful one.
func factKey(s string) (key, unit string) {
	l := takeApart(s)
	for _, m := range words().tables["title"].means(l.name) {
		if m.doubt == certain {
			return m.column, l.unit
		}
	}
	var named []string
	for _, m := range words().tables["readings"].means(l.name) {
		if m.doubt == certain && slices.Contains(factColumns, m.column) {
			named = append(named, m.column)
		}
	}
	if len(named) == 1 {
		return named[0], l.unit
	}
	return "", ""
}

// fact makes the fact, if the value can be one of its key.
func fact(key, value, unit string, c table.Cell) (Fact, bool) {
	f := Fact{Key: key, Text: value, Pos: c.Pos}
	if strings.Contains(value, "___") {
		return Fact{}, false
	}
	switch key {
	case "date":
		if c.Kind == table.Date {
			return f, isDate(c)
		}
		f.Text = strings.TrimSpace(wholeDate.FindString(value))
		return f, f.Text != ""
	case "area":
		if _, rest, ok := cellNumber(value); ok && rest != "" {
			return Fact{}, false // a size, not a name
		}
		f.Text = withoutDescription(value)
	case "volume", "injected", "patch area", "limit", "size":
		for _, q := range quantities {
			if q.key == key || q.key == "volume" && key == "injected" {
				if m := q.find.FindString(value); m != "" {
					f.Text = strings.TrimSpace(m)
					return f, true
				}
			}
		}
		_, rest, ok := cellNumber(value)
		if ok && rest == "" && unit != "" {
			f.Text += " " + unit
		}
		return f, ok && (key != "patch area" || rest == "" || unitClass(rest) == "patch area")
	}
	return f, true
}

// limitBelow is the limit that stands below the results, in their unit.
func limitBelow(es []*entry, row table.Row) []Fact {
	for _, e := range es {
		c, ok := cellAt(row, e.col)
		if !ok || e.column != "recorded" && e.column != "limit" {
			continue
		}
		if _, unit, ok := cellNumber(c.Text); ok {
			f := Fact{"limit", c.Text, c.Pos}
			if unit == "" && e.unit != "" {
				f.Text += " " + e.unit
			}
			return []Fact{f}
		}
	}
	return nil
}

// wholeDate finds a date with its year among other words: "Tue 11.03.2025".
var wholeDate = regexp.MustCompile(`(?i)\b(?:\d{1,4}[./-]\s?\d{1,2}[./-]\s?\d{2,4}|` +
	`\d{1,2}(?:st|nd|rd|th|\.)?[\s-]*(?:de\s+)?(?:` + months + `)\p{L}*\.?[\s,-]*(?:de\s+)?\d{2,4}|` +
	`(?:` + months + `)\p{L}*\.?\s+\d{1,2},?\s+\d{4})\b`)

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
		regexp.MustCompile(`(?i)vol|wass|water|agua|\beau\b|vann`),
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

var putIn = regexp.MustCompile(`(?i)inject|inyect|eingespritzt|injisert|injiziert`)

// freeFacts reads volume, patch area and limit out of the words of rows, such
// as "Vol. of water 15 ml, patch 1250 mm²". Two values of one quantity in a
// cell settle nothing and are reported.
func (l *layout) freeFacts(rows []table.Row) []Fact {
	var facts []Fact
	for _, r := range rows {
		for _, c := range ownCells(r) {
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

// areasOfRow are the areas that a title row names: one, or one above each of
// several tables side by side.
func areasOfRow(row table.Row) []Fact {
	if f, ok := areaOfRow(row); ok {
		return []Fact{f}
	}
	var all []Fact
	for _, c := range ownCells(row) {
		a := areaName(c.Text)
		if a == "" {
			return nil
		}
		all = append(all, Fact{"area", a, c.Pos})
	}
	return all
}

// areaOfRow recognises the title of a stacked area: "Area B – gate leaf",
// "Tank 3", "Bereich: Torblatt".
func areaOfRow(row table.Row) (Fact, bool) {
	own := ownCells(row)
	if len(own) == 0 || len(own) > 2 {
		return Fact{}, false
	}
	c := own[0]
	if k, v, ok := strings.Cut(c.Text, ":"); ok {
		if key, _ := factKey(k); key == "area" && strings.TrimSpace(v) != "" {
			return fact("area", strings.TrimSpace(v), "", c)
		}
	}
	if key, _ := factKey(strings.TrimRight(c.Text, ": ")); key == "area" && len(own) == 2 {
		return fact("area", oneLine(own[1].Text), "", own[1])
	}
	if a := areaName(c.Text); a != "" && len(own) == 1 {
		return Fact{"area", a, c.Pos}, true
	}
	return Fact{}, false
}

// areaName is the area that a title names: "B" for "Area B – gate leaf", "Tank
// 3" for "Tank 3 (port)". A word that means no more than area is left out, as
// it is in a column of areas.
func areaName(s string) string {
	head := withoutDescription(s)
	fields := strings.Fields(head)
	if len(fields) < 2 || len(fields) > 3 {
		return ""
	}
	id := fields[len(fields)-1]
	if !isMark(id) {
		return ""
	}
	kindOfPart := fold(strings.Join(fields[:len(fields)-1], " "))
	kindOfPart = strings.TrimSuffix(kindOfPart, " no")
	for _, m := range words().tables["readings"].means(kindOfPart) {
		if m.column != "area" || m.doubt == lying {
			continue
		}
		switch kindOfPart {
		case "area", "bereich", "flache", "zona", "zone", "omrade", "sone":
			return id
		}
		if m.doubt == certain {
			return strings.Join(fields, " ")
		}
	}
	return ""
}

// isMark reports whether s is what areas are numbered or lettered with.
func isMark(s string) bool {
	if len(s) > 8 {
		return false
	}
	letters, digits := 0, 0
	for _, r := range s {
		switch {
		case unicode.IsDigit(r):
			digits++
		case unicode.IsUpper(r):
			letters++
		case !strings.ContainsRune("-./", r):
			return false
		}
	}
	return digits > 0 || letters > 0 && letters <= 3
}

var description = regexp.MustCompile(`\s+[–—-]\s.*|\s*[–—]\s.*|\s*[(:,].*`)

// withoutDescription cuts what follows a dash, a colon, a comma or a bracket.
func withoutDescription(s string) string {
	return strings.TrimSpace(description.ReplaceAllString(oneLine(s), ""))
}

// nameFacts takes area and date from the name of the sheet where nothing in
// the block gives them: one sheet an area, one sheet a day.
func (l *layout) nameFacts() {
	area := areaName(l.sheet.Name)
	dated := dateText.MatchString(l.sheet.Name) && strings.ContainsAny(l.sheet.Name, "0123456789")
	for i := range l.out {
		b := &l.out[i]
		if b.Table != "readings" && b.Table != "ambient" {
			continue
		}
		if area != "" && !b.has("area") && b.Table == "readings" {
			b.Facts = append(b.Facts, Fact{"area", area, l.place()})
		}
		if dated && !b.has("date") {
			b.Facts = append(b.Facts, Fact{"date", l.sheet.Name, l.place()})
		}
	}
}

// place is the sheet as a whole.
func (l *layout) place() diag.Pos {
	for _, r := range l.sheet.Rows {
		for _, c := range r.Cells {
			if !c.Pos.IsZero() {
				return diag.Pos{File: c.Pos.File, Sheet: c.Pos.Sheet}
			}
		}
	}
	return diag.Pos{Sheet: l.sheet.Name}
}

// has reports whether a column or a fact of b gives key.
func (b *Block) has(key string) bool {
	return slices.ContainsFunc(b.Columns, func(c Column) bool { return c.Name == key }) || b.spoken(key)
}

// spoken reports whether a fact of b gives key.
func (b *Block) spoken(key string) bool {
	return slices.ContainsFunc(b.Facts, func(f Fact) bool { return f.Key == key })
}
