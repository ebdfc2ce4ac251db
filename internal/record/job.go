// Package record is where text ends: the rows of a log become a job of typed
// values, each with its unit, its spelling and its cell.
//
// What is absent stays absent: nothing here fills a gap. What cannot be read
// stays in its row as Unreadable with its text as found.
package record

import (
	"saltline/internal/diag"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A Job is everything that the input says.
type Job struct {
	Sources     []Source
	Terms       Terms
	Areas       []Area
	Tests       []Test
	Ambient     []Ambient
	Meters      []Meter
	Checks      []MeterCheck
	Water       []Water
	Patches     []Patch
	Treatments  []Treatment
	Extracts    []Extract
	Days        []Day
	People      []Person
	Signatures  []Signature
	Concessions []Concession
	Documents   []Document
	Conflicts   []Conflict // terms on which two sources disagree
	Photos      []Photo    // that the tests name; nil where nobody looked for them
	Superseded  []Superseded
	Note        Note
}

// A Conflict is a key of the job on which two sources disagree.
type Conflict struct {
	Key         string
	Used, Other Words
}

// A Source is one input file.
type Source struct {
	File   string
	SHA256 string // hex
}

// Terms is what holds for the whole job: who and where, the limit and how it
// is compared, the procedure and its constants.
type Terms struct {
	JobNumber, Title, Client, Owner, Contractor, Contract Words
	Site, Structure, Weather                              Words
	Specification, SpecificationRevision                  Words
	InspectionPlan, MethodStatement                       Words
	TimeZone, Currency, Language                          Words
	DateOrder                                             Given[unit.DateOrder]
	Limits                                                []Limit // in the order of their numbers; empty where none is recorded
	DecisionRule                                          Given[salt.RuleKind]
	ExpandedUncertainty                                   Given[unit.SurfaceDensity]
	CoverageFactor                                        Given[float64]
	UncertaintySource                                     Words
	Procedure                                             Given[Procedure]
	Volume                                                Given[unit.Volume]
	PatchArea                                             Given[unit.PatchArea]
	Constant                                              Given[unit.Constant]
	ContactTime, HandlingTime                             Given[unit.Minutes]
	PumpCycles, SetsInUse                                 Given[int]
	WaterLimit                                            Given[unit.Conductivity]
	HumidityLimit                                         Given[unit.Humidity]
	DewPointMargin                                        Given[unit.Temperature] // a difference, in K
	SteelMin, SteelMax                                    Given[unit.Temperature]
	CheckTolerance                                        Given[unit.Percent]
	Correction                                            Given[salt.Correction]
	Sampling                                              Given[salt.SamplingRule]
	SpotTypes                                             Given[[]string]
	SpotsChosen                                           Given[Choice]
	Retest                                                Given[RetestRule]
	HoursToCoating                                        Given[float64] // h
	House                                                 House
	Other                                                 []Fact // keys that are not ours, kept as found
}

// A Limit is one acceptance limit with what its comparison needs. A part
// that the record does not state for limit 2, 3 … is that of the first.
type Limit struct {
	Value      Given[unit.SurfaceDensity]
	Basis      Given[salt.Basis]
	Comparison Given[salt.Comparison]
	Rounding   Given[salt.Rounding]
	Clause     Words
}

// A Fact is a key and a value as written.
type Fact struct {
	Key   string
	Value Words
}

// A Procedure says which water the second conductivity is read in.
type Procedure int

const (
	ProcedureNotStated Procedure = iota
	Direct                       // a few millilitres go in, come out and are read
	BeakerReturn                 // the extract goes back to the beaker that it came from
)

// A Choice says how spots were chosen.
type Choice int

const (
	ChoiceNotStated Choice = iota
	AtRandom
	ByJudgement
)

// A RetestRule says what clears a fail, as far as it was agreed.
type RetestRule struct {
	Beside   bool // beside the first footprint
	Adjacent int  // number of adjacent tests that must pass too
}

// An Area is a part of the structure that is accepted or not as one.
type Area struct {
	Row                                              diag.Pos
	Name, Description                                Words
	Size                                             Given[unit.SteelArea]
	Substrate, InitialCondition, Exposure            Words
	OutsideDiameter, InsideDiameter                  Given[unit.Length]
	BlastMethod, AbrasiveBatch, VisualGrade, Profile Words
	BlastingEnded, CoatingStarted                    Given[Moment]
	Sampling                                         Given[salt.SamplingRule]   // overrides the job's
	Limit                                            Given[unit.SurfaceDensity] // overrides the job's first
	Drawing                                          Words
	Extra                                            []Fact // columns that are not ours, kept as found
}

// A Moment is a date with a time of day; HasClock is false where only the
// date was written.
type Moment struct {
	Date     unit.Date
	Clock    unit.Clock
	HasClock bool
}

// A TestKind says why a test was made.
type TestKind int

const (
	Original        TestKind = iota
	Repeat                   // of a void one
	Retest                   // of a failed one, after treatment
	Adjacent                 // beside a failed one, to find how far the salt goes
	Witness                  // a duplicate for a witness
	ProceduralBlank          // on clean glass
)

// Related reports whether a test of the kind is made because of another.
func (k TestKind) Related() bool { return k == Repeat || k == Retest || k == Adjacent }

// A WrittenVerdict is what the log says of a test.
type WrittenVerdict int

const (
	NoVerdict WrittenVerdict = iota
	WrittenPass
	WrittenFail
	WrittenVoid
)

// A PatchKind is the kind of cell that held the water.
type PatchKind int

const (
	PatchNotStated PatchKind = iota
	SingleUse                // adhesive, used once
	MagneticRing             // reusable, held by a magnet
	Sleeve
)

// An Ambient is one set of air and steel readings.
type Ambient struct {
	Row                              diag.Pos
	Date                             Given[unit.Date]
	Time                             Given[unit.Clock]
	Place                            Words
	Air, WetBulb, RecordedDew, Steel Given[unit.Temperature]
	Humidity                         Given[unit.Humidity]
	Weather, By                      Words
	Extra                            []Fact // columns that are not ours, kept as found
}

// A Meter is an instrument with its certificate.
type Meter struct {
	Row                     diag.Pos
	Serial, Kind, Range     Words
	Resolution              Given[unit.Conductivity]
	Accuracy                Given[unit.Percent] // of reading
	Compensates             Given[bool]
	Certificate, Laboratory Words
	CalibratedOn, Due       Given[unit.Date]
	Extra                   []Fact // columns that are not ours, kept as found
}

// A MeterCheck is one reading in a check solution.
type MeterCheck struct {
	Row                  diag.Pos
	Date                 Given[unit.Date]
	Time                 Given[unit.Clock]
	Meter, Solution, Lot Words
	Nominal              Given[unit.Conductivity] // at 25 °C
	Expiry               Given[unit.Date]
	Temperature          Given[unit.Temperature]
	Reading              Given[unit.Conductivity]
	Tolerance            Given[unit.Percent]
	FoundLeft, By        Words  // "as found", "as left"
	Extra                []Fact // columns that are not ours, kept as found
}

// A Water is one reading of a bottle of extraction water.
type Water struct {
	Row            diag.Pos
	Bottle, Grade  Words
	Opened, Expiry Given[unit.Date]
	Date           Given[unit.Date]
	Time           Given[unit.Clock]
	Conductivity   Given[unit.Conductivity]
	BlankKind      Words  // "water", "procedural on glass"
	Extra          []Fact // columns that are not ours, kept as found
}

// A Patch is a batch of patches, or one reusable one.
type Patch struct {
	Row                                             diag.Pos
	Batch                                           Words
	Kind                                            Given[PatchKind]
	Area                                            Given[unit.PatchArea]
	Designation                                     Words
	Expiry                                          Given[unit.Date]
	UnitPrice                                       Given[unit.Money]
	MaximumUses                                     Given[int]
	SmallestOutsideDiameter, SmallestInsideDiameter Given[unit.Length]
	OpeningStock, ClosingStock                      Given[int]
	Extra                                           []Fact // other cost columns
}

// A Treatment is what was done to a failed spot.
type Treatment struct {
	Row                   diag.Pos
	Name                  Words
	OfTests               Given[[]string]
	What                  Words
	Date                  Given[unit.Date]
	Started, Ended        Given[unit.Clock]
	WaterSource           Words
	WaterConductivity     Given[unit.Conductivity]
	Extent                Given[unit.SteelArea]
	Dried, GradeAfter, By Words
	Extra                 []Fact // columns that are not ours, kept as found
}

// An Extract is a test of abrasive or wash water.
type Extract struct {
	Row                 diag.Pos
	Date                Given[unit.Date]
	Kind, Batch, Method Words
	Conductivity        Given[unit.Conductivity]
	Limit               Given[unit.Conductivity]
	Oil, By             Words
	Extra               []Fact // columns that are not ours, kept as found
}

// A Day is the diary of one working day.
type Day struct {
	Row                                               diag.Pos
	Date                                              Given[unit.Date]
	ShiftStarted, ShiftEnded                          Given[unit.Clock]
	Stops                                             Given[[]Span]
	Weather, WorkDone, Delays, Instructions, Visitors Words
	Remarks, ReportNumber, Revision, WhatChanged      Words
	Extra                                             []Fact // columns that are not ours, kept as found
}

// A Span is a stretch of one day.
type Span struct{ From, To unit.Clock }

// A Person is somebody with a role and a card.
type Person struct {
	Row                                             diag.Pos
	Name, Employer, Role, Qualification, CardNumber Words
	Expiry                                          Given[unit.Date]
	Extra                                           []Fact // columns that are not ours, kept as found
}

// A Signature is a signature that the record holds.
type Signature struct {
	Row                   diag.Pos
	Document, Revision    Words
	Date                  Given[unit.Date] // of the report
	Role, Name, Statement Words
	SignedAt              Given[Moment]
	Method, Image, Digest Words
	Extra                 []Fact // columns that are not ours, kept as found
}

// A Document is one revision of a document about the record: the number that
// it has or is to have, and the digest of the rows that it was issued with.
type Document struct {
	Row              diag.Pos
	Kind, Of         Words // "daily report", "certificate", "dossier"; the area or the day that it is about
	Number, Revision Words
	IssuedOn         Given[unit.Date]
	Digest           Words
	WhatChanged      Words
	Extra            []Fact // columns that are not ours, kept as found
}

// A Superseded day is an earlier revision of a day that a later file holds
// anew. Its tests count nowhere; what was in them is still asked about.
type Superseded struct {
	Day    Day
	By     Words // the revision that took its place
	Tests  []Test
	Digest string // SHA-256 of the rows that it rested on, hex
}

// A Concession is an agreed deviation.
type Concession struct {
	Row             diag.Pos
	For, Clause, By Words // For: an area or a test
	Date            Given[unit.Date]
	Text            Words
	Extra           []Fact // columns that are not ours, kept as found
}
