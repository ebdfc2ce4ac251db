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
	at       diag.Pos // the sheet
	tests    int      // how many it holds
	formulas []string // of the recorded cells; nil where there are none
	extra    [][]Fact // columns that are not ours; nil where there are none

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

// nth is what stands for a test in a list of its sheaf, which may be none.
func nth[T any](list []T, t *Test) (v T) {
	if list != nil {
		v = list[t.place]
	}
	return v
}

// shelves are where what stands in each column of the readings is kept, in the
// order of readings.
var shelves = [...]shelving{
	onShelf((*Fields).number, func(s *sheaf) *shelf[string] { return &s.number }),
	onShelf((*Fields).area, func(s *sheaf) *shelf[string] { return &s.area }),
	onShelf((*Fields).location, func(s *sheaf) *shelf[string] { return &s.location }),
	onShelf((*Fields).x, func(s *sheaf) *shelf[float64] { return &s.x }),
	onShelf((*Fields).y, func(s *sheaf) *shelf[float64] { return &s.y }),
	onShelf((*Fields).spotType, func(s *sheaf) *shelf[string] { return &s.spotType }),
	onShelf((*Fields).orientation, func(s *sheaf) *shelf[string] { return &s.orientation }),
	onShelf((*Fields).date, func(s *sheaf) *shelf[unit.Date] { return &s.date }),
	onShelf((*Fields).start, func(s *sheaf) *shelf[unit.Clock] { return &s.start }),
	onShelf((*Fields).read, func(s *sheaf) *shelf[unit.Clock] { return &s.read }),
	onShelf((*Fields).blank, func(s *sheaf) *shelf[unit.Conductivity] { return &s.blank }),
	onShelf((*Fields).blankTemperature, func(s *sheaf) *shelf[unit.Temperature] { return &s.blankTemperature }),
	onShelf((*Fields).water, func(s *sheaf) *shelf[string] { return &s.water }),
	onShelf((*Fields).injected, func(s *sheaf) *shelf[unit.Volume] { return &s.injected }),
	onShelf((*Fields).volume, func(s *sheaf) *shelf[unit.Volume] { return &s.volume }),
	onShelf((*Fields).procedure, func(s *sheaf) *shelf[Procedure] { return &s.procedure }),
	onShelf((*Fields).recovered, func(s *sheaf) *shelf[unit.Volume] { return &s.recovered }),
	onShelf((*Fields).pumpCycles, func(s *sheaf) *shelf[int] { return &s.pumpCycles }),
	onShelf((*Fields).extract, func(s *sheaf) *shelf[unit.Conductivity] { return &s.extract }),
	onShelf((*Fields).solutionTemperature, func(s *sheaf) *shelf[unit.Temperature] { return &s.solutionTemperature }),
	onShelf((*Fields).compensated, func(s *sheaf) *shelf[bool] { return &s.compensated }),
	onShelf((*Fields).patchArea, func(s *sheaf) *shelf[unit.PatchArea] { return &s.patchArea }),
	onShelf((*Fields).patchKind, func(s *sheaf) *shelf[PatchKind] { return &s.patchKind }),
	onShelf((*Fields).patch, func(s *sheaf) *shelf[string] { return &s.patch }),
	onShelf((*Fields).patchUse, func(s *sheaf) *shelf[int] { return &s.patchUse }),
	onShelf((*Fields).meter, func(s *sheaf) *shelf[string] { return &s.meter }),
	onShelf((*Fields).difference, func(s *sheaf) *shelf[unit.Conductivity] { return &s.difference }),
	onShelf((*Fields).recorded, func(s *sheaf) *shelf[unit.SurfaceDensity] { return &s.recorded }),
	onShelf((*Fields).recordedVerdict, func(s *sheaf) *shelf[WrittenVerdict] { return &s.recordedVerdict }),
	onShelf((*Fields).inspector, func(s *sheaf) *shelf[string] { return &s.inspector }),
	onShelf((*Fields).kind, func(s *sheaf) *shelf[TestKind] { return &s.kind }),
	onShelf((*Fields).ofTest, func(s *sheaf) *shelf[string] { return &s.ofTest }),
	onShelf((*Fields).treatment, func(s *sheaf) *shelf[string] { return &s.treatment }),
	onShelf((*Fields).photo, func(s *sheaf) *shelf[string] { return &s.photo }),
	onShelf((*Fields).remark, func(s *sheaf) *shelf[string] { return &s.remark }),
	onShelf((*Fields).limit, func(s *sheaf) *shelf[unit.SurfaceDensity] { return &s.limit }),
	onShelf((*Fields).size, func(s *sheaf) *shelf[unit.SteelArea] { return &s.size }),
	onShelf((*Fields).substrate, func(s *sheaf) *shelf[string] { return &s.substrate }),
	onShelf((*Fields).outsideDiameter, func(s *sheaf) *shelf[unit.Length] { return &s.outsideDiameter }),
	onShelf((*Fields).insideDiameter, func(s *sheaf) *shelf[unit.Length] { return &s.insideDiameter }),
	onShelf((*Fields).maximumUses, func(s *sheaf) *shelf[int] { return &s.maximumUses }),
	onShelf((*Fields).air, func(s *sheaf) *shelf[unit.Temperature] { return &s.air }),
	onShelf((*Fields).humidity, func(s *sheaf) *shelf[unit.Humidity] { return &s.humidity }),
	onShelf((*Fields).wetBulb, func(s *sheaf) *shelf[unit.Temperature] { return &s.wetBulb }),
	onShelf((*Fields).recordedDew, func(s *sheaf) *shelf[unit.Temperature] { return &s.recordedDew }),
	onShelf((*Fields).steel, func(s *sheaf) *shelf[unit.Temperature] { return &s.steel }),
}

// A shelving is one shelf of any sheaf.
type shelving struct {
	fill   func(t *Test, f *Fields) // what t says there, into f
	filing func(s *sheaf, write bool, asText func(string) bool) filing[Fields]
}

// onShelf is the shelf for one of the fields.
func onShelf[Q comparable](at func(*Fields) *Given[Q], on func(*sheaf) *shelf[Q]) shelving {
	return shelving{
		fill: func(t *Test, f *Fields) {
			if s := on(t.in); s.which != nil {
				*at(f) = s.of(t)
			}
		},
		filing: func(s *sheaf, write bool, asText func(string) bool) filing[Fields] {
			return &filer[Q]{shelf: on(s), at: at, tests: s.tests, write: write, asText: asText}
		},
	}
}
