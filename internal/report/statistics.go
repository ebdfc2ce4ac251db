package report

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// statistics describes the areas to the end of the day: what was found at
// first test beside the steel as it would be coated. A statement on the spots
// that were not tested is made only where they were chosen at random and all
// of them pass; what else may be said of them accepts nothing.
func (c *composer) statistics() []doc.Block {
	var areas []*assess.Standing
	for _, s := range c.standing {
		if len(s.First.Tests) > 0 || len(s.AsCoated.Tests) > 0 {
			areas = append(areas, s)
		}
	}
	if len(areas) == 0 {
		return nil
	}
	blocks := []doc.Block{
		doc.Heading{Level: 2, Text: c.say("statistics/title", nil)},
		c.foundTable(areas),
		doc.Paragraph{Text: doc.Fine(c.say("statistics/note", nil))},
	}
	if slices.ContainsFunc(areas, func(s *assess.Standing) bool { return s.First.Bounded > 0 || s.AsCoated.Bounded > 0 }) {
		blocks = append(blocks, c.small("statistics/note-bounded", nil)...)
	}
	blocks = append(blocks, c.proof(areas)...)
	return append(blocks, c.toleranceLimits(areas)...)
}

// A foundLine is a line of the table of what was found.
type foundLine struct {
	area    *assess.Standing
	of      *assess.Found
	what    string
	touched bool // the share of the steel is that of all tests, and is said once
}

// foundTable is the table of statistics, two lines an area.
func (c *composer) foundTable(areas []*assess.Standing) doc.Block {
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	var lines []foundLine
	for _, s := range areas {
		lines = append(lines,
			foundLine{s, &s.First, c.say("statistics/first", nil), false},
			foundLine{s, &s.AsCoated, c.say("statistics/as-coated", nil), true})
	}
	figure := func(key string, of func(*assess.Found) stat.Bounds) doc.Col[foundLine] {
		return doc.Decimal(head(key), "mg/m²", func(l foundLine) string { return c.bounds(of(l.of)) })
	}
	return doc.Tabulate([]doc.Col[foundLine]{
		doc.Left(head("area"), "", func(l foundLine) string { return c.areaName(l.area.Name) }),
		doc.Left(c.say("statistics/head-found", nil), "", func(l foundLine) string { return l.what }),
		doc.Right(head("n"), "", func(l foundLine) string { return c.bare(len(l.of.Tests)) }),
		figure("min", func(f *assess.Found) stat.Bounds { return f.Order.Min }),
		figure("median", func(f *assess.Found) stat.Bounds { return f.Order.Median }),
		figure("mean", func(f *assess.Found) stat.Bounds { return stat.Exactly(f.Mean) }),
		figure("sd", func(f *assess.Found) stat.Bounds { return stat.Exactly(f.SD) }),
		figure("max", func(f *assess.Found) stat.Bounds { return f.Order.Max }),
		doc.Left(head("where"), "", func(l foundLine) string {
			if l.of.MaxAt < 0 {
				return "–"
			}
			return c.say("report/at-test", map[string]any{"Test": c.number(l.of.MaxAt), "Location": ""})
		}),
		doc.Right(c.say("statistics/head-above", nil), "", func(l foundLine) string { return c.bare(len(l.of.Above)) }),
		doc.Right(head("touched"), "%", func(l foundLine) string {
			if !l.touched || math.IsNaN(float64(l.area.Touched)) {
				return "–"
			}
			return c.Words.Number(float64(l.area.Touched), 4)
		}),
	}, lines)
}

// bounds writes a figure, or of one that is not known the most that it can be.
func (c *composer) bounds(b stat.Bounds) string {
	switch {
	case math.IsNaN(b.High):
		return "–"
	case b.Exact():
		return c.bare(unit.SurfaceDensity(b.High))
	}
	return "≤ " + c.bare(unit.SurfaceDensity(b.High))
}

