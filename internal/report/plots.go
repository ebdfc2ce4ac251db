package report

import (
	"math"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/plot"
	"saltline/internal/record"
	"saltline/internal/salt"
)

// plotShapes are the heights of a plot as shares of its width: flat enough that
// a day's plot and its table of tests share a page, and taller where the labels
// of many limits or long places need it.
var plotShapes = []float64{0.38, 0.5, 0.7}

// plots shows the readings of the day against the limit, in walking order,
// those of one area together.
func (c *composer) plots() []doc.Block {
	figures := c.byLocation(
		c.points(c.today),
		func(n int) string { return c.say("report/plot-alt", map[string]any{"Count": n, "Day": c.dayName()}) })
	if len(figures) == 0 {
		return nil
	}
	return append([]doc.Block{c.heading("report/plot-title", "")}, figures...)
}

// byLocation draws points against the limits, in as many figures as it takes.
func (c *composer) byLocation(points []plot.Point, alt func(count int) string) []doc.Block {
	chart := plot.Chart{
		YLabel: c.plotAxis(),
		Bars:   c.barMeaning(),
		Points: points,
		Limits: c.plotLimits(),
		Words:  c.plotWords(),
	}
	if len(points) == 0 {
		return nil
	}
	if len(points) > plot.PerPanel {
		chart.Title = c.say("report/plot-title", nil) // each panel says which it is
	}
	width := math.Floor(c.Width) // a plot is drawn on a grid and must not stand out
	var panels []*frame.Frame
	var err error
	for _, shape := range plotShapes {
		if panels, err = chart.Draw(c.Fonts, width, width*shape); err == nil {
			break
		}
	}
	if err != nil {
		if c.err == nil {
			c.err = err
		}
		return nil
	}
	var blocks []doc.Block
	for i, panel := range panels {
		fig := doc.Figure{Draw: doc.Drawn(panel), Alt: alt(len(points))}
		if i == len(panels)-1 {
			fig.Caption = doc.Plain(c.say("report/plot-caption", c.any(func(l *assess.Line) bool { return l.At25().Known })))
		}
		blocks = append(blocks, fig)
	}
	return blocks
}

// points are those of the tests on steel, area by area, each area in the order
// in which it was walked: that of the log.
func (c *composer) points(of func(*assess.Standing) []int) []plot.Point {
	var points []plot.Point
	for _, s := range c.standing {
		for _, n := range of(s) {
			if l := &c.Result.Lines[n]; l.OfSteel() {
				points = append(points, c.point(l, c.areaName(s.Name)))
			}
		}
	}
	return points
}

func (c *composer) point(l *assess.Line, area string) plot.Point {
	p := plot.Point{
		Label: strings.TrimSpace(c.number(l.Index) + "  " + l.Test.Location().OrZero()), Number: c.number(l.Index), NoValue: true,
		Verdict: plotVerdicts[l.Verdict],
	}
	if c.several {
		p.Group = area
	}
	if v := c.compared(l); !math.IsNaN(v) {
		p.Value, p.NoValue = v, false
		p.Low, p.High = c.bar(l)
		// A negative difference is a finding, not a density: its mark stands
		// where the axis begins.
		p.Value, p.Low, p.High = max(p.Value, 0), max(p.Low, 0), max(p.High, 0)
	}
	p.RetestOf, p.Test, p.Fail = c.retestOf(l)
	return p
}

// retestOf is the number of the fail that a retest repeats, as the log writes
// it, and what tells both tests from all others: a number may stand on several.
func (c *composer) retestOf(l *assess.Line) (number string, test, fail int) {
	if c.failOf == nil {
		c.failOf = make(map[int]int)
		for _, s := range c.standing {
			for _, chains := range [][]assess.Chain{s.Open, s.Cleared} {
				for k := range chains {
					for _, n := range chains[k].Retests {
						c.failOf[n] = chains[k].Fail + 1
					}
				}
			}
		}
	}
	if l.Test.Kind().Known() && l.Test.Kind().Val == record.Retest {
		number = l.Test.OfTest().OrZero()
	}
	return number, l.Index + 1, c.failOf[l.Index]
}

// bar is the bar of a point: ± U where an uncertainty is stated in the record,
// else what the written digits allow.
func (c *composer) bar(l *assess.Line) (from, to float64) {
	// In another basis than total salts the density is in near proportion.
	v := c.compared(l)
	share := 1.0
	if l.Judged().Value != 0 {
		share = v / float64(l.Judged().Value)
	}
	if c.Result.Basis.Expanded.Known {
		u := float64(l.Uncertainty().Expanded) * share
		return v - u, v + u
	}
	low, high := l.JudgedSpan()
	return min(v, float64(low)*share), max(v, float64(high)*share)
}

func (c *composer) barMeaning() string {
	if c.Result.Basis.Expanded.Known {
		return c.say("report/plot-bar-uncertainty", c.Result.Basis.Expanded.Val)
	}
	return c.say("report/plot-bar-digits", nil)
}

// plotAxis says what the axis counts: the density, or what of it is compared
// with the limit.
func (c *composer) plotAxis() string {
	switch c.limitBasis() {
	case salt.SodiumChloride:
		return c.say("report/plot-axis-nacl", nil)
	case salt.ChlorideIon:
		return c.say("report/plot-axis-chloride", nil)
	}
	return c.say("report/plot-axis", nil)
}

// plotLimits are the limits on the basis of the axis; one whose basis is not
// recorded is drawn, and its label says so. A further limit on another basis
// would be another level for each test.
func (c *composer) plotLimits() []plot.Limit {
	var limits []plot.Limit
	for _, l := range c.Result.Basis.Limits {
		if (l.Basis == c.limitBasis() || l.Basis == salt.BasisNotStated) && l.Exact.Coef != 0 {
			limits = append(limits, plot.Limit{Value: float64(l.Value), Label: c.say("report/plot-limit", map[string]any{
				"Value": c.limitValue(l), "Basis": c.basisName(l.Basis), "Sign": comparisonSigns[l.Comparison]})})
		}
	}
	return limits
}

var comparisonSigns = map[salt.Comparison]string{salt.AtMost: "≤", salt.LessThan: "<"}

var plotVerdicts = map[assess.Verdict]plot.Verdict{
	assess.Pass: plot.Pass, assess.Fail: plot.Fail, assess.Void: plot.Void, assess.NotEstablished: plot.NotEstablished,
}

func (c *composer) plotWords() plot.Words {
	w := plot.Words{
		Joined: c.say("report/plot-joined", nil), RetestOf: c.say("report/plot-retest-of", nil), NoValue: c.say("report/plot-no-value", nil),
		Failed: c.say("report/plot-failed", nil), Broken: c.say("report/plot-broken", nil), Panel: c.say("report/plot-panel", nil),
		Number: c.Words.Number,
	}
	for v, shape := range plotVerdicts {
		w.Verdicts[shape] = c.verdictWord(v)
	}
	return w
}
