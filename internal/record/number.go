package record

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"saltline/internal/table"
	"saltline/internal/unit"
)

// number reads a quantity q. A unit in the cell goes before that of the
// heading; without either the number is in the base unit of q.
func number[T any, Q ~float64](q unit.Quantity, at func(*T) *Given[Q]) field[T] {
	holds := holdsNumbers
	if q == unit.OfHumidity {
		holds = holdsHumidity
	}
	return fieldOf(holds, at, func(c *cell, g *Given[Q]) { readNumber(c, g, q) })
}

func readNumber[Q ~float64](c *cell, g *Given[Q], q unit.Quantity) {
	r := c.measure(q)
	g.Unit = r.Unit
	switch r.State {
	case unit.Known, unit.Below:
		if r.State == unit.Below && !r.Bounded {
			unusable(c, g, "bound-not-written", "the bound itself", "write what the meter can show, such as <1")
			return
		}
		g.State, g.Dec, g.Val = Known, r.Value, Q(r.Value.Float())
		if r.State == unit.Below {
			g.State = Below
		}
		c.noteUnit(r)
	case unit.NotDone:
		g.State = NotDone
	case unit.Blank:
		g.State = Absent
	case unit.Ambiguous:
		g.State = Unreadable
		c.askNumber(r)
	default:
		c.refuseNumber(r)
		g.State = Unreadable
	}
}

// askNumber keeps a number that reads in two ways, for one question a sheet.
func (c *cell) askNumber(r unit.Reading) {
	var sign *unit.AmbiguousError
	if errors.As(r.Err, &sign) {
		p, at := c.page, c.Pos
		c.out.add(func(b *binder) {
			if b.first(at, "decimal-sign-open") {
				p.open, p.openAt = append(p.open, r), append(p.openAt, at)
			}
		})
		return
	}
	c.problem("unit-missing", fmt.Sprintf("found %q, but wanted a %s with its unit", r.Text, r.Quantity),
		"write the unit in the heading, such as "+r.Quantity.Symbol())
}

// measure reads the cell as one quantity.
func (c *cell) measure(q unit.Quantity) unit.Reading {
	text, sign := strings.TrimPrefix(c.value, "'"), c.sign // an apostrophe marks a number kept as text
	if c.Kind == table.Number && c.value == c.Text {
		if digits, ok := c.digits(); ok {
			text, sign = digits, unit.PointSign
		}
	}
	var r unit.Reading
	if q == unit.OfPatchArea {
		r = unit.ParsePatchArea(text, c.head, sign)
	} else {
		r = unit.Parse(q, text, c.head, sign)
	}
	if q == unit.OfHumidity && r.State == unit.Known && c.told.fractions && (r.Unit == "" || r.FromHead) {
		r.Value = r.Value.Shift(2)
		c.changedAll("a fraction read as per cent", func() (from, to string) { return c.value, r.Value.String() + " %" })
	}
	r.Text = c.value
	return r
}

// noteUnit notes what was done with the unit of a number that is used.
func (c *cell) noteUnit(r unit.Reading) {
	if r.Flag == unit.Plain && !r.Converted() {
		return
	}
	to := func() string { return fmt.Sprintf("%v %s", r.Value, r.Quantity.Symbol()) }
	units := func() (from, to string) { return r.Unit, r.Quantity.Symbol() }
	switch {
	case r.Flag == unit.AlwaysSlip:
		c.problem("unit-surely-wrong",
			fmt.Sprintf("found %q in %s, but wanted %s: nobody means a thousand times so much", r.Text, r.Unit, r.Quantity.Symbol()),
			"correct the unit; until then the value is taken as it stands")
	case r.Flag == unit.UnitFromNumber:
		c.changedAll("a patch area that can only be in cm²", func() (string, string) { return r.Text, to() })
	case r.Flag == unit.LostMicro || r.Flag == unit.Capitals:
		c.changedAll("a unit spelled otherwise", units)
	}
	switch {
	case !r.Converted() || r.Flag == unit.UnitFromNumber:
	case r.FromHead:
		c.changedAll("converted, the whole column", units)
	default:
		c.changed("converted", r.Text, to())
	}
}

