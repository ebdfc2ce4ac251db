package assess

import (
	"slices"

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
func (b *bench) agree(w *working) {
	r := w.Test.Recorded()
	switch {
	case r.State.Silent():
		w.Agreement = NotRecorded
	case r.State == record.Below:
		w.Agreement = agreesBelow(r.Dec, &w.figures)
	case !r.Known() || !w.value.Known():
		w.Agreement = CannotBeComputed
	case slip.Rounds(w.value, r.Dec):
		w.Agreement, w.asRead, w.Rounds = Agrees, true, w.value.Cmp(r.Dec.Ratio()) != 0
	case w.figures.at25.Known() && slip.Rounds(w.figures.at25, r.Dec), b.agreesAsSodiumChloride(w):
		w.Agreement, w.Rounds = Agrees, true
	case salt.Interval{Low: w.figures.low, High: w.figures.high}.Overlaps(salt.Written(r.Dec)), w.account.at25.overlaps(r.Dec):
		w.Agreement = AgreesThroughUnseenDigits
	default:
		w.Agreement = DoesNotFollow
	}
}

// overlaps reports whether the digits of d and those of a written value
// allow one and the same density.
func (d *referred) overlaps(written unit.Decimal) bool {
	return d != nil && salt.Interval{Low: ratioOf(d.low), High: ratioOf(d.high)}.Overlaps(salt.Written(written))
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

func (b *bench) agreesAsSodiumChloride(w *working) bool {
	limits := b.limits(w.Test)
	if len(limits) == 0 || limits[0].Basis != salt.SodiumChloride {
		return false
	}
	v := inBasis(salt.SodiumChloride, w.made.method, w.value)
	return v.Known() && slip.Rounds(v, w.Test.Recorded().Dec)
}

// explain looks, sheet by sheet, for the single slips that would give the
// written values, and for those that most rows of a sheet share.
func (b *bench) explain(lines []Line) []Systematic {
	var shared []Systematic
	for _, of := range sheets(lines) {
		explained, patterns := slip.Sheet(&sheet{b, lines, of})
		for _, e := range explained {
			l := &lines[of[e.Row]]
			switch l.Agreement {
			case DoesNotFollow:
				l.explain(inLines(e.By, of))
			case AgreesThroughUnseenDigits:
				// Unseen digits are explanation enough, unless the whole sheet says more.
				l.explain(inLines(ofPatterns(e.By, patterns), of))
			}
		}
		where := lines[of[0]].Test.Row()
		for _, p := range patterns {
			shared = append(shared, Systematic{p.Name, p.Detail, where.At(0, 0), p.Rows, p.Of})
		}
	}
	return shared
}

// explain gives a line its explanations.
func (l *Line) explain(by []slip.Explanation) {
	if l.more == nil {
		l.more = new(more)
	}
	l.more.explanations = by
}

// sheets groups the lines by the sheet that they stand on, in the order in
// which the sheets appear.
func sheets(lines []Line) [][]int {
	var groups [][]int
	at := make(map[diag.Pos]int)
	for from := 0; from < len(lines); {
		key, to := lines[from].Test.Row().At(0, 0), from+1
		for to < len(lines) && lines[to].Test.Row().At(0, 0) == key {
			to++ // the rows of a sheet come one after the other
		}
		g, seen := at[key]
		if !seen {
			g = len(groups)
			at[key] = g
			groups = append(groups, nil)
		}
		groups[g] = slices.Grow(groups[g], to-from)
		for ; from < to; from++ {
			groups[g] = append(groups[g], from)
		}
	}
	return groups
}

// A sheet is the lines of one sheet as the search for slips takes them.
type sheet struct {
	*bench
	lines []Line
	of    []int // indexes into lines
}

// Len is how many they are.
func (s *sheet) Len() int { return len(s.of) }

// Agrees says of the written value of a line whether it follows as read. A
// line whose value follows in a way that the search does not know is not
// known to it.
func (s *sheet) Agrees(i int) (agrees, known bool) {
	switch l := &s.lines[s.of[i]]; l.Agreement {
	case Agrees:
		return l.asRead, l.asRead
	case AgreesThroughUnseenDigits, DoesNotFollow:
		return false, l.Test.Recorded().Known() // it may be no more than bounded
	}
	return false, false
}

// Row is a line with its written value, unless that is not known to the search:
// then no slip is looked for in it.
func (s *sheet) Row(i int) slip.Row {
	l := &s.lines[s.of[i]]
	t := l.Test
	r := slip.Row{
		Blank:       digits(t.Blank()),
		Extract:     digits(t.Extract()),
		Difference:  digits(t.Difference()),
		Recovered:   digits(t.Recovered()),
		Recorded:    digits(t.Recorded()),
		Temperature: digits(t.SolutionTemperature()),
		Compensated: l.Compensation == Compensated,
		Alpha:       s.alpha,
	}
	if m := l.made; m.hasVolume {
		r.Volume = &m.volume
		r.VolumeOnRow = t.Volume().Known() && t.Volume().Pos.Row() == t.Row().Row()
	}
	if l.made.hasArea {
		r.PatchArea = &l.made.area
	}
	if s.constant.Known {
		r.Constant = &s.constant.Dec
	}
	if l.Agreement == Agrees && !l.asRead {
		r.Recorded = nil
	}
	return r
}

func digits[Q any](g record.Given[Q]) *unit.Decimal {
	if !g.Known() {
		return nil
	}
	d := g.Dec // what is kept is no more than that
	return &d
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
