package table

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// delimiters are tried in this order; where two serve equally well, the
// earlier one wins. The comma is last, since in half the world it also stands
// inside numbers.
var delimiters = []rune{';', '\t', '|', ','}

// sampleSize is how many lines with content decide on the delimiter. Title
// rows are few, so the table below them outvotes them.
const sampleSize = 400

// sampleBytes is how much text decides at most, where lines are long.
const sampleBytes = 2 << 20

// A sampleLine is a line without what stands between its quotation marks, in
// two readings: with quoted fields wherever a quote can open one, and with a
// quote that is alone in its cell, or has no partner in the line, as a mark
// like any other. In most lines they are the same.
type sampleLine struct{ quoted, marked string }

// sampleLines are the first lines of text that hold something. A quote opens a
// field at the start of a cell, behind one of delims.
func sampleLines(text, delims string) []sampleLine {
	var lines []sampleLine
	for left := sampleBytes; text != "" && len(lines) < sampleSize && left > 0; {
		var line string
		line, text = cutLine(text)
		left -= len(line)
		if line = strings.Trim(line, " \r\n"); line != "" {
			lines = append(lines, sampleOf(line, delims))
		}
	}
	return lines
}

func sampleOf(line, delims string) sampleLine {
	if !strings.Contains(line, `"`) {
		return sampleLine{line, line}
	}
	return sampleLine{withoutQuoted(line, delims, false), withoutQuoted(line, delims, true)}
}

// withoutQuoted drops the quoted fields of line. With marks, a quote that is
// alone in its cell or has no partner opens none; without, one that has no
// partner drops the rest.
func withoutQuoted(line, delims string, marks bool) string {
	var b strings.Builder
	start, behind := true, rune(0) // of a cell, and the delimiter it stands behind
	for line != "" {
		r, size := utf8.DecodeRuneInString(line)
		if r == '"' && start {
			start = false
			_, rest, closed := quotedField(line[1:])
			switch {
			case marks && (!closed || alone(line[1:], delims, behind)):
				line = line[1:]
			case !closed:
				return b.String()
			default:
				line = rest
			}
			continue
		}
		if strings.ContainsRune(delims, r) {
			start, behind = true, r
		} else if r != ' ' {
			start = false
		}
		b.WriteString(line[:size])
		line = line[size:]
	}
	return b.String()
}

// alone reports whether the cell ends right behind a quotation mark, before
// rest: at the delimiter that it stands behind, at any if it begins the line.
func alone(rest, delims string, behind rune) bool {
	rest = strings.TrimLeft(rest, " ")
	r, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || r == '\n' || r == '\r' || r == behind || behind == 0 && strings.ContainsRune(delims, r)
}

// findDelimiter is the delimiter that cuts most lines into the same number of
// fields. Commas that stand inside numbers count half, so that a file of
// decimal commas goes to the delimiter around them, and to the comma only
// where there is no other.
func findDelimiter(text string) rune {
	lines := sampleLines(text, string(delimiters))
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
// lines that have none, and how many lines have that many. A line that can be
// read in two ways counts for both, so that the clear ones decide.
func countDelimiters(lines []sampleLine, delim rune) (mode, same int) {
	seen := map[int]int{}
	for _, line := range lines {
		n := strings.Count(line.quoted, string(delim))
		if n > 0 {
			seen[n]++
		}
		if line.marked == line.quoted {
			continue
		}
		if m := strings.Count(line.marked, string(delim)); m > 0 && m != n {
			seen[m]++
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
func decimalCommas(lines []sampleLine) bool {
	all, inside := 0, 0
	for _, sample := range lines {
		line := sample.marked
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
