package unit

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// A DateReading is one way to read a text as a date, and the order of parts
// that it supposes. Order is OrderNotStated where the day does not hang on
// it: a month in words, ISO 8601, a spreadsheet's day number, 03/03/2025.
type DateReading struct {
	Date  Date
	Order DateOrder
}

// ParseDate returns every day that text can mean: day first, month first or
// year first; ISO 8601; a month in words in English, German, Spanish,
// French or Norwegian; two-digit years, 80–99 being of the last century; no
// year at all ("4-Mar"); a spreadsheet's day number ("45 720"). More than one
// reading is a question, which the caller's date order settles.
func ParseDate(text string) ([]DateReading, error) {
	if len(text) > longestText {
		return nil, fmt.Errorf("a text of %d bytes is not a date", len(text))
	}
	found := datesOf(text)
	if len(found) == 0 {
		return nil, fmt.Errorf("%q is not a date", text)
	}
	return found, nil
}

// datesOf is what text can mean; nothing where it is no date.
func datesOf(text string) (found []DateReading) {
	s := dropWeekday(strings.ToLower(trim(text)))
	if strings.ContainsAny(s, grouping) {
		if serial := dropGrouping.Replace(s); len(serial) == 5 && isDigits(serial) {
			s = serial
		}
	}
	parts, word := dateParts(make([]string, 0, 4), s)
	add := func(order DateOrder, year, month, day string) {
		d, ok := makeDate(year, month, day)
		i := slices.IndexFunc(found, func(r DateReading) bool { return r.Date == d })
		switch {
		case ok && i < 0:
			found = append(found, DateReading{d, order})
		case ok: // 03/03/2025: the same day in either order
			found[i].Order = OrderNotStated
		}
	}
	switch {
	case word >= 0:
		wordedDate(parts, word, add)
	case len(parts) == 3 && len(parts[0]) == 4:
		add(OrderNotStated, parts[0], parts[1], parts[2])
	case len(parts) == 3:
		add(DMY, parts[2], parts[1], parts[0])
		add(MDY, parts[2], parts[0], parts[1])
		if isoShort(s) {
			add(YMD, parts[0], parts[1], parts[2])
		}
	case len(parts) == 2:
		add(DMY, "", parts[1], parts[0])
		add(MDY, "", parts[0], parts[1])
	case len(parts) == 1 && len(s) == 8 && parts[0] == s: // ISO 8601 basic
		add(OrderNotStated, s[:4], s[4:6], s[6:])
	case len(parts) == 1 && len(s) == 5 && parts[0] == s: // days of the 1900 system, 1955 to 2119
		if n := number(s); n >= 20000 && n < 80000 {
			found = append(found, DateReading{Date{1899, 12, 30}.Add(n), OrderNotStated})
		}
	}
	return found
}

// isoShort reports whether s is written as ISO 8601 once allowed with two
// digits of the year: 25-03-11. Nobody puts the year first in 11/3/25 or
// 11.3.25 (common practice).
func isoShort(s string) bool {
	return len(s) == 8 && s[2] == '-' && s[5] == '-'
}

// grouping are the spaces that a grouped number has, and dropGrouping takes
// them out.
const grouping = " \u00a0\u202f"

var dropGrouping = strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "")

// isDigits reports whether s is all digits.
func isDigits(s string) bool {
	for i := range len(s) {
		if !isDigit(rune(s[i])) {
			return false
		}
	}
	return true
}

// wordedDate adds the readings of a date whose month, parts[word], is a name.
func wordedDate(parts []string, word int, add func(order DateOrder, year, month, day string)) {
	month := fmt.Sprint(monthNumber(parts[word]))
	rest := slices.Delete(slices.Clone(parts), word, word+1)
	switch {
	case len(rest) == 1 && len(rest[0]) <= 2:
		add(OrderNotStated, "", month, rest[0])
	case len(rest) == 2 && len(rest[0]) == 4:
		add(OrderNotStated, rest[0], month, rest[1])
	case len(rest) == 2:
		add(OrderNotStated, rest[1], month, rest[0])
		if len(rest[1]) <= 2 && word == 1 && number(rest[0]) > 31 {
			add(OrderNotStated, rest[0], month, rest[1])
		}
	}
}

// dateParts splits s into its numbers and words, which it appends to none, and
// tells which part is the name of a month (−1: none). It returns no parts for
// anything else.
func dateParts(none []string, s string) (parts []string, word int) {
	if strings.Contains(s, ":") || strings.HasPrefix(s, "-") {
		return nil, -1
	}
	parts, word = none, -1
	for f := range strings.FieldsFuncSeq(s, betweenParts) {
		f = dropOrdinal(f)
		switch {
		case isDigits(f) && len(f) <= 8:
			parts = append(parts, f)
		case f == "de" || f == "of" || f == "del": // 11 de marzo de 2025
		case monthNumber(f) > 0 && word < 0:
			word = len(parts)
			parts = append(parts, f)
		default:
			return splitGluedMonth(strings.TrimFunc(s, betweenParts))
		}
	}
	return parts, word
}

// betweenParts reports whether r may stand between the parts of a date.
func betweenParts(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("./-–,'’_", r) }

// splitGluedMonth reads the one glued form in use, "11Mar2025".
func splitGluedMonth(f string) (parts []string, word int) {
	if strings.ContainsFunc(f, betweenParts) {
		return nil, -1
	}
	f = dropOrdinal(f)
	i := strings.IndexFunc(f, unicode.IsLetter)
	j := strings.LastIndexFunc(f, unicode.IsLetter)
	if i <= 0 || i > 2 {
		return nil, -1
	}
	j += len(string([]rune(f[j:])[0]))
	day, month, year := f[:i], f[i:j], f[j:]
	if monthNumber(month) == 0 {
		return nil, -1
	}
	if year == "" {
		return []string{day, month}, 1
	}
	if !isDigits(year) {
		return nil, -1
	}
	return []string{day, month, year}, 1
}

// dropOrdinal turns 1st, 22nd, 3rd, 11th and 1er into their numbers.
func dropOrdinal(f string) string {
	for _, ending := range []string{"st", "nd", "rd", "th", "er", "º"} {
		if n, ok := strings.CutSuffix(f, ending); ok && n != "" && isDigits(n) {
			return n
		}
	}
	return f
}

// makeDate makes a date of digits, or reports that the calendar has none.
func makeDate(year, month, day string) (Date, bool) {
	if len(month) > 2 || len(day) > 2 || len(year) == 1 || len(year) == 3 || len(year) > 4 {
		return Date{}, false
	}
	d := Date{number(year), number(month), number(day)}
	switch {
	case len(year) == 2 && d.Year >= 80:
		d.Year += 1900
	case len(year) == 2:
		d.Year += 2000
	case len(year) == 4 && d.Year == 0:
		return Date{}, false
	}
	return d, d.Month > 0 && d.Day > 0 && d.Valid()
}

// number reads a few digits; "" is 0.
func number(digits string) int {
	n := 0
	for _, r := range digits {
		n = n*10 + int(r-'0')
	}
	return n
}
