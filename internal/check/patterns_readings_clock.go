package check

import (
	"cmp"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// leastTicks is how many tests have to follow one another for their times to
// be asked about, and aBreak by how much longer than the others an interval
// is a break, in s (house figures).
const (
	leastTicks = 10
	aBreak     = 20 * 60
)

// clockworkTimes: all tests of a person on a day follow one another at the
// same interval, to the minute. Handling, rinsing, another bottle and the way
// to the next spot take now more and now less time. A break divides the day
// and is no such interval.
var clockworkTimes = &assess.Check{
	Name:     "clockwork-times",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		type hand struct {
			day           unit.Date
			person, meter int32
		}
		persons, meters := people(v), newRoll(record.Folded)
		for _, tests := range groups(timedTests(v), func(i int) hand {
			t := v.Lines[i].Test
			return hand{t.Date().Val, persons.at(i), meters.of(t.Meter().Val)}
		}) {
			if len(tests) < leastTicks {
				continue
			}
			for _, clock := range []func(*record.Test) record.Given[unit.Clock]{
				func(t *record.Test) record.Given[unit.Clock] { return t.Read() },
				func(t *record.Test) record.Given[unit.Clock] { return t.Start() },
			} {
				if reportTicks(v, tests, clock) {
					break
				}
			}
		}
	},
}

// reportTicks reports tests that one of their times puts at one interval, and
// whether it does. Tests at one time, such as those of a merged cell, have no
// interval.
func reportTicks(v *assess.Review, tests []int, clock func(*record.Test) record.Given[unit.Clock]) bool {
	at := func(i int) unit.Clock { return clock(v.Lines[i].Test).Val }
	if slices.ContainsFunc(tests, func(i int) bool { return !clock(v.Lines[i].Test).Known() }) {
		return false
	}
	ordered := slices.SortedStableFunc(slices.Values(tests), func(i, j int) int { return cmp.Compare(at(i), at(j)) })
	first, last := ordered[0], ordered[len(ordered)-1]
	gap := at(last) - at(first)
	for k := 1; k < len(ordered); k++ {
		gap = min(gap, at(ordered[k])-at(ordered[k-1]))
	}
	breaks, bottles, run, longest := 0, 0, 1, 1
	for k := 1; k < len(ordered); k++ {
		switch g := at(ordered[k]) - at(ordered[k-1]); {
		case g == gap:
			run++
			longest = max(longest, run)
		case g >= gap+aBreak:
			breaks++
			run = 1
		default:
			return false
		}
		if w, before := v.Lines[ordered[k]].Test.Water().Val, v.Lines[ordered[k-1]].Test.Water().Val; w != before && w != "" && before != "" {
			bottles++
		}
	}
	if gap == 0 || longest < leastTicks {
		return false
	}
	decimals := 0
	if gap%60 != 0 {
		decimals = 1
	}
	report(v, assess.Finding{
		Tests: tests, Places: places(v, ordered, func(t *record.Test) diag.Pos { return clock(t).Pos }),
		Args: map[string]any{
			"Inspector": v.Lines[first].Test.Inspector().Text, "Intervals": len(ordered) - 1 - breaks, "Gap": gap.Minutes(), "Decimals": decimals,
			"Breaks": breaks, "Bottles": bottles, "From": at(first), "To": at(last),
		},
	})
	return true
}
