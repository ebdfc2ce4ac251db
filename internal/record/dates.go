package record

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A proof is what the dates of a column, or of a file, prove together.
type proof struct {
	orders []unit.DateOrder // that single dates prove: 25/03/2025 has the day first
	years  []int            // that single dates state
}

// see takes what one cell can mean into account.
func (p *proof) see(readings []unit.DateReading) {
	if len(readings) == 0 {
		return
	}
	if year := readings[0].Date.Year; year > 0 && !slices.Contains(p.years, year) {
		p.years = append(p.years, year)
	}
	if order := readings[0].Order; len(readings) == 1 && order != unit.OrderNotStated && !slices.Contains(p.orders, order) {
		p.orders = append(p.orders, order)
	}
}

// add joins what another column proves.
func (p *proof) add(q proof) {
	for _, o := range q.orders {
		if !slices.Contains(p.orders, o) {
			p.orders = append(p.orders, o)
		}
	}
	for _, y := range q.years {
		if !slices.Contains(p.years, y) {
			p.years = append(p.years, y)
		}
	}
}

// order is the order that all dates agree on.
func (p proof) order() unit.DateOrder {
	if len(p.orders) == 1 {
		return p.orders[0]
	}
	return unit.OrderNotStated
}

// dateText is what of a cell is to be read as a date. A spreadsheet's own
// date is unambiguous, however it is shown.
func dateText(c table.Cell) string {
	if c.Kind == table.Date {
		return c.ISO()
	}
	return c.Text
}

// A calendar is what the texts of a column mean as dates. A log repeats each
// of its days, and they are read once.
type calendar map[string]day

// A day is what one text means as a date, with a time of day that may stand
// behind it. There are no readings where it is no date.
type day struct {
	readings []unit.DateReading
	clock    unit.Clock
	hasClock bool
}

func dayOf(text string) day {
	readings, clock, hasClock, _ := unit.ParseDateTime(text)
	return day{readings, clock, hasClock}
}

// see enters a text.
func (k calendar) see(text string) day {
	d, seen := k[text]
	if !seen {
		d = dayOf(text)
		k[text] = d
	}
	return d
}

// read returns what a text means, which was mostly seen.
func (k calendar) read(text string) day {
	if d, seen := k[text]; seen {
		return d
	}
	return dayOf(text)
}

// dates returns what the cell can mean as a date; a time behind it is left
// aside.
func (c *cell) dates() []unit.DateReading {
	text := c.value
	if c.Kind == table.Date {
		text = c.ISO()
	}
	return c.told.calendar.read(text).readings
}

// settleDate chooses among the readings of a date. What settles them is, in
// this order: the option --date-order, the job's date order, another date of
// the same column that reads in one way only, points between the numbers in a
// log with decimal commas, and the other dates of the same file. If none does,
// the date is a question.
func (c *cell) settleDate(readings []unit.DateReading) (unit.Date, bool) {
	if len(readings) == 1 {
		return c.withYear(readings[0].Date)
	}
	order, why := c.b.order()
	if order == unit.OrderNotStated {
		order, why = c.told.dates.order(), "the order of the date settled as other dates of the column prove"
	}
	if order == unit.OrderNotStated && pointed(c.value) && c.sign == unit.CommaSign {
		order, why = unit.DMY, "the order of the date settled as points between the numbers are written in a log with decimal commas"
	}
	if order == unit.OrderNotStated {
		order, why = c.b.proofs[c.Pos.File()].order(), "the order of the date settled as other dates of the file prove"
	}
	for _, r := range readings {
		// A reading without an order is that of the day first and the month first alike.
		if order != unit.OrderNotStated && (r.Order == order || r.Order == unit.OrderNotStated && order != unit.YMD) {
			if why != "" {
				c.changedAll(why, func() (from, to string) { return c.value, r.Date.ISO() })
			}
			return c.withYear(r.Date)
		}
	}
	t, open := c.told, openDate{c.Pos, c.value, readings}
	c.out.add(func(b *binder) {
		if b.first(open.pos, "date-order-open") {
			t.open = append(t.open, open)
		}
	})
	return unit.Date{}, false
}

// pointed reports whether text is written as 11.03.2025, 11.03.25 or 11.3.
// Where decimal commas are written too that is the day first (common
// practice); points alone prove nothing.
func pointed(text string) bool {
	parts := strings.Split(strings.TrimSpace(text), ".")
	if len(parts) != 3 {
		return false
	}
	n := len(strings.TrimSpace(parts[2]))
	return n == 4 || n == 2 || n == 0
}

// withYear gives a date that was written without its year the one that the
// other dates of the column or the file agree on.
func (c *cell) withYear(d unit.Date) (unit.Date, bool) {
	if d.Year != 0 {
		return d, true
	}
	years := c.told.dates.years
	if len(years) == 0 {
		years = c.b.proofs[c.Pos.File()].years
	}
	if len(years) != 1 {
		// Once for a column: the year is left out of all its dates or of none.
		c.once("year-missing", func() func(*binder) {
			missing := diag.Diagnostic{
				Pos: c.Pos, Level: diag.Problem, Check: "year-missing",
				Msg:  fmt.Sprintf("found %q, but wanted a date with its year", c.value),
				Hint: fmt.Sprintf("write the year, such as 2025-%02d-%02d, or once in a row above the heading: Year: 2025", d.Month, d.Day),
			}
			return func(b *binder) { b.problem(missing) }
		})
		return unit.Date{}, false
	}
	d.Year = years[0]
	c.changed("given the year of the other dates", c.value, d.ISO())
	return d, d.Valid()
}

// An openDate is a date that reads in more than one way.
type openDate struct {
	pos      diag.Pos
	text     string
	readings []unit.DateReading
}

// askDates asks once for all dates of a column that nothing settles.
func (b *binder) askDates(t *told) {
	if len(t.open) == 0 {
		return
	}
	first := t.open[0]
	var ways, options []string
	for _, r := range first.readings {
		ways = append(ways, r.Date.ISO())
		options = append(options, "--date-order "+orderWord(r.Order))
	}
	d := diag.Diagnostic{
		Pos: first.pos, Level: diag.Question, Check: "date-order-open",
		Msg:  fmt.Sprintf("found %q, which is %s, but wanted a date that reads in one way", first.text, strings.Join(ways, " or ")),
		Hint: "say which with " + strings.Join(options, " or "),
	}
	for _, o := range t.open[1:] {
		d.Related = append(d.Related, o.pos)
	}
	b.list.Add(d)
}

// orderWord spells an order as the option --date-order takes it.
func orderWord(o unit.DateOrder) string {
	switch o {
	case unit.DMY, unit.OrderNotStated: // the day and the month are the same number
		return "dmy"
	case unit.MDY:
		return "mdy"
	}
	return "ymd"
}

// order is the order that was told once for all dates.
func (b *binder) order() (order unit.DateOrder, why string) {
	if b.opts.DateOrder != unit.OrderNotStated {
		return b.opts.DateOrder, ""
	}
	return b.job.Terms.DateOrder.Val, ""
}
