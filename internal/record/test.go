package record

import (
	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A Test is one row of readings. What nearly every log holds stands in it;
// the rest stands in groups, for no log has all of these columns and a long
// one has no room for those that it leaves empty. The tests of a job share
// the empty groups, so a test that was read is not written to; NewTest makes
// one to fill in.
type Test struct {
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

// NewTest is a test that holds nothing yet, with groups of its own.
func NewTest() Test {
	return Test{
		Clocks: new(Clocks), Equipment: new(Equipment), Solution: new(Solution), Filling: new(Filling),
		Consumed: new(Consumed), Spot: new(Spot), Purpose: new(Purpose), Remarks: new(Remarks), OneSheet: new(OneSheet),
	}
}

// empty holds the groups that all tests without such columns share.
var empty = NewTest()

// own gives a test a group of its own, to write to.
func own[G any](group **G, shared *G) *G {
	if *group == nil || *group == shared {
		*group = new(G)
	}
	return *group
}

func (t *Test) clocks() *Clocks       { return own(&t.Clocks, empty.Clocks) }
func (t *Test) equipment() *Equipment { return own(&t.Equipment, empty.Equipment) }
func (t *Test) solution() *Solution   { return own(&t.Solution, empty.Solution) }
func (t *Test) filling() *Filling     { return own(&t.Filling, empty.Filling) }
func (t *Test) consumed() *Consumed   { return own(&t.Consumed, empty.Consumed) }
func (t *Test) spot() *Spot           { return own(&t.Spot, empty.Spot) }
func (t *Test) purpose() *Purpose     { return own(&t.Purpose, empty.Purpose) }
func (t *Test) remarks() *Remarks     { return own(&t.Remarks, empty.Remarks) }
func (t *Test) oneSheet() *OneSheet   { return own(&t.OneSheet, empty.OneSheet) }
