package assess

import (
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A bench is where the tests of one job are worked out: the basis and the
// tables by name. Its lines keep it, for what is worked out when it is asked
// for. It is not written to while the tests are worked out side by side, nor
// after Run.
type bench struct {
	job         *record.Job
	basis       Basis
	constant    Used[unit.Constant]
	patchArea   *Used[unit.PatchArea] // of the job; nil where it says nothing
	usualArea   int                   // the number of the assumption of the usual one; unnumbered until the lines are worked out
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
	touching    touching           // once the findings are known
	instead     Instead            // what is supposed of the tests
	plainOnly   bool               // no scales are made: for the test that holds both ways equal
}

// A hand works out one test after the other at a bench.
type hand struct {
	*bench
	ways map[likeness]*made // how the tests before were made
	last *made
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
	b.usualArea = unnumbered
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
	v := t.Volume()
	if b.instead.Volume != nil {
		v = b.instead.Volume(t)
	}
	switch {
	case !v.State.Silent():
		return used(v)
	case !b.job.Terms.Volume.State.Silent():
		return used(b.job.Terms.Volume)
	case b.basis.ProcedureOf(t.Procedure()) == record.Direct && !t.Injected().State.Silent():
		return used(t.Injected())
	}
	return Used[unit.Volume]{}
}

// patchAreaOf is the steel under the patch: by the test's own column, the job,
// or the patch that the test names; else the usual one, as an assumption.
func (b *bench) patchAreaOf(t *record.Test) Used[unit.PatchArea] {
	if b.instead.PatchArea.Known() {
		return used(b.instead.PatchArea)
	}
	g := t.PatchArea()
	if g.State.Silent() {
		if b.patchArea != nil {
			return *b.patchArea
		}
		p := b.patchOf(t)
		if p == nil || p.Area.State.Silent() {
			return Used[unit.PatchArea]{Val: usualPatchArea, Dec: unit.Int(usualPatchArea), Known: true, Assumed: b.usualArea}
		}
		g = p.Area
	}
	return used(g)
}

// patchOf is the row of the patches table that a test names; nil for none.
func (b *bench) patchOf(t *record.Test) *record.Patch {
	if len(b.patches) == 0 {
		return nil
	}
	return b.patches[record.Folded(t.Patch().Val)]
}

// meterOf is the row of the meters table that a test names; nil for none.
func (b *bench) meterOf(t *record.Test) *record.Meter {
	if len(b.meters) == 0 {
		return nil
	}
	return b.meters[record.Folded(t.Meter().Val)]
}

// compensation says whether the meter compensated, by the test's own column,
// else by what the meters table says of the meter.
func (b *bench) compensation(t *record.Test) Compensation {
	if b.instead.NotCompensated {
		return NotCompensated
	}
	on := t.Compensated()
	if !on.Known() {
		if m := b.meterOf(t); m != nil {
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

// limits are those in force for a test. Its own limit takes the place of the
// job's first, and so does its area's; basis, comparison and rounding stay
// those of the first.
func (b *bench) limits(t *record.Test) []Limit {
	if t.Limit().Known() {
		return b.withFirst(t.Limit())
	}
	if len(b.ofArea) > 0 {
		if limits, known := b.ofArea[record.Folded(t.Area().Val)]; known {
			return limits
		}
	}
	return b.basis.Limits
}

// hasOwnLimit reports whether a test or its area has a limit of its own.
func (b *bench) hasOwnLimit(t *record.Test) bool {
	if len(b.ofArea) > 0 {
		if _, ofArea := b.ofArea[record.Folded(t.Area().Val)]; ofArea {
			return true
		}
	}
	return t.Limit().Known()
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
