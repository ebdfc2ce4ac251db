package assess

import (
	"sync"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A Severity says how much a finding weighs.
type Severity int

const (
	AsDeclared     Severity = iota // in a Finding: the severity that its check declares
	ChangesVerdict                 // a verdict changes or is wrong
	VoidsTest                      // no valid extraction happened
	UnprovenPass                   // a pass cannot be relied on; fails stay
	Weakens                        // the evidence is weaker, verdicts stand
	Housekeeping
)

// A Direction says to which side an error errs.
type Direction int

const (
	NoDirection Direction = iota
	SafeSide              // the record shows more salt than there was
	UnsafeSide            // the record shows less
)

// A Role is who acts next.
type Role int

const (
	Inspector Role = iota
	QCManager
	Contractor
	OwnersRepresentative
)

// A Check is one question put to the record: one cause, one finding. It is a
// constant value. Its words (title, rule, what was found, the innocent
// reading, the next step, the longer explanation) stand under its name in
// the templates; its test sheet stands under its name in testdata.
type Check struct {
	Name     string   // lower-case words with hyphens
	Group    Group    // the part of the work that it asks about
	Severity Severity // as a rule; a finding may carry another
	Owner    Role     // who acts next
	Settings []string // keys of the settings that it uses, printed with it
	Run      func(*Review)
}

// A Group is the part of the work that a check asks about.
type Group int

const (
	Arithmetic Group = iota
	WaterAndBlank
	MeterAndCalibration
	ExtractionAndClock
	PatchAndSubstrate
	TemperatureAndAmbient
	SamplingAndRetests
	Integrity // patterns of the record as a whole that one would ask about, each with an ordinary explanation
)

// A Finding is what a check found: one cause with all that it touches.
type Finding struct {
	Check     *Check
	Severity  Severity
	Date      unit.Date      // the day it belongs to; zero for the whole job
	Args      map[string]any // what its words are filled with: quantities of unit, never preformatted numbers
	Tests     []int          // indexes into Result.Lines
	Areas     []string       // areas touched where no test is
	Places    []diag.Pos     // the cells that show it
	Direction Direction

	// Filled in when the verdicts are drawn.
	LostPasses int // passes that this finding takes away or voids
	Changed    int // written verdicts that do not stand because of it
}

// A Review gives a check what it may look at, and takes what it finds.
type Review struct {
	*Result
	check  *Check
	found  []Finding
	shared *sync.Map // what several checks work out of the record, by who works it out
}

// NewReview is a review of a judged job for what is asked of it outside of
// the checks.
func NewReview(r *Result) *Review { return &Review{Result: r, shared: new(sync.Map)} }

// Shared gives a function that works something out of the record once for all
// checks that are asked side by side. What it returns is for reading only.
func Shared[T any](work func(*Review) T) func(*Review) T {
	key := new(int) // like no other
	return func(v *Review) T {
		once, known := v.shared.Load(key)
		if !known {
			once, _ = v.shared.LoadOrStore(key, sync.OnceValue(func() T { return work(v) }))
		}
		return once.(func() T)()
	}
}

// Report adds a finding of the running check. A Severity left
// AsDeclared is the check's own.
func (v *Review) Report(f Finding) {
	f.Check = v.check
	if f.Severity == AsDeclared {
		f.Severity = v.check.Severity
	}
	v.found = append(v.found, f)
}
