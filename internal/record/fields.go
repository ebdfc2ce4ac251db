package record

import "saltline/internal/unit"

// Where in its fields a test says what stands in each column.

func (f *Fields) number() *Words                                { return &f.Number }
func (f *Fields) area() *Words                                  { return &f.Area }
func (f *Fields) location() *Words                              { return &f.Location }
func (f *Fields) date() *Given[unit.Date]                       { return &f.Date }
func (f *Fields) blank() *Given[unit.Conductivity]              { return &f.Blank }
func (f *Fields) extract() *Given[unit.Conductivity]            { return &f.Extract }
func (f *Fields) volume() *Given[unit.Volume]                   { return &f.Volume }
func (f *Fields) recorded() *Given[unit.SurfaceDensity]         { return &f.Recorded }
func (f *Fields) recordedVerdict() *Given[WrittenVerdict]       { return &f.RecordedVerdict }
func (f *Fields) start() *Given[unit.Clock]                     { return &f.Start }
func (f *Fields) read() *Given[unit.Clock]                      { return &f.Read }
func (f *Fields) meter() *Words                                 { return &f.Meter }
func (f *Fields) inspector() *Words                             { return &f.Inspector }
func (f *Fields) patchArea() *Given[unit.PatchArea]             { return &f.PatchArea }
func (f *Fields) blankTemperature() *Given[unit.Temperature]    { return &f.BlankTemperature }
func (f *Fields) solutionTemperature() *Given[unit.Temperature] { return &f.SolutionTemperature }
func (f *Fields) compensated() *Given[bool]                     { return &f.Compensated }
func (f *Fields) difference() *Given[unit.Conductivity]         { return &f.Difference }
func (f *Fields) injected() *Given[unit.Volume]                 { return &f.Injected }
func (f *Fields) recovered() *Given[unit.Volume]                { return &f.Recovered }
func (f *Fields) pumpCycles() *Given[int]                       { return &f.PumpCycles }
func (f *Fields) procedure() *Given[Procedure]                  { return &f.Procedure }
func (f *Fields) water() *Words                                 { return &f.Water }
func (f *Fields) patch() *Words                                 { return &f.Patch }
func (f *Fields) patchKind() *Given[PatchKind]                  { return &f.PatchKind }
func (f *Fields) patchUse() *Given[int]                         { return &f.PatchUse }
func (f *Fields) maximumUses() *Given[int]                      { return &f.MaximumUses }
func (f *Fields) x() *Given[float64]                            { return &f.X }
func (f *Fields) y() *Given[float64]                            { return &f.Y }
func (f *Fields) spotType() *Words                              { return &f.SpotType }
func (f *Fields) orientation() *Words                           { return &f.Orientation }
func (f *Fields) kind() *Given[TestKind]                        { return &f.Kind }
func (f *Fields) ofTest() *Words                                { return &f.OfTest }
func (f *Fields) treatment() *Words                             { return &f.Treatment }
func (f *Fields) photo() *Words                                 { return &f.Photo }
func (f *Fields) remark() *Words                                { return &f.Remark }
func (f *Fields) limit() *Given[unit.SurfaceDensity]            { return &f.Limit }
func (f *Fields) size() *Given[unit.SteelArea]                  { return &f.Size }
func (f *Fields) substrate() *Words                             { return &f.Substrate }
func (f *Fields) outsideDiameter() *Given[unit.Length]          { return &f.OutsideDiameter }
func (f *Fields) insideDiameter() *Given[unit.Length]           { return &f.InsideDiameter }
func (f *Fields) air() *Given[unit.Temperature]                 { return &f.Air }
func (f *Fields) wetBulb() *Given[unit.Temperature]             { return &f.WetBulb }
func (f *Fields) steel() *Given[unit.Temperature]               { return &f.Steel }
func (f *Fields) recordedDew() *Given[unit.Temperature]         { return &f.RecordedDew }
func (f *Fields) humidity() *Given[unit.Humidity]               { return &f.Humidity }
