package record

import (
	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A State says what is known of a value that a record should hold.
type State int

const (
	Absent     State = iota // nothing was written: "not recorded"
	Known                   // Val is what was written
	Below                   // written as "<1": Val is the bound, the value is not known
	NotDone                 // written as "-", "n/a" and the like: not measured, and said so
	Unreadable              // something was written that is no such value; Text holds it
)

// Silent reports whether a record says nothing of a value, so that another
// place may say it. A cell that cannot be read is not silent: what stands in it
// may differ from everything else.
func (s State) Silent() bool { return s == Absent || s == NotDone }

// A Given is a value that somebody wrote down: what it means, how it was
// spelled, and where. A number without its spelling and its cell does not
// exist in this package.
type Given[Q any] struct {
	Val   Q            // what it means, in the unit of Q
	Dec   unit.Decimal // numbers: the same exactly; 10^Dec.Exp is the step its digits resolve
	State State
	Text  string   // as written, for quoting back
	Unit  string   // the unit as written, in the cell or its heading; "" where none was
	Pos   diag.Pos // where; zero for a value set on the command line
}

// Known reports whether Val holds a value.
func (g Given[Q]) Known() bool { return g.State == Known }

// OrZero is Val where it is known, and else the zero of Q: "" of words.
func (g Given[Q]) OrZero() Q {
	if g.State == Known {
		return g.Val
	}
	var zero Q
	return zero
}

// Words is text that somebody wrote down.
type Words = Given[string]
