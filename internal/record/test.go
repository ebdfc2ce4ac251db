package record

import (
	"slices"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A Test is one row of readings. It is asked for what the row says. A log may
// hold a million of them, so a test keeps no more than where that is kept.
type Test struct {
	in    *sheaf
	own   *own // what is said instead of what the sheaf holds; nil for nearly every test
	row   int32
	place uint16 // in the sheaf
	marks marks
}

// Marks are what is to be seen of a row beside its cells.
type marks uint8

const (
	hidden marks = 1 << iota
	struck
	faint
	typedOver
	stale
)

// Fields are all that a row of readings may say.
type Fields struct {
	Row    diag.Pos
	Hidden bool // the row is hidden in the workbook
	Struck bool // the row is struck through
	Faint  bool // nothing of the row can be seen: its text has the colour of its background

	// What the sheet shows of how the recorded value came to be.
	TypedOver    bool // a typed number where the column holds formulae
	StaleFormula bool // the stored result is not what the formula gives

	Number, Area, Location Words
	Date                   Given[unit.Date]
	Blank, Extract         Given[unit.Conductivity]
	Volume                 Given[unit.Volume]
	Recorded               Given[unit.SurfaceDensity]
	RecordedVerdict        Given[WrittenVerdict]

	// The times of the test.
	Start, Read Given[unit.Clock]

	// Who measured and with what.
	Meter, Inspector Words
	PatchArea        Given[unit.PatchArea]

	// What was done with the readings before they were compared.
	BlankTemperature, SolutionTemperature Given[unit.Temperature]
	Compensated                           Given[bool]
	Difference                            Given[unit.Conductivity]

	// How the water went into the patch and out of it.
	Injected, Recovered Given[unit.Volume]
	PumpCycles          Given[int]
	Procedure           Given[Procedure] // of the sheet or block that the test stands in, where that says it

	// What was used up; the water is its bottle.
	Water, Patch          Words
	PatchKind             Given[PatchKind]
	PatchUse, MaximumUses Given[int]

	// Where in its location the test was made.
	X, Y                  Given[float64] // in m where Unit is not empty, else on a scale of the log's own
	SpotType, Orientation Words

	// Why the test was made.
	Kind              Given[TestKind]
	OfTest, Treatment Words

	// What was put down beside the figures.
	Photo, Remark Words

	// Columns of the job, the areas and the ambient readings that stand among
	// the readings of a one-sheet log.
	Limit                            Given[unit.SurfaceDensity]
	Size                             Given[unit.SteelArea]
	Substrate                        Words
	OutsideDiameter, InsideDiameter  Given[unit.Length]
	Air, WetBulb, Steel, RecordedDew Given[unit.Temperature]
	Humidity                         Given[unit.Humidity]

	Extra []Fact // columns that are not ours, kept as found
}

// An own is the fields that a test has of its own. A copy of the test shares
// them until it is written to.
type own struct {
	Fields
	of *Test
}

// NewTest is a test that says nothing yet, and stands in no log.
func NewTest() Test { return Test{in: &nothing} }

var nothing sheaf

// Own gives a test fields of its own, to write to: what it is a copy of stays
// as it is. Of a test that was written to and then copied the copy may be
// written to.
func (t *Test) Own() *Fields {
	if t.own == nil || t.own.of != t {
		own := &own{of: t}
		t.fill(&own.Fields)
		own.Extra = slices.Clone(own.Extra)
		t.own = own
	}
	return &t.own.Fields
}

// fill writes all that a test says into f.
func (t *Test) fill(f *Fields) {
	if t.own != nil {
		*f = t.own.Fields
		return
	}
	*f = Fields{
		Row: t.Row(), Hidden: t.Hidden(), Struck: t.Struck(), Faint: t.Faint(),
		TypedOver: t.TypedOver(), StaleFormula: t.StaleFormula(), Extra: t.Extra(),
	}
	for k := range shelves {
		shelves[k].fill(t, f)
	}
}