// refuseNumber says why a cell is not the quantity it should be.
func (c *cell) refuseNumber(r unit.Reading) {
	wanted := r.Quantity.String()
	if s := r.Quantity.Symbol(); s != "" {
		wanted += " in " + s
	}
	check, msg, hint := "not-a-number", fmt.Sprintf("found %q, but wanted a %s", quoted(r.Text), wanted), "write the number that was read"
	var slip *unit.NumberError
	var symbol *unit.SymbolError
	switch {
	case r.State == unit.Above:
		check, hint = "above-range", "repeat the reading within the range of the meter"
	case errors.As(r.Err, &slip):
		msg += ": " + slip.Found
		if slip.Suggest != "" {
			hint = fmt.Sprintf("if %s was meant, write that", slip.Suggest)
		}
	case errors.As(r.Err, &symbol) && !mayBeUnit(symbol.Text):
		msg += ": it ends in signs that are no unit"
	case errors.As(r.Err, &symbol):
		check, hint = "unknown-unit", fmt.Sprintf("write the unit, such as %s", r.Quantity.Symbol())
		if r.State == unit.WrongUnit {
			check = "other-quantity"
		}
		if symbol.Dissolved {
			hint = "repeat the reading in the conductivity mode of the meter"
		}
		msg = fmt.Sprintf("found %q in %q, %s, but wanted a %s", quoted(r.Text), quoted(symbol.Text), symbol.Found, wanted)
	}
	c.problem(check, msg, hint)
}

// mayBeUnit reports whether s can be meant as a unit: it holds a letter or a
// sign of one, and no character that cannot be seen (shown as \x00).
func mayBeUnit(s string) bool {
	return !strings.Contains(s, `\x`) && strings.ContainsFunc(s, func(r rune) bool {
		return r != unicode.ReplacementChar && (unicode.IsLetter(r) || strings.ContainsRune("°º%‰", r))
	})
}

// significant is how many digits a spreadsheet keeps of a number. What
// stands behind them is an artefact of binary fractions.
const significant = 15

// digits spells a number cell of a workbook: the digits that were typed,
// with the trailing zeros that the column has and the spreadsheet has eaten.
func (c *cell) digits() (string, bool) {
	d, percent, ok := shown(c.Cell)
	if !ok {
		return "", false
	}
	if decimals, _, plain := shownDecimals(c.Text); plain && -decimals > d.Exp {
		c.changed("the stored digits, of which fewer are shown", c.Text, d.String())
	}
	if step := c.told.step(c.Formula() != ""); step.some {
		if finer := refine(d, step.exp); finer != d {
			c.changedAll("trailing zeros restored, as the column has a finer step", func() (from, to string) { return d.String(), finer.String() })
			d = finer
		}
	}
	if percent {
		return d.String() + " %", true
	}
	return d.String(), true
}

// shown is the number that a cell of a workbook holds, with the zeros that
// its format shows behind it. The result of a formula is what is shown of it,
// as nobody typed or read the digits behind that.
func shown(c table.Cell) (d unit.Decimal, percent, ok bool) {
	d, ok = stored(c.Raw)
	if !ok {
		return d, false, false
	}
	decimals, percent, plain := shownDecimals(c.Text)
	if percent {
		d = d.Shift(2)
	}
	switch {
	case !plain:
	case -decimals > d.Exp && c.Formula() != "":
		if n := unit.RoundRat(d.Rat(), decimals, false); n.IsInt64() {
			d = unit.Decimal{Coef: n.Int64(), Exp: -decimals}
		}
	default:
		d = refine(d, -decimals)
	}
	return d, percent, true
}

// stored reads the stored form of a number. Programs differ in the last of the
// digits that they keep: 15.9 is stored as 15.899999999999999 or, cut off, as
// 15.8999999999999. Nobody types so many digits, so a number that is short
// without the last of them is meant.
func stored(raw string) (unit.Decimal, bool) {
	if len(raw) >= significant {
		f, err := strconv.ParseFloat(raw, 64)
		if err != nil || math.IsInf(f, 0) || math.IsNaN(f) {
			return unit.Decimal{}, false
		}
		raw = spelled(f, significant)
		if short := spelled(f, significant-1); len(short) <= typed && len(raw) > typed {
			raw = short
		}
	}
	d, err := unit.ParseDecimal(raw, unit.PointSign)
	if d.Exp > 0 {
		d = refine(d, 0)
	}
	return d, err == nil
}

