package assess

import (
	"math"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// An account is what follows from a test, of the lines that are more than the
// arithmetic of two readings: where a reading is only bounded or referred to
// 25 °C, the limits are several or speak of something else than total salts,
// the rule is a guarded one, or the numbers are uncommon ones.
type account struct {
	resolution  unit.Conductivity
	exact       unit.Ratio          // of the density as read; no number where there is none
	low, high   unit.SurfaceDensity // what bounds it
	at25        *referred           // nil where the density at 25 °C is not known, as in most records
	uncertainty salt.Budget         // of the judged density
	limits      []Judgement
}

// A referred density is one of readings that are referred to 25 °C.
type referred struct{ value, low, high unit.SurfaceDensity }

// figures are the exact numbers of a line that its judgement needs.
type figures struct {
	value          unit.Ratio // ρ as read; no number where there is none
	at25           unit.Ratio // ρ with both readings referred to 25 °C; no number where that is not known
	low, high      unit.Ratio // the bounds of ρ as read
	blank, extract unit.Conductivity
	steps          salt.Steps
	belowBlank     bool // the extract reads lower than the blank by more than a step
	noBlank        bool // no blank was read: the bounds rest on what it may have been
}

// A working is a line that is being worked out the plain way, whatever its
// test says. A line worked out quickly (see made) says the same.
type working struct {
	*Line
	*account
	figures
}

// plainly works out what follows from a test, and keeps an account of it.
func (h *hand) plainly(l *Line) {
	w := working{Line: l, account: new(account)}
	b := h.bench
	b.readings(&w)
	b.referTo25(&w)
	w.uncertainty = b.uncertainty(&w)
	b.agree(&w)
	h.judge(&w)
	w.exact = w.value
	l.more = &more{account: w.account}
}

// readings works out the density from the two readings, or its bounds where
// one of them is only bounded.
func (b *bench) readings(w *working) {
	g1, g2, m := w.Test.Blank(), w.Test.Extract(), w.made
	for _, g := range [...]record.Given[unit.Conductivity]{g1, g2} {
		if g.Known() {
			w.resolution = max(w.resolution, unit.Conductivity(m.step(g.Dec).Float()))
		}
	}
	least, most, ok := b.blankBounds(g1)
	if m.factor == 0 || !ok || g2.State != record.Known && g2.State != record.Below {
		return
	}
	w.noBlank = g1.State.Silent()
	w.steps = salt.Steps{Extract: m.step(g2.Dec)}
	if g1.Known() {
		w.steps.Blank = m.step(g1.Dec)
	}
	w.blank, w.extract = unit.Conductivity(least.Float()), g2.Val
	d := &w.Density
	if g1.Known() && g2.Known() {
		w.value = w.made.method.ExactDensity(g1.Dec, g2.Dec)
		i := w.made.method.Interval(g1.Dec, g2.Dec, w.steps)
		w.figures.low, w.figures.high = i.Low, i.High
		w.belowBlank = belowBlank(g1.Dec, g2.Dec, w.steps)
		d.Known, d.Value = true, density(w.value)
	} else {
		d.Bounded = true
		w.figures.low, w.figures.high = unit.Int(0).Ratio(), w.made.method.ExactDensity(least, g2.Dec)
		if g2.Known() { // an extract of "<1" may hold nothing at all
			w.figures.low = w.made.method.ExactDensity(most, g2.Dec)
		}
	}
	w.account.low, w.account.high = density(w.figures.low), density(w.figures.high)
}

// blankBounds are the least and the most that the blank can have been. A
// missing blank lies between nothing and the water limit: worse water than
// that would have been no water for the test.
func (b *bench) blankBounds(g record.Given[unit.Conductivity]) (least, most unit.Decimal, ok bool) {
	switch g.State {
	case record.Known:
		return g.Dec, g.Dec, true
	case record.Below:
		return unit.Int(0), g.Dec, true
	case record.Absent, record.NotDone:
		most, ok = unit.FromFloat(b.basis.Value(WaterLimit))
		return unit.Int(0), most, ok
	}
	return least, most, false
}

// belowBlank reports whether the extract is lower than the blank by more than
// the coarser step. By one step it can be for the display alone.
func belowBlank(blank, extract unit.Decimal, s salt.Steps) bool {
	if extract.Cmp(blank) >= 0 {
		return false
	}
	step := s.Blank
	if s.Extract.Cmp(step) > 0 {
		step = s.Extract
	}
	return blank.Ratio().Sub(extract.Ratio()).Cmp(step.Ratio()) > 0
}

// refers reports whether the readings of a test are to be referred to 25 °C:
// where the meter did not do so itself, or is not known to have, and the
// record agrees on a correction.
func (b *bench) refers(l *Line) bool {
	return b.basis.Correction.Kind != salt.NoCorrection && l.Compensation != Compensated && l.Test.SolutionTemperature().Known()
}

// referTo25 works out the density at 25 °C. Each reading is corrected at its
// own temperature.
func (b *bench) referTo25(w *working) {
	t := w.Test
	if !w.value.Known() || !b.refers(w.Line) {
		return
	}
	ofExtract, ofBlank := t.SolutionTemperature().Val, t.BlankTemperature().Val
	if !t.BlankTemperature().Known() {
		ofBlank = ofExtract
	}
	if b.near25(ofExtract) && b.near25(ofBlank) {
		return
	}
	correct := b.basis.Correction.To25
	g1, err1 := correct(t.Blank().Val, ofBlank)
	g2, err2 := correct(t.Extract().Val, ofExtract)
	if err1 != nil || err2 != nil {
		return
	}
	half1, _ := correct(unit.Conductivity(w.steps.Blank.Float()/2), ofBlank)
	half2, _ := correct(unit.Conductivity(w.steps.Extract.Float()/2), ofExtract)
	w.account.at25 = &referred{
		value: w.made.method.Density(g1, g2),
		low:   w.made.method.Density(g1+half1, g2-half2),
		high:  w.made.method.Density(g1-half1, g2+half2),
	}
	w.figures.at25 = unit.RatioOfFloat(float64(w.account.at25.value))
	if w.account.at25.value > w.Density.Value {
		w.blank, w.extract = g1, g2
	}
}

func (b *bench) near25(t unit.Temperature) bool { return math.Abs(float64(t)-25) <= b.within }

// uncertainty is the stated uncertainty of the method where the record has
// one: it alone holds how much salt comes off. Otherwise it is combined from
// the readings, the meter, the volume and the area.
func (b *bench) uncertainty(w *working) salt.Budget {
	if !w.Density.Known && !w.Density.Bounded {
		return salt.Budget{}
	}
	return w.made.budget(w.blank, w.extract, w.steps)
}

// density is the float64 nearest to an exact density.
func density(r unit.Ratio) unit.SurfaceDensity { return unit.SurfaceDensity(r.Float()) }
