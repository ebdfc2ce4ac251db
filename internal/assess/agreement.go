package assess

import (
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// agree says how the written value stands to its own readings. It follows
// if it is a correct rounding, either way at a tie, of the density as read;
// of the density at 25 °C where a correction was agreed; or of the sodium
// chloride equivalent where the limit speaks of that.
func (b *bench) agree(l *Line, f *figures) {
	r := &l.Test.Recorded
	switch {
	case silent(*r):
		l.Agreement = NotRecorded
	case r.State == record.Below:
		l.Agreement = agreesBelow(r.Dec, f)
	case !r.Known() || !f.value.Known():
		l.Agreement = CannotBeComputed
	case slip.Rounds(f.value, r.Dec):
		l.Agreement, l.asRead, l.Rounds = Agrees, true, f.value.Cmp(r.Dec.Ratio()) != 0
	case f.at25.Known() && slip.Rounds(f.at25, r.Dec), b.agreesAsSodiumChloride(l, f):
		l.Agreement, l.Rounds = Agrees, true
	case salt.Interval{Low: f.low, High: f.high}.Overlaps(salt.Written(r.Dec)), l.At25().overlaps(r.Dec):
		l.Agreement = AgreesThroughUnseenDigits
	default:
		l.Agreement = DoesNotFollow
	}
}

// overlaps reports whether the digits of d and those of a written value
// allow one and the same density.
func (d Density) overlaps(written unit.Decimal) bool {
	return d.Known && salt.Interval{Low: ratioOf(d.Low), High: ratioOf(d.High)}.Overlaps(salt.Written(written))
}

// agreesBelow is the agreement of a value written as "<…".
func agreesBelow(bound unit.Decimal, f *figures) Agreement {
	switch {
	case !f.high.Known():
		return CannotBeComputed
	case f.high.Cmp(bound.Ratio()) <= 0, f.value.Known() && f.value.Cmp(bound.Ratio()) < 0:
		return Agrees
	case f.low.Cmp(bound.Ratio()) < 0:
		return AgreesThroughUnseenDigits
	}
	return DoesNotFollow
}

func (b *bench) agreesAsSodiumChloride(l *Line, f *figures) bool {
	limits := b.limits(l.Test)
	if len(limits) == 0 || limits[0].Basis != salt.SodiumChloride {
		return false
	}
	v := inBasis(salt.SodiumChloride, f.method, f.value)
	return v.Known() && slip.Rounds(v, l.Test.Recorded.Dec)
}

// explain looks, sheet by sheet, for the single slips that would give the
// written values, and for those that most rows of a sheet share.
func (b *bench) explain(lines []Line) []Systematic {
	var shared []Systematic
	for _, sheet := range sheets(lines) {
		rows := make([]slip.Row, len(sheet))
		for k, i := range sheet {
			rows[k] = b.row(&lines[i])
		}
		explanations, patterns := slip.Sheet(rows)
		for k, i := range sheet {
			l := &lines[i]
			switch l.Agreement {
			case DoesNotFollow:
				l.Explanations = inLines(explanations[k], sheet)
			case AgreesThroughUnseenDigits:
				// Unseen digits are explanation enough, unless the whole sheet says more.
				l.Explanations = inLines(ofPatterns(explanations[k], patterns), sheet)
			}
		}
		where := lines[sheet[0]].Test.Row
		for _, p := range patterns {
			shared = append(shared, Systematic{p.Name, p.Detail, where.At(0, 0), p.Rows, p.Of})
		}
	}
	return shared
}

// sheets groups the lines by the sheet that they stand on, in the order in
// which the sheets appear.
func sheets(lines []Line) [][]int {
	var groups [][]int
	at := make(map[diag.Pos]int)
	for i := range lines {
		key := lines[i].Test.Row.At(0, 0)
		g, seen := at[key]
		if !seen {
			g = len(groups)
			at[key] = g
			groups = append(groups, nil)
		}
		groups[g] = append(groups[g], i)
	}
	return groups
}

// row is a line as the search for slips takes it. A written value that
// follows in a way the search does not know is left out, so that no slip is
// looked for in it.
func (b *bench) row(l *Line) slip.Row {
	t := l.Test
	r := slip.Row{
		Blank:       digits(&t.Blank),
		Extract:     digits(&t.Extract),
		Difference:  digits(&t.Difference),
		Recovered:   digits(&t.Recovered),
		Recorded:    digits(&t.Recorded),
		Temperature: digits(&t.SolutionTemperature),
		Compensated: l.Compensation == Compensated,
	}
	if l.Volume.Known {
		r.Volume = &l.Volume.Dec
		r.VolumeOnRow = t.Volume.Known() && t.Volume.Pos.Row == t.Row.Row
	}
	if l.PatchArea.Known {
		r.PatchArea = &l.PatchArea.Dec
	}
	if l.Constant.Known {
		r.Constant = &l.Constant.Dec
	}
	if c := b.job.Terms.Correction; c.Known() && c.Val.Kind == salt.Linear {
		if alpha, ok := unit.FromFloat(float64(c.Val.Alpha)); ok {
			r.Alpha = &alpha
		}
	}
	if l.Agreement == Agrees && l.Density.Exact.Known() && !slip.Rounds(l.Density.Exact, t.Recorded.Dec) {
		r.Recorded = nil
	}
	return r
}

func digits[Q any](g *record.Given[Q]) *unit.Decimal {
	if !g.Known() {
		return nil
	}
	return &g.Dec
}

// inLines turns the row that an explanation points to into a line index.
func inLines(es []slip.Explanation, sheet []int) []slip.Explanation {
	for k := range es {
		if es[k].Row >= 0 {
			es[k].Row = sheet[es[k].Row]
		}
	}
	return es
}

func ofPatterns(es []slip.Explanation, patterns []slip.Pattern) []slip.Explanation {
	var kept []slip.Explanation
	for _, e := range es {
		for _, p := range patterns {
			if e.Name == p.Name && e.Detail == p.Detail {
				kept = append(kept, e)
			}
		}
	}
	return kept
}