// typed is how long a number is at most that somebody typed.
const typed = significant - 4

// spelled spells f with so many digits, less the zeros behind its point.
func spelled(f float64, digits int) string {
	s := strconv.FormatFloat(f, 'g', digits, 64)
	if strings.Contains(s, ".") && !strings.Contains(s, "e") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// refine writes d with the step 10^exp, where that is finer and has room.
func refine(d unit.Decimal, exp int) unit.Decimal {
	for d.Exp > exp {
		if d.Coef > math.MaxInt64/10 || d.Coef < math.MinInt64/10 {
			return d
		}
		d.Coef, d.Exp = d.Coef*10, d.Exp-1
	}
	return d
}

// shownDecimals counts the decimals of a displayed number; ok is false where
// the format shows something else beside the number.
func shownDecimals(text string) (n int, percent, ok bool) {
	text, percent = strings.CutSuffix(text, "%")
	text = strings.TrimRight(text, " ")
	for i := range len(text) {
		if c := text[i]; (c < '0' || c > '9') && !strings.ContainsRune("-., '", rune(c)) {
			return 0, percent, false
		}
	}
	if i := strings.LastIndexByte(text, '.'); i >= 0 {
		n = len(text) - i - 1
	}
	return n, percent, text != ""
}

// count reads a whole number, such as a number of uses.
func count[T any](at func(*T) *Given[int]) field[T] {
	return fieldOf(holdsWords, at, func(c *cell, g *Given[int]) {
		text := strings.TrimRight(c.value, "x×")
		if c.Kind == table.Number {
			text = c.Raw
		}
		d, err := unit.ParseDecimal(text, unit.PointSign)
		d = refine(d, 0)
		for d.Exp < 0 && d.Coef%10 == 0 {
			d.Coef, d.Exp = d.Coef/10, d.Exp+1
		}
		switch {
		case err == nil && d.Exp == 0 && d.Coef >= 0 && d.Coef <= math.MaxInt32:
			g.Val, g.Dec, g.State = int(d.Coef), d, Known
		case unit.IsNotDone(c.value):
			g.State = NotDone
		default:
			unusable(c, g, "not-a-count", "a whole number", "write the number alone")
		}
	})
}

// property reads a figure of an instrument that is kept for meters of
// conductivity: the resolution of a thermometer is in °C, and is no mistake.
// It stays in its text.
func property[T any, Q ~float64](q unit.Quantity, at func(*T) *Given[Q]) field[T] {
	return fieldOf(holdsNumbers, at, func(c *cell, g *Given[Q]) {
		for _, sign := range []string{"±", "+/-", "+-"} {
			c.value = strings.TrimSpace(strings.TrimPrefix(c.value, sign))
		}
		for _, of := range []string{" of reading", " of rdg", " rdg", " vom Messwert"} {
			c.value = strings.TrimSuffix(strings.TrimRight(c.value, "."), of)
		}
		if c.measure(q).State == unit.WrongUnit {
			g.State = Unreadable
			return
		}
		readNumber(c, g, q)
	})
}

// hours reads a length of time that is in hours where no unit is written.
func hours[T any](at func(*T) *Given[float64]) field[T] {
	return fieldOf(holdsNumbers, at, func(c *cell, g *Given[float64]) {
		if number, symbol := unit.SplitUnit(c.value); symbol == "" && c.head == "" {
			c.value = number + " h"
		}
		r := c.measure(unit.OfTime)
		if r.State != unit.Known {
			readNumber(c, g, unit.OfTime)
			return
		}
		g.State, g.Unit, g.Val = Known, r.Unit, r.Value.Float()/60
	})
}

// difference reads a difference of temperatures, in K or °C.
func difference[T any](at func(*T) *Given[unit.Temperature]) field[T] {
	return fieldOf(holdsNumbers, at, func(c *cell, g *Given[unit.Temperature]) {
		if _, symbol := unit.SplitUnit(c.value); strings.EqualFold(symbol, "K") {
			c.value = strings.TrimRight(c.value, "Kk ")
		} else if strings.Contains(strings.ToUpper(symbol), "F") {
			unusable(c, g, "unknown-unit", "a difference in °C", "convert it: 1 °F is 5/9 °C")
			return
		}
		readNumber(c, g, unit.OfTemperature)
	})
}
