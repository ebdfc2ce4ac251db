package assess

import (
	"math"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// figures are the exact numbers of a line that its judgement needs.
type figures struct {
	method         salt.Method
	value          unit.Ratio // ρ as read; no number where there is none
	at25           unit.Ratio // ρ with both readings referred to 25 °C; no number where that is not known
	low, high      unit.Ratio // the bounds of ρ as read
	blank, extract unit.Conductivity
	steps          salt.Steps
	belowBlank     bool // the extract reads lower than the blank by more than a step
	noBlank        bool // no blank was read: the bounds rest on what it may have been
}

// line works out a test into l: its numbers, how the written value stands to
// them, and the verdict by the numbers alone.
func (h *hand) line(t *record.Test, l *Line) {
	l.Test = t
	var f figures
	h.numbers(l, &f)
	h.equivalents(l)
	h.agree(l, &f)
	h.judge(l, &f)
}

// numbers works out what follows from the readings of a test.
func (h *hand) numbers(l *Line, f *figures) {
	t, b := l.Test, h.bench
	l.Volume, l.PatchArea, l.Constant = b.volume(t), h.patchAreaOf(t), b.constant
	l.Compensation, l.blank = b.compensation(t), t.Kind().Val == record.ProceduralBlank
	if l.Volume.Known && l.PatchArea.Known && l.Constant.Known {
		f.method = salt.Method{Constant: l.Constant.Dec, Volume: l.Volume.Dec, Area: l.PatchArea.Dec}
		l.Factor = f.method.Factor()
	}
	b.readings(l, f)
	b.referTo25(l, f)
	l.Uncertainty = b.uncertainty(l, f)
}

// readings works out difference and density from the two readings, or the
// bounds of the density where one of them is only bounded.
func (b *bench) readings(l *Line, f *figures) {
	g1, g2 := l.Test.Blank(), l.Test.Extract()
	if g1.Known() && g2.Known() {
		l.Difference = g2.Val - g1.Val
	}
	if g1.Known() || g2.Known() {
		l.Resolution = b.resolution(l.Test)
	}
	least, most, ok := b.blankBounds(g1)
	if l.Factor == 0 || !ok || g2.State != record.Known && g2.State != record.Below {
		return
	}
	f.noBlank = g1.State.Silent()
	f.steps = salt.Steps{Extract: b.step(l.Test, g2.Dec)}
	if g1.Known() {
		f.steps.Blank = b.step(l.Test, g1.Dec)
	}
	f.blank, f.extract = unit.Conductivity(least.Float()), g2.Val
	d := &l.Density
	if g1.Known() && g2.Known() {
		f.value = f.method.ExactDensity(g1.Dec, g2.Dec)
		i := f.method.Interval(g1.Dec, g2.Dec, f.steps)
		f.low, f.high = i.Low, i.High
		f.belowBlank = belowBlank(g1.Dec, g2.Dec, f.steps)
		d.Known, d.Exact, d.Value = true, f.value, density(f.value)
	} else {
		d.Bounded = true
		f.low, f.high = unit.Int(0).Ratio(), f.method.ExactDensity(least, g2.Dec)
		if g2.Known() { // an extract of "<1" may hold nothing at all
			f.low = f.method.ExactDensity(most, g2.Dec)
		}
	}
	d.Low, d.High = density(f.low), density(f.high)
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

// resolution is the coarser step of the two readings.
func (b *bench) resolution(t *record.Test) unit.Conductivity {
	r := 0.0
	for _, g := range [...]record.Given[unit.Conductivity]{t.Blank(), t.Extract()} {
		if g.Known() {
			r = max(r, b.step(t, g.Dec).Float())
		}
	}
	return unit.Conductivity(r)
}

// referTo25 works out the density at 25 °C where the meter did not do so
// itself, or is not known to have, and the record agrees on a correction.
// Each reading is corrected at its own temperature.
func (b *bench) referTo25(l *Line, f *figures) {
	t := l.Test
	if !f.value.Known() || l.Compensation == Compensated || b.basis.Correction.Kind == salt.NoCorrection || !t.SolutionTemperature().Known() {
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
	half1, _ := correct(unit.Conductivity(f.steps.Blank.Float()/2), ofBlank)
	half2, _ := correct(unit.Conductivity(f.steps.Extract.Float()/2), ofExtract)
	l.at25 = &Density{
		Known: true,
		Value: f.method.Density(g1, g2),
		Low:   f.method.Density(g1+half1, g2-half2),
		High:  f.method.Density(g1-half1, g2+half2),
	}
	f.at25 = unit.RatioOfFloat(float64(l.at25.Value))
	if l.Judged() == l.at25 {
		f.blank, f.extract = g1, g2
	}
}

func (b *bench) near25(t unit.Temperature) bool { return math.Abs(float64(t)-25) <= b.within }

// equivalents states the judged density as sodium chloride alone, and the
// most chloride that it can hold.
func (b *bench) equivalents(l *Line) {
	judged := l.Judged()
	if !judged.Known {
		return
	}
	m := salt.Method{Constant: l.Constant.Dec, Volume: l.Volume.Dec, Area: l.PatchArea.Dec}
	rise := max(0, unit.Conductivity(float64(judged.Value)/l.Factor))
	// Beyond the range of the formulas there is no figure, and none is made up.
	if v, err := m.SodiumChlorideDensity(rise); err == nil {
		l.SodiumChloride = v
	}
	if v, err := m.ChlorideUpperBound(rise); err == nil {
		l.ChlorideBound = v
	}
}

// uncertainty is the stated uncertainty of the method where the record has
// one: it alone holds how much salt comes off. Otherwise it is combined from
// the readings, the meter, the volume and the area.
func (b *bench) uncertainty(l *Line, f *figures) salt.Budget {
	switch {
	case !l.Density.Known && !l.Density.Bounded:
		return salt.Budget{}
	case b.basis.Expanded.Known:
		return salt.StatedBudget(b.basis.Expanded.Val, b.basis.Coverage)
	}
	accuracy := b.accuracy
	if m := b.meters[record.Folded(l.Test.Meter().Val)]; m != nil && m.Accuracy.Known() {
		accuracy = float64(m.Accuracy.Val)
	}
	area := float64(l.PatchArea.Val) * b.areaError / 100
	return f.method.Budget(f.blank, f.extract, salt.Doubt{
		Blank:   unit.Conductivity(salt.Resolution(f.steps.Blank.Float())),
		Extract: unit.Conductivity(salt.Resolution(f.steps.Extract.Float())),
		Gain:    salt.Rectangular(accuracy / 100),
		Volume:  unit.Volume(salt.Rectangular(b.volumeError)),
		Area:    unit.PatchArea(salt.Rectangular(area)),
	}, b.basis.Coverage)
}

// density is the float64 nearest to an exact density.
func density(r unit.Ratio) unit.SurfaceDensity { return unit.SurfaceDensity(r.Float()) }
