package heading

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// This file holds the headings that lie: before and after, start and end,
// reading, temperature, result.

// setTempAside keeps a bare "temperature" for the temperature of the solution
// for now; temperature looks at it again when all else is settled.
func (s *settler) setTempAside(e *entry) {
	n := len(e.cands)
	e.cands = slices.DeleteFunc(e.cands, func(m meaning) bool {
		return m.doubt == lying && (m.column == "air temperature" || m.column == "steel temperature")
	})
	if len(e.cands) < n {
		s.temps = append(s.temps, e)
	}
}

// temperature settles a bare "temperature". In a log with a humidity and no
// temperature of the air it may be that of the air.
func (s *settler) temperature() {
	climate := s.taken("humidity") != nil || s.taken("recorded dew point") != nil
	for _, e := range s.temps {
		if !climate || s.taken("air temperature") != nil || e.ev.n == 0 || e.asked || e.ev.fits(temperature) == against {
			continue
		}
		open := []meaning{{"air temperature", temperature, doubtful}}
		if e.column == "solution temperature" || s.taken("solution temperature") == nil {
			open = append(open, meaning{"solution temperature", temperature, doubtful})
		}
		if s.taken("steel temperature") == nil {
			open = append(open, meaning{"steel temperature", temperature, doubtful})
		}
		switch {
		case e.column != "" && e.column != "solution temperature":
		case len(open) == 1:
			e.column, e.kind, e.doubt = open[0].column, temperature, doubtful
		default:
			e.asked = true
			s.ds = append(s.ds, unclear(s.es, e, open))
		}
	}
}

// usualVolumes are those that the two procedures work with, in ml: some 3 ml
// put in and read, or 10 or 15 ml in a beaker. Common practice.
var usualVolumes = []float64{3, 10, 15}

// volume makes sure of a volume under a heading such as "water", which may as
// well be a temperature or the blank. Without a unit it has to be one of the
// usual volumes throughout.
func (s *settler) volume() {
	v := s.taken("volume")
	if v == nil || v.mapped || v.asked || v.doubt == certain || v.ev.n == 0 || v.class == "volume" || v.ev.units["volume"] > 0 {
		return
	}
	if v.ev.min == v.ev.max && slices.Contains(usualVolumes, v.ev.min) {
		return
	}
	v.asked = true
	s.ds = append(s.ds, unclear(s.es, v, []meaning{
		{"volume", volume, doubtful}, {"solution temperature", temperature, doubtful}, {"blank", conductivity, doubtful},
	}))
}

// settledRows is how many pairs it takes to believe that two columns whose
// headings say before and after are blank and extract.
const settledRows = 3

// waters makes sure of blank and extract. They are never told apart by a
// guess: a doubtful heading needs a partner and values that rise from blank to
// extract; before and after need, besides, a unit of conductivity, to stand
// side by side, and no word of washing near.
func (s *settler) waters(titles []string) {
	b, e := s.taken("blank"), s.taken("extract")
	s.stray(b, e)
	if b == nil && e == nil {
		s.noConductivity()
	}
	if b != nil && b.asked || e != nil && e.asked || b == nil && e == nil {
		return
	}
	ask := func(because string) {
		var es []*entry
		for _, x := range []*entry{b, e} {
			if x != nil {
				x.asked = true
				es = append(es, x)
			}
		}
		s.ds = append(s.ds, blankOrExtract(s.es, es, because))
	}
	given := func(x *entry) bool { return x == nil || x.mapped || x.doubt == certain }
	switch {
	case given(b) && given(e):
	case e == nil:
		if b.class != "conductivity" && b.ev.n > 0 {
			ask("it stands alone, and its unit is not given")
		}
	case b == nil:
		if e.ev.n > 0 {
			ask("no heading names the blank, so the values may have had it taken off already")
		}
	case b.ev.n == 0 || e.ev.n == 0:
	case !given(b) && b.doubt == lying || !given(e) && e.doubt == lying:
		rows := s.compare(b, e)
		switch {
		case b.class != "conductivity" || e.class != "conductivity":
			ask("the headings may mean before and after washing, or times, and no unit of conductivity is given")
		case rows.pairs < settledRows:
			ask("the headings may mean before and after washing, and too few rows have both to tell")
		case e.col != b.col+1 || !rows.rise():
			ask("the headings may mean before and after washing, and the values do not rise from one to the other throughout")
		case s.washing(titles):
			ask("the headings may mean before and after washing, of which the sheet speaks")
		}
	default:
		rows := s.compare(b, e)
		if rows.pairs > 0 && !rows.rise() && !(b.col < e.col && rows.riseButFor() && !s.washing(titles)) {
			ask("the values do not rise from one to the other, as they do from blank to extract")
		}
	}
}

