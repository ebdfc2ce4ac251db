package assess

import "saltline/internal/record"

// A Supposed record judges tests by their numbers alone, as if its job said
// what it does: one after the other, and not side by side.
type Supposed struct {
	hand
	line Line
}

// Suppose makes ready to judge by what a job says. Its tests are not looked at.
func Suppose(job *record.Job) *Supposed { return &Supposed{hand: hand{bench: newBench(job)}} }

// Judge works out a test: its density, and ByNumber. The Line, which does not
// explain the written value, lasts until the next one.
func (s *Supposed) Judge(t *record.Test) *Line {
	s.line = Line{}
	s.hand.line(t, &s.line)
	return &s.line
}
