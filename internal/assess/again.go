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

// Judge works out a test: its density, and ByNumber. The Line, which lacks what
// is said of the written value, lasts until the next one.
func (s *Supposed) Judge(t *record.Test) *Line {
	var f figures
	s.room = s.line.Limits
	s.line = Line{Test: t}
	s.numbers(&s.line, &f)
	s.judge(&s.line, &f)
	return &s.line
}
