package assess

import (
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A made is how a test was made: with which volume, patch and meter, read to
// which step, and under which limits. Tests that were made alike share it, and
// differ in their readings only. Then their densities are whole multiples of
// one quantity, and a limit lies between two whole numbers; see scale.
type made struct {
	bench *bench
	likeness
	method salt.Method // its zero where volume, area or constant is not known
	factor float64     // K, mg/m² per µS/cm; 0 where there is no method
	limits []Limit     // none of a procedural blank
	plain  int         // how many tests have been worked out the plain way
	scale  *scale      // nil where tests made so are worked out the plain way
}

// A likeness is what tests made alike have in common.
type likeness struct {
	volume, area         unit.Decimal
	hasVolume, hasArea   bool          // known, and above zero
	usualArea            bool          // it is assumed
	meter                *record.Meter // nil where the meters table has none of that name
	blankExp, extractExp int           // of the readings
	first                *Limit        // of its limits; nil where it has none
}

// worthAScale is after how many tests made alike a scale is made for the rest:
// making one costs as much as working out many of them (house choice).
const worthAScale = 16

// alike is how a test was made.
func (h *hand) alike(t *record.Test, blank, extract unit.Decimal, limits []Limit) *made {
	b := h.bench
	v, a := b.volume(t), b.patchAreaOf(t)
	k := likeness{
		volume: v.Dec, hasVolume: v.Known, area: a.Dec, hasArea: a.Known, usualArea: a.Assumed != 0,
		meter: b.meterOf(t), blankExp: blank.Exp, extractExp: extract.Exp,
	}
	if len(limits) > 0 {
		k.first = &limits[0]
	}
	if h.last != nil && h.last.likeness == k {
		return h.last
	}
	if m, known := h.ways[k]; known {
		h.last = m
		return m
	}
	m := &made{bench: b, likeness: k, limits: limits}
	if v.Known && a.Known && b.constant.Known {
		m.method = salt.Method{Constant: b.constant.Dec, Volume: v.Dec, Area: a.Dec}
		m.factor = m.method.Factor()
	}
	if h.ways == nil {
		h.ways = make(map[likeness]*made)
	}
	h.ways[k], h.last = m, m
	return m
}

// step is the smallest difference that a reading shows: its last written
// digit, but never finer than the meter reads.
func (m *made) step(written unit.Decimal) unit.Decimal {
	step := written.Step()
	if m.meter != nil && m.meter.Resolution.Known() && m.meter.Resolution.Dec.Cmp(step) > 0 {
		return m.meter.Resolution.Dec
	}
	return step
}

// budget is the uncertainty of the density of two readings.
func (m *made) budget(blank, extract unit.Conductivity, steps salt.Steps) salt.Budget {
	b := m.bench
	if b.basis.Expanded.Known {
		return salt.StatedBudget(b.basis.Expanded.Val, b.basis.Coverage)
	}
	accuracy := b.accuracy
	if m.meter != nil && m.meter.Accuracy.Known() {
		accuracy = float64(m.meter.Accuracy.Val)
	}
	area := m.area.Float() * b.areaError / 100
	return m.method.Budget(blank, extract, salt.Doubt{
		Blank:   unit.Conductivity(salt.Resolution(steps.Blank.Float())),
		Extract: unit.Conductivity(salt.Resolution(steps.Extract.Float())),
		Gain:    salt.Rectangular(accuracy / 100),
		Volume:  unit.Volume(salt.Rectangular(b.volumeError)),
		Area:    unit.PatchArea(salt.Rectangular(area)),
	}, b.basis.Coverage)
}

// line works out a test into l: its numbers, how the written value stands to
// them, and the verdict by the numbers alone.
func (h *hand) line(t *record.Test, l *Line) {
	b := h.bench
	l.Test, l.word, l.kind = t, wordOf(t.RecordedVerdict()), uint8(t.Kind().Val)
	l.Compensation = b.compensation(t)
	if date := t.Date(); date.Known() {
		l.day = int32(ordinal(date.Val))
	}
	var limits []Limit
	if l.OfSteel() {
		limits = b.limits(t)
	}
	blank, extract := t.Blank(), t.Extract()
	m := h.alike(t, blank.Dec, extract.Dec, limits)
	l.made = m
	if m.scale != nil && l.OfSteel() && blank.Known() && extract.Known() && !b.refers(l) {
		recorded := t.Recorded()
		if m.scale.work(l, blank.Dec, extract.Dec, &recorded) {
			return
		}
	}
	h.plainly(l)
	if m.plain++; m.plain == worthAScale && !b.plainOnly {
		m.scale = newScale(m)
	}
}
