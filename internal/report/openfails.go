package report

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
)

// mostFails bounds how many fails are shown one by one: the open ones of an
// area in what must happen next, and those of the job in their table. A usual
// job has fewer; one that leaves its fails open may have thousands, and each
// of them stands in the report of its own day.
const mostFails = 40

// openSteps says what the open fails of an area need: each for itself or,
// where they are very many, those that need the same together.
func (c *composer) openSteps(s *assess.Standing) []string {
	var steps []string
	if len(s.Open) <= mostFails {
		for i := range s.Open {
			steps = append(steps, c.openStep(s, s.Open[i].Fail, c.needs(&s.Open[i])))
		}
		return steps
	}
	var order []string
	needing := map[string][]int{}
	for i := range s.Open {
		need := c.needs(&s.Open[i])
		if needing[need] == nil && len(order) >= mostFails {
			need = c.say("report/step-as-reported", nil)
		}
		if needing[need] == nil {
			order = append(order, need)
		}
		needing[need] = append(needing[need], s.Open[i].Fail)
	}
	for _, need := range order {
		fails := needing[need]
		if len(fails) == 1 {
			steps = append(steps, c.openStep(s, fails[0], need))
			continue
		}
		steps = append(steps, c.say("report/next-open-alike", map[string]any{
			"Area": c.areaName(s.Name), "Count": len(fails), "Tests": c.numbers(fails), "Steps": need}))
	}
	return steps
}

func (c *composer) needs(chain *assess.Chain) string { return strings.Join(c.chainSteps(chain), ", ") }

func (c *composer) openStep(s *assess.Standing, fail int, need string) string {
	l := &c.Result.Lines[fail]
	return c.say("report/next-open", map[string]any{
		"Area": c.areaName(s.Name), "Location": written(c, l.Test.Location()), "Test": c.number(fail),
		"Density": c.density(l), "Steps": need,
	})
}

// A failLine is a line of the table of fails.
type failLine struct {
	area  string
	chain *assess.Chain
}

// failLines are the fails with what was done about them: all or, where they
// are very many, those that something was done about on the day, with a
// sentence about the others.
func (c *composer) failLines() (lines []failLine, others []doc.Block) {
	for _, s := range c.standing {
		for _, chains := range [][]assess.Chain{s.Open, s.Cleared} {
			for j := range chains {
				lines = append(lines, failLine{c.areaName(s.Name), &chains[j]})
			}
		}
	}
	if len(lines) <= mostFails {
		return lines, nil
	}
	var open, cleared []int
	lines = slices.DeleteFunc(lines, func(l failLine) bool {
		switch {
		case c.moved(l.chain):
			return false
		case l.chain.State == assess.Cleared:
			cleared = append(cleared, l.chain.Fail)
		default:
			open = append(open, l.chain.Fail)
		}
		return true
	})
	if len(open) > 0 {
		others = append(others, c.small("report/fails-other-open", map[string]any{"Count": len(open), "Tests": c.numbers(open)})...)
	}
	if len(cleared) > 0 {
		others = append(others, c.small("report/fails-other-cleared", map[string]any{"Count": len(cleared), "Tests": c.numbers(cleared)})...)
	}
	return lines, others
}

// moved reports whether a fail was found on the day, or treated or tested
// again.
func (c *composer) moved(chain *assess.Chain) bool {
	today := func(i int) bool { return c.Result.Lines[i].Test.Date().Val == c.Date }
	return today(chain.Fail) || slices.ContainsFunc(chain.Retests, today) || slices.ContainsFunc(chain.Adjacent, today) ||
		slices.ContainsFunc(chain.Treatments, func(t *record.Treatment) bool { return t.Date.Val == c.Date })
}
