package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A Test is one row of readings. It is asked for what the row says; a test
// that was read is not written to, but may be given fields of its own.
type Test struct {
	fields Fields
	of     *Test // whose own these are; of another, or of none, they are shared
}

// Fields are all that a row of readings may say. What nearly every log holds
// stands in it; the rest stands in groups, for no log has all of these columns
// and a long one has no room for those that it leaves empty. The tests of a job
// share the empty groups.
type Fields struct {
	Row    diag.Pos
	Hidden bool // the row is hidden in the workbook
	Struck bool // the row is struck through
	Faint  bool // nothing of the row can be seen: its text has the colour of its background

	// What the sheet shows of how the recorded value came to be.
	TypedOver       bool   // a typed number where the column holds formulae
	StaleFormula    bool   // the stored result is not what the formula gives
	RecordedFormula string // the formula of the recorded cell

	Number, Area, Location Words
	Date                   Given[unit.Date]
	Blank, Extract         Given[unit.Conductivity]
	Volume                 Given[unit.Volume]
	Recorded               Given[unit.SurfaceDensity]
	RecordedVerdict        Given[WrittenVerdict]

	*Clocks
	*Equipment
	*Solution
	*Filling
	*Consumed
	*Spot
	*Purpose
	*Remarks
	*OneSheet
	Extra []Fact // columns that are not ours, kept as found
}

// Clocks are the times of a test.
type Clocks struct{ Start, Read Given[unit.Clock] }

// Equipment is who measured and with what.
type Equipment struct {
	Meter, Inspector Words
	PatchArea        Given[unit.PatchArea]
}

// A Solution is what was done with the readings of a test before they were
// compared.
type Solution struct {
	BlankTemperature    Given[unit.Temperature]
	SolutionTemperature Given[unit.Temperature]
	Compensated         Given[bool]
	Difference          Given[unit.Conductivity]
}

// Filling is how the water went into the patch and out of it.
type Filling struct {
	Injected, Recovered Given[unit.Volume]
	PumpCycles          Given[int]
	Procedure           Given[Procedure] // of the sheet or block that the test stands in, where that says it
}

// Consumed is what a test used up.
type Consumed struct {
	Water                 Words // bottle
	Patch                 Words
	PatchKind             Given[PatchKind]
	PatchUse, MaximumUses Given[int]
}

// A Spot is where in its location a test was made.
type Spot struct {
	X, Y                  Given[float64] // in m where Unit is not empty, else on a scale of the log's own
	SpotType, Orientation Words
}

// A Purpose is why a test was made.
type Purpose struct {
	Kind              Given[TestKind]
	OfTest, Treatment Words
}

// Remarks are what was put down beside the figures.
type Remarks struct{ Photo, Remark Words }

// OneSheet are columns of the job, the areas and the ambient readings that
// stand among the readings of a one-sheet log.
type OneSheet struct {
	Limit                            Given[unit.SurfaceDensity]
	Size                             Given[unit.SteelArea]
	Substrate                        Words
	OutsideDiameter, InsideDiameter  Given[unit.Length]
	Air, WetBulb, Steel, RecordedDew Given[unit.Temperature]
	Humidity                         Given[unit.Humidity]
}

// NewTest is a test that says nothing yet.
func NewTest() Test { return Test{fields: empty} }

// Own gives a test fields of its own, to write to: what it is a copy of stays
// as it is. Of a test that was written to and then copied the copy may be
// written to.
func (t *Test) Own() *Fields {
	f := &t.fields
	if t.of != t {
		f.Clocks, f.Equipment, f.Solution = dup(f.Clocks), dup(f.Equipment), dup(f.Solution)
		f.Filling, f.Consumed, f.Spot = dup(f.Filling), dup(f.Consumed), dup(f.Spot)
		f.Purpose, f.Remarks, f.OneSheet = dup(f.Purpose), dup(f.Remarks), dup(f.OneSheet)
		f.Extra, t.of = slices.Clone(f.Extra), t
	}
	return f
}

// dup is a copy of a group; an empty one where there is none.
func dup[G any](group *G) *G {
	own := new(G)
	if group != nil {
		*own = *group
	}
	return own
}

// empty holds the groups that all tests without such columns share.
var empty = Fields{
	Clocks: new(Clocks), Equipment: new(Equipment), Solution: new(Solution), Filling: new(Filling),
	Consumed: new(Consumed), Spot: new(Spot), Purpose: new(Purpose), Remarks: new(Remarks), OneSheet: new(OneSheet),
}

// own gives a row that is being read a group of its own, to write to.
func own[G any](group **G, shared *G) *G {
	if *group == nil || *group == shared {
		*group = new(G)
	}
	return *group
}

func (f *Fields) clocks() *Clocks       { return own(&f.Clocks, empty.Clocks) }
func (f *Fields) equipment() *Equipment { return own(&f.Equipment, empty.Equipment) }
func (f *Fields) solution() *Solution   { return own(&f.Solution, empty.Solution) }
func (f *Fields) filling() *Filling     { return own(&f.Filling, empty.Filling) }
func (f *Fields) consumed() *Consumed   { return own(&f.Consumed, empty.Consumed) }
func (f *Fields) spot() *Spot           { return own(&f.Spot, empty.Spot) }
func (f *Fields) purpose() *Purpose     { return own(&f.Purpose, empty.Purpose) }
func (f *Fields) remarks() *Remarks     { return own(&f.Remarks, empty.Remarks) }
func (f *Fields) oneSheet() *OneSheet   { return own(&f.OneSheet, empty.OneSheet) }
