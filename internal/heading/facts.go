package heading

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/diag"
	"saltline/internal/pattern"
	"saltline/internal/table"
)

// factColumns are our columns of the readings that a title row may give for
// the whole sheet.
var factColumns = []string{
	"date", "inspector", "meter", "volume", "injected", "patch area", "patch kind", "patch",
	"limit", "area", "water", "compensated", "substrate", "size",
}

// titleFacts are what the title rows of a stretch say.
func (l *layout) titleFacts(s *stretch) []Fact {
	rows := s.titles
	var facts []Fact
	for _, r := range rows {
		own := ownCells(r)
		for i, c := range own {
			for _, part := range segments(c.Text) {
				found := l.said(own, i, part)
				if len(found) == 0 {
					for _, sentence := range sentences(part) {
						found = append(found, l.said(own, i, sentence)...)
					}
				}
				for _, f := range found {
					if !slices.Contains(facts, f) {
						facts = append(facts, f)
					}
				}
			}
		}
		for _, f := range areasOfRow(r) {
			if !slices.Contains(facts, f) {
				facts = append(facts, f)
			}
		}
	}
	facts = append(facts, bareDate(rows, facts)...)
	free, unclear := l.stated(rows)
	facts = slices.DeleteFunc(facts, func(f Fact) bool {
		// "Limit: 20 mg/m² in zone A; 50 mg/m² in zone B" is no limit of all.
		return f.Key == "limit" && slices.Contains(unclear, Fact{Key: f.Key, Pos: f.Pos})
	})
	for _, f := range free {
		if !slices.ContainsFunc(facts, func(o Fact) bool { return o.Key == f.Key && o.Pos == f.Pos }) {
			facts = append(facts, f)
		}
	}
	if s.table == "readings" {
		l.notTaken(rows, facts, unclear)
	}
	slices.SortStableFunc(facts, func(a, b Fact) int { return a.Pos.Compare(b.Pos) })
	return facts
}

// said are the facts of one part of a cell.
func (l *layout) said(own []table.Cell, i int, part string) []Fact {
	found := l.keyed(own, i, part)
	if len(found) == 0 {
		found = phrases(own[i], part)
	}
	return slices.DeleteFunc(found, func(f Fact) bool { return f.Key == "revision" && ofAForm().MatchString(joined(own)) })
}

// gap parts several facts in one cell.
var gap = pattern.Of(`\s*[\n;|]\s*|\s{3,}|\s+/\s+`)

func segments(s string) []string { return gap().Split(strings.TrimSpace(s), -1) }

// sentences parts a text at the stops that end a sentence: behind a long word
// or a number, and before a capital. A text of one has none.
func sentences(s string) []string {
	parted := fullStop().ReplaceAllString(s, "$1\n$2")
	if parted == s {
		return nil
	}
	return strings.Split(parted, "\n")
}

var fullStop = pattern.Of(`(\p{L}{4}|\d{2})\.\s+(\p{Lu})`)

// cutKey is strings.Cut at the first colon that is not one of a clock.
func cutKey(s string) (key, value string, ok bool) {
	at := keyEnd().FindStringIndex(s)
	if at == nil {
		return s, "", false
	}
	colon := at[0] + strings.Index(s[at[0]:at[1]], ":")
	return s[:colon], s[colon+1:], true
}

var keyEnd = pattern.Of(`(?:^|\D):|:(?:\D|$)`)

// keyed reads "Date: 11.03.2025" in one cell, and "Date:" or "Date" with its
// value in the next.
func (l *layout) keyed(own []table.Cell, i int, part string) []Fact {
	c := own[i]
	if k, v, ok := cutKey(part); ok {
		key, unit := factKey(k)
		v = strings.TrimSpace(v)
		switch {
		case key == "" || maybeCount(k, v, unit):
			return nil
		case v != "":
			// "Meter S/N: 4711, temperature compensation on" says two things.
			if head, rest, ok := strings.Cut(v, ", "); ok {
				if more := phrases(c, rest); len(more) > 0 {
					return append(fact(key, head, unit, c), more...)
				}
			}
			return fact(key, v, unit, c)
		}
	}
	key, unit := factKey(strings.TrimRight(part, ": "))
	if key == "" || i+1 == len(own) || strings.HasSuffix(own[i+1].Text, ":") {
		return nil
	}
	if next, _ := factKey(own[i+1].Text); next != "" || maybeCount(part, own[i+1].Text, unit) {
		return nil
	}
	return fact(key, oneLine(own[i+1].Text), unit, own[i+1])
}

