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
	"saltline/internal/slip"
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

// A Density is a surface density with the interval that the written digits
// allow. The volume, the patch area and the constant are taken as exact in
// it: what is not known of them stands in the uncertainty.
type Density struct {
	Known     bool
	Bounded   bool                // there is no value, but Low and High bound it: a reading is "<1", or the blank is missing
	Value     unit.SurfaceDensity // unrounded
	Exact     unit.Ratio          // the same exactly; no number where a correction makes it irrational
	Low, High unit.SurfaceDensity // what the written digits allow
}

// A Line is one test, computed and judged.
type Line struct {
	Test  *record.Test
	Index int // in Result.Lines

	Resolution unit.Conductivity // r: the coarser of the written step and the meter's; 0 where no reading is known

	Volume     Used[unit.Volume]
	PatchArea  *Used[unit.PatchArea] // one value for all tests that it holds for, never nil
	Constant   *Used[unit.Constant]  // likewise
	Factor     float64               // K, mg/m² per µS/cm; 0 where volume or area is not known
	Difference unit.Conductivity
	Density    Density  // by the readings as they stand
	at25       *Density // nil where At25 is not known, as in most records

	SodiumChloride unit.SurfaceDensity // equivalent by conductivity of NaCl; 0 with no judged density
	ChlorideBound  unit.SurfaceDensity // no more chloride than this if all of it were chloride

	Uncertainty salt.Budget // u and U of the judged density

	Explanations []slip.Explanation // all single slips that fit, where it does not follow

	Limits   []Judgement // one for each limit that applies; none for a procedural blank
	Reasons  []Reason    // why the numbers alone establish nothing, where they do not
	Findings []int       // indexes into Result.Findings

	// The small ones stand together: a long record has many lines.
	Compensation Compensation
	Agreement    Agreement
	Rounds       bool    // agrees after rounding to the written digits (for Agrees)
	asRead       bool    // agrees with the density as read, and not only at 25 °C or as sodium chloride
	ByNumber     Verdict // from the numbers alone
	Verdict      Verdict // after what the findings take away
	Written      Verdict // what the written value would be against the first limit; NotEstablished where none
	blank        bool    // a procedural blank
	Doubtful     bool    // a FAIL whose extraction was not valid: it stands until it is repeated properly
}

// OfSteel reports whether the test was made on steel. A procedural blank is
// not: it gets a number and no verdict, and counts nowhere.
func (l *Line) OfSteel() bool { return !l.blank }

// At25 is the density with each reading referred to 25 °C. It is known only
// where the readings were not compensated and a correction and a temperature
// are recorded.
func (l *Line) At25() Density {
	if l.at25 == nil {
		return Density{}
	}
	return *l.at25
}

// Judged is the higher of the density as read and that at 25 °C; a pass needs
// both at or below the limit. It is for reading only.
func (l *Line) Judged() *Density {
	if l.at25 != nil && l.at25.Value > l.Density.Value {
		return l.at25
	}
	return &l.Density
}

// AsWritten is the verdict that the log leaves its reader with: the written
// one, or what the written value would be where no verdict was written. Where
// something is written that is not understood, the log has a verdict and it is
// not known which: it is NotEstablished, whatever the value says, for a verdict
// taken from the value would be laid into the mouth of whoever wrote the word.
func (l *Line) AsWritten() Verdict {
	switch l.Test.RecordedVerdict().Val {
	case record.WrittenPass:
		return Pass
	case record.WrittenFail:
		return Fail
	case record.WrittenVoid:
		return Void
	}
	if l.UnreadVerdict() {
		return NotEstablished
	}
	return l.Written
}

// UnreadVerdict reports whether something is written as the verdict of a test
// of steel that is not understood: Test.RecordedVerdict.Text quotes it.
func (l *Line) UnreadVerdict() bool {
	return l.OfSteel() && l.Test.RecordedVerdict().State == record.Unreadable
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
func (b *Basis) ProcedureOf(t *record.Test) record.Procedure {
	if t.Procedure().Known() {
		return t.Procedure().Val
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
