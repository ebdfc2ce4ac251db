package report

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/plot"
	"saltline/internal/salt"
	"saltline/internal/slip"
)

// plots shows the written values against the recomputed ones, and the
// recomputed ones by location against the limit.
func (c *auditor) plots() []doc.Block {
	figures := c.agreement()
	points := c.points(func(s *assess.Standing) []int { return s.Tests })
	switch {
	case !slices.ContainsFunc(points, func(p plot.Point) bool { return !p.NoValue }):
	case len(points) > mostPoints:
		figures = append(figures, c.para("audit/plot-left-out", map[string]any{"Tests": len(points), "Most": mostPoints})...)
	default:
		figures = append(figures, c.byLocation(points, func(n int) string { return c.say("audit/plot-alt", n) })...)
	}
	if len(figures) == 0 {
		return nil
	}
	return append([]doc.Block{c.heading("audit/plots-title", "")}, figures...)
}

// mostPoints bounds the tests that are plotted by location: four panels.
const mostPoints = 4 * plot.PerPanel

// agreementShape is the height of the plot of written against recomputed
// values as a share of its width: its square stands beside its legend.
const agreementShape = 0.45

// agreement draws the written values against the recomputed ones.
func (c *auditor) agreement() []doc.Block {
	a := plot.Agreement{
		XLabel: c.say("audit/plot-recomputed", nil),
		YLabel: c.say("audit/plot-written", nil),
		Words:  c.agreementWords(),
	}
	a.Pairs, a.Slips = c.pairs()
	if len(a.Pairs) == 0 {
		return nil
	}
	if c.limitBasis() == salt.TotalSalts { // a limit of another basis is no level of these scales
		a.Limits = c.plotLimits()
	}
	width := math.Floor(c.Width)
	drawing, err := a.Draw(c.Fonts, width, width*agreementShape)
	if err != nil {
		if c.err == nil {
			c.err = err
		}
		return nil
	}
	return []doc.Block{doc.Figure{
		Draw:    doc.Drawn(drawing),
		Alt:     c.say("audit/plot-agreement-alt", len(a.Pairs)),
		Caption: doc.Plain(c.say("audit/plot-agreement-caption", nil)),
	}}
}

// A slipKey tells slips apart that a reader tells apart.
type slipKey struct{ name, detail string }

// pairs are the tests with both values, and the slips that explain them by
// themselves, those of most tests first.
func (c *auditor) pairs() ([]plot.Pair, []plot.Slip) {
	rows := map[slipKey][]*assess.Line{}
	var order []slipKey
	for _, l := range c.lines {
		if e, ok := c.theSlip(l); ok && paired(l) {
			k := slipKey{e.Name, e.Detail}
			if rows[k] == nil {
				order = append(order, k)
			}
			rows[k] = append(rows[k], l)
		}
	}
	slices.SortStableFunc(order, func(a, b slipKey) int { return cmp.Compare(len(rows[b]), len(rows[a])) })
	at := map[slipKey]int{}
	var slips []plot.Slip
	for i, k := range order {
		at[k] = i
		slips = append(slips, plot.Slip{Label: c.slipTitle(k.name, k.detail), Factor: c.factor(k, rows[k])})
	}
	var pairs []plot.Pair
	for _, l := range c.lines {
		if !paired(l) {
			continue
		}
		p := plot.Pair{Number: c.number(l.Index), Recomputed: float64(l.Density.Value), Written: float64(l.Test.Recorded().Val)}
		e, one := c.theSlip(l)
		switch {
		case l.Agreement == assess.Agrees:
			p.Standing = plot.Agrees
		case l.Agreement == assess.AgreesThroughUnseenDigits:
			p.Standing = plot.ThroughUnseenDigits
		case one:
			p.Standing, p.Slip = plot.OneSlip, at[slipKey{e.Name, e.Detail}]
		case len(l.Explanations()) > 0:
			p.Standing = plot.SeveralSlips
		default:
			p.Standing = plot.NoSlip
		}
		pairs = append(pairs, p)
	}
	return pairs, slips
}

// paired reports whether a test has a written and a recomputed value.
func paired(l *assess.Line) bool {
	return l.OfSteel() && l.Test.Recorded().Known() && l.Density.Known
}

// theSlip is the slip that explains a value which does not follow: the only
// one that fits, or the one that most rows of its sheet share.
func (c *auditor) theSlip(l *assess.Line) (e slip.Explanation, ok bool) {
	if l.Agreement != assess.DoesNotFollow || len(l.Explanations()) == 0 {
		return e, false
	}
	e = l.Explanations()[0] // those of a whole sheet come first
	return e, len(l.Explanations()) == 1 || c.systematic(l, e)
}

// systematic reports whether most rows of the sheet of a line share a slip.
func (c *auditor) systematic(l *assess.Line, e slip.Explanation) bool {
	return slices.ContainsFunc(c.Result.Systematic, func(s assess.Systematic) bool {
		return s.Explanation == e.Name && s.Detail == e.Detail && s.Sheet == l.Test.Row().At(0, 0)
	})
}

// factor is the one factor by which a slip changes the density of all its
// rows; 0 where it is not one, or the rows are too few to draw a line through.
func (c *auditor) factor(k slipKey, rows []*assess.Line) float64 {
	const few, same = 4, 1e-9
	if len(rows) < few {
		return 0
	}
	factor := 0.0
	for n, l := range rows {
		at := slices.IndexFunc(l.Explanations(), func(e slip.Explanation) bool { return e.Name == k.name && e.Detail == k.detail })
		f := float64(l.Explanations()[at].Value / l.Density.Value)
		if n == 0 {
			factor = f
		}
		if !(math.Abs(f-factor) <= same*math.Abs(factor)) {
			return 0
		}
	}
	if factor <= 0 {
		return 0
	}
	return factor
}

func (c *auditor) agreementWords() plot.AgreementWords {
	say := func(key string) string { return c.say("audit/plot-"+key, nil) }
	w := plot.AgreementWords{
		Counted: say("counted"), Line: say("line"), Times: say("times"), Factor: say("factor"),
		WrittenWithin: say("written-within"), WrittenAbove: say("written-above"),
		RecomputedWithin: say("recomputed-within"), RecomputedAbove: say("recomputed-above"), Apart: say("apart"),
		Logarithmic: say("logarithmic"), Below: say("below"), Once: say("once"),
		Number: c.Words.Number,
	}
	w.Standings[plot.Agrees] = say("agrees")
	w.Standings[plot.ThroughUnseenDigits] = say("unseen")
	w.Standings[plot.OneSlip] = say("other")
	w.Standings[plot.SeveralSlips] = say("several")
	w.Standings[plot.NoSlip] = say("none")
	return w
}
