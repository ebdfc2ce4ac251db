package record

import (
	"saltline/internal/diag"
	"saltline/internal/unit"
)

// The methods of a Test say what its row says, each in one place.

// Row is the place of the row.
func (t *Test) Row() diag.Pos { return t.fields.Row }

// Hidden reports whether the row is hidden in the workbook.
func (t *Test) Hidden() bool { return t.fields.Hidden }

// Struck reports whether the row is struck through.
func (t *Test) Struck() bool { return t.fields.Struck }

// Faint reports whether nothing of the row can be seen: its text has the colour of its background.
func (t *Test) Faint() bool { return t.fields.Faint }

// TypedOver reports whether the recorded value was typed where the column holds formulae.
func (t *Test) TypedOver() bool { return t.fields.TypedOver }

// StaleFormula reports whether the stored result of the recorded value is not what its formula gives.
func (t *Test) StaleFormula() bool { return t.fields.StaleFormula }

// RecordedFormula is the formula of the recorded cell, "" where it has none.
func (t *Test) RecordedFormula() string { return t.fields.RecordedFormula }

// What was tested.

func (t *Test) Number() Words          { return t.fields.Number }
func (t *Test) Area() Words            { return t.fields.Area }
func (t *Test) Location() Words        { return t.fields.Location }
func (t *Test) Date() Given[unit.Date] { return t.fields.Date }

// What was read, and what was written of it.

func (t *Test) Blank() Given[unit.Conductivity]        { return t.fields.Blank }
func (t *Test) Extract() Given[unit.Conductivity]      { return t.fields.Extract }
func (t *Test) Volume() Given[unit.Volume]             { return t.fields.Volume }
func (t *Test) Recorded() Given[unit.SurfaceDensity]   { return t.fields.Recorded }
func (t *Test) RecordedVerdict() Given[WrittenVerdict] { return t.fields.RecordedVerdict }

// The times of a test.

func (t *Test) Start() Given[unit.Clock] { return t.fields.Start }
func (t *Test) Read() Given[unit.Clock]  { return t.fields.Read }

// Who measured and with what.

func (t *Test) Meter() Words                     { return t.fields.Meter }
func (t *Test) Inspector() Words                 { return t.fields.Inspector }
func (t *Test) PatchArea() Given[unit.PatchArea] { return t.fields.PatchArea }

// What was done with the readings before they were compared.

func (t *Test) BlankTemperature() Given[unit.Temperature]    { return t.fields.BlankTemperature }
func (t *Test) SolutionTemperature() Given[unit.Temperature] { return t.fields.SolutionTemperature }
func (t *Test) Compensated() Given[bool]                     { return t.fields.Compensated }
func (t *Test) Difference() Given[unit.Conductivity]         { return t.fields.Difference }

// How the water went into the patch and out of it. The procedure is that of the
// sheet or block that the test stands in, where that says it.

func (t *Test) Injected() Given[unit.Volume]  { return t.fields.Injected }
func (t *Test) Recovered() Given[unit.Volume] { return t.fields.Recovered }
func (t *Test) PumpCycles() Given[int]        { return t.fields.PumpCycles }
func (t *Test) Procedure() Given[Procedure]   { return t.fields.Procedure }

// What was used up; the water is its bottle.

func (t *Test) Water() Words                { return t.fields.Water }
func (t *Test) Patch() Words                { return t.fields.Patch }
func (t *Test) PatchKind() Given[PatchKind] { return t.fields.PatchKind }
func (t *Test) PatchUse() Given[int]        { return t.fields.PatchUse }
func (t *Test) MaximumUses() Given[int]     { return t.fields.MaximumUses }

// Where in its location the test was made: X and Y in m where Unit is not empty,
// else on a scale of the log's own.

func (t *Test) X() Given[float64]  { return t.fields.X }
func (t *Test) Y() Given[float64]  { return t.fields.Y }
func (t *Test) SpotType() Words    { return t.fields.SpotType }
func (t *Test) Orientation() Words { return t.fields.Orientation }

// Why the test was made.

func (t *Test) Kind() Given[TestKind] { return t.fields.Kind }
func (t *Test) OfTest() Words         { return t.fields.OfTest }
func (t *Test) Treatment() Words      { return t.fields.Treatment }

// What was put down beside the figures.

func (t *Test) Photo() Words  { return t.fields.Photo }
func (t *Test) Remark() Words { return t.fields.Remark }

// Columns of the job, the areas and the ambient readings that stand among the
// readings of a one-sheet log.

func (t *Test) Limit() Given[unit.SurfaceDensity]    { return t.fields.Limit }
func (t *Test) Size() Given[unit.SteelArea]          { return t.fields.Size }
func (t *Test) Substrate() Words                     { return t.fields.Substrate }
func (t *Test) OutsideDiameter() Given[unit.Length]  { return t.fields.OutsideDiameter }
func (t *Test) InsideDiameter() Given[unit.Length]   { return t.fields.InsideDiameter }
func (t *Test) Air() Given[unit.Temperature]         { return t.fields.Air }
func (t *Test) WetBulb() Given[unit.Temperature]     { return t.fields.WetBulb }
func (t *Test) Steel() Given[unit.Temperature]       { return t.fields.Steel }
func (t *Test) RecordedDew() Given[unit.Temperature] { return t.fields.RecordedDew }
func (t *Test) Humidity() Given[unit.Humidity]       { return t.fields.Humidity }

// Extra are the columns that are not ours, kept as found.
func (t *Test) Extra() []Fact { return t.fields.Extra }
