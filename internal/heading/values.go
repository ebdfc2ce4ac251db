package heading

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"saltline/internal/pattern"
	"saltline/internal/table"
)

// Evidence is what the values below a heading look like. It is used to settle
// what a heading means, never to read a value.
type evidence struct {
	n        int // cells that hold a value
	numbers  int
	whole    int // numbers without a fraction
	codes    int // short words with a digit in them: "B-204"
	clocks   int
	dotted   int // numbers that could be a clock: 8.05
	hhmm     int // whole numbers that could be a clock: 0805
	dates    int
	verdicts int
	purposes int            // what a test was made for
	letters  int            // of the verdicts, those that are a letter or two: C and P may be areas, too
	sizes    int            // sizes that patches come in
	distinct int            // different texts
	units    map[string]int // numbers with a unit in the cell, by its quantity
	counting bool
	min, max float64
}

// patchSizes are the wetted areas that flexible cells are sold with, in mm²,
// by their usual size designations.
var patchSizes = []float64{155, 310, 625, 1250, 2500, 1000}

// months are the beginnings of the names of the months in the five languages.
const months = `jan|ene|f[eé]b|f[eé]v|mar|m[aä]r|mrz|apr|abr|avr|ma[iy]|jun|juin|jul|juil|aug|ago|ao[uû]|sep|o[ck]t|nov|de[czs]|d[eé]c|di[ce]`

var (
	clockText = pattern.Of(`^\d{1,2}\s?(?::|h)\s?\d{2}(?::\d{2})?\s*(?:[aApP]\.?[mM]\.?|Uhr)?$`)
	dotClock  = pattern.Of(`^(?:[01]?\d|2[0-3])\.[0-5]\d$`)
	dateText  = pattern.Of(`(?i)^(?:\d{1,4}[./-]\s?\d{1,2}[./-]\s?\d{0,4}|\d{1,2}[.\s-]*(?:` + months + `)\p{L}*\.?[\s-]*\d{0,4})\.?$`)
)

// numberLength is the length of the number that s begins with: a sign for
// less-than or more, a sign, digits with all that may stand between them. It is
// 0 where there is none.
func numberLength(s string) int {
	const space = " \t\n\f\r"
	rest := s
	for _, signs := range []string{"<>≤≥~", "-+−"} {
		if beginsWithDigit(rest) {
			break
		}
		if r, size := utf8.DecodeRuneInString(rest); strings.ContainsRune(signs, r) {
			rest = rest[size:]
		}
		rest = strings.TrimLeft(rest, space)
	}
	if !beginsWithDigit(rest) {
		return 0
	}
	return len(s) - len(strings.TrimLeftFunc(rest, func(r rune) bool {
		return isDigit(r) || strings.ContainsRune(".,'’\u00a0\u202f"+space, r)
	}))
}

func beginsWithDigit(s string) bool { return s != "" && isDigit(rune(s[0])) }

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// cellNumber reads a number loosely: with a sign for less-than, with a decimal
// comma, with a unit behind it. The rest is what stands behind.
func cellNumber(s string) (v float64, rest string, ok bool) {
	n := numberLength(s)
	if n == 0 {
		return 0, "", false
	}
	lead := s[:n]
	rest = strings.TrimSpace(s[n:])
	if rest != "" && unitClass(rest) == "" {
		return 0, "", false
	}
	digits := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsDigit(r), r == '.', r == '-':
			return r
		case r == ',':
			return '.'
		case r == '−':
			return '-'
		}
		return -1
	}, strings.TrimSpace(lead))
	if n := strings.Count(digits, "."); n > 1 {
		digits = strings.Replace(digits, ".", "", n-1)
	}
	v, err := strconv.ParseFloat(strings.TrimRight(digits, "."), 64)
	return v, rest, err == nil
}

// isNumber reports whether a text is a number, with its unit or without.
func isNumber(s string) bool {
	if isWhole(s) { // as the numbers of tests are
		return true
	}
	_, _, ok := cellNumber(s)
	return ok
}

// isWhole reports whether a text is a few digits and nothing else.
func isWhole(s string) bool {
	const most = 15
	for i := range len(s) {
		if !isDigit(rune(s[i])) {
			return false
		}
	}
	return s != "" && len(s) <= most
}

func isDate(c table.Cell) bool {
	if c.Kind == table.Date {
		return !isClock(c)
	}
	return c.Kind != table.Number && beginsWithDigit(c.Text) && dateText().MatchString(c.Text)
}

func isClock(c table.Cell) bool {
	if beginsWithDigit(c.Text) && clockText().MatchString(c.Text) {
		return true
	}
	if c.Kind != table.Date {
		return false
	}
	v, err := strconv.ParseFloat(c.Raw, 64)
	return err == nil && v < 1
}

// isNotDone reports whether s says that nothing was measured.
func isNotDone(s string) bool { return words().is(s, "not done") }

// enough is how many values settle what a column is; a log of years need not
// be read to its end for that.
const enough = 400

