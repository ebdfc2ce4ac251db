package record

import (
	"cmp"
	"fmt"
	"strings"

	"saltline/internal/pattern"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// limitParts takes a limit as contracts write it apart: "≤ 50 mg/m² as NaCl"
// gives "≤", "50 mg/m²" and "NaCl". Before and behind the number nothing
// may stand but a comparison and a basis.
var limitParts = pattern.Of(`(?is)^\s*(≤|<=|=<|<|[\p{L}. ]+?)?\s*:?\s*(\d[\d.,' \x{00a0}]*\s*(?:[\p{L}µμ?]+\s*/\s*(?:sq\.?\s)?[\p{L}.]+\s*(?:\^?2|²)?)?)\s*[,;(]*\s*(?:as |als |como |en |som |de )?\s*([\p{L}][^\d]*?)?[\s).]*$`)

// splitLimit returns the parts of a limit. A part that is not there is "".
// Text that is built otherwise is all value.
func splitLimit(text string) (comparison, value, basis string) {
	m := limitParts().FindStringSubmatch(text)
	if m == nil {
		return "", text, ""
	}
	return strings.Trim(m[1], " ."), strings.TrimSpace(m[2]), strings.TrimSpace(m[3])
}

// saltInUnit is the salt in a unit: "mg NaCl/m²".
var saltInUnit = pattern.Of(`(?i)[mµμu]g\s?(NaCl)\s?/`)

// claimParts takes the comparison and the basis that stand with the number
// of a limit, in its cell or around it in a title, as claims of their own.
func (b *binder) claimParts(c claim, n int) {
	_, value, _ := splitLimit(c.cell.Text)
	before, behind, _ := strings.Cut(cmp.Or(c.around, c.cell.Text), c.cell.Text)
	lead, tail, _ := strings.Cut(c.cell.Text, value)
	comparing, basis := limitWords(before+lead, tail+behind)
	if m := saltInUnit().FindStringSubmatch(c.cell.Text); m != nil {
		basis = m[1] // the unit says what the limit is expressed as
	}
	for _, part := range []struct{ key, text string }{{"limit comparison", comparing}, {"limit basis", basis}} {
		if part.text != "" {
			own := c.cell
			own.Kind, own.Text = table.Text, part.text
			b.claim(claim{key: numbered(part.key, n), cell: own, page: c.page})
		}
	}
}

// numbered is the key of the n-th limit.
func numbered(key string, n int) string {
	if n == 1 {
		return key
	}
	return fmt.Sprintf("%s %d", key, n)
}

// shareLimitParts gives the second limit and those that follow what they do
// not state themselves: it is that of the first. A number that was skipped
// leaves no limit.
func (b *binder) shareLimitParts() {
	limits := b.job.Terms.Limits
	if len(limits) < 2 {
		return
	}
	first := limits[0]
	kept := limits[:0]
	for _, l := range limits {
		if l.Value.State == Absent {
			continue
		}
		if l.Basis.State == Absent {
			l.Basis = first.Basis
		}
		if l.Comparison.State == Absent {
			l.Comparison = first.Comparison
		}
		if l.Rounding.State == Absent {
			l.Rounding = first.Rounding
		}
		if l.Clause.State == Absent {
			l.Clause = first.Clause
		}
		kept = append(kept, l)
	}
	b.job.Terms.Limits = kept
}

// limitValue reads the number of a limit; comparison and basis may stand
// with it and are read elsewhere.
func limitValue[T any](at func(*T) *Given[unit.SurfaceDensity]) field[T] {
	return fieldOf(holdsNumbers, at, func(c *cell, g *Given[unit.SurfaceDensity]) {
		sign, value, basis := splitLimit(c.value)
		comparing, _ := limitWords(sign, "")
		if (sign == "" || comparing != "") && (basis == "" || len(clauseOf(basis).phrases) > 0) {
			c.value = value
		}
		readNumber(c, g, unit.OfDensity)
	})
}

var temperatureRange = pattern.Of(`(?i)^\s*(?:from |von |de |fra )?([-−–+]?\d+(?:[.,]\d+)?) ?(?:°|º)? ?c?\s*(?:to|bis|until|a|à|til|\.\.+|…|-|–|—)\s*([-−–+]?\d+(?:[.,]\d+)?) ?((?:°|º)? ?[cf]?)\s*$`)

// steelRange reads "5 to 40 °C" into the two limits of the steel.
func steelRange() field[Terms] {
	low := func(t *Terms) *Given[unit.Temperature] { return &t.SteelMin }
	high := func(t *Terms) *Given[unit.Temperature] { return &t.SteelMax }
	both := func(row *Terms, c *cell) {
		lo, hi := low(row), high(row)
		*lo, *hi = given[unit.Temperature](c), given[unit.Temperature](c)
		m := temperatureRange().FindStringSubmatch(c.value)
		if m == nil {
			lo.State, hi.State = Unreadable, Unreadable
			unusable(c, lo, "unknown-words", "a range of temperatures, such as 5 to 40 °C", "write both ends and the unit")
			return
		}
		symbol := strings.TrimSpace(m[3])
		if symbol == "" {
			symbol = "°C"
		}
		for i, g := range []*Given[unit.Temperature]{lo, hi} {
			part := *c
			part.value, part.head = m[1+i], symbol
			readNumber(&part, g, unit.OfTemperature)
		}
	}
	said := func(row *Terms) said {
		s := fieldOf(holdsWords, low, nil).said(row)
		s.text += " " + fieldOf(holdsWords, high, nil).said(row).text
		return s
	}
	copied := func(to, from *Terms) { *low(to), *high(to) = *low(from), *high(from) }
	state := func(row *Terms) State { return low(row).State }
	wrote := func(row *Terms) wrote {
		lo, hi := low(row), high(row)
		return wrote{strings.TrimSpace(lo.Text + " " + hi.Text), lo.Unit, lo.Pos}
	}
	return field[Terms]{holds: holdsNumbers, set: both, copy: copied, said: said, state: state, wrote: wrote}
}