// proof says what the tests prove of the spots that were not tested, and how
// many more would prove more.
func (c *composer) proof(areas []*assess.Standing) []doc.Block {
	switch c.job.Terms.SpotsChosen.Val {
	case record.AtRandom:
	case record.ByJudgement:
		return c.small("statistics/by-judgement", nil)
	default:
		return c.small("report/proof-none", nil)
	}
	var blocks []doc.Block
	for _, a := range areas {
		if math.IsNaN(a.Coverage) {
			blocks = append(blocks, c.small("statistics/proof-failed", c.areaName(a.Name))...)
			continue
		}
		said := c.say("report/proof", map[string]any{"Area": c.areaName(a.Name), "Share": unit.Humidity(100 * a.Coverage)})
		for _, share := range []float64{0.90, 0.95} {
			if n, ok := a.Further(share); ok && n > 0 {
				said += " " + c.say("statistics/further", map[string]any{"Count": n, "Share": unit.Humidity(100 * share)})
			}
		}
		blocks = append(blocks, doc.Paragraph{Text: doc.Fine(said)})
	}
	return blocks
}

// A zoneLine is a line of the table of upper tolerance limits.
type zoneLine struct {
	area, zone string
	of         *assess.Zone
}

// toleranceLimits are the upper tolerance limits of the zones that have values
// enough; the others of an area that has as many in all are named. Where no
// area has, there is nothing to say.
func (c *composer) toleranceLimits(areas []*assess.Standing) []doc.Block {
	var lines []zoneLine
	var few []string
	for _, a := range areas {
		if len(a.AsCoated.Tests) < assess.LeastInZone {
			continue
		}
		zones := a.Zones(c.Result)
		var small []string
		for k := range zones {
			z := &zones[k]
			name := c.zoneName(z, len(zones) == 1)
			if z.Without == assess.FewValues {
				small = append(small, c.say("statistics/zone-small", map[string]any{"Zone": name, "N": len(z.Tests)}))
				continue
			}
			lines = append(lines, zoneLine{c.areaName(a.Name), name, z})
		}
		if len(small) > 0 {
			few = append(few, c.say("statistics/zones-of", map[string]any{"Area": c.areaName(a.Name), "Zones": c.list(small)}))
		}
	}
	var blocks []doc.Block
	if len(lines) > 0 {
		blocks = append(blocks, doc.Heading{Level: 2, Text: c.say("statistics/limit-title", nil)}, c.toleranceTable(lines))
		blocks = append(blocks, c.small("statistics/limit-note", nil)...)
	}
	if len(few) > 0 {
		blocks = append(blocks, c.small("statistics/zones-small", map[string]any{"Least": assess.LeastInZone, "Zones": c.Words.Clauses(few)})...)
	}
	return blocks
}

func (c *composer) toleranceTable(lines []zoneLine) doc.Block {
	head := func(key string) string { return c.say("statistics/head-"+key, nil) }
	limit := func(v unit.SurfaceDensity) string { return c.bounds(stat.Exactly(float64(v))) }
	columns := []doc.Col[zoneLine]{
		doc.Left(c.say("report/head-area", nil), "", func(l zoneLine) string { return l.area }),
		doc.Left(head("zone"), "", func(l zoneLine) string { return l.zone }),
		doc.Right(c.say("report/head-n", nil), "", func(l zoneLine) string { return c.bare(len(l.of.Tests)) }),
		doc.Right("k", "", func(l zoneLine) string {
			if math.IsNaN(l.of.Factor) {
				return "–"
			}
			return c.Words.Number(l.of.Factor, 3)
		}),
		doc.Decimal(head("normal"), "mg/m²", func(l zoneLine) string { return limit(l.of.Normal) }),
		doc.Decimal(head("logs"), "mg/m²", func(l zoneLine) string { return limit(l.of.LogNormal) }),
	}
	if slices.ContainsFunc(lines, func(l zoneLine) bool { return l.of.WithoutLogs != assess.HasLimit }) {
		columns = append(columns, doc.Left(head("why"), "", func(l zoneLine) string { return c.whyNoLimit(l.of) }))
	}
	return doc.Tabulate(columns, lines)
}

// whyNoLimit says why a zone has no upper limit, or none by logarithms.
func (c *composer) whyNoLimit(z *assess.Zone) string {
	switch {
	case z.Without == assess.BoundedValue:
		return c.say("statistics/why-bounded", z.Bounded)
	case z.WithoutLogs == assess.ZeroOrBelow:
		return c.say("statistics/why-zero", nil)
	}
	return "–"
}

// zoneName is the type of the spots of a zone. The only one of an area that
// records no types is the whole of it.
func (c *composer) zoneName(z *assess.Zone, only bool) string {
	switch {
	case z.SpotType != "":
		return z.SpotType
	case only:
		return c.say("statistics/zone-whole", nil)
	}
	return c.say("statistics/zone-none", nil)
}
