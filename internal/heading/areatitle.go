package heading

import (
	"slices"
	"strings"
	"unicode"

	"saltline/internal/pattern"
	"saltline/internal/table"
)

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
			return single(fact("area", strings.TrimSpace(v), "", c))
		}
	}
	if key, _ := factKey(strings.TrimRight(c.Text, ": ")); key == "area" && len(own) == 2 {
		return single(fact("area", oneLine(own[1].Text), "", own[1]))
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

var description = pattern.Of(`\s+[–—-]\s.*|\s*[–—]\s.*|\s*[(:,].*`)

// withoutDescription cuts what follows a dash, a colon, a comma or a bracket.
func withoutDescription(s string) string {
	return strings.TrimSpace(description().ReplaceAllString(oneLine(s), ""))
}

// continued is what a title says that goes on from another page.
var continued = pattern.Of(`(?i)\b(?:cont(?:d|inued|inuaci[oó]n)?|ctd|forts(?:etzung)?|suite|forts\.?)\b\.?`)

// tellAreasApart spells the titles of areas in full where what was cut off
// them is all that tells one from another: "Tank 5, floor" and "Tank 5, roof"
// are two areas, and their tests must not be counted as one's.
func (l *layout) tellAreasApart() {
	whole := map[string][]string{} // the different titles, by the name cut out of them
	title := func(f Fact) string {
		text := ""
		for _, r := range l.sheet.Rows {
			if r.Number == f.Pos.Row() {
				text = oneLine(r.Cell(f.Pos.Col()).Text)
			}
		}
		if _, v, ok := strings.Cut(text, ":"); ok {
			text = strings.TrimSpace(v)
		}
		return text
	}
	each := func(do func(f *Fact, name, full string)) {
		for i := range l.out {
			for j := range l.out[i].Facts {
				f := &l.out[i].Facts[j]
				full := title(*f)
				if f.Key != "area" || full == "" || withoutDescription(full) == full || continued().MatchString(full) {
					continue
				}
				do(f, fold(f.Text), full)
			}
		}
	}
	each(func(_ *Fact, name, full string) {
		if !slices.Contains(whole[name], fold(full)) {
			whole[name] = append(whole[name], fold(full))
		}
	})
	each(func(f *Fact, name, full string) {
		if len(whole[name]) > 1 {
			f.Text = full
		}
	})
}
