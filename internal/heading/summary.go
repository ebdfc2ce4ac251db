package heading

import (
	"math"
	"strings"

	"saltline/internal/table"
)

// summaries are the reasons that words in rows.txt give for a row of figures.
var summaries = []struct{ word, reason string }{
	{"mean", isMean}, {"maximum", isMaximum}, {"minimum", isMinimum}, {"total", isTotal}, {"spread", isSpread},
}

// summary recognises means, totals and the like. A row with a test number, a
// time or a date of its own is a test, whatever its words; so is one whose
// figures do not follow from those above, unless it is no more than a label and
// a result.
func (s *sorter) summary(row table.Row, own []table.Cell) string {
	if reason := s.follow(row, own); reason != "" {
		return reason
	}
	return s.labelled(own)
}

// follow recognises a summary by its words and by figures that follow from
// those above.
func (s *sorter) follow(row table.Row, own []table.Cell) string {
	label, reason, sure := "", "", false
	for _, c := range own {
		if _, _, ok := cellNumber(c.Text); ok || c.Formula() != "" {
			continue
		}
		if label, reason, sure = summaryWord(c.Text); reason != "" {
			break
		}
		if e := s.at(c.Pos.Col()); e != nil && e.column != "remark" && e.column != "recorded verdict" {
			return "" // words that are none of a summary come first
		}
	}
	if reason == "" {
		label, reason, sure = "", computed(own), true
	}
	if reason == "" {
		return ""
	}
	figures := 0
	for _, e := range s.cols {
		c, ok := ownAt(row, e.col)
		if !ok || label != "" && c.Text == label {
			continue
		}
		switch e.column {
		case "test", "start", "read", "date", "time", "patch", "photo":
			return ""
		case "blank", "extract", "difference", "recorded", "humidity", "air temperature", "steel temperature":
			figures++
			if c.Formula() == "" && (!sure || e.column == "extract") && !s.follows(&c, e.col, reason) {
				return ""
			}
		}
	}
	if figures == 0 && (!sure || len(own) > 3) {
		return ""
	}
	return reason
}

// summaryWord is the reason that a label such as "Mean", "Mean (n = 10)" or
// "Max.:" gives. It is not sure of one that goes on, as "Average of tank 3".
func summaryWord(text string) (label, reason string, sure bool) {
	head, _, _ := strings.Cut(text, ":")
	head, _, _ = strings.Cut(head, "(")
	head = strings.TrimSpace(head)
	for _, x := range summaries {
		if words().is(head, x.word) {
			return text, x.reason, true
		}
	}
	fields := strings.Fields(head)
	if len(fields) < 2 || len(fields) > 6 {
		return text, "", false
	}
	for _, x := range summaries {
		if words().is(fields[0], x.word) {
			return text, x.reason, false
		}
	}
	return text, "", false
}

// labelled recognises a label with a result, where the records above have more
// than that: a number each, or readings. "Average of accepted" and "Highest
// accepted" follow from some of them only. Words of a summary are enough; what
// stands where every record has its number needs none.
func (s *sorter) labelled(own []table.Cell) string {
	label, results := (*table.Cell)(nil), 0
	for i := range own {
		c := &own[i]
		e := s.at(c.Pos.Col())
		_, _, number := cellNumber(c.Text)
		switch number = number || c.Formula() != ""; {
		case e != nil && isResult(e) && number:
			results++
		case e != nil && (number && e.column == "limit" || !number && (e.column == "recorded verdict" || e.column == "remark")):
		case number || label != nil || isNotDone(c.Text):
			return ""
		default:
			label = c
		}
	}
	if label == nil || results == 0 {
		return ""
	}
	numbers, readings := s.have()
	column := ""
	if e := s.at(label.Pos.Col()); e != nil {
		column = e.column
	}
	reason := anySummaryWord(label.Text, column == "location" || column == "area")
	switch {
	case reason != "" && (readings || numbers && column != "location" && column != "area"):
		return reason
	case reason == "" && column == "test" && numbers && readings && !strings.ContainsFunc(label.Text, isDigit):
		return isLabelled
	}
	return ""
}

// have reports whether most records right above have a number, and whether most
// have a reading. Of one record nothing can be said.
func (s *sorter) have() (numbers, readings bool) {
	const enough = 40
	above := s.above[max(0, len(s.above)-enough):]
	numbered, read := 0, 0
	for _, r := range above {
		has := map[string]bool{}
		for _, e := range s.cols {
			c, ok := ownAt(r, e.col)
			if !ok {
				continue
			}
			switch e.column {
			case "test":
				has["number"] = isNumber(c.Text) || isCode(c.Text)
			case "blank", "extract":
				has["reading"] = has["reading"] || strings.ContainsFunc(c.Text, isDigit)
			}
		}
		if has["number"] {
			numbered++
		}
		if has["reading"] {
			read++
		}
	}
	n := len(above)
	return n > 1 && 5*numbered >= 4*n, n > 1 && 5*read >= 4*n
}

// anySummaryWord is the reason that one of the words of a label gives, or its
// first word alone.
func anySummaryWord(label string, first bool) string {
	for _, w := range strings.Fields(strings.NewReplacer(":", " ", "(", " ", ")", " ").Replace(label)) {
		for _, x := range summaries {
			if words().is(w, x.word) {
				return x.reason
			}
		}
		if first {
			break
		}
	}
	return ""
}

// functions are the spreadsheet functions of summaries, as files store them.
var functions = []struct{ name, reason string }{
	{"AVERAGE", isMean}, {"MAX", isMaximum}, {"MIN", isMinimum}, {"SUM", isTotal}, {"COUNT", isTotal},
	{"STDEV", isSpread}, {"MEDIAN", isSpread},
}

// computed is the reason of a row that holds nothing but summaries of ranges.
func computed(own []table.Cell) string {
	reason := ""
	for _, c := range own {
		of := ""
		for _, f := range functions {
			if strings.HasPrefix(c.Formula(), f.name) && strings.Contains(c.Formula(), ":") {
				of = f.reason
			}
		}
		if of == "" || reason != "" && reason != of {
			return ""
		}
		reason = of
	}
	return reason
}

// follows reports whether the figure in c is the mean, the largest, … of the
// records above, within the rounding of its last digit. It is generous: an
// average that was worked out wrong is still an average.
func (s *sorter) follows(c *table.Cell, col int, reason string) bool {
	v, _, ok := cellNumber(c.Text)
	if !ok {
		return true
	}
	var sum, n float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range s.above {
		if x, ok := valueAt(r, col); ok {
			sum, n, lo, hi = sum+x, n+1, min(lo, x), max(hi, x)
		}
	}
	if n == 0 {
		return false
	}
	near := func(x float64) bool { return math.Abs(v-x) <= 0.5+0.05*math.Abs(x) }
	switch reason {
	case isMaximum:
		return near(hi)
	case isMinimum:
		return near(lo)
	case isTotal:
		return near(sum) || v == n
	case isSpread:
		return v <= hi
	}
	return near(sum / n)
}
