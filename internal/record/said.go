package record

import (
	"saltline/internal/diag"
	"saltline/internal/unit"
)

// The methods of a Test say what its row says, each in one place.

// Row is the place of the row.
func (t *Test) Row() diag.Pos {
	if t.own != nil {
		return t.own.Row
	}
	return t.in.at.At(int(t.row), 0)
}

// Hidden reports whether the row is hidden in the workbook.
func (t *Test) Hidden() bool {
	if t.own != nil {
		return t.own.Hidden
	}
	return t.marks&hidden != 0
}

// Struck reports whether the row is struck through.
func (t *Test) Struck() bool {
	if t.own != nil {
		return t.own.Struck
	}
	return t.marks&struck != 0
}

// Faint reports whether nothing of the row can be seen: its text has the colour
// of its background.
func (t *Test) Faint() bool {
	if t.own != nil {
		return t.own.Faint
	}
	return t.marks&faint != 0
}

// TypedOver reports whether the recorded value was typed where the column holds
// formulae.
func (t *Test) TypedOver() bool {
	if t.own != nil {
		return t.own.TypedOver
	}
	return t.marks&typedOver != 0
}

// StaleFormula reports whether the stored result of the recorded value is not
// what its formula gives.
func (t *Test) StaleFormula() bool {
	if t.own != nil {
		return t.own.StaleFormula
	}
	return t.marks&stale != 0
}

// Extra are the columns that are not ours, kept as found.
func (t *Test) Extra() []Fact {
	if t.own != nil {
		return t.own.Extra
	}
	if t.in.extra == nil {
		return nil
	}
	return t.in.extra[t.place]
}

// What was tested.

func (t *Test) Number() Words          { return say(t, &t.in.number, (*Fields).number) }
func (t *Test) Area() Words            { return say(t, &t.in.area, (*Fields).area) }
func (t *Test) Location() Words        { return say(t, &t.in.location, (*Fields).location) }
func (t *Test) Date() Given[unit.Date] { return say(t, &t.in.date, (*Fields).date) }

// What was read, and what was written of it.

func (t *Test) Blank() Given[unit.Conductivity]   { return say(t, &t.in.blank, (*Fields).blank) }
func (t *Test) Extract() Given[unit.Conductivity] { return say(t, &t.in.extract, (*Fields).extract) }
func (t *Test) Volume() Given[unit.Volume]        { return say(t, &t.in.volume, (*Fields).volume) }
func (t *Test) Recorded() Given[unit.SurfaceDensity] {
	return say(t, &t.in.recorded, (*Fields).recorded)
}
func (t *Test) RecordedVerdict() Given[WrittenVerdict] {
	return say(t, &t.in.recordedVerdict, (*Fields).recordedVerdict)
}

// The times of a test.

func (t *Test) Start() Given[unit.Clock] { return say(t, &t.in.start, (*Fields).start) }
func (t *Test) Read() Given[unit.Clock]  { return say(t, &t.in.read, (*Fields).read) }

// Who measured and with what.

func (t *Test) Meter() Words                     { return say(t, &t.in.meter, (*Fields).meter) }
func (t *Test) Inspector() Words                 { return say(t, &t.in.inspector, (*Fields).inspector) }
func (t *Test) PatchArea() Given[unit.PatchArea] { return say(t, &t.in.patchArea, (*Fields).patchArea) }

// What was done with the readings before they were compared.

func (t *Test) BlankTemperature() Given[unit.Temperature] {
	return say(t, &t.in.blankTemperature, (*Fields).blankTemperature)
}
func (t *Test) SolutionTemperature() Given[unit.Temperature] {
	return say(t, &t.in.solutionTemperature, (*Fields).solutionTemperature)
}
func (t *Test) Compensated() Given[bool] { return say(t, &t.in.compensated, (*Fields).compensated) }
func (t *Test) Difference() Given[unit.Conductivity] {
	return say(t, &t.in.difference, (*Fields).difference)
}

// How the water went into the patch and out of it. The procedure is that of the
// sheet or block that the test stands in, where that says it.

func (t *Test) Injected() Given[unit.Volume]  { return say(t, &t.in.injected, (*Fields).injected) }
func (t *Test) Recovered() Given[unit.Volume] { return say(t, &t.in.recovered, (*Fields).recovered) }
func (t *Test) PumpCycles() Given[int]        { return say(t, &t.in.pumpCycles, (*Fields).pumpCycles) }
func (t *Test) Procedure() Given[Procedure]   { return say(t, &t.in.procedure, (*Fields).procedure) }

// What was used up; the water is its bottle.

func (t *Test) Water() Words                { return say(t, &t.in.water, (*Fields).water) }
func (t *Test) Patch() Words                { return say(t, &t.in.patch, (*Fields).patch) }
func (t *Test) PatchKind() Given[PatchKind] { return say(t, &t.in.patchKind, (*Fields).patchKind) }
func (t *Test) PatchUse() Given[int]        { return say(t, &t.in.patchUse, (*Fields).patchUse) }
func (t *Test) MaximumUses() Given[int]     { return say(t, &t.in.maximumUses, (*Fields).maximumUses) }

// Where in its location the test was made: X and Y in m where Unit is not empty,
// else on a scale of the log's own.

func (t *Test) X() Given[float64]  { return say(t, &t.in.x, (*Fields).x) }
func (t *Test) Y() Given[float64]  { return say(t, &t.in.y, (*Fields).y) }
func (t *Test) SpotType() Words    { return say(t, &t.in.spotType, (*Fields).spotType) }
func (t *Test) Orientation() Words { return say(t, &t.in.orientation, (*Fields).orientation) }

// Why the test was made.

func (t *Test) Kind() Given[TestKind] { return say(t, &t.in.kind, (*Fields).kind) }
func (t *Test) OfTest() Words         { return say(t, &t.in.ofTest, (*Fields).ofTest) }
func (t *Test) Treatment() Words      { return say(t, &t.in.treatment, (*Fields).treatment) }

// What was put down beside the figures.

func (t *Test) Photo() Words  { return say(t, &t.in.photo, (*Fields).photo) }
func (t *Test) Remark() Words { return say(t, &t.in.remark, (*Fields).remark) }

// Columns of the job, the areas and the ambient readings that stand among the
// readings of a one-sheet log.

func (t *Test) Limit() Given[unit.SurfaceDensity] { return say(t, &t.in.limit, (*Fields).limit) }
func (t *Test) Size() Given[unit.SteelArea]       { return say(t, &t.in.size, (*Fields).size) }
func (t *Test) Substrate() Words                  { return say(t, &t.in.substrate, (*Fields).substrate) }
func (t *Test) OutsideDiameter() Given[unit.Length] {
	return say(t, &t.in.outsideDiameter, (*Fields).outsideDiameter)
}
func (t *Test) InsideDiameter() Given[unit.Length] {
	return say(t, &t.in.insideDiameter, (*Fields).insideDiameter)
}
func (t *Test) Air() Given[unit.Temperature]     { return say(t, &t.in.air, (*Fields).air) }
func (t *Test) WetBulb() Given[unit.Temperature] { return say(t, &t.in.wetBulb, (*Fields).wetBulb) }
func (t *Test) Steel() Given[unit.Temperature]   { return say(t, &t.in.steel, (*Fields).steel) }
func (t *Test) RecordedDew() Given[unit.Temperature] {
	return say(t, &t.in.recordedDew, (*Fields).recordedDew)
}
func (t *Test) Humidity() Given[unit.Humidity] { return say(t, &t.in.humidity, (*Fields).humidity) }
