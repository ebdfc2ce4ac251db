package record

import (
	"saltline/internal/diag"
	"saltline/internal/unit"
)

// testsAtOnce is how many tests a sheaf holds at most. Each thing that a column
// of it says has a number below firstLoose, with room for what is said later.
const testsAtOnce = 1 << 14

// A sheaf is some tests of one sheet, kept column by column: a log says the same
// few things in most of its cells, and a column that no test has says nothing.
type sheaf struct {
	at    diag.Pos // the sheet
	tests int      // how many it holds
	extra [][]Fact // columns that are not ours; nil where there are none

	number, area, location, meter, inspector, water, patch, spotType, orientation shelf[string]
	ofTest, treatment, photo, remark, substrate                                   shelf[string]
	date                                                                          shelf[unit.Date]
	blank, extract, difference                                                    shelf[unit.Conductivity]
	volume, injected, recovered                                                   shelf[unit.Volume]
	recorded, limit                                                               shelf[unit.SurfaceDensity]
	recordedVerdict                                                               shelf[WrittenVerdict]
	start, read                                                                   shelf[unit.Clock]
	patchArea                                                                     shelf[unit.PatchArea]
	blankTemperature, solutionTemperature, air, wetBulb, steel, recordedDew       shelf[unit.Temperature]
	compensated                                                                   shelf[bool]
	pumpCycles, patchUse, maximumUses                                             shelf[int]
	procedure                                                                     shelf[Procedure]
	patchKind                                                                     shelf[PatchKind]
	x, y                                                                          shelf[float64]
	kind                                                                          shelf[TestKind]
	size                                                                          shelf[unit.SteelArea]
	outsideDiameter, insideDiameter                                               shelf[unit.Length]
	humidity                                                                      shelf[unit.Humidity]
}

// shelves are where what stands in each column of the readings is kept, in the
// order of readings.
var shelves = [...]shelving{
	Columns.Number.shelving(),
	Columns.Area.shelving(),
	Columns.Location.shelving(),
	Columns.X.shelving(),
	Columns.Y.shelving(),
	Columns.SpotType.shelving(),
	Columns.Orientation.shelving(),
	Columns.Date.shelving(),
	Columns.Start.shelving(),
	Columns.Read.shelving(),
	Columns.Blank.shelving(),
	Columns.BlankTemperature.shelving(),
	Columns.Water.shelving(),
	Columns.Injected.shelving(),
	Columns.Volume.shelving(),
	Columns.Procedure.shelving(),
	Columns.Recovered.shelving(),
	Columns.PumpCycles.shelving(),
	Columns.Extract.shelving(),
	Columns.SolutionTemperature.shelving(),
	Columns.Compensated.shelving(),
	Columns.PatchArea.shelving(),
	Columns.PatchKind.shelving(),
	Columns.Patch.shelving(),
	Columns.PatchUse.shelving(),
	Columns.Meter.shelving(),
	Columns.Difference.shelving(),
	Columns.Recorded.shelving(),
	Columns.RecordedVerdict.shelving(),
	Columns.Inspector.shelving(),
	Columns.Kind.shelving(),
	Columns.OfTest.shelving(),
	Columns.Treatment.shelving(),
	Columns.Photo.shelving(),
	Columns.Remark.shelving(),
	Columns.Limit.shelving(),
	Columns.Size.shelving(),
	Columns.Substrate.shelving(),
	Columns.OutsideDiameter.shelving(),
	Columns.InsideDiameter.shelving(),
	Columns.MaximumUses.shelving(),
	Columns.Air.shelving(),
	Columns.Humidity.shelving(),
	Columns.WetBulb.shelving(),
	Columns.RecordedDew.shelving(),
	Columns.Steel.shelving(),
}

// A shelving is one shelf of any sheaf.
type shelving struct {
	fill   func(t *Test, f *Fields) // what t says there, into f
	filing func(s *sheaf, write bool, asText func(string) bool) filing[Fields]
}

// shelving is the shelf of the column.
func (c Column[Q]) shelving() shelving {
	return shelving{
		fill: func(t *Test, f *Fields) {
			if s := c.on(t.in); s.which != nil {
				*c.at(f) = say(t, s, c.at)
			}
		},
		filing: func(s *sheaf, write bool, asText func(string) bool) filing[Fields] {
			return &filer[Q]{shelf: c.on(s), at: c.at, tests: s.tests, write: write, asText: asText}
		},
	}
}
