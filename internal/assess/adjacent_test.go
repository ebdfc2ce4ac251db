package assess

import (
	"testing"

	"saltline/internal/unit"
)

// Where the tests of a fail stand decides what they show. Coordinates are the
// last of the fields; the limits of 1 cm and 1.5 m are the house's.
func TestPlaces(t *testing.T) {
	const (
		fail   = "1 original | 08:00 | L1 | 70 | | | 11.00 1.00 m\nT 1 | 11:00-12:00\n"
		retest = "2 retest 1 | 13:00 | L1 b | 20 | | | 11.08 1.00 m\n"
		left   = "8 adjacent 1 | 14:00 | l | 20 | | | 10.50 1.00 m\n"
		right  = "9 adjacent 1 | 14:10 | r | 20 | | | 11.50 1.00 m\n"
	)
	for _, c := range []struct{ name, history, want string }{
		{"all in their places", fail + retest + left + right, "1 cleared by 2"},
		{"retest on the place of the fail, otherwise spelt",
			fail + "2 retest 1 | 13:00 | at L1. | 20 | | | 11 1.0 m\n" + left + right,
			"1 treated: same-footprint 2"},
		{"retest 1 cm from the fail",
			fail + "2 retest 1 | 13:00 | L1 b | 20 | | | 11.01 1.00 m\n" + left + right,
			"1 treated: same-footprint 2"},
		{"retest 2 cm from the fail, which is another place",
			fail + "2 retest 1 | 13:00 | L1 b | 20 | | | 11.02 1.00 m\n" + left + right,
			"1 cleared by 2"},
		{"the place of the fail, beside by the remark",
			fail + "2 retest 1 | 13:00 | L1 b | 20 | beside the first footprint | | 11.00 1.00 m\n" + left + right,
			"1 cleared by 2"},
		{"equal numbers without a unit are one place",
			"1 original | 08:00 | L1 | 70 | | | 7 2\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20 | | | 7 2\n" + left + right,
			"1 treated: same-footprint 2"},
		{"numbers without a unit tell no distance",
			"1 original | 08:00 | L1 | 70 | | | 7 2\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | L1 b | 20 | | | 27 2\n" +
				"8 adjacent 1 | 14:00 | l | 20 | | | 90 2\n9 adjacent 1 | 14:10 | r | 20 | | | 50 2\n",
			"1 cleared by 2"},
		{"with and without a unit are not compared",
			fail + "2 retest 1 | 13:00 | L1 b | 20 | | | 11.00 1.00\n" + left + right,
			"1 cleared by 2"},
		{"retest at 1.5 m", fail + "2 retest 1 | 13:00 | b | 20 | | | 12.50 1.00 m\n" + left + right, "1 cleared by 2"},
		{"retest at 1.51 m", fail + "2 retest 1 | 13:00 | b | 20 | | | 12.51 1.00 m\n" + left + right, "1 treated: retest-far 2"},
		{"retest far in both directions together", // √(1.2² + 1.2²) = 1.70
			fail + "2 retest 1 | 13:00 | b | 20 | | | 12.20 2.20 m\n" + left + right, "1 treated: retest-far 2"},
		{"retest far away, beside by the remark",
			fail + "2 retest 1 | 13:00 | b | 20 | beside the first footprint | | 28.00 3.50 m\n" + left + right,
			"1 treated: retest-far 2"},
		{"adjacent test far away",
			fail + retest + left + "9 adjacent 1 | 14:10 | r | 20 | | | 28.00 3.00 m\n",
			"1 treated: adjacent-far 9, too-few-adjacent 1"},
		{"adjacent test beyond an adjacent fail, 2.4 m from the first",
			fail + retest + left + "9 adjacent 1 | 14:10 | r | 60 | | | 12.20 1.00 m\n10 adjacent 1, 9 | 14:20 | rr | 20 | | | 13.40 1.00 m\n",
			"9 open: no-treatment, too-few-adjacent 1\n1 cleared by 2"},
		{"an adjacent fail without a place brings no other nearer",
			fail + retest + left + "9 adjacent 1 | 14:10 | r | 60\n10 adjacent 1, 9 | 14:20 | rr | 20 | | | 13.40 1.00 m\n",
			"1 treated: adjacent-failed 9, adjacent-far 10, too-few-adjacent 1\n9 open: no-treatment, too-few-adjacent 1"},
		{"two adjacent tests of one location",
			fail + retest + "8 adjacent 1 | 14:00 | l | 20\n9 adjacent 1 | 14:10 | L | 20\n",
			"1 treated: adjacent-same-print 9, too-few-adjacent 1"},
		{"two adjacent tests of one location, both beside by their remarks",
			fail + retest + "8 adjacent 1 | 14:00 | l | 20 | beside\n9 adjacent 1 | 14:10 | l | 20 | beside\n",
			"1 treated: adjacent-same-print 9, too-few-adjacent 1"},
		{"two adjacent tests of one location, apart by their coordinates",
			fail + retest + left + "9 adjacent 1 | 14:10 | l | 20 | | | 11.50 1.00 m\n",
			"1 cleared by 2"},
		{"two adjacent tests of one place",
			fail + retest + left + "9 adjacent 1 | 14:10 | r | 20 | | | 10.5 1.0 m\n",
			"1 treated: adjacent-same-print 9, too-few-adjacent 1"},
		{"adjacent tests on the print of the retest",
			fail + retest + "8 adjacent 1 | 14:00 | L1 b | 20\n9 adjacent 1 | 14:10 | r | 20 | | | 11.08 1.00 m\n",
			"1 treated: adjacent-same-print 8, adjacent-same-print 9, too-few-adjacent 2"},
		{"adjacent test on the print of the fail",
			fail + retest + left + "9 adjacent 1 | 14:10 | L1 | 20\n",
			"1 treated: adjacent-same-print 9, too-few-adjacent 1"},
		{"adjacent test at the location of the fail, beside by its remark",
			fail + retest + left + "9 adjacent 1 | 14:10 | L1 | 20 | beside the first footprint\n",
			"1 cleared by 2"},
		{"a third adjacent test makes good for one in another area",
			"1 original | 08:00 | A: L1 | 70\nT 1 | 11:00-12:00\n2 retest 1 | 13:00 | A: b | 20\n7 adjacent 1 | 13:30 | B: x | 20\n" +
				"8 adjacent 1 | 14:00 | A: l | 20\n9 adjacent 1 | 14:10 | r | 20\n",
			"1 cleared by 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := spell(parseHistory(t, c.history), unit.Date{}); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}
