package unit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Convention says which character a document uses as its decimal sign.
// It settles only what the digits leave open: "14,2" is 14.2 under any
// convention, "1,024" needs one.
type Convention int

const (
	AnySign   Convention = iota // not known: a number that reads two ways is a question
	PointSign                   // 14.2, and 1,024 is a thousand and twenty-four
	CommaSign                   // 14,2, and 1.024 is a thousand and twenty-four
)

// A NumberError says why a text is not a number.
type NumberError struct {
	Text    string // as found
	Found   string // what was in the way
	Suggest string // what was perhaps meant; never used without being asked for
}

func (e *NumberError) Error() string {
	s := fmt.Sprintf("%q is not a number: %s", e.Text, e.Found)
	if e.Suggest != "" {
		s += fmt.Sprintf("; perhaps %s", e.Suggest)
	}
	return s
}

// An AmbiguousError is a number whose one separator may stand for the
// decimal sign or for thousands.
type AmbiguousError struct {
	Text        string
	AsFraction  Decimal // the separator taken as the decimal sign
	AsThousands Decimal // the separator taken as grouping
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q reads as %v or as %v: the decimal sign is not known", e.Text, e.AsFraction, e.AsThousands)
}

// longestText bounds, in bytes, what is looked at as a number, a date or a
// time: no person writes one as long.
const longestText = 80

// ParseDecimal reads a number as people write it: a decimal point or comma;
// thousands set off by point, comma, space, no-break space or apostrophe; a
// plus, a hyphen, a dash or a minus in front; an exponent. It returns a
// *NumberError or an *AmbiguousError, and guesses nothing.
func ParseDecimal(text string, c Convention) (Decimal, error) {
	s := trim(text)
	switch {
	case s == "":
		return Decimal{}, &NumberError{Text: text, Found: "it is empty"}
	case len(s) > longestText:
		return Decimal{}, &NumberError{Text: clip(s), Found: "it is too long"}
	}
	negative, s := cutSign(s)
	s, exponent, hasExponent, ok := cutExponent(s)
	if !ok {
		return Decimal{}, &NumberError{Text: text, Found: "its exponent is out of range"}
	}
	if bad := strings.IndexFunc(s, func(r rune) bool { return !isDigit(r) && !isSeparator(r) }); bad >= 0 {
		return Decimal{}, badCharacter(text, s, bad)
	}
	b, ok := splitBody(s)
	if !ok {
		return Decimal{}, &NumberError{Text: text, Found: "its separators make no number", Suggest: mend(s)}
	}
	finish := func(whole, part string) (Decimal, error) {
		d, ok := assemble(whole, part, negative, exponent)
		if !ok {
			return Decimal{}, &NumberError{Text: text, Found: "it is too large or has too many digits"}
		}
		return d, nil
	}
	if b.either == 0 || hasExponent || c == conventionOf(b.either) {
		return finish(b.whole, b.part)
	}
	thousands, err := finish(b.whole+b.part, "")
	if err != nil || c != AnySign {
		return thousands, err
	}
	fraction, err := finish(b.whole, b.part)
	if err != nil {
		return Decimal{}, err
	}
	return Decimal{}, &AmbiguousError{text, fraction, thousands}
}

// SignOf tells which decimal sign text itself proves: CommaSign for "14,2"
// and "1.024,0", PointSign for "14.2", AnySign for "14", "1,024" and
// whatever is no number. A column that proves one sign has a Convention.
func SignOf(text string) Convention {
	number, _ := SplitUnit(text)
	_, s := cutSign(number)
	s, _, hasExponent, ok := cutExponent(s)
	if !ok || s == "" || strings.IndexFunc(s, func(r rune) bool { return !isDigit(r) && !isSeparator(r) }) >= 0 {
		return AnySign
	}
	b, ok := splitBody(s)
	switch {
	case !ok || b.either != 0 && !hasExponent:
		return AnySign
	case b.sign != 0:
		return conventionOf(b.sign)
	case strings.Count(s, ",") > 1: // commas can only be grouping here
		return PointSign
	case strings.Count(s, ".") > 1:
		return CommaSign
	}
	return AnySign
}

// A body is the digits of a number between its sign and its exponent.
type body struct {
	whole, part string
	sign        rune // the decimal sign; 0 where there is none
	either      rune // the separator, where it may also stand for thousands
}

