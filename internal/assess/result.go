// Package assess judges: every reading becomes a number, every number a
// verdict against the limit, every area a standing.
//
// Ground rules that hold everywhere in it: doubt takes away a pass, never a
// fail; the unrounded value is judged; what was written and what was
// recomputed stay side by side; a volume is never guessed.
package assess

import (
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// A Result is a job, judged.
type Result struct {
	Job         *record.Job
	Basis       Basis
	Lines       []Line // one a test, in the order of Job.Tests
	Ambient     []AmbientSet
	Findings    []Finding // by severity, then by place
	Systematic  []Systematic
	Assumptions []Assumption
	Changes     Changes
}

// A Verdict is what is said of one test. The zero Verdict is not a pass.
type Verdict uint8

const (
	NotEstablished Verdict = iota // a number may exist, but it proves no pass
	Pass
	Fail
	Void // no valid extraction happened; only for results at or below the limit
)

// An AreaVerdict is what is said of an area.
type AreaVerdict int

const (
	AreaNotEstablished AreaVerdict = iota
	AcceptedForSalt
	NotAccepted
)

// An Agreement says how a recorded value stands to its own readings.
type Agreement uint8

const (
	NotRecorded Agreement = iota
	Agrees
	AgreesThroughUnseenDigits
	DoesNotFollow
	CannotBeComputed
)

// A Used is a value taken into the calculation and where it came from.
type Used[Q any] struct {
	Val     Q
	Dec     unit.Decimal
	Known   bool
	Pos     diag.Pos // its cell; zero if it was set on the command line or assumed
	Assumed int      // number of the Assumption it rests on, from 1; 0 for a recorded value
}

// An Assumption is a value that the record does not hold and that is
// nevertheless used. It is numbered and printed. The volume is never one.
type Assumption struct {
	Number int
	Key    string // "patch area", "constant", "limit comparison" …
	Value  string // as used, with its unit
}

// A Compensation says whether the meter referred its readings to 25 °C.
type Compensation uint8

const (
	CompensationUnknown Compensation = iota
	Compensated
	NotCompensated
)

// A Reason says why a test's numbers alone establish neither a pass nor a
// fail.
type Reason int

const (
	NoLimit            Reason = iota // the record states no limit
	NoLimitUnit                      // the limit has no unit
	NoLimitBasis                     // the record does not say what the limit speaks of
	NoVolume                         // the volume is not recorded, and it is never assumed
	NoExtract                        // the extract was not read, or cannot be read
	NoBlank                          // the blank is not recorded; only bounds are known
	UnreadableValue                  // a value was written that cannot be read
	NegativeDifference               // the extract reads lower than its blank: not a zero result
	Censored                         // a reading is "<…" and the bounds lie on both sides of the limit
	FailsAt25                        // at or below the limit as read, above it when referred to 25 °C
	InGuardBand                      // within the guard band of the decision rule: repeat
	OnlyBounded                      // a chloride limit, which conductivity can only bound from above
	NoComparison                     // equal to a limit that is not said to be "at most" or "less than"
	WrittenFail                      // the log calls it a fail, and that is not explained by a slip of the written value
)

// A Judgement is a density against one limit.
type Judgement struct {
	Limit   *Limit              // shared by all tests that it holds for
	Value   unit.SurfaceDensity // what is compared with the limit, in its basis; NaN where not known
	Outcome salt.Outcome
	Exceeds bool // the value is above the limit, whatever the decision rule makes of it
	Decided bool // true where every value the written digits allow gives the same outcome
	Near    bool // not above the limit as read, and within the expanded uncertainty of it
}

// A Limit is one limit in force for a test, with what was stated of it.
type Limit struct {
	Value      unit.SurfaceDensity
	Exact      unit.Decimal
	Basis      salt.Basis
	Comparison salt.Comparison
	Rounding   salt.Rounding
	Text       string // as written
	Clause     string
	Pos        diag.Pos
	Gaps       []Reason // what is missing of it; nothing is judged against a limit with a gap
}

// A Basis is what all tests are judged on.
type Basis struct {
	Limits     []Limit // of the job; a test's own or its area's takes the place of the first
	Rule       salt.RuleKind
	RuleStated bool
	Expanded   Used[unit.SurfaceDensity] // stated top-down expanded uncertainty
	Coverage   float64                   // k
	Correction salt.Correction
	Procedure  record.Procedure
	Settings   []Setting // house settings and contract thresholds that the checks use
}

// ProcedureOf is how the water of a test was read: as the sheet or the block
// says that the test stands in, else as the job does.
func (b *Basis) ProcedureOf(stated record.Given[record.Procedure]) record.Procedure {
	if stated.Known() {
		return stated.Val
	}
	return b.Procedure
}

// A Systematic is a slip that explains most rows of a sheet.
type Systematic struct {
	Explanation string
	Detail      string   // "3 ml" and the like; "" where the slip has none
	Sheet       diag.Pos // file and sheet
	Rows, Of    int
}

// Changes counts the verdicts that the recomputation changes.
type Changes struct {
	PassToFail, FailToPass, PassToNotEstablished, PassToVoid int
}
