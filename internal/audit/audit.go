// Package audit draws the conclusion of a recomputation for whoever doubts
// the record: what follows and what does not, which verdicts change, what
// would change the conclusion, and what to ask.
//
// It judges nothing again: numbers, verdicts and findings are those of assess.
package audit

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/unit"
)

// A Report is the conclusion on one record.
type Report struct {
	*assess.Result
	Counts    Counts
	Changed   []int // lines whose verdict is not the one that the log leaves its reader with, in the order of the log
	Largest   int   // the line whose written value lies farthest from the recomputed one, of those that do not follow; -1 for none
	Missing   []Missing
	Entries   []Entry         // what the checks found, less the patterns
	Patterns  []Entry         // patterns of the record as a whole
	Marks     []string        // of Findings, by index
	Sets      []check.DaySets // what the clock allows, a day each
	Areas     int             // how many there are
	Open      []int           // the fails that the record does not show cleared, in the order of the log
	WhatIfs   []WhatIf
	Untried   []OpenPoint // what the record leaves open and no WhatIf settles
	Questions []Question
	Advice    []Advice
}

// Counts are the figures of the one-page result. Tests are those on steel;
// procedural blanks are counted by themselves.
type Counts struct {
	Rows, Skipped int // of the reading note: rows used, and rows that are no record
	Tests, Blanks int

	Agreement [assess.CannotBeComputed + 1]int      // tests by assess.Agreement
	Explained struct{ Once, Severally, Not int }    // of those that do not follow: one single slip fits, several do, none does
	Shared    int                                   // of those that do not follow: explained by a slip that most rows of the sheet share
	TooHigh   int                                   // of those that do not follow: written above the recomputed value, the safe side
	TooLow    int                                   // written below it, the unsafe side
	Verdicts  [assess.Void + 1][assess.Void + 1]int // tests by verdict as written, then recomputed
	Fallen    struct{ ByValue, ByFinding int }      // of the passes that fall: by their own numbers, and only by a finding
	Kept      int                                   // fails of the log that stand although no number shows them
	Unread    int                                   // tests with a written verdict whose words are not understood
}

// An Outcome says how a record stands, the weightiest last.
type Outcome int

const (
	NothingWritten Outcome = iota // neither a value nor a verdict is written: there is nothing to hold against the readings
	Holds                         // every written value follows, and every written verdict is the recomputed one
	NotShown                      // nothing contradicts what is written, but not all of it can be recomputed
	DoesNotHold                   // a written value does not follow, or a verdict is another one than written
)

// Outcome is how the record stands.
func (r *Report) Outcome() Outcome {
	c := &r.Counts
	switch {
	case c.Agreement[assess.DoesNotFollow] > 0 || len(r.Changed) > 0:
		return DoesNotHold
	case c.Agreement[assess.CannotBeComputed]+c.Kept+c.Unread > 0:
		return NotShown
	case c.Written()+c.Judged() == 0:
		return NothingWritten
	}
	return Holds
}

// Stands reports whether everything that the record states of its tests is
// shown to hold; of a record that states nothing, nothing is in doubt.
func (r *Report) Stands() bool { return r.Outcome() <= Holds }

// A Missing is a part of the record that an auditor needs and did not get.
type Missing struct {
	Table string // "checks", "meters", "water", "ambient", "areas", "patches", "treatments", "people", "signatures", "job": a table of the record; "" for a control within one
	Check string // the check whose finding says so, such as "no-meter-check"; "" for a table
	Tests int    // how many tests are touched; 0 for the whole record
}

// A WhatIf is one thing that the record leaves open, settled in one way, with
// what the conclusion would then be. Those that would change nothing are not
// listed.
type WhatIf struct {
	Kind  WhatIfKind
	Value any    // unit.Volume, unit.PatchArea, salt.Comparison, salt.Basis or salt.RuleKind; of ValueRight its Args, and of the others nothing
	Slip  string // the name of the explanation that raises it; "" where the record itself leaves it open
	Tests []int  // the tests whose value or verdict would be another
	Then  []Then // of Tests, in their order

	Passes, Fails, Open int // tests on steel by the verdict of the numbers alone, if it were so
}

// A Then is what one test would be.
type Then struct {
	Value   unit.SurfaceDensity // NaN where there is none
	Verdict assess.Verdict      // by the numbers alone
}

// A WhatIfKind is what is supposed.
type WhatIfKind int

const (
	VolumeWas      WhatIfKind = iota // another volume, where the record leaves it open or an explanation puts it in doubt
	PatchAreaWas                     // another patch area, likewise
	ComparisonIs                     // "at most" or "less than", where that is not recorded and a value equals the limit
	BasisIs                          // what the limit speaks of, where that is not recorded
	RuleIs                           // guarded, where no rule is recorded and an uncertainty is
	NotCompensated                   // the meter did not compensate, where the record does not say
	ValueRight                       // the written values that one slip explains are right, and their rows are wrong
	InjectedCounts                   // the water that went in is the volume, where the row looks to have what came out
	UnseenDigits                     // the digits that the readings do not show, at their worst
)

// A Question is one thing to ask the contractor, answerable in a sentence.
// Its words stand under Key and are filled with its Filling; a finding of which
// nothing is asked has an empty text there.
type Question struct {
	Key     string         // "checks/NAME/ask", "slips/NAME/ask" or "audit/ask-…"
	Fill    map[string]any // of a slip: the Args of the first explanation; of "audit/ask-…": what it speaks of
	Finding int            // index into Findings; -1 where the question does not come from one
	Tests   []int          // that it is about; nil for the whole record or for days
}

// An Advice is what is recommended to the reader, who decides.
type Advice struct {
	Kind  AdviceKind
	Tests []int // that it is about
	Count int   // of AnswerFirst the questions, of WitnessSome the patterns
}

// An AdviceKind is what to do about the record.
type AdviceKind int

const (
	TakeAsItStands AdviceKind = iota // nothing stands against the record
	CorrectFirst                     // values and verdicts to be corrected, and the record issued again
	AnswerFirst                      // questions to be answered before more is concluded
	TreatThese                       // fails that are open
	RepeatThese                      // tests that are void or establish nothing
	WitnessSome                      // patterns that only a witnessed test settles
)

// Counted is the figures alone of the conclusion on a judged record: Counts,
// Changed and Largest. They tell the Outcome.
func Counted(r *assess.Result) *Report {
	a := &Report{Result: r, Largest: -1}
	a.count()
	return a
}

// Of draws the conclusion on a judged record.
func Of(r *assess.Result) *Report {
	a := Counted(r)
	a.Missing = missing(r)
	a.enter()
	a.Sets = check.SetsNeeded(r)
	a.WhatIfs = a.whatIfs()
	a.Untried = a.untried()
	areas := r.Course().Outcome()
	a.Areas, a.Open = len(areas), uncleared(areas)
	a.Questions = a.questions(areas)
	a.Advice = a.advice(areas)
	if !a.Stands() { // what cannot be shown is not to be taken on trust
		a.Advice = slices.DeleteFunc(a.Advice, func(v Advice) bool { return v.Kind == TakeAsItStands })
	}
	return a
}

// uncleared are the fails that no area shows cleared.
func uncleared(areas []*assess.Standing) []int {
	n := 0
	for _, s := range areas {
		n += len(s.Open)
	}
	fails := make([]int, 0, n)
	for _, s := range areas {
		for k := range s.Open {
			fails = append(fails, s.Open[k].Fail)
		}
	}
	slices.Sort(fails)
	return fails
}
