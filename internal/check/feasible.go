package check

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/unit"
)

// DaySets is what the clock of one day allows: with how many sets of patch
// and syringe its tests can have been made.
type DaySets struct {
	Date   unit.Date
	Tests  int   // tests of the day that the clock places, procedural blanks included
	Both   int   // of these, how many have the time in and the time read; for the others the contact time and the handling are reckoned with
	Needed int   // the least number of sets with which the times as written are possible
	Could  []int // Could[k-1] is how many of the tests k sets could have made at most, for k from 1 to Needed or to MostSets, whichever is less
	Stated int   // sets in use by the record; 0 where it does not say
}

// MostSets is up to how many sets DaySets tells what they could have made.
const MostSets = 12

// SetsNeeded reckons for each day of the record, by date, how many sets its
// times ask for. Where a test has both times a set is taken from the minute in
// which the water went in, and free again in the minute in which the extract
// was read, as for more-at-once-than-sets. Where it has one of them the set is
// taken for the contact time and the handling after the one or before the
// other, as for spacing-too-short. Tests without a time, those of which the
// end stands before the beginning, and those whose only time is that of a
// block of tests are not placed and not counted. Tests of one date are
// reckoned by themselves, those without a date as one day.
func SetsNeeded(r *assess.Result) []DaySets {
	v := assess.NewReview(r)
	stated, known := setsInUse(v)
	if !known {
		stated = 0
	}
	taken := max(1, seconds(neededForATest(v)))
	var days []DaySets
	var uses [][]use // of days
	at := map[unit.Date]int{}
	for _, i := range everyTimed(v) {
		s := stayOf(v, i)
		var u use
		switch {
		case s.both():
			from := seconds(s.from)
			u = use{from, max(seconds(s.to), from+1)} // two that begin together are two even if they end so
		case s.hasFrom != s.hasTo:
			end, ok := s.only(v, sharedTimes(v))
			if !ok {
				continue
			}
			u = use{seconds(end), seconds(end) + taken}
			if s.hasTo {
				u = use{seconds(end) - taken, seconds(end)}
			}
		default:
			continue
		}
		date := v.Lines[i].Test.Date().Val
		n, seen := at[date]
		if !seen {
			n = len(days)
			at[date] = n
			days = append(days, DaySets{Date: date, Stated: stated})
			uses = append(uses, nil)
		}
		if s.both() {
			days[n].Both++
		}
		uses[n] = append(uses[n], u)
	}
	for n := range days {
		d := &days[n]
		d.Tests = len(uses[n])
		d.Needed = atOnce(uses[n])
		slices.SortFunc(uses[n], func(a, b use) int { return a.to - b.to })
		for k := range min(d.Needed, MostSets) {
			d.Could = append(d.Could, mostWith(k+1, uses[n]))
		}
	}
	slices.SortFunc(days, func(a, b DaySets) int { return a.Date.Compare(b.Date) })
	return days
}

// A use is the time for which a test takes a set: from is in it, to is not.
// Both are seconds since a fixed day, which is what a clock can be read to.
type use struct{ from, to int }

func seconds(m unit.Minutes) int { return int(math.Round(60 * float64(m))) }

// atOnce is how many of the uses overlap at most: so many sets are enough, and
// fewer are not.
func atOnce(uses []use) int {
	var begins, ends []int
	for _, u := range uses {
		begins, ends = append(begins, u.from), append(ends, u.to)
	}
	slices.Sort(begins)
	slices.Sort(ends)
	most, over := 0, 0
	for n, at := range begins {
		for ends[over] <= at {
			over++
		}
		most = max(most, n+1-over)
	}
	return most
}

// mostWith is how many of the uses k sets can serve at most. Of uses in the
// order in which they end each is given to the set that became free last, or
// to none: no choice serves more (interval scheduling on k machines).
func mostWith(k int, uses []use) int {
	var free []int // when the sets in use are free again, in order
	served := 0
	for _, u := range uses {
		last := len(free) - 1
		for last >= 0 && free[last] > u.from {
			last--
		}
		switch {
		case last >= 0:
			free = slices.Delete(free, last, last+1)
		case len(free) == k:
			continue
		}
		free = append(free, u.to)
		served++
	}
	return served
}
