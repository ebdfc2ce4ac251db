package check

import (
	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Bracket says how the tests of one meter lie between the first and the
// last good check of a working day, by the same rules as the checks of the
// meter: serial numbers, night shifts, tolerances and temperatures alike.
type Bracket struct {
	First, Last           unit.Clock // of the good checks
	Inside, Before, After []int      // indexes into Result.Lines
}

// Brackets places tests between the good checks of their meters, one bracket a
// meter and working day. loose are those that cannot be placed: no time of
// reading, or no good check.
func Brackets(r *assess.Result, tests []int) (brackets []Bracket, loose []int) {
	v := assess.NewReview(r)
	for _, s := range sessionsOf(v, tests) {
		var first, last *timed[*record.MeterCheck]
		for _, c := range s.numbered() { // by time
			if !c.known || !s.good(v, c.what) {
				continue
			}
			if first == nil {
				first = &c
			}
			last = &c
		}
		var b Bracket
		for _, t := range s.tests {
			switch {
			case first == nil || !r.Lines[t.what].Test.Read().Known():
				loose = append(loose, t.what)
			case t.minutes < first.minutes:
				b.Before = append(b.Before, t.what)
			case t.minutes > last.minutes:
				b.After = append(b.After, t.what)
			default:
				b.Inside = append(b.Inside, t.what)
			}
		}
		if first != nil {
			b.First, b.Last = first.what.Time.Val, last.what.Time.Val
			brackets = append(brackets, b)
		}
	}
	return brackets, loose
}
