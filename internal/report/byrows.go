package report

import (
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// byRows prints the values that rows have where the job states none, each with
// its rows: "by row: 3 ml (rows 6–8), 10 ml (rows 14–17)". Where the job states
// one, or no row has its own, it is text, that of the job.
func byRows[Q unit.Value](c *composer, stated record.Given[Q], text string, of func(*assess.Line) assess.Used[Q]) string {
	if stated.Known() {
		return text
	}
	type key struct {
		val     Q
		known   bool
		assumed int
	}
	var order []*rowsWith
	with := map[key]*rowsWith{}
	own := false
	var last *rowsWith
	for _, l := range c.lines {
		u := of(l)
		k := key{u.Val, u.Known, u.Assumed}
		r := with[k]
		if r == nil {
			r = &rowsWith{value: c.say("format/not-recorded", nil)}
			switch {
			case u.Assumed > 0:
				r.value = text // it names the assumption
			case u.Known:
				r.value = unit.With(c.Words.Spelling().Decimal(u.Dec), u.Val.Quantity())
				own = true
			}
			with[k], order = r, append(order, r)
		}
		r.add(l.Test.Row(), r == last)
		last = r
	}
	switch {
	case !own:
		return text
	case len(order) == 1:
		return c.say("report/by-every-row", order[0].value)
	}
	several := false
	for _, r := range order {
		for _, part := range r.runs {
			several = several || part.first.At(0, 0) != order[0].runs[0].first.At(0, 0)
		}
	}
	var each []string
	for _, r := range order[:min(len(order), mostValues)] {
		each = append(each, c.say("report/by-row-value", map[string]any{"Value": r.value, "Rows": c.rowsOf(r, several)}))
	}
	if rest := len(order) - len(each); rest > 0 {
		each = append(each, c.say("report/cells-more", rest))
	}
	return c.say("report/by-row", strings.Join(each, ", "))
}

// mostValues bounds how many values of rows one line of the basis names, and
// mostRuns how many stretches of rows for each of them.
const mostValues, mostRuns = 4, 4

// A rowsWith is a value with its rows, in stretches of tests that follow one
// another.
type rowsWith struct {
	value string
	runs  []rowRun
	more  int // stretches that are not kept
}

type rowRun struct {
	first diag.Pos
	to    int
}

// add adds a row; follows says that it comes right after the last of r.
func (r *rowsWith) add(row diag.Pos, follows bool) {
	n := len(r.runs) - 1
	switch {
	case follows && r.more > 0:
	case follows && row.At(0, 0) == r.runs[n].first.At(0, 0) && row.Row() >= r.runs[n].to:
		r.runs[n].to = row.Row()
	case n+1 < mostRuns:
		r.runs = append(r.runs, rowRun{row, row.Row()})
	default:
		r.more++
	}
}

// rowsOf names the rows of a value, with their sheets where there are several.
func (c *composer) rowsOf(r *rowsWith, several bool) string {
	var parts []string
	for _, run := range r.runs {
		sheet := ""
		if several {
			sheet = c.short(run.first.At(0, 0))
		}
		parts = append(parts, c.say("report/by-row-rows", map[string]any{"Sheet": sheet, "First": run.first.Row(), "Last": run.to}))
	}
	if r.more > 0 {
		return strings.Join(parts, ", ") + " " + c.say("report/cells-more", r.more)
	}
	return c.Words.List(parts)
}
