package report

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/trend"
	"saltline/internal/unit"
)

// trends follows the job over its days: figures, a table, what is worth a look
// and what could not be asked. It is of the whole record, whatever the document
// is about; without a day there is nothing to follow.
func (c *composer) trends() []doc.Block {
	t := trend.Of(c.Result)
	if len(t.Days) == 0 {
		return nil
	}
	return slices.Concat(
		c.para("trends/intro", map[string]any{"Days": len(t.Days), "Undated": t.Undated}),
		c.trendFlags(t.Flags),
		c.densityFigure(&t), c.waterFigure(&t), c.checkFigures(&t),
		c.dayTable(&t), c.lineTable(&t),
		c.trendSilences(t.TooFew), c.trendRules(),
	)
}

// trendFlags says what is worth a look, each with another reading and a next
// step.
func (c *composer) trendFlags(flags []trend.Flag) []doc.Block {
	blocks := []doc.Block{doc.Heading{Level: 2, Text: c.say("trends/flags-title", nil)}}
	if len(flags) == 0 {
		return append(blocks, c.para("trends/flags-none", nil)...)
	}
	blocks = append(blocks, c.para("trends/flags-intro", nil)...)
	list := doc.List{}
	for i := range flags {
		name := flags[i].Kind.String()
		list.Items = append(list.Items, doc.Entry("", doc.Join(
			doc.Plain(c.say("trends/flag-"+name, c.flagged(&flags[i]))+" "),
			doc.Emphasis(c.say("trends/innocent-"+name, nil)+" "),
			doc.Strong(c.say("trends/next-label", nil)+" "),
			doc.Plain(c.say("trends/next-"+name, nil)),
		)))
	}
	return append(blocks, list)
}

// flagged is what the words of a flag are filled with.
func (c *composer) flagged(f *trend.Flag) map[string]any {
	data := map[string]any{
		"Who": f.Who, "Other": f.Other, "First": f.First, "Last": f.Last, "N": f.N, "Of": f.Of, "Slope": f.Slope,
		"OwnN": f.OwnN, "OwnOf": f.OwnOf, "OthersN": f.N - f.OwnN, "OthersOf": f.Of - f.OwnOf, "ByDay": f.ByDay,
		"Difference": unit.SurfaceDensity(math.Abs(f.Difference)), "Expected": f.Expected, "Chance": c.chance(f.Chance),
	}
	switch f.Kind {
	case trend.BlanksRising:
		data["From"], data["To"] = unit.Conductivity(f.From), unit.Conductivity(f.To)
	case trend.ChecksInARow, trend.ChecksDrifting, trend.ChecksOutside:
		data["From"], data["To"], data["Who"] = unit.Percent(f.From), unit.Percent(f.To), c.meterName(f.Who)
	default:
		data["From"], data["To"] = unit.SurfaceDensity(f.From), unit.SurfaceDensity(f.To)
	}
	return data
}

func (c *composer) meterName(name string) string {
	if name == "" {
		return c.say("trends/meter-unnamed", nil)
	}
	return name
}

// chance spells a probability in per cent, with as many digits as mean
// something.
func (c *composer) chance(p float64) string {
	const least = 0.0001
	switch {
	case math.IsNaN(p):
		return "–"
	case p < least:
		return c.say("trends/chance-below", c.Words.Number(100*least, 2))
	case p < 0.01:
		return c.say("trends/chance", c.Words.Number(100*p, 2))
	case p < 0.1:
		return c.say("trends/chance", c.Words.Number(100*p, 1))
	}
	return c.say("trends/chance", c.Words.Number(100*p, 0))
}

// trendSilences says what was not asked, and why.
func (c *composer) trendSilences(silences []trend.Silence) []doc.Block {
	if len(silences) == 0 {
		return nil
	}
	list := doc.List{}
	for _, s := range silences {
		who := s.Who
		if s.Kind == trend.ChecksInARow || s.Kind == trend.ChecksDrifting || s.Kind == trend.ChecksOutside {
			who = c.meterName(who)
		}
		list.Items = append(list.Items, doc.Entry("", doc.Plain(c.say("trends/silence-"+s.Kind.String(), map[string]any{
			"Who": who, "N": s.N, "Need": s.Need, "Before": s.Before, "From": unit.SurfaceDensity(s.From), "To": unit.SurfaceDensity(s.To),
		}))))
	}
	return []doc.Block{doc.Heading{Level: 2, Text: c.say("trends/silence-title", nil)}, list}
}

// trendRules says by which rules it was asked. One text may hold for two kinds.
func (c *composer) trendRules() []doc.Block {
	rules := c.small("trends/rule-all", nil)
	for _, k := range trend.Kinds() {
		if key := "trends/rule-" + k.String(); c.Words.Has(key) {
			rules = append(rules, c.small(key, nil)...)
		}
	}
	return append([]doc.Block{doc.Heading{Level: 2, Text: c.say("trends/rules-title", nil)}}, rules...)
}