// maybeCount reports whether a number beside a word of acceptance may count
// tests, or name one, rather than be a limit: "Acceptance: 12", "Acceptance:
// test 7, 42 mg/m²".
func maybeCount(key, value, unit string) bool {
	if unit != "" || saysLimit().MatchString(key) || !ofAcceptance().MatchString(strings.TrimRight(key, ": ")+":") {
		return false
	}
	at := strings.IndexAny(value, "0123456789")
	if at < 0 {
		return false
	}
	_, rest, ok := cellNumber(strings.TrimSpace(value[at:]))
	return ok && rest == "" || !slices.ContainsFunc(quantities, func(q quantity) bool {
		return q.key == "limit" && beginsWith(q.find(), value[at:])
	})
}

// phrases reads facts that follow their word without a colon, one between
// each two commas: "Tested by N. Fairweather, meter no. 4711".
func phrases(c table.Cell, part string) []Fact {
	var facts []Fact
	for phrase := range strings.SplitSeq(part, ", ") {
		if k, v, ok := cutKey(phrase); ok {
			if key, unit := factKey(k); key != "" && strings.TrimSpace(v) != "" && !maybeCount(k, v, unit) {
				facts = append(facts, fact(key, strings.TrimSpace(v), unit, c)...)
			}
			continue
		}
		fields := strings.Fields(phrase)
		for n := min(4, len(fields)-1); n >= 1; n-- {
			key, unit := factKey(strings.Join(fields[:n], " "))
			value := fields[n:]
			for len(value) > 1 && isNumberWord(value[0]) {
				value = value[1:] // "Instrument no. 4711"
			}
			rest := strings.Join(value, " ")
			said := strings.ContainsAny(rest, "0123456789")
			switch key {
			case "inspector":
				said = isName(value)
			case "compensated":
				said = isSwitch(rest)
			case "procedure":
				at := procedureWord().FindStringIndex(rest)
				said = at != nil && at[0] == 0 && len(statedProcedure(c)) == 0 // "Verfahren direkt"
			}
			if key == "" || key == "area" || len(value) > 3 || !said {
				continue
			}
			facts = append(facts, fact(key, rest, unit, c)...)
			break
		}
	}
	return facts
}

// isNumberWord reports whether s only says that a number follows.
func isNumberWord(s string) bool {
	switch fold(s) {
	case "no", "s n", "sn", "serial", "ser", "serie", "serien":
		return true
	}
	return false
}

// isSwitch reports whether a word says on or off: "Temperature compensation on".
func isSwitch(s string) bool {
	switch fold(s) {
	case "on", "off", "ein", "aus", "an", "activada", "desactivada", "active", "activee", "desactivee", "pa", "av":
		return true
	}
	return false
}

// isName reports whether words are written as the name of a person is.
func isName(fields []string) bool {
	for _, f := range fields {
		if r, _ := utf8.DecodeRuneInString(f); !unicode.IsUpper(r) || words().is(f, "signature") {
			return false
		}
	}
	return len(fields) > 0
}

// factKey is the column or job key that a title cell names, with the unit that
// it gives: "Volume (ml)". Only certain wordings count here, where no values
// in a column bear out a doubtful one.
func factKey(s string) (key, unit string) {
	l := takeApart(s)
	l.name = ofTheHour().ReplaceAllString(l.name, "")
	title, readings := words().tables["title"], words().tables["readings"]
	for _, m := range title.means(l.name) {
		if m.doubt == certain {
			return m.column, l.unit
		}
	}
	meanings := readings.means(l.name)
	if meanings == nil {
		meanings = readings.numbered(l.name)
	}
	var named []string
	for _, m := range meanings {
		if l.class == "patch area" && m.column == l.class {
			return m.column, l.unit // the unit tells the patch from its size
		}
		if m.doubt == certain && slices.Contains(factColumns, m.column) {
			named = append(named, m.column)
		}
	}
	if len(named) == 1 {
		return named[0], l.unit
	}
	return "", ""
}

