package report

import (
	"math"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/plot"
	"saltline/internal/trend"
	"saltline/internal/unit"
)

// pause is how many calendar days without work part two days in a figure.
const pause = 7

// dayShapes are the heights of a figure of days as shares of its width: taller
// where long labels need it.
var dayShapes = []float64{0.32, 0.45, 0.6}

// overDays draws a figure of days, in as many panels as it takes.
func (c *composer) overDays(d plot.Days, caption, alt string) []doc.Block {
	d.Words = plot.DaysWords{
		Apart: c.say("trends/plot-apart", nil), Broken: c.say("report/plot-broken", nil), Panel: c.say("report/plot-panel", nil),
		Number: c.Words.Number,
	}
	width := math.Floor(c.Width) // a plot is drawn on a grid and must not stand out
	var panels []*frame.Frame
	var err error
	for _, shape := range dayShapes {
		if panels, err = d.Draw(c.Fonts, width, width*shape); err == nil {
			break
		}
	}
	if err != nil && c.err == nil {
		c.err = err
	}
	var blocks []doc.Block
	for i, panel := range panels {
		fig := doc.Figure{Draw: doc.Drawn(panel), Alt: alt}
		if i == len(panels)-1 {
			fig.Caption = doc.Plain(caption)
		}
		blocks = append(blocks, fig)
	}
	return blocks
}

// dayStops are the stops of the days.
func (c *composer) dayStops(days []trend.Day) []plot.Stop {
	stops := make([]plot.Stop, len(days))
	for i := range days {
		stops[i].Label = c.Words.Date(days[i].Date)
		stops[i].Apart = i > 0 && days[i].Date.Since(days[i-1].Date) > pause
	}
	return stops
}

// valuesOf are the values of days.
func valuesOf(days []trend.Day, of func(*trend.Day) float64) []float64 {
	values := make([]float64, len(days))
	for i := range days {
		values[i] = of(&days[i])
	}
	return values
}

// above tells which values are above a limit; none where there is none.
func above(values []float64, limit float64) []bool {
	out := make([]bool, len(values))
	for i, v := range values {
		out[i] = v > limit
	}
	return out
}

// densityFigure shows median and highest density of each day against the limit.
func (c *composer) densityFigure(t *trend.Trends) []doc.Block {
	var levels []plot.Level
	limit := math.NaN()
	for i, l := range c.plotLimits() {
		levels = append(levels, plot.Level{Value: l.Value, Label: l.Label})
		if i == 0 {
			limit = l.Value
		}
	}
	// A negative difference is a finding, not a density: its mark stands where
	// the axis begins.
	highest := valuesOf(t.Days, func(d *trend.Day) float64 { return notBelow0(float64(d.Max)) })
	return c.overDays(plot.Days{
		Title: c.say("trends/figure-densities", nil), YLabel: c.plotAxis(), Levels: levels, Stops: c.dayStops(t.Days),
		Series: []plot.Series{
			{Label: c.say("trends/series-median", nil), Mark: frame.Disc, Joined: true,
				Values: valuesOf(t.Days, func(d *trend.Day) float64 { return notBelow0(float64(d.Median)) })},
			{Label: c.say("trends/series-highest", nil), Mark: frame.Delta, Values: highest,
				Out: above(highest, limit), OutMark: frame.SolidDiamond, OutLabel: c.say("trends/series-highest-above", nil)},
		},
	}, c.say("trends/caption-densities", nil), c.say("trends/alt-densities", len(t.Days)))
}

// notBelow0 is v, or 0 where it is below; NaN stays.
func notBelow0(v float64) float64 {
	if v < 0 {
		return 0
	}
	return v
}

// waterFigure shows the blanks and the water of each day against their limit.
func (c *composer) waterFigure(t *trend.Trends) []doc.Block {
	limit, house := c.waterLimit()
	water := valuesOf(t.Days, func(d *trend.Day) float64 { return float64(d.WaterMost()) })
	return c.overDays(plot.Days{
		Title: c.say("trends/figure-blanks", nil), YLabel: c.say("trends/axis-water", nil), Stops: c.dayStops(t.Days),
		Levels: []plot.Level{{Value: float64(limit), Label: c.say("trends/level-water", map[string]any{"Limit": limit, "House": house})}},
		Series: []plot.Series{
			{Label: c.say("trends/series-blank", nil), Mark: frame.Disc, Joined: true,
				Values: valuesOf(t.Days, func(d *trend.Day) float64 { return float64(d.Blank) })},
			{Label: c.say("trends/series-water", nil), Mark: frame.Delta, Values: water,
				Out: above(water, float64(limit)), OutMark: frame.SolidDiamond, OutLabel: c.say("trends/series-water-above", nil)},
		},
	}, c.say("trends/caption-blanks", nil), c.say("trends/alt-blanks", len(t.Days)))
}

// checkFigures show the chart of individuals of each meter.
func (c *composer) checkFigures(t *trend.Trends) []doc.Block {
	var blocks []doc.Block
	for i := range t.Meters {
		if m := &t.Meters[i]; m.Charted {
			blocks = append(blocks, c.checkFigure(m)...)
		}
	}
	return blocks
}

func (c *composer) checkFigure(m *trend.Meter) []doc.Block {
	s := plot.Series{
		Label: c.say("trends/series-check", nil), Mark: frame.Disc, Joined: true,
		OutMark: frame.SolidDiamond, OutLabel: c.say("trends/series-check-outside", nil),
	}
	var stops []plot.Stop
	referred := false
	for i := range m.Checks {
		k := &m.Checks[i]
		stop := plot.Stop{}
		day, before := k.Entry.Date.Val, unit.Date{}
		if i > 0 {
			before = m.Checks[i-1].Entry.Date.Val
		}
		if day != before {
			stop.Label = c.Words.Date(day)
			stop.Apart = i > 0 && day.Since(before) > pause
		}
		stops = append(stops, stop)
		s.Values, s.Out = append(s.Values, k.Deviation), append(s.Out, k.Outside)
		referred = referred || k.Referred
	}
	level := func(key string, v float64, solid bool) plot.Level {
		return plot.Level{Value: v, Label: c.say("trends/level-"+key, c.plus(v, 2)), Solid: solid}
	}
	return c.overDays(plot.Days{
		Title: c.say("trends/figure-checks", c.meterName(m.Name)), YLabel: c.say("trends/axis-checks", nil), Stops: stops, Series: []plot.Series{s},
		Levels: []plot.Level{level("upper", m.Chart.Upper, false), level("centre", m.Chart.Centre, true), level("lower", m.Chart.Lower, false)},
	}, c.say("trends/caption-checks", map[string]any{"Tolerance": m.Tolerance, "Referred": referred}), c.say("trends/alt-checks", len(m.Checks)))
}
