package report

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/plot"
	"saltline/internal/record"
)

// mapShape is the greatest height of a map, as a share of its width.
const mapShape = 0.7

// maps shows where the spots lie of each area in which a test of the day has
// coordinates: all its tests to the end of the day.
func (c *composer) maps() []doc.Block {
	var blocks []doc.Block
	for _, s := range c.standing {
		if slices.ContainsFunc(c.today(s), func(n int) bool { return placed(c.Result.Lines[n].Test) }) {
			blocks = append(blocks, c.mapOf(s)...)
		}
	}
	return blocks
}

// placed reports whether a test has both coordinates.
func placed(t *record.Test) bool {
	finite := func(v float64) bool { return !math.IsNaN(v) && math.Abs(v) < 1e12 }
	return t.X().Known() && t.Y().Known() && finite(t.X().Val) && finite(t.Y().Val)
}

// mapOf shows where the spots of an area lie; nothing where the record has no
// coordinates. Coordinates with a unit and without one have no common scale.
func (c *composer) mapOf(s *assess.Standing) []doc.Block {
	m := plot.Map{Title: c.say("map/title", c.areaName(s.Name)), Words: c.mapWords()}
	measured, onSteel := 0, 0
	for _, n := range s.Tests {
		l := &c.Result.Lines[n]
		if !l.OfSteel() {
			continue
		}
		onSteel++
		if !placed(l.Test) {
			continue
		}
		for _, unit := range []string{l.Test.X().Unit, l.Test.Y().Unit} {
			if unit != "" {
				measured++
			}
		}
		m.Spots = append(m.Spots, c.spot(l))
	}
	switch {
	case len(m.Spots) == 0:
		return nil
	case measured != 0 && measured != 2*len(m.Spots):
		return c.small("map/units-differ", c.areaName(s.Name))
	}
	if measured > 0 {
		m.Unit = "m"
	}
	m.XLabel, m.YLabel = c.say("map/x", m.Unit), c.say("map/y", m.Unit)
	width := math.Floor(c.Width)
	drawn, err := m.Draw(c.Fonts, width, width*mapShape)
	if err != nil {
		if c.err == nil {
			c.err = err
		}
		return nil
	}
	counts := map[string]any{"Area": c.areaName(s.Name), "Count": len(m.Spots), "Of": onSteel}
	return []doc.Block{doc.Figure{
		Draw: doc.Drawn(drawn), Alt: c.say("map/alt", counts), Caption: doc.Plain(c.say("map/caption", counts)),
	}}
}

func (c *composer) spot(l *assess.Line) plot.Spot {
	p := plot.Spot{Number: c.number(l.Index), X: l.Test.X().Val, Y: l.Test.Y().Val, NoValue: true, Verdict: plotVerdicts[l.Verdict]}
	if v := c.compared(l); !math.IsNaN(v) {
		p.Value, p.NoValue = v, false
	}
	p.RetestOf, p.Test, p.Fail = c.retestOf(l)
	return p
}

func (c *composer) mapWords() plot.MapWords {
	w := c.plotWords()
	return plot.MapWords{
		Verdicts: w.Verdicts, Joined: w.Joined, Failed: w.Failed, Number: w.Number,
		Moved: c.say("map/moved", nil), Left: c.say("map/left", nil),
	}
}
