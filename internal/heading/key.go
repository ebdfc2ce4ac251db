package heading

import "strings"

// Key returns the key of the job, or the column of the readings, that a text
// names in any of the five languages, with the unit that stands with it:
// "Volumen (ml)" gives "volume" and "ml". The number of a limit goes with it:
// "Grenzwert 2" gives "limit 2". It returns "" where it names none.
func Key(text string) (key, unit string) {
	if key, unit = oneKey(text); key != "" {
		return key, unit
	}
	l := takeApart(text)
	name, number, ok := cutNumber(l.name)
	if !ok {
		return "", ""
	}
	if key, _ = oneKey(name); key == "limit" || strings.HasPrefix(key, "limit ") {
		return key + " " + number, l.unit
	}
	return "", ""
}

func oneKey(text string) (key, unit string) {
	if key, unit = factKey(text); key != "" {
		return key, unit
	}
	l := takeApart(text)
	for _, m := range words().terms.means(l.name) {
		return m.column, l.unit // no wording means two of them
	}
	return "", ""
}

// cutNumber parts a number of one or two digits from the words before it.
func cutNumber(text string) (words, number string, ok bool) {
	i := strings.LastIndex(text, " ")
	if i < 0 || len(text)-i > 3 || strings.Trim(text[i+1:], "0123456789") != "" || strings.HasPrefix(text[i+1:], "0") {
		return "", "", false
	}
	return text[:i], text[i+1:], true
}
