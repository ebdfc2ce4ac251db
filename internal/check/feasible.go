package check

import "saltline/internal/unit"

// DaySets is what the clock of one day allows: with how many sets of patch
// and syringe its tests can have been made.
type DaySets struct {
	Date   unit.Date
	Tests  int   // tests of the day with a time, procedural blanks included
	Both   int   // of these, how many have the time in and the time read; for the others the contact time and the handling are reckoned with
	Needed int   // the least number of sets with which the times as written are possible
	Could  []int // Could[k-1] is how many of the tests k sets could have made at most, for k from 1 to Needed
	Stated int   // sets in use by the record; 0 where it does not say
}
