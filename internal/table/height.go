package table

import (
	"strings"
	"unicode"
)

// Programs do not agree on whether they raise a row to what is broken into
// lines in it, so its height is reckoned here.
const (
	lineHeight  = 13.0 // points, of the usual size
	titleHeight = 21.0
	slack       = 2.0  // above the first and below the last line
	sideSpace   = 1.0  // characters of a column that no text reaches
	usualWidth  = 8.43 // of a column, in characters
	longestRow  = 409  // points that the format allows
)

// height is that of a row in points; 0 for the usual one.
func height(l Line, widths []float64) float64 {
	most := 0.0
	for i, e := range l.Cells {
		text, _ := e.value.(string)
		style := entryStyle{look: e.Look, bold: l.Bold, wrapped: e.Wrapped}.style()
		one := lineHeight * style.Font.Size / textSize
		if e.Look == Title {
			one = titleHeight
		}
		lines := 1
		if style.Alignment.WrapText {
			room := usualWidth
			if i < len(widths) && widths[i] > 0 {
				room = widths[i]
			}
			scale := style.Font.Size / textSize
			if style.Font.Bold {
				scale *= 1.08
			}
			lines = countLines(text, (room-sideSpace)/scale)
		}
		if text != "" && (lines > 1 || e.Look == Title) {
			most = max(most, float64(lines)*one+slack)
		}
	}
	return min(most, longestRow)
}

// countLines is how many lines a text fills when it is broken between words,
// and inside those that are longer than a line. Room is in widths of a digit.
func countLines(text string, room float64) int {
	lines := 0
	for part := range strings.SplitSeq(text, "\n") {
		lines++
		used := 0.0
		for word := range strings.FieldsSeq(part) {
			wide := 0.0
			for _, r := range word {
				wide += runeWidth(r)
			}
			switch {
			case used == 0:
				used = wide
			case used+runeWidth(' ')+wide <= room:
				used += runeWidth(' ') + wide
			default:
				lines++
				used = wide
			}
			for used > room && room > 0 {
				lines++
				used -= room
			}
		}
	}
	return lines
}

// runeWidth is the width of a character of the face, against that of a digit.
func runeWidth(r rune) float64 {
	switch {
	case strings.ContainsRune("ijl'|", r):
		return 0.42
	case strings.ContainsRune(" .,:;!/\\ftI()[]-", r):
		return 0.55
	case strings.ContainsRune("ckrsvxyzJ", r):
		return 0.9
	case strings.ContainsRune("mM%—@wW", r):
		return 1.6
	case unicode.IsUpper(r):
		return 1.25
	}
	return 1
}