// noConductivity says so where no heading names a conductivity and there are
// columns of numbers under headings that are not known: the readings may be
// there, and must not be passed over in silence.
func (s *settler) noConductivity() {
	var unknown, hints []string
	var at []diag.Pos
	for _, e := range s.es {
		if e.column == "" && !e.mapped && !e.asked && e.class == "" && e.ev.n > 0 && e.ev.most(e.ev.numbers) && !e.ev.counting {
			unknown = append(unknown, fmt.Sprintf("%q", oneLine(e.text)))
			hints = append(hints, answer(s.es, e, "extract"))
			at = append(at, e.pos)
		}
	}
	if len(unknown) == 0 {
		return
	}
	s.ds = append(s.ds, diag.Diagnostic{
		Pos:     at[0],
		Level:   diag.Problem,
		Check:   "no-conductivity",
		Msg:     "found no heading of the blank or the extract, and numbers under " + strings.Join(unknown, ", ") + ", but wanted both to recompute anything",
		Hint:    "if they stand there, say so with " + hints[len(hints)-1] + " and the like",
		Related: at[1:],
	})
}

// A comparing counts the rows with two values by how the second stands to the
// first.
type comparing struct{ pairs, up, down int }

// compare compares the values of e with those of b, row by row.
func (s *settler) compare(b, e *entry) comparing {
	var n comparing
	for _, r := range s.body {
		x, okB := valueAt(r, b.col)
		y, okE := valueAt(r, e.col)
		if !okB || !okE {
			continue
		}
		n.pairs++
		switch {
		case y > x:
			n.up++
		case y < x:
			n.down++
		}
	}
	return n
}

// rise reports whether the values rise: most of them, and hardly one falls. A
// clean spot gives back the water as it went in.
func (n comparing) rise() bool { return 2*n.up >= n.pairs && 10*n.down <= n.pairs }

// byChance is how often, at most, columns that say nothing of each other may
// look like blank and extract.
const byChance = 0.02

// riseButFor reports whether the values rise but for rows that are slips of
// their own, and are reported as such. Water takes up salt from the steel and
// leaves none there: were the columns in the other order, each row that rises
// would be one whose extract is below its own water, so all but a few of the
// rows would be impossible instead of those few. Were they two readings of
// one thing, they would fall as often as they rise, and so few falls would
// come by chance, by the binomial distribution, in less than one log of fifty.
// More than one fall in five says that the headings mean something else.
func (n comparing) riseButFor() bool {
	moved := n.up + n.down
	if 2*n.up < n.pairs || 5*n.down > moved {
		return false
	}
	term := math.Exp2(-float64(moved)) // the chance of no fall, then of one, of two …
	sum := 0.0
	for k := 0; k <= n.down; k++ {
		sum += term
		term *= float64(moved-k) / float64(k+1)
	}
	return sum <= byChance
}

func valueAt(r table.Row, col int) (float64, bool) {
	c, ok := cellAt(r, col)
	if !ok || isClock(c) || c.Kind == table.Date || strings.ContainsAny(c.Text[:1], "<>") {
		return 0, false // "<1" is no value
	}
	v, _, ok := cellNumber(c.Text)
	return v, ok
}

// washing reports whether the titles, the headings or the rows speak of
// washing.
func (s *settler) washing(titles []string) bool {
	for _, e := range s.es {
		titles = append(titles, e.text)
	}
	for _, t := range titles {
		for w := range strings.FieldsSeq(fold(t)) {
			if words().is(w, "wash") {
				return true
			}
		}
	}
	return false
}

// stray asks about a column of conductivities under a heading that is not
// known, where the blank or the extract is missing.
func (s *settler) stray(b, e *entry) {
	if b != nil && e != nil {
		return
	}
	var open []meaning
	if b == nil {
		open = append(open, meaning{"blank", conductivity, doubtful})
	}
	if e == nil {
		open = append(open, meaning{"extract", conductivity, doubtful})
	}
	for _, x := range s.es {
		if x.stray("conductivity") {
			x.asked = true
			s.ds = append(s.ds, unclear(s.es, x, open))
		}
	}
}

// stray reports whether x is a column that is none of ours and yet holds values
// of a quantity, by the unit of its heading or of its cells.
func (x *entry) stray(class string) bool {
	if x.column != "" || x.mapped || x.asked || x.ev.n == 0 {
		return false
	}
	return x.class == class && !x.spread || x.class == "" && x.ev.units[class] > 0 && x.ev.half(x.ev.units[class])
}

// result makes sure of the recorded value. A bare "result" is one only beside
// the conductivities that it was computed from, or with a unit of density.
func (s *settler) result() {
	r := s.taken("recorded")
	if r == nil {
		for _, x := range s.es {
			if x.stray("density") {
				x.asked = true
				s.ds = append(s.ds, unclear(s.es, x, []meaning{{"recorded", density, doubtful}, {"limit", density, doubtful}}))
			}
		}
		return
	}
	if r.mapped || r.asked || r.ev.n == 0 || r.class == "density" || s.taken("extract") != nil {
		return
	}
	if r.doubt > certain || r.class == "concentration" {
		r.asked = true
		s.ds = append(s.ds, unclear(s.es, r, []meaning{{"recorded", density, doubtful}, {"extract", conductivity, doubtful}}))
	}
}