// look gathers the evidence of the values in column col, from 1.
func look(rows []table.Row, col int) evidence {
	e := evidence{min: math.Inf(1), max: math.Inf(-1), counting: true, units: map[string]int{}}
	last, steps := math.NaN(), 0
	seen := map[string]bool{}
	for _, r := range rows {
		if e.n == enough {
			break
		}
		if text, plain := r.Plain(col); plain && text == "" || fewCells(r) {
			continue
		}
		c := r.Cell(col)
		if c.Kind == table.Empty || strings.TrimSpace(c.Text) == "" || isNotDone(c.Text) {
			continue
		}
		e.n++
		if !seen[c.Text] {
			seen[c.Text] = true
			e.distinct++
		}
		switch v, rest, ok := cellNumber(c.Text); {
		case isClock(c):
			e.clocks++
		case isDate(c) && !(ok && dotClock().MatchString(c.Text)):
			e.dates++
		case ok:
			e.numbers++
			e.number(v, c.Text)
			if dotClock().MatchString(c.Text) {
				e.dotted++
			}
			e.units[unitClass(rest)]++
			switch {
			case math.IsNaN(last):
			case v == last+1:
				steps++
			case v == 1 && last > 1: // the next of several stacked areas
			default:
				e.counting = false
			}
			last = v
			continue
		case words().is(c.Text, "verdict"):
			e.verdicts++
			if utf8.RuneCountInString(strings.TrimSpace(c.Text)) <= 2 && !strings.EqualFold(strings.TrimSpace(c.Text), "ok") {
				e.letters++
			}
		case isCode(c.Text):
			e.codes++
		case isPurpose(c.Text):
			e.purposes++
		}
	}
	e.counting = e.counting && steps > 0
	return e
}

// fewCells reports whether r shows one cell alone: a title, a note, a line that
// is not filled in. It says nothing of a column.
func fewCells(r table.Row) bool {
	shown := 0
	for col := 1; col <= r.Len(); col++ {
		text, plain := r.Plain(col)
		if !plain {
			text = r.Cell(col).Text
		}
		if text != "" {
			if shown++; shown > 1 {
				return false
			}
		}
	}
	return r.Len() > 0
}

func (e *evidence) number(v float64, s string) {
	e.min, e.max = min(e.min, v), max(e.max, v)
	if v == math.Trunc(v) && !strings.ContainsAny(s, ".,") {
		e.whole++
		if v >= 0 && v < 2400 && math.Mod(v, 100) < 60 {
			e.hhmm++
		}
	}
	if slices.Contains(patchSizes, v) || v < 100 && slices.Contains(patchSizes, math.Round(100*v)) && v != math.Trunc(v) {
		e.sizes++
	}
}

// isCode reports whether s is one short word with a digit in it.
func isCode(s string) bool {
	return len(s) <= 14 && !strings.Contains(s, " ") && strings.ContainsAny(s, "0123456789")
}

// most reports whether part is nearly all of the values.
func (e evidence) most(part int) bool { return 5*part >= 4*e.n }

// half reports whether part is at least half of them.
func (e evidence) half(part int) bool { return 2*part >= e.n }

// A fit says how the values of a column agree with a kind.
type fit int

const (
	against fit = iota
	open        // they allow it
	speaks      // they are such values and hardly anything else
)

// fits judges whether the values can be of kind k.
func (e evidence) fits(k kind) fit {
	if e.n == 0 {
		return open
	}
	for class, n := range e.units {
		if class == "" || !e.half(n) {
			continue
		}
		if k.String() == class {
			return speaks
		}
		if !k.takes(class) {
			return against
		}
	}
	fraction := 10*(e.numbers-e.whole) >= 3*e.n
	yes := func(ok bool) fit {
		if ok {
			return open
		}
		return against
	}
	switch k {
	case date, moment:
		if e.most(e.dates) {
			return speaks
		}
		return yes(e.dates > 0)
	case clock:
		if e.most(e.clocks) {
			return speaks
		}
		return yes(e.half(e.clocks) || e.most(e.hhmm) && e.min >= 100)
	case verdict:
		if e.most(e.verdicts) {
			return speaks
		}
		return yes(!e.half(e.numbers) && !e.half(e.clocks) && !e.half(e.dates))
	case purpose:
		if e.most(e.purposes) {
			return speaks
		}
		return yes(e.purposes > 0)
	case conductivity, density, steelArea, length, money, percent, number, count:
		return yes(e.half(e.numbers))
	case volume:
		return yes(e.half(e.numbers) && e.min > 0 && e.max <= 100)
	case patchArea:
		if e.most(e.sizes) {
			return speaks
		}
		return yes(e.half(e.numbers) && e.min >= 100 && e.max <= 5000)
	case temperature:
		return yes(e.half(e.numbers) && e.min >= -40 && e.max <= 90)
	case humidity:
		return yes(e.half(e.numbers) && e.min >= 0 && e.max <= 110)
	case identity:
		if e.counting && e.most(e.whole) {
			return speaks
		}
		// A number given twice is a slip of the log, not another kind of column.
		tells := e.most(e.distinct) || e.most(e.whole) && e.half(e.distinct)
		return yes(!fraction && tells && !e.half(e.clocks) && !e.half(e.dates) && !e.most(e.verdicts))
	case name:
		return yes(!fraction && !e.half(e.clocks) && !e.half(e.dates) && !e.most(e.verdicts-e.letters))
	case onOff:
		return yes(!e.half(e.numbers))
	}
	return yes(!fraction && !e.half(e.clocks) && !e.half(e.dates) && !e.most(e.verdicts))
}
