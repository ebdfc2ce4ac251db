package heading

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"saltline/internal/pattern"
)

// unitKey spells a unit in the one way in which units are compared.
func unitKey(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		r = unicode.ToLower(r)
		switch {
		case unicode.IsSpace(r), unicode.Is(unicode.Mn, r), strings.ContainsRune(".^·*", r):
		case r == 'μ':
			b.WriteByte('u')
		case r == '−':
			b.WriteByte('-')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// unitClass is the quantity that a unit measures; "" if s is no unit, "none"
// for a dash that says there is none.
func unitClass(s string) string { return words().units[unitKey(s)] }

// A label is a heading cell taken apart.
type label struct {
	name  string // without the unit
	unit  string // as found; a suffix such as _uS_cm in its usual spelling
	class string // the quantity of unit
}

var (
	brackets = pattern.Of(`[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]`)
	// basis is what may follow a unit: "µS/cm at 25 °C".
	basis = pattern.Of(`(?i)^(?:in\s+|en\s+|i\s+)?(.+?)(?:\s*@.*|,.*|\s+(?:at|bei|a|à|ved|as|als|como|som|total)\s.*)?$`)
)

// atReference is the temperature that a conductivity is referred to, behind a
// unit without brackets: "Blank µS/cm @ 25 °C".
var atReference = pattern.Of(`(?i)\s*(?:@|\b(?:at|bei|ved)\b)\s*\d{2}\s*[°º]?\s*C?\s*$`)

// suffixes are the units that our own column names carry.
var suffixes = []struct{ suffix, unit string }{
	{"_uS_cm", "µS/cm"}, {"_mS_m", "mS/m"}, {"_mS_cm", "mS/cm"}, {"_mg_m2", "mg/m²"}, {"_ug_cm2", "µg/cm²"}, {"_ml", "ml"},
	{"_mm2", "mm²"}, {"_cm2", "cm²"}, {"_m2", "m²"}, {"_mm", "mm"}, {"_C", "°C"}, {"_pct", "%"},
}

// takeApart parts the name of a heading cell from its unit.
func takeApart(s string) label {
	s = strings.TrimSpace(atReference().ReplaceAllString(s, ""))
	for _, x := range suffixes {
		if n := len(s) - len(x.suffix); n > 0 && strings.EqualFold(s[n:], x.suffix) {
			return label{s[:n], x.unit, unitClass(x.unit)}
		}
	}
	for _, m := range brackets().FindAllStringSubmatchIndex(s, -1) {
		inside := s[m[2]:m[3]]
		if u, c := bareUnit(inside); c != "" {
			return label{strings.TrimSpace(s[:m[0]] + " " + s[m[1]:]), u, c}.withoutNone()
		}
	}
	if u, c := bareUnit(s); c != "" {
		if c == "none" {
			return label{}
		}
		return label{s, u, c} // "ml" is a name and a unit
	}
	return trailingUnit(s)
}

func (l label) withoutNone() label {
	if l.class == "none" {
		l.unit, l.class = "", ""
	}
	return l
}

// bareUnit reads a text that is a unit and nothing else but its basis.
func bareUnit(s string) (unit, class string) {
	if c := unitClass(s); c != "" {
		return s, c
	}
	if m := basis().FindStringSubmatch(s); m != nil {
		if c := unitClass(m[1]); c != "" && c != "none" {
			return m[1], c
		}
	}
	return "", ""
}

// trailingUnit finds a unit that ends a heading without brackets: "Blank, µS/cm",
// "Volume in ml". A single letter is one only after a word for temperature, and
// units of time and length are words too often.
func trailingUnit(s string) label {
	fields := strings.Fields(s)
	for n := min(2, len(fields)-1); n >= 1; n-- {
		unit := strings.Join(fields[len(fields)-n:], " ")
		class := unitClass(unit)
		rest := strings.TrimRight(strings.Join(fields[:len(fields)-n], " "), ",;:-–/ ")
		switch class {
		case "", "none", "clock", "date", "length":
			continue
		case "temperature":
			if len(strings.Trim(unit, ".")) == 1 && !strings.Contains(fold(rest), "temp") {
				continue
			}
		}
		if f := strings.Fields(rest); len(f) > 1 && strings.EqualFold(f[len(f)-1], "in") {
			rest = strings.Join(f[:len(f)-1], " ")
		}
		if rest == "" {
			continue
		}
		return label{rest, unit, class}
	}
	return label{name: s}
}