// ofTheHour finds the time that stands with a key: "Blank of the day (07:30)".
var ofTheHour = pattern.Of(`\s*\([^()]*\d[:.h]\d\d[^()]*\)`)

// fact makes the fact, or none where the value cannot be one of its key.
func fact(key, value, unit string, c table.Cell) []Fact {
	if key == "volume" && putIn().MatchString(c.Text) {
		key = "injected"
	}
	f := Fact{Key: key, Text: value, Pos: c.Pos}
	if strings.Contains(value, "___") {
		return nil
	}
	switch key {
	case "date":
		if c.Kind == table.Date {
			if !isDate(c) {
				return nil
			}
			break
		}
		if f.Text = strings.TrimSpace(wholeDate().FindString(value)); f.Text == "" {
			return nil
		}
	case "blank":
		if _, rest, ok := cellNumber(value); !ok || unitClass(cmp.Or(rest, unit)) != "conductivity" {
			return nil
		} else if rest == "" {
			f.Text += " " + unit
		}
	case "area":
		if _, rest, ok := cellNumber(value); ok && rest != "" {
			return nil // a size, not a name
		}
		f.Text = withoutDescription(value)
	case "volume", "injected", "patch area", "limit", "size":
		for _, q := range quantities {
			if q.key == key || q.key == "volume" && key == "injected" {
				// The key is the word that is wanted beside it.
				if found := q.in(q.key+": "+value, q.key); len(found) > 0 {
					f.Text = inDigits(found[0])
					return []Fact{f}
				}
			}
		}
		_, rest, ok := cellNumber(value)
		switch class := unitClass(rest); {
		case !ok, wholeDate().MatchString(value):
			return nil
		case key == "patch area" && rest != "" && class != "patch area":
			return nil
		case key == "limit" && rest != "" && class != "density" && class != "concentration":
			return nil // "Max: 85 % RH" is a limit of something else
		}
		if rest == "" && unit != "" {
			f.Text += " " + unit
		}
	case "procedure":
		if f.Text = strings.TrimSpace(firstPart().FindString(value)); !procedureWord().MatchString(f.Text) {
			return nil // the number of a standard
		}
	case "contact time":
		_, rest, ok := cellNumber(value)
		if !ok || rest != "" && unitClass(rest) != "clock" {
			return nil
		}
		if rest == "" && unit != "" {
			f.Text += " " + unit
		}
	case "revision":
		f.Text = strings.TrimSpace(firstPart().FindString(value)) // "1, issued in March"
		if !shortMark().MatchString(f.Text) {
			return nil
		}
	case "meter":
		f.Text = strings.TrimSpace(firstPart().FindString(value)) // "LB-77, calibrated in March"
	}
	return []Fact{f}
}

// single is the first of facts.
func single(facts []Fact) (Fact, bool) {
	if len(facts) == 0 {
		return Fact{}, false
	}
	return facts[0], true
}

// firstPart is what stands before a comma, a semicolon or a bracket.
var firstPart = pattern.Of(`^[^,;(]+`)

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

// nameFacts takes area and date from the name of the sheet where nothing in
// the block gives them: one sheet an area, one sheet a day.
func (l *layout) nameFacts() {
	area := areaName(l.sheet.Name)
	dated := dateText().MatchString(l.sheet.Name) && strings.ContainsAny(l.sheet.Name, "0123456789")
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
		for _, c := range r.Cells() {
			if !c.Pos.IsZero() {
				return c.Pos.At(0, 0)
			}
		}
	}
	return diag.In("", l.sheet.Name)
}

// has reports whether a column or a fact of b gives key.
func (b *Block) has(key string) bool {
	return slices.ContainsFunc(b.Columns, func(c Column) bool { return c.Name == key }) || b.spoken(key)
}

// spoken reports whether a fact of b gives key.
func (b *Block) spoken(key string) bool {
	return slices.ContainsFunc(b.Facts, func(f Fact) bool { return f.Key == key })
}
