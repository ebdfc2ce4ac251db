package assess

import (
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A bench is where the tests of one job are worked out: the basis and the
// tables by name. It lives as long as Run, and is not written to while the
// tests are worked out side by side.
type bench struct {
	job         *record.Job
	basis       Basis
	constant    *Used[unit.Constant]
	patchArea   *Used[unit.PatchArea] // of the job; nil where it says nothing
	usualArea   *Used[unit.PatchArea] // the assumed one, numbered once the lines are worked out
	assumptions []Assumption
	areas       map[string]*record.Area
	meters      map[string]*record.Meter
	patches     map[string]*record.Patch
	within      float64            // K: how far from 25 °C compensation does not matter
	accuracy    float64            // %: of a meter that the record says nothing of
	volumeError float64            // ml
	areaError   float64            // %
	alpha       *unit.Decimal      // % per kelvin, of the linear correction that the record agrees on; nil where there is none
	ofArea      map[string][]Limit // the limits of the areas that have their own
}

// A hand works out one test after the other at a bench.
type hand struct {
	*bench
	lastArea *Used[unit.PatchArea] // the last one that was not of the whole job: the tests of a cell share it
	room     []Judgement           // for the lines to come
}

// judgements has room for n judgements of one line.
func (h *hand) judgements(n int) []Judgement {
	if len(h.room) < n {
		h.room = make([]Judgement, n)
	}
	var own []Judgement
	own, h.room = h.room[:n:n], h.room[n:]
	return own
}

func newBench(job *record.Job) *bench {
	b := &bench{
		job:     job,
		areas:   make(map[string]*record.Area),
		meters:  make(map[string]*record.Meter),
		patches: make(map[string]*record.Patch),
		ofArea:  make(map[string][]Limit),
	}
	for i := range job.Areas {
		remember(b.areas, job.Areas[i].Name, &job.Areas[i])
	}
	for i := range job.Meters {
		remember(b.meters, job.Meters[i].Serial, &job.Meters[i])
	}
	for i := range job.Patches {
		remember(b.patches, job.Patches[i].Batch, &job.Patches[i])
	}
	b.settle()
	b.within = b.basis.Value(NoCompensation)
	b.accuracy, b.volumeError, b.areaError = b.basis.Value(MeterAccuracy), b.basis.Value(VolumeEstimate), b.basis.Value(AreaEstimate)
	if c := job.Terms.Correction; c.Known() && c.Val.Kind == salt.Linear {
		if alpha, ok := unit.FromFloat(float64(c.Val.Alpha)); ok {
			b.alpha = &alpha
		}
	}
	b.usualArea = &Used[unit.PatchArea]{Val: usualPatchArea, Dec: unit.Int(usualPatchArea), Known: true}
	for key, area := range b.areas {
		if area.Limit.Known() {
			b.ofArea[key] = b.withFirst(area.Limit)
		}
	}
	return b
}

// remember files a row under its name; the first of a name stays.
func remember[T any](rows map[string]*T, name record.Words, row *T) {
	key := record.Folded(name.Val)
	if _, taken := rows[key]; !taken && key != "" {
		rows[key] = row
	}
}

// volume is the water of the test: its own, else the job's, else what was
// injected where the record says that the injected water itself is read. It
// is never assumed.
func (b *bench) volume(t *record.Test) Used[unit.Volume] {
	switch {
	case !t.Volume().State.Silent():
		return used(t.Volume())
	case !b.job.Terms.Volume.State.Silent():
		return used(b.job.Terms.Volume)
	case b.basis.ProcedureOf(t) == record.Direct && !t.Injected().State.Silent():
		return used(t.Injected())
	}
	return Used[unit.Volume]{}
}

// patchAreaOf is the steel under the patch: by the test's own column, the job,
// or the patch that the test names; else the usual one, as an assumption.
func (h *hand) patchAreaOf(t *record.Test) *Used[unit.PatchArea] {
	b, g := h.bench, t.PatchArea()
	if g.State.Silent() {
		if b.patchArea != nil {
			return b.patchArea
		}
		p := b.patches[record.Folded(t.Patch().Val)]
		if p == nil || p.Area.State.Silent() {
			return b.usualArea
		}
		g = p.Area
	}
	own := used(g)
	if h.lastArea == nil || *h.lastArea != own {
		h.lastArea = new(Used[unit.PatchArea])
		*h.lastArea = own
	}
	return h.lastArea
}

// compensation says whether the meter compensated, by the test's own column,
// else by what the meters table says of the meter.
func (b *bench) compensation(t *record.Test) Compensation {
	on := t.Compensated()
	if !on.Known() {
		if m := b.meters[record.Folded(t.Meter().Val)]; m != nil {
			on = m.Compensates
		}
	}
	switch {
	case !on.Known():
		return CompensationUnknown
	case on.Val:
		return Compensated
	}
	return NotCompensated
}

// step is the smallest difference that a reading shows: its last written
// digit, but never finer than the meter reads.
func (b *bench) step(t *record.Test, written unit.Decimal) unit.Decimal {
	step := written.Step()
	if m := b.meters[record.Folded(t.Meter().Val)]; m != nil && m.Resolution.Known() && m.Resolution.Dec.Cmp(step) > 0 {
		return m.Resolution.Dec
	}
	return step
}

// limits are those in force for a test. Its own limit takes the place of the
// job's first, and so does its area's; basis, comparison and rounding stay
// those of the first.
func (b *bench) limits(t *record.Test) []Limit {
	if t.Limit().Known() {
		return b.withFirst(t.Limit())
	}
	if limits, known := b.ofArea[record.Folded(t.Area().Val)]; known {
		return limits
	}
	return b.basis.Limits
}

// hasOwnLimit reports whether a test or its area has a limit of its own.
func (b *bench) hasOwnLimit(t *record.Test) bool {
	_, ofArea := b.ofArea[record.Folded(t.Area().Val)]
	return ofArea || t.Limit().Known()
}

func (b *bench) withFirst(value record.Given[unit.SurfaceDensity]) []Limit {
	var first record.Limit
	if len(b.job.Terms.Limits) > 0 {
		first = b.job.Terms.Limits[0]
		if value.Unit == "" && value.Dec.Cmp(first.Value.Dec) == 0 {
			value.Unit = first.Value.Unit // the job's own limit, repeated without its unit
		}
	}
	own := first
	own.Value = value
	limits := []Limit{b.limit(own, first)}
	if len(b.basis.Limits) > 1 {
		limits = append(limits, b.basis.Limits[1:]...)
	}
	return limits
}
