package assess

import (
	"saltline/internal/record"
	"saltline/internal/unit"
)

// An Instead is what is supposed of every test, whatever it says itself.
type Instead struct {
	Volume         func(*record.Test) record.Given[unit.Volume] // nil supposes nothing
	PatchArea      record.Given[unit.PatchArea]                 // nothing where it is not known
	NotCompensated bool                                         // the meter did not refer its readings to 25 °C
}

// A Supposed record judges tests by their numbers alone, as if its job said
// what it does: one after the other, and not side by side.
type Supposed struct {
	hand
	line Line
}

// Suppose makes ready to judge by what a job says, and by what is supposed of
// its tests. They are not looked at before they are judged.
func Suppose(job *record.Job, what Instead) *Supposed {
	b := newBench(job)
	b.instead = what
	return &Supposed{hand: hand{bench: b}}
}

// Beside is one that supposes the same, to judge side by side with s.
func (s *Supposed) Beside() *Supposed { return &Supposed{hand: hand{bench: s.bench}} }

// Judge works out a test: its density, and ByNumber. The Line, which does not
// explain the written value, lasts until the next one.
func (s *Supposed) Judge(t *record.Test) *Line {
	s.line = Line{}
	s.hand.line(t, &s.line)
	return &s.line
}
