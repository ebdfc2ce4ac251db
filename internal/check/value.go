package check

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// valueNotReadable: something stands in the cell of a number that is no such
// number. The text is kept, the row stays, and nothing takes its place. A
// reading that cannot be read leaves no density; a written value that cannot
// be read leaves nothing to compare with.
var valueNotReadable = &assess.Check{
	Name:     "value-not-readable",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		refused := refusals(v)
		reportCells(v, notRead(v), assess.UnprovenPass, func(l *assess.Line) []cell {
			t := l.Test
			return slices.Concat(unreadable(refused, false, t.Blank(), t.Extract()), unreadable(refused, false, t.Volume()), unreadable(refused, false, t.PatchArea()))
		})
		reportCells(v, notRead(v), assess.Weakens, func(l *assess.Line) []cell {
			return slices.Concat(unreadable(nil, false, l.Test.Recorded()), unreadable(nil, false, l.Test.Difference()))
		})
	},
}

// notAConductivity: a reading is given as dissolved solids, or in another
// quantity than conductivity. The meter made it by a factor that the record
// does not hold, between 0.47 and 0.70 as a rule (common practice), so no
// conductivity follows from it.
var notAConductivity = &assess.Check{
	Name:     "not-a-conductivity",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		refused := refusals(v)
		reportCells(v, notRead(v), assess.UnprovenPass, func(l *assess.Line) []cell {
			return unreadable(refused, true, l.Test.Blank(), l.Test.Extract())
		})
	},
}

// mostDensity is the most that is taken for a result of site-blasted steel
// without a remark, mg/m²: a hundred times a usual limit.
const mostDensity = 5000

// impossibleValue: a reading or a result below zero, which nothing shows; a
// reading beyond the range of its meter, which that meter does not show; or a
// result of more than 5000 mg/m² that nobody remarks upon. A result below zero
// that its readings give is their matter (extract-below-blank), and so is a
// high one that they do not give (value-does-not-follow).
var impossibleValue = &assess.Check{
	Name:     "impossible-value",
	Group:    assess.Arithmetic,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		tops := rangeTops(v)
		meters := metersUsed(v)
		may := steel(v)
		if len(tops) == 0 {
			may = outOfBounds(v)
		}
		reportCells(v, may, assess.UnprovenPass, func(l *assess.Line) []cell {
			t := l.Test
			cells := below0(t.Blank(), t.Extract())
			top := tops[meters.at(l.Index)]
			for _, g := range [...]record.Given[unit.Conductivity]{t.Blank(), t.Extract()} {
				if g.Known() && top > 0 && g.Val > top {
					cells = append(cells, cell{g.Pos, asWritten(g)})
				}
			}
			r := t.Recorded()
			follows := l.Agreement != assess.DoesNotFollow // else value-does-not-follow
			if negativeResult(t) || r.Val > mostDensity && t.Remark().Val == "" && follows {
				cells = append(cells, cell{r.Pos, asWritten(r)})
			}
			return cells
		})
	},
}

// outOfBounds lists the tests on steel with a reading or a result below zero, or
// with a result of more than mostDensity.
var outOfBounds = listed(steel,
	asked(record.Columns.Blank, isBelow0[unit.Conductivity]), asked(record.Columns.Extract, isBelow0[unit.Conductivity]),
	asked(record.Columns.Recorded, func(g record.Given[unit.SurfaceDensity]) bool { return g.Val < 0 || g.Val > mostDensity }),
)

// negativeResult reports whether a written result is below zero and its readings do
// not make it so.
func negativeResult(t *record.Test) bool {
	return t.Recorded().Val < 0 && !(t.Extract().Val < t.Blank().Val)
}

// rangeTops are the highest conductivities that the listed meters show, by
// their numbers among those that were used, where their range says it with its
// unit: "0 to 1999 µS/cm".
func rangeTops(v *assess.Review) map[int32]unit.Conductivity {
	tops := map[int32]unit.Conductivity{}
	for _, m := range meters(v) {
		top := m.Range.Val
		for _, sign := range []string{"to ", "bis ", "–", "…", "..", "-"} {
			if i := strings.LastIndex(top, sign); i >= 0 {
				top = top[i+len(sign):]
			}
		}
		if r := unit.ParseConductivity(top, "", unit.AnySign); r.State == unit.Known && r.Unit != "" {
			tops[metersUsed(v).find(m.Serial.Val)] = unit.Conductivity(r.Value.Float())
		}
	}
	return tops
}

// A cell is a value as found, and where.
type cell struct {
	pos  diag.Pos
	text string
}

// reportCells reports, a day, the cells of those of the tests that have any.
func reportCells(v *assess.Review, tests []int, s assess.Severity, of func(*assess.Line) []cell) {
	for _, tests := range byDay(v, among(v, tests, func(l *assess.Line) bool { return len(of(l)) > 0 })) {
		f := assess.Finding{Severity: s, Tests: tests}
		var cells []cell
		for _, i := range tests {
			cells = append(cells, of(&v.Lines[i])...)
		}
		var texts []countedText
		for _, same := range groups(cells, func(c cell) string { return c.text }) {
			texts = append(texts, countedText{same[0].text, len(same)})
		}
		for _, c := range cells {
			f.Places = append(f.Places, c.pos)
		}
		few, more := upTo(mostShown, texts)
		f.Args = map[string]any{"Texts": few, "More": more, "Cells": len(cells), "Reading": s == assess.UnprovenPass}
		report(v, f)
	}
}

// A countedText is what stands in so many cells.
type countedText struct {
	Text  string
	Times int
}

// refusals tells by its cell why a value could not be read.
func refusals(v *assess.Review) map[diag.Pos]string {
	why := map[diag.Pos]string{}
	for _, d := range v.Job.Note.Problems {
		why[d.Pos] = d.Check
	}
	return why
}

// otherQuantity is how the reading note calls a value of another quantity.
const otherQuantity = "other-quantity"

// unreadable are the given cells that could not be read, either because they
// hold another quantity or for any other reason.
func unreadable[Q unit.Value](refused map[diag.Pos]string, other bool, given ...record.Given[Q]) []cell {
	var all []cell
	for _, g := range given {
		if g.State == record.Unreadable && (refused[g.Pos] == otherQuantity) == other {
			all = append(all, cell{g.Pos, asWritten(g)})
		}
	}
	return all
}

func isBelow0[Q unit.Value](g record.Given[Q]) bool { return g.Known() && g.Val < 0 }

func below0[Q unit.Value](given ...record.Given[Q]) []cell {
	var all []cell
	for _, g := range given {
		if isBelow0(g) {
			all = append(all, cell{g.Pos, asWritten(g)})
		}
	}
	return all
}
