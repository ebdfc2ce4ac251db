package assess

import (
	"errors"
	"math"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// judge draws the verdict by the numbers alone.
func (h *hand) judge(w *working) {
	b := h.bench
	if !w.OfSteel() {
		return
	}
	limits := w.made.limits
	if len(limits) == 0 {
		w.because(NoLimit)
	} else {
		w.Written = written(&limits[0], w.Test.Recorded())
	}
	w.missing()
	w.limits = make([]Judgement, len(limits))
	for i := range limits {
		w.limits[i] = b.against(&limits[i], w)
	}
	w.ByNumber = byNumber(w.limits)
	if w.ByNumber == Fail {
		w.reasons = 0
	}
}

// byNumber is a fail above any limit, a pass within all of them, and
// otherwise neither.
func byNumber(judged []Judgement) Verdict {
	if len(judged) == 0 {
		return NotEstablished
	}
	v := Pass
	for i := range judged {
		switch judged[i].Outcome {
		case salt.NotConforms:
			return Fail
		case salt.Undecided:
			v = NotEstablished
		}
	}
	return v
}

// because adds a reason, once.
func (l *Line) because(r Reason) { l.reasons.add(r) }

// missing gives the reasons why there is no density at all.
func (l *Line) missing() {
	if l.Density.Known || l.Density.Bounded {
		return
	}
	t := l.Test
	if t.Blank().State == record.Unreadable || t.Extract().State == record.Unreadable ||
		!l.made.hasVolume && t.Volume().State == record.Unreadable || !l.made.hasArea || !l.made.bench.constant.Known {
		l.because(UnreadableValue)
	}
	if !l.made.hasVolume && t.Volume().State != record.Unreadable {
		l.because(NoVolume)
	}
	if t.Extract().State.Silent() {
		l.because(NoExtract)
	}
}

// against puts a line against one limit.
//
// As read, a density above the limit fails, whatever else is in doubt. To
// pass, the density has to be within it as read and at 25 °C: a reading that
// the meter did not compensate proves no pass that its correction takes
// away, and the correction takes no fail away.
func (b *bench) against(limit *Limit, w *working) Judgement {
	j := Judgement{Limit: limit, Value: unit.SurfaceDensity(math.NaN())}
	for _, gap := range limit.Gaps {
		w.because(gap)
	}
	if len(limit.Gaps) > 0 || !w.figures.high.Known() {
		return j
	}
	if w.Density.Bounded {
		b.againstBounds(&j, w)
		return j
	}
	asRead := inBasis(limit.Basis, w.made.method, w.value)
	if !asRead.Known() {
		w.because(OnlyBounded)
		return j
	}
	u := inProportion(w.uncertainty.Expanded, asRead, w.value)
	j.Outcome = b.decide(limit, asRead, u, w)
	top, low, high := asRead, w.figures.low, w.figures.high
	if w.account.at25 != nil {
		at25 := inBasis(limit.Basis, w.made.method, w.figures.at25)
		if j.Outcome == salt.Conforms {
			j.Outcome = b.decideAt25(limit, at25, u, w)
		}
		if at25.Known() && at25.Cmp(top) > 0 {
			top, low, high = at25, ratioOf(w.account.at25.low), ratioOf(w.account.at25.high)
		}
	}
	if w.belowBlank && j.Outcome == salt.Conforms {
		j.Outcome = salt.Undecided
		w.because(NegativeDifference)
	}
	j.Value = density(top)
	j.Exceeds = limit.exceeded(top)
	j.Near = !limit.exceeded(asRead) && float64(limit.Value-density(asRead)) < float64(u)
	j.Decided = limit.exceeded(inBasis(limit.Basis, w.made.method, low)) == limit.exceeded(inBasis(limit.Basis, w.made.method, high))
	return j
}

// againstBounds judges a density that is only known to lie between bounds.
// What fails at its lower bound fails. A "<1" passes where its upper bound
// does; a missing blank passes nowhere.
func (b *bench) againstBounds(j *Judgement, w *working) {
	low, high := inBasis(j.Limit.Basis, w.made.method, w.figures.low), inBasis(j.Limit.Basis, w.made.method, w.figures.high)
	j.Exceeds = j.Limit.exceeded(high)
	j.Decided = j.Exceeds == j.Limit.exceeded(low)
	rule, u, limit := b.basis.Rule, w.uncertainty.Expanded, j.Limit.salt()
	switch {
	case low.Known() && rule.Judge(low, u, limit) == salt.NotConforms:
		j.Outcome = salt.NotConforms
	case w.noBlank:
		w.because(NoBlank)
	case high.Known() && rule.Judge(high, u, limit) == salt.Conforms:
		j.Outcome = salt.Conforms
	default:
		w.because(Censored)
	}
}

// decide applies the decision rule and says why it leaves a value undecided.
func (b *bench) decide(limit *Limit, x unit.Ratio, u unit.SurfaceDensity, w *working) salt.Outcome {
	outcome := b.basis.Rule.Judge(x, u, limit.salt())
	if outcome == salt.Undecided {
		switch {
		case limit.Comparison == salt.ComparisonNotStated && x.Cmp(limit.Exact.Ratio()) == 0:
			w.because(NoComparison)
		case limit.Basis == salt.ChlorideIon && limit.exceeded(x):
			w.because(OnlyBounded)
		default:
			w.because(InGuardBand)
		}
	}
	return outcome
}

// decideAt25 is what is left of a pass when the readings are referred to
// 25 °C: a pass or nothing, for a correction establishes no fail.
func (b *bench) decideAt25(limit *Limit, at25 unit.Ratio, u unit.SurfaceDensity, w *working) salt.Outcome {
	switch {
	case limit.exceeded(at25):
		w.because(FailsAt25)
	case b.decide(limit, at25, u, w) == salt.Conforms:
		return salt.Conforms
	}
	return salt.Undecided
}

// salt is l as the formulas take it.
func (l *Limit) salt() salt.Limit {
	return salt.Limit{Value: l.Exact, Basis: l.Basis, Comparison: l.Comparison, Rounding: l.Rounding}
}

// exceeded reports whether x, in the basis of l, is beyond it, whatever
// may be concluded from that. What is too high for a figure exceeds it.
func (l *Limit) exceeded(x unit.Ratio) bool {
	if !x.Known() {
		return true
	}
	s := l.salt()
	s.Basis = salt.TotalSalts
	return s.Compare(x) == salt.NotConforms
}

// inBasis states a density of total salts in what a limit speaks of: itself,
// the sodium chloride of the same conductivity, or the most chloride that it
// can hold. Above the range of the formula the sodium chloride is that of
// the end of the range, which is less than there is; a bound on chloride is
// not known there, and no number.
func inBasis(basis salt.Basis, m salt.Method, x unit.Ratio) unit.Ratio {
	if basis != salt.SodiumChloride && basis != salt.ChlorideIon {
		return x
	}
	rise := max(0, m.Rise(density(x)))
	if basis == salt.ChlorideIon {
		v, err := m.ChlorideUpperBound(rise)
		if err != nil {
			return unit.Ratio{}
		}
		return ratioOf(v)
	}
	v, err := m.SodiumChlorideDensity(rise)
	var beyond *salt.RangeError
	if errors.As(err, &beyond) {
		v, err = m.SodiumChlorideDensity(unit.Conductivity(beyond.Top))
	}
	if err != nil {
		return unit.Ratio{}
	}
	return ratioOf(v)
}

// inProportion carries the uncertainty of a density over to the same density
// in another basis, to which it is very nearly proportional.
func inProportion(u unit.SurfaceDensity, there, here unit.Ratio) unit.SurfaceDensity {
	if there == here || here.Sign() == 0 {
		return u
	}
	return u * density(there) / density(here)
}

func ratioOf(v unit.SurfaceDensity) unit.Ratio { return unit.RatioOfFloat(float64(v)) }

// Conforms is the probability, by JCGM 106:2012, 7.3.3, that what was
// measured conforms to the first limit. It is NaN where no density or no
// uncertainty is known and for a limit that conductivity can only bound.
func (l *Line) Conforms() float64 {
	judged := l.Judged()
	first, limited := l.First()
	if !limited || !judged.Known || judged.Value == 0 {
		return math.NaN()
	}
	if first.Limit.Basis == salt.ChlorideIon || math.IsNaN(float64(first.Value)) {
		return math.NaN()
	}
	u := l.Uncertainty().Standard * first.Value / judged.Value
	return salt.Conformity(first.Value, u, first.Limit.Value)
}

// written is what the written value would be against a limit. It is taken
// at its word: as the quantity that the limit speaks of.
func written(limit *Limit, r record.Given[unit.SurfaceDensity]) Verdict {
	if len(limit.Gaps) > 0 || r.State != record.Known && r.State != record.Below {
		return NotEstablished
	}
	switch exceeds := limit.exceeded(r.Dec.Ratio()); {
	case !exceeds:
		return Pass
	case r.Known():
		return Fail
	}
	return NotEstablished
}
