package table

import (
	"iter"
	"strings"
	"unicode"
)

// Programs do not agree on whether they raise a row to what is broken into
// lines in it, so its height is reckoned here.
const (
	lineHeight  = 12.75 // points, of the usual size
	titleHeight = 21.0
	usualWidth  = 8.43 // of a column, in characters
	longestRow  = 409  // points that the format allows
)

// The width of a column is counted in digits of the usual size, which are 7
// pixels wide, 96 to the inch (ISO/IEC 29500-1, 18.3.1.13). Some room beside
// the text stays free; programs that leave more of it write closer.
const (
	digitWidth = 7 * 0.75 // points
	sideSpace  = 2.0
	indent     = 3 * 0.28 * textSize // what is wrapped stands in by three spaces
)

// height is that of a row in points; 0 for the usual one.
func height(l Line, widths []float64) float64 {
	most := 0.0
	for i, e := range l.Cells {
		text, _ := e.value.(string)
		if text == "" {
			continue
		}
		size, heavy, wrapped := e.Look.letters()
		one := lineHeight * size / textSize
		lines := 1
		if wrapped || e.Wrapped {
			room := usualWidth
			if i < len(widths) && widths[i] > 0 {
				room = widths[i]
			}
			free := room*digitWidth - sideSpace
			if e.Wrapped {
				free -= indent
			}
			lines = countLines(text, free/size, heavy || l.Bold)
		}
		switch {
		case e.Look == Title:
			most = max(most, titleHeight)
		case lines > 1:
			most = max(most, float64(lines)*one)
		}
	}
	return min(most, longestRow)
}

// countLines is how many lines a text fills when it is broken between words
// and behind hyphens, and inside what is longer than a line. Room is in sizes
// of the face.
func countLines(text string, room float64, heavy bool) int {
	lines := 0
	for part := range strings.SplitSeq(text, "\n") {
		lines++
		used, gap := 0.0, 0.0 // of the line; of the space behind it
		for word := range breakable(part) {
			wide := 0.0
			for _, r := range strings.TrimSuffix(word, " ") {
				wide += runeWidth(r, heavy)
			}
			if used > 0 && used+gap+wide > room {
				lines++
				used, gap = 0, 0
			}
			for used += gap + wide; used > room && room > 0; used -= room {
				lines++
			}
			gap = 0
			if strings.HasSuffix(word, " ") {
				gap = runeWidth(' ', heavy)
			}
		}
	}
	return lines
}

// breakable cuts a text behind every space, and behind every hyphen between
// letters.
func breakable(text string) iter.Seq[string] {
	return func(yield func(string) bool) {
		start := 0
		letter := func(i int) bool { return i < len(text) && (isLetter(text[i]) || text[i] >= 0x80) }
		for i := range len(text) {
			if text[i] != ' ' && (text[i] != '-' || i == 0 || !letter(i-1) || !letter(i+1)) {
				continue
			}
			if !yield(text[start : i+1]) {
				return
			}
			start = i + 1
		}
		if start < len(text) {
			yield(text[start:])
		}
	}
}

// runeWidth is the width of a character of the face, in sizes of it. The
// widths are those of Liberation Sans, which are those of Arial.
func runeWidth(r rune, heavy bool) float64 {
	switch {
	case strings.ContainsRune("ijl'|", r):
		return 0.25
	case strings.ContainsRune(" .,:;!/\\ftI[]", r):
		return 0.28
	case strings.ContainsRune("()-r{}`*\"“”²³·", r):
		return 0.36
	case strings.ContainsRune("mM%½", r):
		return 0.87
	case strings.ContainsRune("W@—…→▲▼", r):
		return 1
	case strings.ContainsRune("FLTZ", r):
		return 0.61
	case heavy && strings.ContainsRune("bdghnopqu?", r):
		return 0.615
	case !heavy && strings.ContainsRune("cksvxyzJ", r):
		return 0.5
	case r == 'w' || strings.ContainsRune("CDHNRUGOQ", r):
		return 0.75
	case unicode.IsUpper(r):
		return 0.67
	}
	return 0.56
}
