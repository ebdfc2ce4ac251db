package record

import "saltline/internal/unit"

// A Column is one column of the readings.
type Column[Q comparable] struct {
	at func(*Fields) *Given[Q]
	on func(*sheaf) *shelf[Q]
}

// Columns are the columns of the readings, called as a Test calls what it says there.
var Columns = struct {
	Number, Area, Location, SpotType, Orientation, Water, Patch, Meter, Inspector, OfTest, Treatment, Photo, Remark, Substrate Column[string]
	X, Y                                                                                                                       Column[float64]
	Date                                                                                                                       Column[unit.Date]
	Start, Read                                                                                                                Column[unit.Clock]
	Blank, Extract, Difference                                                                                                 Column[unit.Conductivity]
	BlankTemperature, SolutionTemperature, Air, WetBulb, RecordedDew, Steel                                                    Column[unit.Temperature]
	Injected, Volume, Recovered                                                                                                Column[unit.Volume]
	Procedure                                                                                                                  Column[Procedure]
	PumpCycles, PatchUse, MaximumUses                                                                                          Column[int]
	Compensated                                                                                                                Column[bool]
	PatchArea                                                                                                                  Column[unit.PatchArea]
	PatchKind                                                                                                                  Column[PatchKind]
	Recorded, Limit                                                                                                            Column[unit.SurfaceDensity]
	RecordedVerdict                                                                                                            Column[WrittenVerdict]
	Kind                                                                                                                       Column[TestKind]
	Size                                                                                                                       Column[unit.SteelArea]
	OutsideDiameter, InsideDiameter                                                                                            Column[unit.Length]
	Humidity                                                                                                                   Column[unit.Humidity]
}{
	Number:              Column[string]{(*Fields).number, func(s *sheaf) *shelf[string] { return &s.number }},
	Area:                Column[string]{(*Fields).area, func(s *sheaf) *shelf[string] { return &s.area }},
	Location:            Column[string]{(*Fields).location, func(s *sheaf) *shelf[string] { return &s.location }},
	X:                   Column[float64]{(*Fields).x, func(s *sheaf) *shelf[float64] { return &s.x }},
	Y:                   Column[float64]{(*Fields).y, func(s *sheaf) *shelf[float64] { return &s.y }},
	SpotType:            Column[string]{(*Fields).spotType, func(s *sheaf) *shelf[string] { return &s.spotType }},
	Orientation:         Column[string]{(*Fields).orientation, func(s *sheaf) *shelf[string] { return &s.orientation }},
	Date:                Column[unit.Date]{(*Fields).date, func(s *sheaf) *shelf[unit.Date] { return &s.date }},
	Start:               Column[unit.Clock]{(*Fields).start, func(s *sheaf) *shelf[unit.Clock] { return &s.start }},
	Read:                Column[unit.Clock]{(*Fields).read, func(s *sheaf) *shelf[unit.Clock] { return &s.read }},
	Blank:               Column[unit.Conductivity]{(*Fields).blank, func(s *sheaf) *shelf[unit.Conductivity] { return &s.blank }},
	BlankTemperature:    Column[unit.Temperature]{(*Fields).blankTemperature, func(s *sheaf) *shelf[unit.Temperature] { return &s.blankTemperature }},
	Water:               Column[string]{(*Fields).water, func(s *sheaf) *shelf[string] { return &s.water }},
	Injected:            Column[unit.Volume]{(*Fields).injected, func(s *sheaf) *shelf[unit.Volume] { return &s.injected }},
	Volume:              Column[unit.Volume]{(*Fields).volume, func(s *sheaf) *shelf[unit.Volume] { return &s.volume }},
	Procedure:           Column[Procedure]{(*Fields).procedure, func(s *sheaf) *shelf[Procedure] { return &s.procedure }},
	Recovered:           Column[unit.Volume]{(*Fields).recovered, func(s *sheaf) *shelf[unit.Volume] { return &s.recovered }},
	PumpCycles:          Column[int]{(*Fields).pumpCycles, func(s *sheaf) *shelf[int] { return &s.pumpCycles }},
	Extract:             Column[unit.Conductivity]{(*Fields).extract, func(s *sheaf) *shelf[unit.Conductivity] { return &s.extract }},
	SolutionTemperature: Column[unit.Temperature]{(*Fields).solutionTemperature, func(s *sheaf) *shelf[unit.Temperature] { return &s.solutionTemperature }},
	Compensated:         Column[bool]{(*Fields).compensated, func(s *sheaf) *shelf[bool] { return &s.compensated }},
	PatchArea:           Column[unit.PatchArea]{(*Fields).patchArea, func(s *sheaf) *shelf[unit.PatchArea] { return &s.patchArea }},
	PatchKind:           Column[PatchKind]{(*Fields).patchKind, func(s *sheaf) *shelf[PatchKind] { return &s.patchKind }},
	Patch:               Column[string]{(*Fields).patch, func(s *sheaf) *shelf[string] { return &s.patch }},
	PatchUse:            Column[int]{(*Fields).patchUse, func(s *sheaf) *shelf[int] { return &s.patchUse }},
	Meter:               Column[string]{(*Fields).meter, func(s *sheaf) *shelf[string] { return &s.meter }},
	Difference:          Column[unit.Conductivity]{(*Fields).difference, func(s *sheaf) *shelf[unit.Conductivity] { return &s.difference }},
	Recorded:            Column[unit.SurfaceDensity]{(*Fields).recorded, func(s *sheaf) *shelf[unit.SurfaceDensity] { return &s.recorded }},
	RecordedVerdict:     Column[WrittenVerdict]{(*Fields).recordedVerdict, func(s *sheaf) *shelf[WrittenVerdict] { return &s.recordedVerdict }},
	Inspector:           Column[string]{(*Fields).inspector, func(s *sheaf) *shelf[string] { return &s.inspector }},
	Kind:                Column[TestKind]{(*Fields).kind, func(s *sheaf) *shelf[TestKind] { return &s.kind }},
	OfTest:              Column[string]{(*Fields).ofTest, func(s *sheaf) *shelf[string] { return &s.ofTest }},
	Treatment:           Column[string]{(*Fields).treatment, func(s *sheaf) *shelf[string] { return &s.treatment }},
	Photo:               Column[string]{(*Fields).photo, func(s *sheaf) *shelf[string] { return &s.photo }},
	Remark:              Column[string]{(*Fields).remark, func(s *sheaf) *shelf[string] { return &s.remark }},
	Limit:               Column[unit.SurfaceDensity]{(*Fields).limit, func(s *sheaf) *shelf[unit.SurfaceDensity] { return &s.limit }},
	Size:                Column[unit.SteelArea]{(*Fields).size, func(s *sheaf) *shelf[unit.SteelArea] { return &s.size }},
	Substrate:           Column[string]{(*Fields).substrate, func(s *sheaf) *shelf[string] { return &s.substrate }},
	OutsideDiameter:     Column[unit.Length]{(*Fields).outsideDiameter, func(s *sheaf) *shelf[unit.Length] { return &s.outsideDiameter }},
	InsideDiameter:      Column[unit.Length]{(*Fields).insideDiameter, func(s *sheaf) *shelf[unit.Length] { return &s.insideDiameter }},
	MaximumUses:         Column[int]{(*Fields).maximumUses, func(s *sheaf) *shelf[int] { return &s.maximumUses }},
	Air:                 Column[unit.Temperature]{(*Fields).air, func(s *sheaf) *shelf[unit.Temperature] { return &s.air }},
	Humidity:            Column[unit.Humidity]{(*Fields).humidity, func(s *sheaf) *shelf[unit.Humidity] { return &s.humidity }},
	WetBulb:             Column[unit.Temperature]{(*Fields).wetBulb, func(s *sheaf) *shelf[unit.Temperature] { return &s.wetBulb }},
	RecordedDew:         Column[unit.Temperature]{(*Fields).recordedDew, func(s *sheaf) *shelf[unit.Temperature] { return &s.recordedDew }},
	Steel:               Column[unit.Temperature]{(*Fields).steel, func(s *sheaf) *shelf[unit.Temperature] { return &s.steel }},
}