// splitBody takes digits and separators apart, or reports that they fit no
// way of writing a number.
func splitBody(s string) (body, bool) {
	groups, seps := make([]string, 0, 4), make([]rune, 0, 4) // few numbers have more
	leading := len(s) > 0 && (s[0] == '.' || s[0] == ',')
	if leading {
		groups = append(groups, "0") // ".5"
	}
	from := 0
	for i, r := range s {
		if !isSeparator(r) {
			continue
		}
		if i > from {
			groups = append(groups, s[from:i])
		}
		seps = append(seps, groupKind(r))
		from = i + utf8.RuneLen(r)
	}
	if from < len(s) {
		groups = append(groups, s[from:])
	}
	n := len(seps)
	if len(groups) != n+1 { // doubled, trailing or leading separators
		return body{}, false
	}
	if n == 0 {
		return body{whole: s}, true
	}
	last := seps[n-1]
	isSign := last == '.' || last == ','
	for _, sep := range seps[:n-1] {
		if sep != seps[0] {
			return body{}, false
		}
	}
	switch {
	case n == 1 && isSign:
		b := body{whole: groups[0], part: groups[1], sign: last}
		if !leading && groups[0][0] != '0' && len(groups[0]) <= 3 && len(groups[1]) == 3 {
			b.either = last
		}
		return b, true
	case isSign && last != seps[0]: // 1.024,0 or 1 024,0
		return body{whole: strings.Join(groups[:n], ""), part: groups[n], sign: last}, grouped(groups[:n])
	case last == seps[0]: // 1 024 or 1,024,000
		return body{whole: strings.Join(groups, "")}, grouped(groups)
	}
	return body{}, false
}

// grouped reports whether the digits stand in threes behind a first group
// of one to three that is not zero.
func grouped(groups []string) bool {
	if len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}

// assemble makes the Decimal of whole.part × 10^exponent.
func assemble(whole, part string, negative bool, exponent int) (Decimal, bool) {
	coef, err := strconv.ParseInt(whole+part, 10, 64)
	exp := exponent - len(part)
	if err != nil || exp > maxExp || exp < -maxExp {
		return Decimal{}, false
	}
	if negative {
		coef = -coef
	}
	return Decimal{coef, exp}, true
}

// cutSign takes a sign off the front of s, which has no white space around it.
func cutSign(s string) (negative bool, rest string) {
	if s == "" || isDigit(rune(s[0])) {
		return false, s
	}
	for _, minus := range []string{"-", "−", "–", "‐", "‑"} {
		if rest, ok := strings.CutPrefix(s, minus); ok {
			return true, trim(rest)
		}
	}
	return false, trim(strings.TrimPrefix(s, "+"))
}

// cutExponent takes "e3", "E+03" or "e−1" off the end of s. It reports
// false for an exponent beyond any use.
func cutExponent(s string) (rest string, exponent int, has, ok bool) {
	i := max(strings.LastIndexByte(s, 'e'), strings.LastIndexByte(s, 'E'))
	if i <= 0 || !isDigit(rune(s[i-1])) && s[i-1] != '.' {
		return s, 0, false, true
	}
	negative, digits := cutSign(s[i+1:])
	if digits == "" || !isDigits(digits) {
		return s, 0, false, true
	}
	n, err := strconv.Atoi(digits)
	if err != nil || n > maxExp {
		return s, 0, true, false
	}
	if negative {
		n = -n
	}
	return s[:i], n, true, true
}

// badCharacter explains the first character of s that no number holds. The
// letters that look like digits get a suggestion.
func badCharacter(text, s string, at int) *NumberError {
	r := []rune(s[at:])[0]
	e := &NumberError{Text: text, Found: fmt.Sprintf("it holds %q", r)}
	if digits, changed := likeDigits(s); changed {
		if _, ok := splitBody(digits); ok {
			e.Found = fmt.Sprintf("it holds the letter %q", r)
			e.Suggest = digits
		}
	}
	return e
}

// likeDigits puts digits for the letters that are mistaken for them.
func likeDigits(s string) (string, bool) {
	hasDigit := strings.IndexFunc(s, isDigit) >= 0
	t := strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1", "|", "1").Replace(s)
	clean := strings.IndexFunc(t, func(r rune) bool { return !isDigit(r) && !isSeparator(r) }) < 0
	return t, hasDigit && clean && t != s
}

// mend drops doubled and trailing separators, for a suggestion.
func mend(s string) string {
	s = strings.TrimRight(s, ".,")
	for _, sep := range []string{".", ","} {
		for strings.Contains(s, sep+sep) {
			s = strings.ReplaceAll(s, sep+sep, sep)
		}
	}
	if _, ok := splitBody(s); !ok || s == "" {
		return ""
	}
	return s
}

func conventionOf(sign rune) Convention {
	if sign == ',' {
		return CommaSign
	}
	return PointSign
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// groupKind is the separator r stands for: all spaces are one kind, and so
// are the two apostrophes.
func groupKind(r rune) rune {
	switch r {
	case '.', ',':
		return r
	case '\'', '’':
		return '\''
	}
	return ' '
}

func isSeparator(r rune) bool {
	switch r {
	case '.', ',', '\'', '’', ' ', '\u00a0', '\u2009', '\u202f':
		return true
	}
	return false
}

// trim takes white space off both ends: spaces of every width, the byte
// order mark and the zero-width space, which survive copying unseen.
func trim(s string) string {
	if s == "" || isVisible(s[0]) && isVisible(s[len(s)-1]) {
		return s
	}
	return strings.TrimFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || r == '\ufeff' || r == '\u200b'
	})
}

// isVisible reports whether a text that begins or ends with c has a sign of
// ASCII there.
func isVisible(c byte) bool { return ' ' < c && c < 0x7F }

// clip shortens a text for a message.
func clip(text string) string {
	if len(text) <= longestText {
		return text
	}
	return strings.ToValidUTF8(text[:longestText], "") + "…"
}
