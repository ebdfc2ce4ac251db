package table

import (
	"slices"
	"strings"
)

// delimiters are tried in this order; where two serve equally well, the
// earlier one wins. The comma is last, since in half the world it also stands
// inside numbers.
var delimiters = []rune{';', '\t', '|', ','}

// sampleSize is how many lines with content decide on the delimiter. Title
// rows are few, so the table below them outvotes them.
const sampleSize = 400

// sampleLines are the first lines of text that hold something, with what
// stands between quotation marks left out.
func sampleLines(text string) []string {
	var lines []string
	for text != "" && len(lines) < sampleSize {
		var line string
		line, text = cutLine(text)
		if line = strings.Trim(line, " \r\n"); line != "" {
			lines = append(lines, withoutQuoted(line))
		}
	}
	return lines
}

// withoutQuoted drops every second part of line between quotation marks.
func withoutQuoted(line string) string {
	if !strings.Contains(line, `"`) {
		return line
	}
	parts := strings.Split(line, `"`)
	var b strings.Builder
	for i := 0; i < len(parts); i += 2 {
		b.WriteString(parts[i])
	}
	return b.String()
}

// findDelimiter is the delimiter that cuts most lines into the same number of
// fields. Commas that stand inside numbers count half, so that a file of
// decimal commas goes to the delimiter around them, and to the comma only
// where there is no other.
func findDelimiter(text string) rune {
	lines := sampleLines(text)
	best, top := ',', 0.0
	for _, d := range delimiters {
		mode, same := countDelimiters(lines, d)
		if mode == 0 {
			continue
		}
		score := float64(same) / float64(len(lines))
		if d == ',' && decimalCommas(lines) {
			score /= 2
		}
		// Of two that cut alike, the one that cuts into more fields: a
		// semicolon in every remark does not beat ten commas a line.
		score *= 1 + 0.02*float64(min(mode, 20))
		if score > top {
			best, top = d, score
		}
	}
	return best
}

// countDelimiters finds how many delimiters most lines have, not counting the
// lines that have none, and how many lines have that many.
func countDelimiters(lines []string, delim rune) (mode, same int) {
	seen := map[int]int{}
	for _, line := range lines {
		if n := strings.Count(line, string(delim)); n > 0 {
			seen[n]++
		}
	}
	counts := make([]int, 0, len(seen))
	for n := range seen {
		counts = append(counts, n)
	}
	slices.Sort(counts)
	for _, n := range counts {
		if seen[n] >= same { // of equals, the greater
			mode, same = n, seen[n]
		}
	}
	return mode, same
}

// decimalCommas reports whether most commas stand inside numbers: alone
// between the digits of a run of digits and commas. In "1,2,3" none does.
func decimalCommas(lines []string) bool {
	all, inside := 0, 0
	for _, line := range lines {
		all += strings.Count(line, ",")
		runs := strings.FieldsFunc(line, func(r rune) bool { return r != ',' && (r < '0' || r > '9') })
		for _, run := range runs {
			whole, part, ok := strings.Cut(run, ",")
			if ok && whole != "" && part != "" && !strings.Contains(part, ",") {
				inside++
			}
		}
	}
	return inside*2 > all
}