// dayTable shows the days one by one.
func (c *composer) dayTable(t *trend.Trends) []doc.Block {
	farthest := c.farthestChecks(t.Meters)
	head := func(key string) string { return c.say("trends/head-"+key, nil) }
	count := func(key string, of func(*trend.Day) int) doc.Col[*trend.Day] {
		return doc.Right(head(key), "", func(d *trend.Day) string { return c.bare(of(d)) })
	}
	figure := func(key, symbol string, of func(*trend.Day) (any, float64)) doc.Col[*trend.Day] {
		return doc.Decimal(head(key), symbol, func(d *trend.Day) string {
			v, known := of(d)
			if math.IsNaN(known) {
				return "–"
			}
			return c.bare(v)
		})
	}
	table := doc.Tabulate([]doc.Col[*trend.Day]{
		doc.Right(head("date"), "", func(d *trend.Day) string { return c.Words.Date(d.Date) }),
		count("tests", func(d *trend.Day) int { return d.Tests }),
		figure("median", "mg/m²", func(d *trend.Day) (any, float64) { return d.Median, float64(d.Median) }),
		figure("highest", "mg/m²", func(d *trend.Day) (any, float64) { return d.Max, float64(d.Max) }),
		count("fails", func(d *trend.Day) int { return d.Fails }),
		count("voids", func(d *trend.Day) int { return d.Voids }),
		figure("blank", "µS/cm", func(d *trend.Day) (any, float64) { return d.Blank, float64(d.Blank) }),
		figure("water", "µS/cm", func(d *trend.Day) (any, float64) { return d.WaterMost(), float64(d.WaterMost()) }),
		doc.Decimal(head("check"), "%", func(d *trend.Day) string {
			if v, known := farthest[d.Date]; known {
				return c.signed(v)
			}
			return "–"
		}),
		figure("solution", "°C", func(d *trend.Day) (any, float64) { return d.Solution, float64(d.Solution) }),
		figure("steel", "°C", func(d *trend.Day) (any, float64) { return d.Steel, float64(d.Steel) }),
		figure("humidity", "%", func(d *trend.Day) (any, float64) { return d.Humidity, float64(d.Humidity) }),
		figure("abrasive", "µS/cm", func(d *trend.Day) (any, float64) { return d.Abrasive, float64(d.Abrasive) }),
		figure("wash", "µS/cm", func(d *trend.Day) (any, float64) { return d.Wash, float64(d.Wash) }),
	}, pointers(t.Days), func(d *trend.Day, r *doc.Row) { r.Emphasis = d.Fails > 0 })
	return []doc.Block{
		doc.Heading{Level: 2, Text: c.say("trends/days-title", nil)}, table, doc.Paragraph{Text: doc.Fine(c.say("trends/days-note", nil))},
	}
}

// pointers are those to the items of a list.
func pointers[T any](list []T) []*T {
	out := make([]*T, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	return out
}

// farthestChecks are, by day, the deviations that are farthest from 0, in %.
func (c *composer) farthestChecks(meters []trend.Meter) map[unit.Date]float64 {
	farthest := map[unit.Date]float64{}
	for i := range meters {
		for _, k := range meters[i].Checks {
			day := k.Entry.Date.Val
			if v, known := farthest[day]; !known || math.Abs(k.Deviation) > math.Abs(v) {
				farthest[day] = k.Deviation
			}
		}
	}
	return farthest
}

// lineTable shows how the values go over the days.
func (c *composer) lineTable(t *trend.Trends) []doc.Block {
	type row struct {
		name     string
		line     *trend.Line
		decimals int
	}
	rows := []row{{c.say("trends/line-medians", nil), &t.Medians, 1}, {c.say("trends/line-blanks", nil), &t.Blanks, 2}}
	for i := range t.Meters {
		rows = append(rows, row{c.say("trends/line-checks", c.meterName(t.Meters[i].Name)), &t.Meters[i].Line, 2})
	}
	inexact := slices.ContainsFunc(rows, func(r row) bool { return r.line.N > 2 && !r.line.Exact })
	head := func(key string) string { return c.say("trends/head-"+key, nil) }
	number := func(v float64, decimals int) string {
		if math.IsNaN(v) {
			return "–"
		}
		return c.plus(v, decimals)
	}
	table := doc.Tabulate([]doc.Col[row]{
		doc.Left(head("what"), "", func(r row) string { return r.name }),
		doc.Right(head("days"), "", func(r row) string { return c.bare(r.line.N) }),
		doc.Decimal(head("slope"), "", func(r row) string { return number(r.line.Slope, r.decimals+1) }),
		doc.Decimal(head("change"), "", func(r row) string { return number(r.line.Change(), r.decimals) }),
		doc.Right(head("rising"), "", func(r row) string { return c.chance(r.line.Rising) }),
		doc.Right(head("falling"), "", func(r row) string { return c.chance(r.line.Falling) }),
	}, rows)
	return []doc.Block{
		doc.Heading{Level: 2, Text: c.say("trends/lines-title", nil)}, table,
		doc.Paragraph{Text: doc.Fine(c.say("trends/lines-note", inexact))},
	}
}

// plus is a number with its sign, also where it is above 0.
func (c *composer) plus(v float64, decimals int) string {
	s := c.Words.Number(v, decimals)
	if v > 0 {
		s = "+" + s
	}
	return s
}

// waterLimit is the limit of the water, and whether it is the house's.
func (c *composer) waterLimit() (unit.Conductivity, bool) {
	s, _ := c.Result.Basis.Setting(assess.WaterLimit)
	return unit.Conductivity(s.Value), s.House
}
