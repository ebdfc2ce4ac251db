package record

import (
	"fmt"
	"strings"

	"saltline/internal/table"
	"saltline/internal/unit"
)

// fieldOf makes a field whose cells are read by read, into the place that at
// names.
func fieldOf[T, Q any](holds content, at func(*T) *Given[Q], read func(c *cell, g *Given[Q])) field[T] {
	return field[T]{
		holds: holds,
		set: func(row *T, c *cell) {
			g := at(row)
			*g = given[Q](c)
			if !broken(c, g) {
				read(c, g)
			}
		},
		copy: func(to, from *T) { *at(to) = *at(from) },
		said: func(row *T) said {
			g := at(row)
			return said{g.State, fmt.Sprint(g.Val)}
		},
		state: func(row *T) State { return at(row).State },
		wrote: func(row *T) wrote {
			g := at(row)
			return wrote{g.Text, g.Unit, g.Pos}
		},
	}
}

// words reads text as it stands. A dash says that there is none.
func words[T any](at func(*T) *Words) field[T] {
	f := fieldOf(holdsWords, at, readWords)
	f.asText = saysSomething
	return f
}

func readWords(c *cell, g *Words) {
	if !saysSomething(c.value) {
		g.State = NotDone
		return
	}
	g.Val, g.State, g.Unit = c.value, Known, c.head
}

func saysSomething(text string) bool {
	return strings.Trim(text, "-–—−/ ") != "" && !strings.EqualFold(text, "n/a")
}

// label reads text as it stands, and notes where the spreadsheet has made a
// date of it: a spot "3-4" turns into 3 April.
func label[T any](at func(*T) *Words) field[T] {
	f := words(at)
	f.set = fieldOf(holdsWords, at, func(c *cell, g *Words) {
		readWords(c, g)
		if c.Kind == table.Date {
			c.changed("a date kept as the label it shows", c.Raw, c.Text)
		}
	}).set
	return f
}

// word reads a value of a closed set.
func word[T, Q any](v vocabulary[Q], wanted string, at func(*T) *Given[Q]) field[T] {
	return parsed(v.find, wanted, at)
}

// parsed reads a phrase that parse understands.
func parsed[T, Q any](parse func(string) (Q, bool), wanted string, at func(*T) *Given[Q]) field[T] {
	return hinted(parse, wanted, "write one of the forms that are wanted, or leave the cell empty", at)
}

// hinted is parsed with a hint of its own, where an empty cell means something.
func hinted[T, Q any](parse func(string) (Q, bool), wanted, hint string, at func(*T) *Given[Q]) field[T] {
	return fieldOf(holdsWords, at, func(c *cell, g *Given[Q]) {
		v, ok := parse(c.value)
		switch {
		case ok:
			g.Val, g.State = v, Known
		case unit.IsNotDone(c.value):
			g.State = NotDone
		default:
			unusable(c, g, "unknown-words", wanted, hint)
		}
	})
}

func kindOfPatch[T any](at func(*T) *Given[PatchKind]) field[T] {
	return parsed(patchKind, "single-use adhesive, reusable magnetic ring or sleeve", at)
}

// compensation reads whether a meter compensates; a coefficient may follow.
func compensation[T any](at func(*T) *Given[bool]) field[T] {
	return parsed(func(text string) (bool, bool) {
		if on, ok := switches.find(text); ok {
			return on, ok
		}
		first := text
		if i := strings.IndexAny(text, ",;:(0123456789"); i > 0 {
			first = text[:i]
		}
		return switches.find(first)
	}, "on or off, with the coefficient behind it", at)
}

// clock reads a time of day.
func clock[T any](at func(*T) *Given[unit.Clock]) field[T] {
	return fieldOf(holdsWords, at, func(c *cell, g *Given[unit.Clock]) {
		text := c.value
		if c.Kind == table.Date {
			if _, text, _ = strings.Cut(c.ISO(), "T"); text == "" {
				text = c.ISO()
			}
		}
		v, err := unit.ParseClock(text)
		if err != nil && c.Kind == table.Number {
			v, err = unit.ParseClock(c.Raw)
		}
		switch {
		case err == nil:
			g.Val, g.State = v, Known
		case unit.IsNotDone(text):
			g.State = NotDone
		default:
			unusable(c, g, "not-a-time", "a time of day, such as 08:05", "write hours and minutes")
		}
	})
}

// date reads a day.
func date[T any](at func(*T) *Given[unit.Date]) field[T] {
	return fieldOf(holdsDates, at, func(c *cell, g *Given[unit.Date]) {
		if unit.IsNotDone(c.value) {
			g.State = NotDone
			return
		}
		readings := c.dates()
		if len(readings) == 0 {
			unusable(c, g, "not-a-date", "a date, such as 2025-03-11", "write year, month and day")
			return
		}
		if d, ok := c.settleDate(readings); ok {
			g.Val, g.State = d, Known
		} else {
			g.State = Unreadable
		}
	})
}

// moment reads a day with a time of day, or a day alone.
func moment[T any](at func(*T) *Given[Moment]) field[T] {
	return fieldOf(holdsDates, at, func(c *cell, g *Given[Moment]) {
		text := c.value
		if c.Kind == table.Date {
			text = c.ISO()
		}
		if unit.IsNotDone(text) {
			g.State = NotDone
			return
		}
		readings, at, hasClock, err := unit.ParseDateTime(text)
		if err != nil {
			unusable(c, g, "not-a-date", "a date with a time, such as 2025-03-11 08:05", "write the date, a space and the time")
			return
		}
		d, ok := c.settleDate(readings)
		g.Val = Moment{Date: d, Clock: at, HasClock: hasClock}
		g.State = Known
		if !ok {
			*g = Given[Moment]{Text: g.Text, Pos: g.Pos, State: Unreadable}
		}
	})
}
